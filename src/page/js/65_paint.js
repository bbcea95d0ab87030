/* The helper's way when nothing on the shelf fits: pots, recipes, and what to add to a batch. */
const potsTemplate = 'SAMPLE_ID,PAINT_1,PARTS_1,PAINT_2,PARTS_2,LAB_L,LAB_A,LAB_B,CONDITION\n' +
  'white,white,1,,,,,,D65/10\nred,red,1,,,,,,D65/10\nred-20,red,20,white,80,,,,D65/10\nred-5,red,5,white,95,,,,D65/10\n';

const several = (count, what) => `${count} ${what}${count === 1 ? '' : 's'}`;

/* A text setting that is kept when it was typed. */
function settingField(key, label, help, placeholder) {
  const input = h('input', { type: 'text', autocomplete: 'off', maxlength: 20, placeholder: placeholder || '' });
  input.addEventListener('change', () => set(key, input.value.trim()));
  return { node: field(label, input, help), update(desk) { if (document.activeElement !== input) input.value = desk.settings[key]; } };
}

/* "12.40 ml" columns; grams and drops only where a pot says them. */
function amountTable(caption, amounts) {
  const grams = amounts.some((a) => a.g !== null), drops = amounts.some((a) => a.drops !== null);
  const cell = (value, digits) => h('td', value === null ? '?' : number(value, digits));
  return h('table', h('caption', caption),
    h('thead', h('tr', h('th', 'Paint'), h('th', 'share'), h('th', 'ml'), grams ? h('th', 'g') : null, drops ? h('th', 'drops') : null)),
    h('tbody', amounts.map((a) => h('tr', h('th', { scope: 'row' }, h('bdi', a.name)), h('td', number(a.percent) + '\u00a0%'), cell(a.ml, 2),
      grams ? cell(a.g, 2) : null, drops ? cell(a.drops, 0) : null))));
}

function potsBox() {
  const trouble = h('p.trouble', { role: 'alert' }), shown = h('div', { 'aria-live': 'polite' });
  const unsaid = unsaidFields();
  const says = h('details', h('summary', 'If the file does not say its light or its unit'), unsaid.node);
  let seen = null, mark = 0;
  const node = h('section', h('h2', 'My pots'),
    h('div.row', button('Open the pots', async () => {
      const file = await pick('.txt,.csv,text/plain,text/csv');
      const reply = await change({ do: 'paints-load', file: file.name, ...unsaid.said() }, file.bytes);
      fill(trouble, reply.ok ? '' : place(file.name, reply, true));
      if (!reply.ok && /WEIGHTING_FUNCTION|SPECTRAL_UNIT/.test(reply.message)) says.open = true;
      if (reply.ok) say(`${several(reply.added, 'paint')} from ${file.name}.`);
    }, 'main')), trouble, says, shown,
    h('details', h('summary', 'What that file holds, and how to come by it'),
      h('p', 'Readings of dry coats of known make. For each paint a coat of it alone, opaque, and one or two tints with white: 20 parts in 80 of white, and 5 in 95. Weigh or count drops, stir well, two full coats on card, let dry for a day, read each in four places.'),
      h('p', 'With thin films over a black and a white card instead, of a known amount, the page can also say how many coats it takes. A file of plain readings is taken as one coat a paint: that is a start, and rough.'),
      button('Save an empty table to fill in', () => save('pots.csv', potsTemplate, 'text/csv'), 'quiet')));
  return { node, async update(desk) {
    if (desk.pots === mark) return;
    mark = desk.pots;
    seen = null;
    if (!desk.pots) return fill(shown, h('p.none', 'No pots yet.'));
    const reply = await engine.ask({ do: 'paints' });
    if (mark !== desk.pots) return;
    if (!reply.ok) return fill(shown, h('p.note', reply.message));
    seen = reply;
    fill(shown, h('p.small', `${several(reply.paints.length, 'paint')} from ${several(reply.coats, 'coat')}, met to \u0394E00 ${number(reply.fit, 2)} on average, ${number(reply.fit_worst, 2)} at worst (`, h('bdi', reply.worst), ').'),
      reply.notes.map((text) => h('p.note', capital(text) + '.')),
      h('details', h('summary', 'All my pots'), h('ul.readings', reply.paints.map((p) => h('li', patch(p.screen, p.name),
        h('div.what', h('strong', h('bdi', p.name)), h('span.small', p.known)))))));
  }, paints: () => seen ? seen.paints : [] };
}

