/* The helper's way: read the spec, my shelf, the coupon, the reply. */
paths.helper.push({
  key: 'read', name: 'What is asked for',
  done: (desk) => desk.target.ready,
  build(body) {
    const trouble = h('p.trouble', { role: 'alert' });
    const code = h('input', { type: 'text', autocomplete: 'off', autocapitalize: 'characters', spellcheck: 'false', placeholder: '1A2B-3C4D-5E6F' });
    const shown = h('div');
    const form = h('form.row', { onsubmit: async (event) => {
      event.preventDefault();
      const reply = await change({ do: 'code-read', code: code.value });
      fill(trouble, reply.ok ? '' : reply.message);
      if (reply.ok) say('The code is right.');
    } }, field('The code you were read', code, 'Capitals, spaces and dashes do not matter; O counts as 0, I and L as 1.'), h('button', { type: 'submit' }, 'Take the code'));
    fill(body,
      h('div.sends',
        h('section', h('h2', 'A spec file'), h('p', 'Open the file that the owner sent.'),
          button('Open the spec', async () => {
            const file = await pick('.txt,text/plain');
            const reply = await change({ do: 'spec-read', file: file.name }, file.bytes);
            fill(trouble, reply.ok ? '' : place(file.name, reply));
          }, 'main')),
        h('section', h('h2', 'A code'), form)),
      trouble, shown);
    return (desk) => {
      const t = desk.target;
      if (!t.ready) return fill(shown, h('p.note', t.message));
      fill(shown, h('h2', t.title || 'The target'),
        t.check_code ? h('p.small', [t.owner ? `asked for by ${t.owner}` : null, t.deadline ? `needed by ${t.deadline}` : null, `check code ${t.check_code}`].filter(Boolean).join(' \u00b7 ')) : null,
        h('div.target', patch(t.screen, 'the target'), h('div', h('p.lead', h('bdi', t.name)), h('p.figures', labText(t.lab) + ' \u00b7 ' + t.condition),
          t.plain ? h('p', 'In plain words: ', h('strong', t.plain), '.') : null, h('p', t.words))),
        t.sentence ? h('p.sentence', t.sentence) : null,
        t.carries ? h('p.note', t.carries) : null, t.drawing ? drawing(t.drawing) : null);
    };
  },
});

paths.helper.push({
  key: 'shelf', name: 'My shelf',
  done: (desk) => desk.trays.shelf.length > 0,
  build(body) {
    const ranked = h('div', { 'aria-live': 'polite' });
    const list = readingList('shelf', { none: 'Nothing on the shelf yet.', extra: (reading, index) =>
      h('button.quiet.small', { type: 'button', 'aria-label': 'Show ' + reading.name, onclick: () => choose('shelf', index) }, 'Show') });
    const all = h('details', h('summary', 'All that is on the shelf'), list.node);
    let asked = 0;
    fill(body,
      h('p', 'Enter what you could print or paint with: printed swatches of your filaments, dry paint-outs, or a library file. The best come first, judged as they will look behind the shell.'),
      ranked, all,
      h('h2', 'Add to the shelf'),
      readingWays('shelf', { nameLabel: 'Name of the filament or paint', namePlaceholder: 'sand, matt, 1.75 mm' }));
    return async (desk) => {
      list.update(desk);
      all.open = !desk.target.ready;
      if (!desk.target.ready || !desk.trays.shelf.length) return fill(ranked, desk.target.ready ? null : h('p.note', desk.target.message));
      const mine = ++asked;
      fill(ranked, working('Ranking\u2026'));
      const reply = await engine.long({ do: 'rank' });
      if (mine !== asked || reply.dropped) return;
      if (!reply.ok) return fill(ranked, h('p.note', reply.message));
      fill(ranked, h('h2', 'Best first'), h('p.small', reply.words), reply.exact ? h('p.small', reply.exact) : null, reply.tie ? h('p.note', reply.tie) : null, h('ol.ranking', reply.places.map((p, i) => h('li' + (p.tied ? '.tied' : ''),
        h('button.rank', { type: 'button', onclick: () => choose('shelf', p.index) },
          h('span.rank-place', String(i + 1)), patch(p.screen, p.name),
          h('span.what', h('strong', h('bdi', p.name)), h('span.figures', p.judged ? `seen \u0394E00 ${number(p.dE00, 1)} (${number(p.low)}\u2013${number(p.high)}), bare ${number(p.bare, 1)}` : p.words),
            h('span.small', p.judged ? p.words : '')),
          h('span.rank-verdict', p.verdict))))),
      reply.drawn ? h('p.small', reply.drawn) : null,
      reply.chroma ? h('div.diagrams', drawing(reply.chroma), drawing(reply.lightness)) : null);
      if (!app.chosen && reply.places.length) { app.chosen = { tray: 'shelf', index: reply.places[0].index }; drawStage(); }
    };
  },
});

