/* The page's state and the way through it. The job itself lies in the engine; here is only where
   the person stands, and what to redraw when the job changes. */
const app = {
  role: null,        /* 'owner' or 'helper' */
  step: 0,
  desk: null,        /* the engine's last description of the job */
  chosen: null,      /* candidate that the stage shows: {tray, index} */
  coats: 0,          /* that the chosen recipe takes, 0: not known */
  light: 0,          /* which of the job's lights the stage shows */
  update: null,      /* redraws the open step when the desk has changed */
};

const paths = { owner: [], helper: [] }; /* filled by the step files: {key, name, build} */

function say(text) { /* heard by screen readers, seen for a moment */
  const line = document.getElementById('say');
  fill(line, text);
  line.classList.add('shown');
  clearTimeout(say.timer);
  say.timer = setTimeout(() => line.classList.remove('shown'), 3500);
}

async function refresh() {
  const desk = await engine.ask({ do: 'desk' });
  if (!desk.ok) return say(desk.message);
  app.desk = desk;
  if (app.update) app.update(desk);
  drawPath();
  drawTop();
  drawStage();
}

/* Change the job; a note says what went wrong, and nothing has changed then. */
async function change(request, body) {
  const reply = await engine.ask(request, body);
  if (!reply.ok) return reply;
  await refresh();
  return reply;
}

/* Change a setting; a value that is refused is said, and the page shows again what the job has. */
async function set(key, value) {
  const reply = await change({ do: 'set', key, value });
  if (reply.ok) return;
  say(reply.message);
  refresh();
}

async function undo(again) {
  const reply = await change({ do: again ? 'redo' : 'undo' });
  say(reply.ok ? (again ? 'Done again.' : 'Undone.') : reply.message);
}

function steps() { return app.role ? paths[app.role] : []; }

function goTo(index) {
  app.step = index;
  const step = steps()[index];
  const work = document.getElementById('work');
  app.update = null;
  if (!step) {
    app.role = null;
    fill(work, buildStart());
  } else {
    const body = h('div.body');
    const last = index === steps().length - 1;
    fill(work,
      h('div.head', h('p.count', `Step ${index + 1} of ${steps().length}`), h('h1', { tabindex: '-1' }, step.name)),
      body,
      h('div.turn',
        button(index ? 'Back' : 'Start', () => goTo(index ? index - 1 : -1), 'quiet'),
        last ? null : button('Next: ' + steps()[index + 1].name, () => goTo(index + 1), 'main')));
    app.update = step.build(body) || null;
    if (app.update && app.desk) app.update(app.desk);
  }
  drawPath();
  drawTop();
  drawStage();
  window.scrollTo(0, 0);
  const heading = work.querySelector('h1');
  if (heading) heading.focus({ preventScroll: true });
}

function drawPath() {
  const nav = document.getElementById('path');
  const frame = document.getElementById('frame');
  frame.classList.toggle('walking', Boolean(app.role));
  if (!app.role) return fill(nav);
  fill(nav, h('ol', steps().map((step, index) => {
    const done = app.desk && step.done && step.done(app.desk);
    return h('li' + (index === app.step ? '.here' : '') + (done ? '.done' : ''),
      h('button', { type: 'button', 'aria-current': index === app.step ? 'step' : false,
        onclick: () => goTo(index) },
      h('span.dot', { 'aria-hidden': 'true' }, done ? '\u2713' : String(index + 1)),
      h('span.step-name', step.name), done ? h('span.off-screen', ', done') : null));
  })));
}

function drawTop() {
  const top = document.getElementById('top');
  const desk = app.desk;
  fill(top,
    h('a.brand', { href: '#', onclick: (e) => { e.preventDefault(); goTo(-1); } }, 'farhue'),
    h('span.job-name', app.role && desk ? desk.settings.title : ''),
    h('span.tools',
      app.role ? [
        button('Undo', () => undo(false), 'tool' + (desk && desk.undo ? '' : '.idle')),
        button('Redo', () => undo(true), 'tool' + (desk && desk.redo ? '' : '.idle')),
        button('Save job', saveJob, 'tool'),
      ] : null,
      button('Open job', openJob, 'tool'),
      button(document.documentElement.dataset.theme === 'dark' ? 'Light page' : 'Dark page', turnTheme, 'tool.theme')));
}

function turnTheme() {
  const root = document.documentElement;
  root.dataset.theme = root.dataset.theme === 'dark' ? 'light' : 'dark';
  drawTop();
}

const today = () => {
  const now = new Date();
  return [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((n) => String(n).padStart(2, '0')).join('-');
};

/* "ondrel-tide-clock-spec.txt": the job's name as a file name. */
function fileName(what, suffix = 'txt') {
  const stem = app.desk.settings.title.toLowerCase().normalize('NFD').replace(/[^a-z0-9]+/g, '-').replace(/^-|-$/g, '').slice(0, 40);
  return (stem ? stem + '-' : '') + what + '.' + suffix;
}

async function saveJob() {
  const reply = await engine.ask({ do: 'job-write', created: today() });
  if (!reply.ok) return say(reply.message);
  save(fileName('job'), reply.text);
  say('The job is saved as ' + fileName('job') + '.');
}

async function openJob() {
  const file = await pick('.txt,text/plain');
  const reply = await change({ do: 'job-read', file: file.name }, file.bytes);
  if (!reply.ok) return say(place(file.name, reply));
  app.chosen = null;
  app.role = app.desk.settings.role || 'owner';
  goTo(0);
  say(file.name + ' is open.');
}
