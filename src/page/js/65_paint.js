/* The helper's way when nothing on the shelf fits: pots, recipes, and what to add to a batch. */
const potsTemplate = 'SAMPLE_ID,PAINT_1,PARTS_1,PAINT_2,PARTS_2,LAB_L,LAB_A,LAB_B,CONDITION\n' +
  'white,white,1,,,,,,D65/10\nred,red,1,,,,,,D65/10\nred-20,red,20,white,80,,,,D65/10\nred-5,red,5,white,95,,,,D65/10\n';

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
  let seen = null;
  const node = h('section', h('h2', 'My pots'),
    h('div.row', button('Open the pots', async () => {
      const file = await pick('.txt,.csv,text/plain,text/csv');
      const reply = await change({ do: 'paints-load', file: file.name }, file.bytes);
      fill(trouble, reply.ok ? '' : place(file.name, reply));
      if (reply.ok) say(`${reply.added} paints from ${file.name}.`);
    }, 'main')), trouble, shown,
    h('details', h('summary', 'What that file holds, and how to come by it'),
      h('p', 'Readings of dry coats of known make. For each paint a coat of it alone, opaque, and one or two tints with white: 20 parts in 80 of white, and 5 in 95. Weigh or count drops, stir well, two full coats on card, let dry for a day, read each in four places.'),
      h('p', 'With thin films over a black and a white card instead, of a known amount, the page can also say how many coats it takes. A file of plain readings is taken as one coat a paint: that is a start, and rough.'),
      button('Save an empty table to fill in', () => save('pots.csv', potsTemplate, 'text/csv'), 'quiet')));
  return { node, async update(desk) {
    if (!desk.pots) { seen = null; return fill(shown, h('p.none', 'No pots yet.')); }
    if (seen) return;
    const reply = await engine.ask({ do: 'paints' });
    if (!reply.ok) return fill(shown, h('p.note', reply.message));
    seen = reply;
    fill(shown, h('p.small', `${reply.paints.length} paints from ${reply.coats} coats, which are met to \u0394E00 ${number(reply.fit)} on average, ${number(reply.fit_worst)} at worst (${reply.worst}).`),
      reply.notes.map((text) => h('p.note', capital(text) + '.')),
      h('details', h('summary', 'All my pots'), h('ul.readings', reply.paints.map((p) => h('li', patch(p.screen, p.name),
        h('div.what', h('strong', h('bdi', p.name)), h('span.small', p.known)))))));
  }, again() { seen = null; } };
}

function coatWords(coats) {
  const one = (c) => !c.possible ? 'no number of coats' : c.coats_safe > c.coats ? `${c.coats} coats, ${c.coats_safe} to be safe` : `${c.coats} coats`;
  return `Until what is behind shows by less than \u0394E00 1: ${one(coats.bare)} bare` + (coats.seen ? `; behind the shell ${one(coats.seen)}.` : '.');
}

function recipeItem(recipe, index) {
  const name = 'recipe ' + (index + 1);
  const words = recipe.parts.map((p) => `${p.name} ${number(p.percent)}\u00a0%`).join(', ');
  return h('li', h('button.rank', { type: 'button', onclick: () => chooseCoat(name, recipe.curve) },
    h('span.rank-place', String(index + 1)), patch(recipe.screen, name),
    h('span.what', h('strong', h('bdi', words)),
      h('span.figures', `seen \u0394E00 ${number(recipe.dE00, 2)} (${number(recipe.low)}\u2013${number(recipe.high)}), bare ${number(recipe.bare, 2)}`),
      h('span.small', `changes by \u0394E00 ${number(recipe.metamerism, 1)} from light to light`))));
}

