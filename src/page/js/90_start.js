/* The first screen, and the page's start. */
function buildStart() {
  const card = (title, text, onclick) => h('button.card', { type: 'button', onclick }, h('strong', title), h('span', text));
  const begin = (role, step = 0) => async () => {
    app.role = role;
    await set('role', role);
    goTo(step);
  };
  return h('div.start',
    h('h1', { tabindex: '-1' }, 'The colour of a part you only see through a shell'),
    h('p.lead', 'One person has the old machine, another can print or paint a new part. farhue turns the colour into figures that both can act on, and tells before the long print whether it will look right behind the shell.'),
    h('h2', 'Who are you?'),
    h('div.cards',
      card('I have the old machine', 'You measure the old part and the shell, and send a spec. You are the owner.', begin('owner')),
      card('I have a spec file', 'Somebody sent you one. You look for a match on your shelf. You are the helper.', begin('helper')),
      card('I was read a code', 'Twelve characters by phone or chat. You are the helper.', begin('helper'))),
    h('p.small', 'Everything stays on this machine: the page has no network access. Save the job as a file and open it again any time.'));
}

(async () => {
  document.documentElement.dataset.theme =
    matchMedia('(prefers-color-scheme: dark)').matches ? 'dark' : 'light';
  addEventListener('keydown', (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== 'z') return;
    if (/INPUT|TEXTAREA/.test(document.activeElement.tagName) && document.activeElement.value) return;
    event.preventDefault();
    undo(event.shiftKey);
  });
  try {
    await engine.start();
    await refresh();
    goTo(-1);
    performance.mark('ready');
    document.documentElement.dataset.ready = 'yes';
  } catch (error) {
    fill(document.getElementById('work'), h('h1', 'This browser cannot run the page'),
      h('p', 'It needs WebAssembly: ' + error.message + '. A browser of the last years has it.'));
  }
})();