/* Whole coats, bare and behind the shell, by what counts as hidden. */
function coatTable(coats) {
  const cell = (c) => h('td', !c.possible ? 'never' : c.coats + (c.coats_safe > c.coats ? `, ${c.coats_safe} to be safe` : ''));
  const goal = (key, text) => h('tr', h('th', { scope: 'row' }, text), cell(coats.bare[key]), coats.seen ? cell(coats.seen[key]) : null);
  return [h('table', h('caption', 'Coats until what is behind is hidden'),
    h('thead', h('tr', h('th', { scope: 'col' }, 'Hidden when'), h('th', { scope: 'col' }, 'bare'), coats.seen ? h('th', { scope: 'col' }, 'behind the shell') : null)),
    h('tbody', goal('difference', 'it makes less than \u0394E00 1'), goal('ratio', 'the contrast ratio is 0.98'))),
  h('p.small', 'To be safe: were all its paints weaker by two standard deviations.')];
}

/* Coats for the plan: to be safe, behind the shell where there is one, and a clear coat; else 0. */
function coatsToPlan(recipe) {
  const goal = recipe.coats ? (recipe.coats.seen || recipe.coats.bare).difference : { possible: false };
  const coats = goal.possible ? Math.max(goal.coats, goal.coats_safe) + (app.desk.settings.paint_clear ? 1 : 0) : 0;
  return coats <= 12 ? coats : 0;
}

function recipeItem(recipe, index, onchoose) {
  const words = recipe.parts.map((p) => `${p.name}\u00a0${number(p.percent)}\u00a0%`).join(', ');
  return h('li', h('button.rank', { type: 'button', 'aria-pressed': 'false', onclick: () => onchoose(index) },
    h('span.rank-place', String(index + 1)), patch(recipe.screen, 'recipe ' + (index + 1)),
    h('span.what', h('strong', h('bdi', words)),
      h('span.figures', `seen \u0394E00 ${number(recipe.dE00, 2)} (${number(recipe.low)}\u2013${number(recipe.high)}), bare ${number(recipe.bare, 2)}`),
      h('span.small', `changes by \u0394E00 ${number(recipe.metamerism, 1)} from light to light`))));
}

/* What belongs on the bench for one recipe: the batch, the finish, the coats. */
function recipeBench(recipe, name) {
  const parts = [];
  if (recipe.batch) parts.push(amountTable(`${capital(name)} as a batch of ${number(recipe.batch.ml, 2)} ml`, recipe.batch.amounts),
    h('p.small', `Rounded to what can be dispensed it shows \u0394E00 ${number(recipe.batch.dE00, 2)}.` +
      (Math.abs(recipe.batch.ml - recipe.batch.wanted_ml) < 0.005 ? '' : ` ${number(recipe.batch.wanted_ml, 2)} ml were wanted.`)));
  if (recipe.batch && recipe.batch.coarse) parts.push(h('p.note', 'Rounded so, the batch misses the tolerance. ' +
    (recipe.batch.larger_ml ? `One of about ${number(recipe.batch.larger_ml)} ml, or a smaller quantity to dispense, keeps it.` : 'It takes a smaller quantity to dispense.')));
  if (recipe.batch_note) parts.push(h('p.note', capital(recipe.batch_note)));
  if (recipe.finish) parts.push(recipe.finish.note ? h('p.note', recipe.finish.note) : h('p', `With its finish ${name} looks ${recipe.finish.words}, compared with the paint alone. Its dry paint-out, without the finish, should read `, h('span.figures', labText(recipe.finish.lab_without)), '.'),
    recipe.finish.smooth ? h('p.note', `No face of this coat has more than ${number(recipe.finish.smooth, 0)} gloss units: it is taken as perfectly smooth.`) : null);
  if (recipe.coats) parts.push(...coatTable(recipe.coats));
  if (recipe.coats_note) parts.push(h('p.note', capital(recipe.coats_note)));
  return parts;
}

