/* The stage: mid grey, on which colours are looked at. Rows are the target and, below and touching
   it, a candidate; columns are the part bare and as seen through the shell. */
const stageView = { swapped: false };

async function drawStage() {
  const stage = document.getElementById('stage');
  if (!app.role || !app.desk) return fill(stage);
  const reply = await engine.ask({ do: 'stage', light: app.light,
    ...(app.chosen || {}) });
  if (!reply.ok) return fill(stage, h('p.stage-note', reply.message));
  if (!reply.rows.length) {
    return fill(stage, h('p.stage-note', 'Colours appear here, on a grey that does not pull the eye, as soon as there is a reading.'));
  }
  const rows = stageView.swapped ? [...reply.rows].reverse() : reply.rows;
  const grid = h('div.stage-grid' + (reply.shell ? '' : '.bare-only'),
    h('span.col-name', 'bare'), reply.shell ? h('span.col-name', 'behind the shell') : null,
    rows.flatMap((row) => [patch(row.bare, `${row.name}, bare`), reply.shell ? patch(row.seen, `${row.name}, behind the shell`) : null]));
  fill(stage,
    h('div.stage-names', rows.map((row) => h('p', h('strong', row.role), ' ', h('bdi', row.name)))),
    grid,
    reply.rows.length > 1 ? h('div.row.centre', button('Swap', () => { stageView.swapped = !stageView.swapped; drawStage(); }, 'stage-key'),
      reply.difference ? h('p.figures', reply.difference) : null) : null,
    h('div.lights', { role: 'group', 'aria-label': 'Light' }, reply.lights.map((light, index) =>
      h('button.stage-key', { type: 'button', 'aria-pressed': String(index === app.light),
        onclick: () => { app.light = index; drawStage(); } }, capital(light.name)))),
    reply.rows.some((row) => row.bare.outside || (row.seen && row.seen.outside))
      ? h('p.stage-note', 'A colour here lies outside what a screen can show; the nearest is shown.') : null,
    h('p.stage-note', 'A screen is no colour reference: judge by the figures, and at the end by eye.'));
}

/* Put a candidate on the stage; where the stage lies below the step, go there. */
function choose(tray, index) {
  app.chosen = { tray, index };
  for (const other of document.querySelectorAll('.rank[aria-pressed=true]')) other.setAttribute('aria-pressed', 'false'); /* a recipe that it takes the place of */
  return showStage();
}

async function showStage() {
  await drawStage();
  const stage = document.getElementById('stage');
  if (getComputedStyle(stage).position === 'static') stage.scrollIntoView({ behavior: 'smooth', block: 'end' });
}