function recipeList(reply) {
  const parts = [h('h2', 'Recipes'), h('p.small', `Shares by volume, for an opaque dry coat, by the worst light${reply.shell ? ', as seen through the shell' : ''}. In brackets where the difference lies with 95 % chance, with the doubt about pots, dispensing and target. Of equally good ones that which changes least from light to light comes first.`),
    h('ol.ranking', reply.recipes.map(recipeItem))];
  if (reply.carried) parts.push(h('p.note', 'The target was read in another way than the pots; the coats are predicted as the target was read.'));
  if (reply.missing) parts.push(h('p.note', `These pots do not reach the target. A paint in the direction of `, patch(reply.missing.screen, 'the missing paint'), ` ${reply.missing.name || ''} (${labText(reply.missing.lab)}) would help.`));
  if (reply.finish && reply.finish.words) parts.push(h('p', `With its finish recipe 1 looks ${reply.finish.words}, compared with the paint alone. Its dry paint-out, without the finish, should read ${labText(reply.finish.lab_without)}.`));
  if (reply.batch) parts.push(amountTable(`Recipe 1 as a batch of ${number(reply.batch.ml, 2)} ml`, reply.batch.amounts),
    h('p.small', `Rounded to what can be dispensed it shows \u0394E00 ${number(reply.batch.dE00, 2)}.`));
  if (reply.coats) parts.push(h('p', coatWords(reply.coats)));
  if (reply.coats_note) parts.push(h('p.note', reply.coats_note));
  return parts;
}

function chooseCoat(name, curve) {
  app.chosen = { name, curve: curve.join(' ') };
  return showStage();
}

/* What was put in, the dry paint-out after it, and what to add; queue runs long work in turn. */
function batchBox(queue) {
  const trouble = h('p.trouble', { role: 'alert' }), list = h('div'), entry = h('div'), result = h('div', { 'aria-live': 'polite' });
  const typed = h('input', { type: 'text', autocomplete: 'off', spellcheck: 'false', placeholder: 'white=14ml, red=3.5ml, blue=2drops' });
  const form = h('form.row', { onsubmit: async (event) => {
    event.preventDefault();
    const reply = await change({ do: 'batch-add', value: typed.value.trim() });
    fill(trouble, reply.ok ? '' : reply.message);
    if (reply.ok) typed.value = '';
  } }, field('What I put in', typed, 'Each paint and how much of it; a point for decimals, since commas part the paints.'), h('button', { type: 'submit' }, 'Keep it'));
  const box = h('details', h('summary', 'I have mixed it: what should I add?'),
    h('p', 'Say what you put in, paint a card, let it dry, and read it. The page compares that with what it expected, learns how your pots differ from the file, and says what to add; nothing can be taken out again.'),
    list, trouble, entry, result, button('Begin a new batch', async () => { const r = await change({ do: 'batch-clear' }); say(r.ok ? 'A new batch. Undo brings the old one back.' : r.message); }, 'quiet'));
  let drawn = -1, asked = 0;
  return { node: box, async update(desk) {
    const added = desk.settings.added, outs = desk.trays.painted;
    fill(list, added.length ? h('ol.readings', added.map((text, i) => h('li', outs[i] ? patch(outs[i].screen, outs[i].name) : h('span.patch.empty', { 'aria-hidden': 'true' }),
      h('div.what', h('strong', i ? 'then' : 'mixed'), h('span', h('bdi', text)), h('span.figures', outs[i] ? 'paint-out: ' + labText(outs[i].lab) : 'no paint-out read yet'))))) : null);
    const state = added.length * 16 + outs.length;
    if (state !== drawn) {
      drawn = state;
      fill(entry, added.length > outs.length
        ? h('div.inset', h('h2', 'Its dry paint-out'), readingWays('painted', { name: 'paint-out', askName: false })) : form);
    }
    if (!outs.length || outs.length !== added.length) return fill(result);
    const mine = ++asked;
    fill(result, working('Working out what to add\u2026'));
    const reply = await queue(() => engine.long({ do: 'batch' }));
    if (mine !== asked || reply.dropped) return;
    if (!reply.ok) return fill(result, h('p.note', reply.message));
    fill(result, h('section.verdict',
      h('p.verdict-word', !reply.significant ? 'Nothing should be added' : reply.helps ? 'Add to the ' + number(reply.size_ml, 2) + ' ml that are there' : 'Nothing that can be added makes it better'),
      h('p', `The last paint-out shows \u0394E00 ${number(reply.dE00, 2)}${reply.finish ? ' once finished' : ''}.` + (reply.significant ? '' : ' That lies within what the readings leave open.')),
      reply.add ? amountTable('To add', reply.add.amounts) : null,
      reply.add ? h('p', `That makes ${number(reply.new_size_ml, 2)} ml, predicted to show \u0394E00 ${number(reply.predicted, 2)}. Paint a card, let it dry, and read it again.`) : null,
      reply.surprise > 3 ? h('p.note', 'These paint-outs cannot be explained by these paints and quantities: check what was put in.') : null));
  } };
}