/* The recipes, of which one is chosen: it is on the stage, and its batch below. */
function recipeList(reply, onchoose) {
  return [h('h2', 'Recipes'), h('p.small', `Shares by volume, for an opaque dry coat, by the worst light${reply.shell ? ', as seen through the shell' : ''}. In brackets where the difference lies with 95 % chance, with the doubt about pots, dispensing and target, which adds more often than it takes away. Of equally good ones that which changes least from light to light comes first.`),
    h('ol.ranking', reply.recipes.map((recipe, index) => recipeItem(recipe, index, onchoose))),
    reply.carried ? h('p.note', 'The target was read in another way than the pots; the coats are predicted as the target was read.') : null,
    reply.missing ? h('div.note.beside', patch(reply.missing.screen, 'the missing paint'), h('p', 'These pots do not reach the target. A paint in the direction of ' + (reply.missing.name ? reply.missing.name + ', ' : ''), h('span.figures', labText(reply.missing.lab)), ', would help.')) : null,
    reply.metameric ? h('p.note', metamericWords(reply.metameric, reply.tolerance)) : null,
  ];
}

function metamericWords(m, tolerance) {
  return `Under ${m.first} these pots reach the target; under ${m.other} the best recipe shows \u0394E00 ${number(m.dE00, 2)}, the tolerance is ${number(tolerance)}. The colour is right, the spectrum is not` +
    (m.nm ? `: a paint that lets the mixture reflect ${m.more ? 'more' : 'less'} near ${number(m.nm, 0)} nm would help.` : '; a measured curve of the target would tell which paint helps.');
}

function chooseCoat(name, curve) {
  app.chosen = { name, curve: curve.join(' ') };
  return showStage();
}

/* "12,5" is 12.5ml. */
const withUnit = (amount) => amount.replace(',', '.').replace(/^[0-9.]+$/, '$&ml');

/* Paints and how much of each, a line a paint; keep gets "white=12ml, red=8ml". */
function amountForm(legend, keep) {
  const rows = h('div'), trouble = h('p.trouble', { role: 'alert' });
  let paints = [], touched = false;
  const list = () => [...rows.children].map((row) => [row.querySelector('select').value, row.querySelector('input').value.trim()]);
  function addRow(paint = '', amount = '') {
    const at = rows.childElementCount + 1;
    const which = select([['', 'Choose a paint'], ...paints.map((p) => [p.id, p.name])], paint, () => { touched = true; });
    which.setAttribute('aria-label', 'Paint ' + at);
    rows.append(h('div.amount', which, h('input', { type: 'text', autocomplete: 'off', value: amount, placeholder: '12ml', 'aria-label': 'How much of paint ' + at, oninput: () => { touched = true; } })));
    return which;
  }
  const propose = (amounts) => { fill(rows); for (const [paint, amount] of amounts.length ? amounts : [['', ''], ['', '']]) addRow(paint, amount); };
  const node = h('form.inset', { onsubmit: async (event) => {
    event.preventDefault();
    const open = list().find(([paint, amount]) => Boolean(paint) !== Boolean(amount));
    if (open) return fill(trouble, open[0] ? `How much of ${open[0]} was put in?` : `Which paint was it of which ${open[1]} was put in?`);
    const reply = await keep(list().filter(([paint]) => paint).map(([paint, amount]) => `${paint}=${withUnit(amount)}`).join(', '));
    fill(trouble, reply.ok ? '' : reply.message);
    if (reply.ok) touched = false;
  } }, h('h2', { tabindex: '-1' }, legend), h('p.help', 'In ml, g or drops: 12.4ml, 17g, 3drops. Without a unit it is ml.'), rows,
  h('div.row', button('Another paint', () => addRow().focus(), 'quiet')), trouble,
  h('div.row', h('button.main', { type: 'submit' }, 'Keep what I put in')));
  return { node, update(pots, amounts) {
    const known = pots.map((p) => p.id).join('\n') !== paints.map((p) => p.id).join('\n');
    if (touched || (!known && rows.childElementCount && !amounts)) return;
    paints = pots;
    propose(amounts || []);
  } };
}