/* --- Tie: the same chips, measured by both -------------------------------------------------------- */
function tieBox() {
  const trouble = h('p.trouble', { role: 'alert' }), list = h('div'), entry = h('div'), result = h('div', { 'aria-live': 'polite' });
  const box = h('details', h('summary', 'Bring our instruments together with chips'),
    h('p', 'Two instruments, or two phones, disagree by more than a careful match allows. If the owner measured chips that you can buy as well (at least four, better six, of different colours), measure yours: what the instruments differ by is then taken out.'),
    h('div.row', button('Open the owner\u2019s chips', async () => {
      const file = await pick('.txt,.csv,text/plain,text/csv');
      const reply = await change({ do: 'load', tray: 'chips', file: file.name }, file.bytes);
      fill(trouble, reply.ok ? '' : place(file.name, reply));
    })), trouble, list, entry, result);
  const goOn = () => { const next = list.querySelector('li > button:not(.quiet)'); if (next) next.focus(); };
  function ask(chip) {
    fill(entry, h('div.inset', h('h2', chip.name), readingWays('mine', { id: chip.id, name: chip.name, askName: false, done: () => { fill(entry); goOn(); } })));
    entry.scrollIntoView({ block: 'nearest' });
  }
  return { node: box, async update(desk) {
    const chips = desk.trays.chips;
    refill(list, chips.length ? h('ul.readings', chips.map((chip) => {
      const index = desk.trays.mine.findIndex((reading) => reading.id === chip.id), mine = desk.trays.mine[index];
      return h('li', patch(chip.screen, chip.name), h('div.what', h('strong', h('bdi', chip.name)), h('span.figures', 'owner: ' + labText(chip.lab)),
        mine ? h('span.figures', 'you: ' + labText(mine.lab)) : null),
      mine ? button('Remove yours', () => change({ do: 'remove', tray: 'mine', index }), 'quiet.small')
        : h('button', { type: 'button', 'aria-label': 'Enter your reading of ' + chip.name, onclick: () => ask(chip) }, 'Enter yours'));
    })) : null);
    if (!desk.trays.mine.length) return fill(result);
    const tie = await engine.ask({ do: 'tie' });
    if (!tie.ok) return fill(result, h('p.note', tie.message));
    refill(result, h('p', tie.words), choice('Correct my readings by that?', [['1', 'Yes'], ['0', 'No']], desk.settings.tied ? '1' : '0',
      (value) => set('tied', value)));
  } };
}

paths.helper.push({
  key: 'coupon', name: 'The coupon',
  done: (desk) => desk.trays.coupon.length > 0,
  build(body) {
    const result = h('div', { 'aria-live': 'polite' });
    const list = readingList('coupon', { none: 'No coupon measured yet.' });
    const tie = tieBox();
    fill(body,
      h('p', 'Before the long print: print a small coupon with the same wall, infill and orientation as the part, at least as large as the measuring spot, and put the fit to the test as well. Measure it in four places, at 0\u00b0 and turned by 90\u00b0.'),
      result, list.node,
      h('h2', 'Add a reading of the coupon'),
      readingWays('coupon', { nameLabel: 'What is it made of', namePlaceholder: 'sand, 3 walls, 0.2 mm layers' }),
      tie.node,
      cautions(['painting', 'sanding', 'solvents']));
    return (desk) => { list.update(desk); tie.update(desk); judge(result, desk); };
  },
});

paths.helper.push({
  key: 'reply', name: 'Reply',
  done: () => false,
  build(body) {
    const helper = h('input', { type: 'text', maxlength: 60, autocomplete: 'name' });
    helper.addEventListener('change', () => set('helper', helper.value));
    const result = h('div');
    fill(body, field('Your name', helper), result);
    return async (desk) => {
      if (document.activeElement !== helper) helper.value = desk.settings.helper;
      if (!desk.trays.coupon.length || !desk.target.ready) return fill(result, h('p.note', 'Measure the coupon first.'));
      if (!result.childElementCount) fill(result, working('Writing the reply\u2026'));
      const reply = await engine.ask({ do: 'reply', created: today() });
      if (!reply.ok) return fill(result, h('p.note', reply.message));
      fill(result, h('div.sends',
        h('section', h('h2', 'For the chat'), h('p.quote', reply.paragraph), button('Copy the text', () => copy(reply.paragraph), reply.text ? '' : 'main')),
        h('section', h('h2', 'The reply file'), reply.text
          ? [h('p', 'The owner opens it in this page; it echoes what it answers.'), button('Save the reply', () => save(fileName('reply'), reply.text), 'main')]
          : h('p', 'A code carries no spec that a file could answer; the text is all that is needed.'))));
    };
  },
});
