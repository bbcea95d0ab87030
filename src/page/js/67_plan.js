/* Both ways: is there time? Routes to the finished part, and until when each stays open. */
const nowText = () => {
  const now = new Date();
  return today() + 'T' + [now.getHours(), now.getMinutes()].map((n) => String(n).padStart(2, '0')).join(':');
};

async function setPlan(key, value, name = '') {
  const reply = await change({ do: 'plan-set', key, name, value });
  if (reply.ok) return;
  say(reply.message);
  refresh();
}

/* A box for one figure that is kept when it was typed. */
function planField(key, name, attributes) {
  const input = h('input', { type: 'text', autocomplete: 'off', maxlength: 20, ...attributes });
  input.addEventListener('change', () => setPlan(key, input.value.trim(), name));
  return { input, update(value) { if (document.activeElement !== input) input.value = value; } };
}

const tick = (label, checked, onchange) => {
  const id = freshId();
  return h('div.tick', h('input', { type: 'checkbox', id, checked, onchange: (event) => onchange(event.target.checked) }), h('label', { for: id }, label));
};

/* How long each step takes, and what is done. */
function stepsTable() {
  const body = h('tbody'), rows = new Map();
  const node = h('table', h('caption', 'Hours each; empty: the usual'),
    h('thead', h('tr', h('th', { scope: 'col' }, 'Step'), h('th', { scope: 'col' }, 'Hours'), h('th', { scope: 'col' }, 'Done, or not needed'))), body);
  function add(step) {
    const hours = planField('hours', step.name, { inputmode: 'decimal', 'aria-label': `Hours: ${step.words}`, placeholder: step.usual === null ? 'by coats' : String(step.usual) });
    const done = h('input', { type: 'checkbox', 'aria-label': `Done: ${step.words}`, onchange: () => setPlan('done', done.checked ? '1' : '0', step.name) });
    body.append(h('tr', h('th', { scope: 'row' }, capital(step.words)), h('td.short', hours.input), h('td', done)));
    rows.set(step.name, { hours, done });
  }
  return { node, update(steps) {
    for (const step of steps) {
      if (!rows.has(step.name)) add(step);
      const row = rows.get(step.name);
      row.hours.update(step.hours === step.usual ? '' : String(step.hours));
      row.done.checked = step.done;
    }
  } };
}

function routeBox(route) {
  const who = (name) => name === app.role ? 'you' : name;
  return h('section.verdict',
    h('h2', route.words),
    h('p.lead', capital(route.state), '.'), h('p', capital(route.outlook), '.'),
    route.steps.length ? [h('div.wide', { tabindex: '0', role: 'group', 'aria-label': 'Drawing: ' + route.words }, drawing(route.drawing)),
      h('details.plain', h('summary', 'Step by step'), h('div.wide', h('table', h('caption', 'Starts at the earliest and at the latest'),
        h('thead', h('tr', ['Step', 'Takes', 'From', 'At the latest'].map((name) => h('th', { scope: 'col' }, name)))),
        h('tbody', route.steps.map((s) => h('tr', h('th', { scope: 'row' }, capital(s.words), h('span.small', ` (${who(s.who)})`)), [s.takes, s.from, s.latest].map((text) => h('td', text))))))))] : null);
}

/* What can begin at once, each step once for each person. */
function readyList(routes) {
  const ready = new Set(routes.filter((r) => r.fits).flatMap((r) => r.steps.filter((s) => s.ready)
    .map((s) => `${s.words} (${s.who === app.role ? 'you' : s.who})`)));
  return ready.size ? [h('h2', 'Can begin now'), h('ul', [...ready].map((text) => h('li', text)))] : null;
}

function planStep() {
  return {
    key: 'time', name: 'Is there time?',
    done: (desk) => desk.deadline !== '',
    build(body) {
      const deadline = planField('deadline', '', { type: 'datetime-local' });
      const coats = planField('coats', '', { type: 'number', min: 1, max: 12, inputmode: 'numeric' });
      const awake = planField('awake', '', { placeholder: '8-22' });
      const note = h('div'), ways = h('div'), result = h('div', { 'aria-live': 'polite' }), steps = stepsTable();
      fill(body,
        h('p', 'Between print, paint and post a day is soon lost. Say when the part must be in; the page says which ways are still open, and until when. In each of them the fit of the part and a colour coupon come before the long print.'),
        h('div.pair-fields', field('It must be in by', deadline.input), field('Coats of paint', coats.input, 'The step “Or paint it” counts them; a clear coat is one more.'),
          field('Hours in which people work', awake.input, 'From-to. Printing, drying and the post run on at night.')),
        note, result,
        h('details', h('summary', 'How long each step takes, and what is done'), steps.node),
        h('details', h('summary', 'Which ways to look at'), ways),
        cautions(['painting', 'sanding', 'solvents', 'opening']));
      let asked = 0;
      return async () => {
        const mine = ++asked;
        const plan = await engine.ask({ do: 'plan', now: nowText() });
        if (mine !== asked) return;
        if (!plan.ok) return fill(result, h('p.note', plan.message));
        deadline.update(plan.deadline);
        coats.update(String(plan.coats));
        awake.update(plan.awake);
        steps.update(plan.steps);
        refill(ways, plan.routes.map((r) => tick(r.words, r.open, (on) => setPlan('open', on ? '1' : '0', r.name))));
        refill(note, plan.of_spec ? h('p.small', 'That is the date of the spec.') : null,
          app.coats && app.coats !== plan.coats ? h('p.note', `The chosen recipe takes ${several(app.coats, 'coat')} to be safe. `, button('Plan with that', () => setPlan('coats', String(app.coats)), 'quiet.small')) : null);
        const open = plan.routes.filter((r) => r.state);
        refill(result, plan.trouble ? h('p.note', capital(plan.trouble) + '.') : null, plan.deadline ? null : h('p.note', 'No date yet.'),
          open.map(routeBox), readyList(open));
      };
    },
  };
}

paths.owner.splice(paths.owner.findIndex((step) => step.key === 'send'), 0, planStep());
paths.helper.splice(paths.helper.findIndex((step) => step.key === 'coupon'), 0, planStep());