function learnedWords(learned) {
  return learned.filter((p) => Math.abs(p.K - 1) > 0.03 || Math.abs(p.S - 1) > 0.03)
    .map((p) => `${p.name} seems to absorb ${number(p.K, 2)} and scatter ${number(p.S, 2)} times what its coats said`).join('; ');
}

function adviceWord(reply) {
  if (!reply.significant) return 'Nothing should be added';
  if (reply.within) return 'It may stay as it is';
  if (reply.helps) return 'Add to the ' + number(reply.size_ml, 2) + ' ml that are there';
  return reply.beyond ? 'Check what was put in first' : 'Nothing that can be added makes it better';
}

function adviceBox(reply) {
  const learned = learnedWords(reply.learned);
  return h('section.verdict',
    h('p.verdict-word', adviceWord(reply)),
    h('p', `The last paint-out shows \u0394E00 ${number(reply.dE00, 2)}${reply.finish ? ' once finished' : ''}.` +
      (!reply.significant ? ' That is within the uncertainty of the readings.' : reply.within ? ` That is within the tolerance of ${number(reply.tolerance)}.` : '')),
    reply.tie ? h('p.note', reply.tie) : null,
    reply.strange ? h('p.note', 'These paint-outs cannot be explained by these paints and quantities: ' + (reply.within || !reply.significant
      ? 'what the page says about the paints is not to be trusted. Should you add something after all, check first what was put in.' : 'check what was put in before you add anything.')) : null,
    reply.add ? amountTable(reply.within ? 'To come nearer, add to the ' + number(reply.size_ml, 2) + ' ml that are there' : 'To add', reply.add.amounts) : null,
    reply.add ? h('p', `That makes ${number(reply.new_size_ml, 2)} ml, predicted to show \u0394E00 ${number(reply.predicted, 2)}. Paint a card, let it dry, and read it again.`) : null,
    learned ? h('p.small', h('bdi', capital(learned)), '.') : null);
}

/* "12.4ml" of each, for the form. */
const asTyped = (amounts) => amounts.map((a) => [a.id, `${Math.round(a.ml * 1000) / 1000}ml`]);