paths.helper.splice(2, 0, {
  key: 'paint', name: 'Or paint it',
  done: (desk) => desk.pots,
  build(body) {
    /* One long piece of work drops another; here each waits for the one before. */
    let last = Promise.resolve();
    const queue = (work) => (last = last.then(work));
    const pots = potsBox(), batch = batchBox(queue), recipes = h('div', { 'aria-live': 'polite' });
    const fields = [settingField('paint_batch', 'How much is wanted', 'Such as 20ml, 25g or 400drops. Empty: shares only.', '20ml'),
      settingField('paint_least', 'The smallest you can dispense', 'Empty: 0.1ml.', '0.1ml'),
      settingField('paint_gloss', 'Gloss of the finished part', '60\u00b0 gloss units: matt about 5 to 10, satin 25 to 40, gloss above 80. Empty: as the paint was read.'),
      settingField('paint_coat', 'What one coat lays on', 'In the unit of the films in the file; then coats are counted. Empty: not asked.')];
    const picks = h('div'), options = h('details', h('summary', 'How much, how fine, which finish'), h('div.pair-fields', fields.map((f) => f.node)), picks);
    let asked = 0, state = null;
    fill(body,
      h('p', 'If nothing on the shelf fits, print the part in anything and paint it. This step finds what to mix from your pots, and what to add when the first mixture is off.'),
      pots.node, options, recipes, batch.node, cautions(['painting', 'sanding', 'solvents']));
    return async (desk) => {
      for (const f of fields) f.update(desk);
      refill(picks, h('div.pair-fields',
        field('Paints in a recipe', select([['', 'up to 4'], ['3', 'up to 3'], ['2', 'up to 2'], ['1', '1']], desk.settings.paint_most, (value) => set('paint_most', value))),
        field('Clear coat on top', select([['', 'none'], ['1.5', 'yes (index 1.5)']], desk.settings.paint_clear, (value) => set('paint_clear', value)), 'Glossy, or of the gloss above.'),
        field('What is painted over', select([['', 'black and white'], ['print', 'the coupon, as read']], desk.settings.paint_over, (value) => set('paint_over', value)))));
      const now = JSON.stringify([desk.pots, desk.target.ready, desk.target.lab, desk.settings.paint_batch, desk.settings.paint_least, desk.settings.paint_gloss, desk.settings.paint_coat,
        desk.settings.paint_most, desk.settings.paint_clear, desk.settings.paint_over, desk.trays.coupon.length, desk.settings.tolerance]);
      if (now !== state) pots.again();
      pots.update(desk);
      batch.node.hidden = !desk.pots || !desk.target.ready;
      if (!batch.node.hidden) batch.update(desk);
      if (now === state) return;
      state = now;
      if (!desk.pots || !desk.target.ready) return fill(recipes, desk.target.ready ? null : h('p.note', desk.target.message));
      const mine = ++asked;
      fill(recipes, working('Looking for recipes\u2026'));
      const reply = await queue(() => mine === asked ? engine.long({ do: 'recipes' }) : { ok: false, dropped: true });
      if (mine !== asked || reply.dropped) return;
      if (!reply.ok) return fill(recipes, h('p.note', reply.message));
      fill(recipes, recipeList(reply));
      if (!app.chosen && reply.recipes.length) { app.chosen = { name: 'recipe 1', curve: reply.recipes[0].curve.join(' ') }; drawStage(); }
    };
  },
});