/* What was put in, the dry paint-out after it, and what to add; queue runs long work in turn. */
function batchBox(queue, potList) {
  const list = h('div'), entry = h('div'), result = h('div', { 'aria-live': 'polite' }), others = h('div');
  const form = amountForm('What I put in', (value) => change({ do: 'batch-add', value }));
  let also = '', drawn = null, done = null, asked = 0, plan = null;
  const box = h('details', h('summary', 'I have mixed it: what should I add?'),
    h('p', 'Say what you put in, paint a card, let it dry, and read it, without a clear coat. The page compares that with what it expected, learns how your pots differ from the file, and says what to add; nothing can be taken out again.'),
    list, result, others, entry, button('Begin a new batch', async () => { const r = await change({ do: 'batch-clear' }); say(r.ok ? 'A new batch. Undo brings the old one back.' : r.message); }, 'quiet'));

  function drawList(added, outs) {
    const count = Math.max(added.length, outs.length), steps = [];
    for (let i = 0; i < count; i++) {
      const out = outs[i], name = 'paint-out ' + (i + 1);
      steps.push(h('li', out ? patch(out.screen, name) : h('span.patch.empty', { 'aria-hidden': 'true' }),
        h('div.what', h('strong', i ? 'added' : 'mixed'), h('span', h('bdi', added[i] || 'nothing said')), h('span.figures', out ? 'paint-out: ' + labText(out.lab) : 'no paint-out read yet')),
        out ? h('button.quiet.small', { type: 'button', 'aria-label': 'Show ' + name, onclick: () => choose('painted', i) }, 'Show') : null,
        out && i === outs.length - 1 ? h('button.quiet.small', { type: 'button', 'aria-label': 'Remove ' + name,
          onclick: async () => { const r = await change({ do: 'remove', tray: 'painted', index: i }); say(r.ok ? 'Removed. Undo brings it back.' : r.message); } }, 'Remove') : null));
    }
    refill(list, count ? h('ol.readings', steps) : null);
  }
  function drawEntry(added, outs) {
    const state = [added.length, outs.length, outs.length < added.length].join();
    if (state === drawn) return;
    drawn = state;
    const inside = entry.contains(document.activeElement);
    fill(entry, added.length > outs.length
      ? h('div.inset', h('h2', { tabindex: '-1' }, 'Its dry paint-out'), readingWays('painted', { name: 'paint-out ' + (outs.length + 1), askName: false })) : form.node);
    if (inside) entry.querySelector('h2').focus({ preventScroll: true }); /* what comes next is read out */
  }
  async function advise(desk) {
    const mine = ++asked;
    fill(result, working('Working out what to add\u2026'));
    const reply = await queue(() => mine === asked ? engine.long({ do: 'batch', also }) : { dropped: true });
    if (mine !== asked) return;
    if (reply.dropped) { done = null; return; }
    if (!reply.ok) return fill(result, h('p.note', capital(reply.message)));
    fill(result, adviceBox(reply));
    form.update(potList(), reply.add ? asTyped(reply.add.amounts) : []);
    const inside = reply.learned.map((p) => p.id), rest = potList().filter((p) => p.id === also || !inside.includes(p.id));
    refill(others, reply.significant && rest.length ? field('Another pot that may be used', select([['', 'none'], ...rest.map((p) => [p.id, p.name])], also,
      (value) => { also = value; done = null; update(app.desk); })) : null);
  }
  function update(desk) {
    const added = desk.settings.added, outs = desk.trays.painted;
    box.hidden = !desk.pots || !desk.target.ready;
    if (box.hidden) return;
    drawList(added, outs);
    drawEntry(added, outs);
    const ready = outs.length > 0 && outs.length === added.length;
    const state = ready ? JSON.stringify([paintState(desk), added, outs]) : '';
    if (state === done) return;
    if (!added.length) also = '';
    done = state;
    if (ready) return advise(desk);
    asked++;
    fill(result);
    fill(others);
    form.update(potList(), added.length ? [] : plan);
  }
  return { node: box, update, plan(amounts) { plan = amounts; if (app.desk && !app.desk.settings.added.length) form.update(potList(), plan); } };
}

/* All that recipes and advice hang on. */
function paintState(desk) {
  const { paint_batch, paint_least, paint_gloss, paint_coat, paint_most, paint_clear, paint_over, tolerance, lights, tied } = desk.settings;
  return JSON.stringify([desk.pots, desk.target, paint_batch, paint_least, paint_gloss, paint_coat, paint_most, paint_clear, paint_over, tolerance, lights, tied,
    paint_over ? desk.trays.coupon : null, tied ? [desk.trays.chips, desk.trays.mine] : null]);
}

paths.helper.splice(2, 0, {
  key: 'paint', name: 'Or paint it',
  done: (desk) => desk.pots,
  build(body) {
    /* One long piece of work drops another; here each waits for the one before. */
    let last = Promise.resolve();
    const queue = (work) => (last = last.then(work));
    const pots = potsBox(), batch = batchBox(queue, pots.paints), recipes = h('div', { 'aria-live': 'polite' });
    const fields = [settingField('paint_batch', 'How much is wanted', 'Such as 20ml, 25g or 400drops. Empty: shares only.', '20ml'),
      settingField('paint_least', 'The smallest you can dispense', 'Empty: 0.1ml.', '0.1ml'),
      settingField('paint_gloss', 'Gloss of the finished part', '60\u00b0 gloss units: matt about 5 to 10, satin 25 to 40, gloss above 80. Empty: as the paint was read.'),
      settingField('paint_coat', 'What one coat lays on', 'In the unit of the films in the file; then coats are counted. Empty: not asked.')];
    const picks = h('div'), options = h('details', h('summary', 'How much, how fine, which finish'), h('div.pair-fields', fields.map((f) => f.node)), picks);
    let asked = 0, state = null, reply = null, chosen = 0;
    const bench = h('div', { 'aria-live': 'polite' });
    function lay(index) { /* on the bench goes the recipe that is chosen */
      chosen = index;
      const recipe = reply.recipes[index];
      [...recipes.querySelectorAll('.rank')].forEach((node, i) => node.setAttribute('aria-pressed', String(i === index)));
      fill(bench, recipeBench(recipe, 'recipe ' + (index + 1)));
      app.coats = coatsToPlan(recipe);
      batch.plan(recipe.batch ? asTyped(recipe.batch.amounts) : recipe.parts.map((p) => [p.id, '']));
    }
    function chooseRecipe(index) {
      lay(index);
      chooseCoat('recipe ' + (index + 1), reply.recipes[index].curve);
    }
    fill(body,
      h('p', 'If nothing on the shelf fits, print the part in anything and paint it. This step finds what to mix from your pots, and what to add when the first mixture is off.'),
      pots.node, options, recipes, bench, batch.node, cautions(['painting', 'sanding', 'solvents']));
    return async (desk) => {
      for (const f of fields) f.update(desk);
      refill(picks, h('div.pair-fields',
        field('Paints in a recipe', select([['', 'up to 4'], ['3', 'up to 3'], ['2', 'up to 2'], ['1', '1']], desk.settings.paint_most, (value) => set('paint_most', value))),
        field('Clear coat on top', select([['', 'none'], ['1.5', 'yes (index 1.5)']], desk.settings.paint_clear, (value) => set('paint_clear', value)), 'Glossy, or of the gloss above.'),
        field('What is painted over', select([['', 'black and white'], ['print', 'the coupon, as read']], desk.settings.paint_over, (value) => set('paint_over', value)))));
      options.hidden = !desk.pots;
      const potsRead = pots.update(desk);
      batch.update(desk);
      const now = paintState(desk);
      if (now === state) return;
      state = now;
      reply = null;
      fill(bench);
      const mine = ++asked;
      if (!desk.pots || !desk.target.ready) return fill(recipes, desk.target.ready ? null : h('p.note', desk.target.message));
      fill(recipes, working('Looking for recipes\u2026'));
      await potsRead;
      const found = await queue(() => mine === asked ? engine.long({ do: 'recipes' }) : { dropped: true });
      if (mine !== asked) return;
      if (found.dropped) { state = null; return; }
      if (!found.ok) return fill(recipes, h('p.note', capital(found.message)));
      reply = found;
      fill(recipes, recipeList(reply, chooseRecipe));
      lay(Math.min(chosen, reply.recipes.length - 1));
      app.chosen = { name: 'recipe ' + (chosen + 1), curve: reply.recipes[chosen].curve.join(' ') }; /* what is marked is on the stage */
      drawStage();
    };
  },
});
