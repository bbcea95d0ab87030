/* The owner's way: kit, old part, shell, does it add up, how close, send, answer. */

/* --- What have you got -------------------------------------------------------------------------- */
const kitItems = [
  ['phone', 'A phone or camera', 'Open shade or one lamp at 45\u00b0, the camera straight above, no flash, no HDR, no night mode.'],
  ['chart', 'A colour chart', 'Any set of patches whose colours are known, with a reference file. Three photos, the chart turned half round once.'],
  ['chips', 'Paint-shop chips', 'Take two of the same chips: one for you, one for the helper. They tie your two photos or instruments together.'],
  ['meter', 'A colour meter', 'Press it flat on the part and the shell flat on its backing; it cannot measure across a gap.'],
  ['spectro', 'A spectrophotometer', 'Keep the curve, not only L*a*b*: a curve tells how the colour looks under lamps.'],
];

paths.owner.push({
  key: 'kit', name: 'What have you got?',
  done: (desk) => desk.settings.kit !== '',
  build(body) {
    const advice = h('div.advice', { 'aria-live': 'polite' });
    const chips = readingList('chips', { none: 'No chip measured yet.' });
    const chipBox = h('details', h('summary', 'The chips, for you and the helper'),
      h('p', 'Measure at least four chips of different colours that the helper can get as well, better six, and send their readings along: with them your two instruments are brought together.'),
      chips.node, readingWays('chips', { nameLabel: 'Name on the chip', namePlaceholder: 'maize 1032' }));
    const title = h('input', { type: 'text', maxlength: 90 });
    const boxes = kitItems.map(([key, label]) => [key, h('input', { type: 'checkbox', id: 'kit-' + key,
      onchange: keep }), label]);
    async function keep() {
      await set('kit', boxes.filter(([, box]) => box.checked).map(([key]) => key).join(' ') || 'none');
    }
    title.addEventListener('change', () => set('title', title.value));
    fill(body,
      h('p', 'Tick what you and your surroundings have. Any of these is enough to begin; two together are better.'),
      field('What is the job? A name for it', title, 'Appears on the spec and in the file name.'),
      h('fieldset.ticks', h('legend', 'I have'), boxes.map(([key, box, label]) => h('div.tick', box, h('label', { for: 'kit-' + key }, label)))),
      advice, chipBox,
      h('details', h('summary', 'Backings that cost next to nothing'),
        h('p', 'Black: matt black card, or better black velvet. White: something matt that does not glow under daylight, such as plumber\u2019s tape in six layers. Copy paper will not do: it is dyed to glow.')),
      cautions(['opening']));
    return (desk) => {
      if (document.activeElement !== title) title.value = desk.settings.title;
      const kit = desk.settings.kit.split(' ');
      for (const [key, box] of boxes) box.checked = kit.includes(key);
      chipBox.hidden = !kit.includes('chips') && !desk.trays.chips.length;
      chips.update(desk);
      fill(advice, kitItems.filter(([key]) => kit.includes(key)).map(([, label, text]) => h('p', h('strong', label + '. '), text)));
    };
  },
});

/* --- The old part --------------------------------------------------------------------------------- */
paths.owner.push({
  key: 'part', name: 'The old part',
  done: (desk) => desk.trays.part.length > 0,
  build(body) {
    const which = h('div'), apart = h('p.note', { 'aria-live': 'polite' });
    const list = readingList('part', { none: 'No spot measured yet.' });
    fill(body,
      h('p', 'Measure the inner part by itself, out of the shell, in several spots. Old plastic differs from plastic that lay sheltered under a label or inside; name the spots so that you can decide which to match.'),
      list.node, which,
      h('h2', 'Add a spot'),
      readingWays('part', { nameLabel: 'Where on the part', namePlaceholder: 'front, left of the scale' }),
      h('details', h('summary', 'The part cannot be taken out, or has crumbled'),
        h('p', 'Then measure the assembled look instead, at \u201cDoes it add up?\u201d, and the program works back to the colour the inner part must have.')));
    let asked = 0;
    return async (desk) => {
      list.update(desk);
      const spots = desk.trays.part, mine = ++asked;
      if (spots.length < 2) return fill(which);
      refill(which, choice('Which colour is to be matched?',
        [['', 'The mean of all spots'], ...spots.map((spot) => [spot.id, spot.name])], desk.settings.match,
        (value) => set('match', value)), apart);
      const far = await engine.ask({ do: 'spots' });
      if (mine === asked) fill(apart, far.ok ? far.words : far.message);
    };
  },
});

/* --- The shell -------------------------------------------------------------------------------------- */
const backings = [
  ['black', 'Black', 'needed'], ['white', 'White', 'needed'], ['grey', 'Grey', 'makes it better'],
];

paths.owner.push({
  key: 'shell', name: 'The shell',
  done: (desk) => desk.shell.ready,
  build(body) {
    const table = h('div.cells');
    const entry = h('div');
    const report = h('div.report', { 'aria-live': 'polite' });
    const thick = h('input', { inputmode: 'decimal' }), gap = h('input', { inputmode: 'decimal' });
    let open = null;
    for (const [input, key] of [[thick, 'shell_mm'], [gap, 'gap_mm']]) {
      input.addEventListener('change', () => set(key, input.value));
    }
    /* The form is gone: on to what is still to be entered, or to the thickness. */
    const goOn = () => (table.querySelector('button.cell.open') || thick).focus();
    function ask(tray, id, label) {
      open = tray + id;
      fill(entry, h('div.inset', h('h2', label),
        readingWays(tray, { id, name: label, askName: false, behind: tray === 'over' ? id : '',
          done: () => { open = null; fill(entry); goOn(); } })));
      const first = entry.querySelector('input');
      if (first) first.focus();
      entry.scrollIntoView({ block: 'nearest' });
    }
    const trouble = h('p.trouble', { role: 'alert' });
    async function openBackings() {
      const files = await pick('.txt,.csv,text/plain,text/csv', true);
      fill(trouble);
      for (const file of files) {
        const name = file.name.replace(/\.[^.]*$/, '').toLowerCase();
        const reply = await change({ do: 'load-backing', name, file: file.name }, file.bytes);
        if (!reply.ok) fill(trouble, place(file.name, reply));
        else say(`${file.name} is read.`);
      }
    }
    fill(body,
      h('p', 'Lay the shell flat on each backing, in dry contact, and measure through it. Measure each backing by itself as well. From these the program knows what the shell does to any colour behind it.'),
      table, entry, h('div.row', button('Open files of backings', openBackings, 'quiet')), trouble, report,
      h('h2', 'As it is built'),
      h('div.pair-fields',
        field('Thickness of the shell, mm', thick, 'If you know it.'),
        field('Gap between shell and part, mm', gap, '0 when they touch. Contact heads cannot measure across a gap; it is computed.')));
    return (desk) => {
      if (document.activeElement !== thick) thick.value = desk.settings.shell_mm === null ? '' : desk.settings.shell_mm;
      if (document.activeElement !== gap) gap.value = desk.settings.gap_mm === null ? '' : desk.settings.gap_mm;
      refill(table, h('div.cells-row.names', h('span', 'Backing'), h('span', 'by itself'), h('span', 'shell on top')),
        backings.concat(desk.trays.over.concat(desk.trays.backing).map((r) => r.id)
          .filter((id, i, all) => all.indexOf(id) === i && !backings.some(([known]) => known === id)).map((id) => [id, capital(id), '']))
          .map(([id, name, hint]) => h('div.cells-row',
          h('span.cell-name', name, h('small', hint)),
          ['backing', 'over'].map((tray) => {
            const label = tray === 'over' ? `Shell on ${name.toLowerCase()}` : `${name} by itself`;
            const index = desk.trays[tray].findIndex((r) => r.id === id);
            const reading = desk.trays[tray][index];
            return reading
              ? h('span.cell', patch(reading.screen, label), h('span.figures', labText(reading.lab)),
                h('button.quiet.small', { type: 'button', 'aria-label': 'Remove: ' + label, onclick: () => change({ do: 'remove', tray, index }) }, 'Remove'))
              : h('button.cell.open', { type: 'button', 'aria-label': 'Enter: ' + label, onclick: () => ask(tray, id, label) }, 'Enter');
          }))));
      fill(report, shellReport(desk.shell, desk.target.drawing));
    };
  },
});

function shellReport(shell, section) {
  if (!shell.ready) return h('p.note', shell.message);
  return [
    h('h2', 'What the shell does'),
    h('p', shell.words),
    shell.warnings.map((text) => h('p.note', text)),
    section ? drawing(section) : null,
  ];
}

/* --- Does it add up --------------------------------------------------------------------------------- */
paths.owner.push({
  key: 'proof', name: 'Does it add up?',
  done: (desk) => desk.proof.length > 0,
  build(body) {
    const results = h('div', { 'aria-live': 'polite' });
    const list = readingList('look', { none: 'Not measured yet.' });
    const aim = h('div');
    fill(body,
      h('p', 'Measure the whole thing once: the shell over the old part. The program predicts that colour from the part and the shell alone. If both agree, you can trust the rest.'),
      results, list.node,
      h('h2', 'Add the assembled look'),
      readingWays('look', { nameLabel: 'What is it', namePlaceholder: 'hood over the old dial ring', behind: 'part' }), aim);
    return (desk) => {
      list.update(desk);
      fill(results, desk.proof.map((p) => h('div.proof',
        h('p', h('strong', p.words), ` ${p.name}: predicted and measured differ by \u0394E00 ${number(p.dE00, 2)}.`),
        drawing(p.drawing))));
      refill(aim, desk.aim ? [h('h2', 'Worked back from the look'),
        h('p', desk.aim.words), desk.aim.usable ? choice('Which colour is to be matched?',
          [['measured', 'The part as measured'], ['aimed', 'The colour worked back from the look']],
          desk.settings.aimed ? 'aimed' : 'measured', (value) => set('aimed', value === 'aimed' ? 1 : 0)) : null] : null);
    };
  },
});

/* --- How close ----------------------------------------------------------------------------------- */
const closeness = [
  ['1', 'Side by side', 'nobody sees a difference even edge to edge'],
  ['2', 'Close', 'right from arm\u2019s length'],
  ['4', 'Across the room', 'right for a part seen at a distance'],
];

paths.owner.push({
  key: 'close', name: 'How close?',
  done: (desk) => desk.target.ready && desk.settings.close_seen,
  build(body) {
    const picked = h('div'), lights = h('div'), result = h('div', { 'aria-live': 'polite' });
    fill(body,
      h('p', 'How far off may the new part be, as it is seen through the shell?'),
      picked, lights, result);
    return (desk) => {
      refill(picked, choice('It must be right', closeness, String(desk.settings.tolerance),
        (value) => set('tolerance', value)));
      refill(lights, h('fieldset.ticks', h('legend', 'Under which lights'), desk.lights.map((light) => {
        const id = 'light-' + light.key.replace('/', '-');
        return h('div.tick', h('input', { type: 'checkbox', id, checked: light.on,
          onchange: (e) => change({ do: 'light', key: light.key, value: e.target.checked ? 1 : 0 }).then((r) => { if (!r.ok) { say(r.message); refresh(); } }) }),
        h('label', { for: id }, capital(light.name), ' ', h('small', light.key)));
      })));
      if (!desk.target.ready) return fill(result, h('p.note', desk.target.message));
      fill(result, working('Working it out\u2026'));
      engine.long({ do: 'tolerance' }).then((t) => t.dropped || fill(result, !t.ok ? h('p.note', t.message) : [
        h('p.sentence', t.sentence), h('div.diagrams', drawing(t.chroma), drawing(t.lightness)),
      ]));
    };
  },
});

/* --- Send ------------------------------------------------------------------------------------------- */
paths.owner.push({
  key: 'send', name: 'Send it',
  done: (desk) => desk.sent,
  build(body) {
    const owner = h('input', { type: 'text', maxlength: 60, autocomplete: 'name' });
    const deadline = h('input', { type: 'date' });
    owner.addEventListener('change', () => set('owner', owner.value));
    const result = h('div', { 'aria-live': 'polite' });
    let asked = 0;
    async function show(desk) {
      if (document.activeElement !== owner) owner.value = desk.settings.owner;
      if (document.activeElement !== deadline) deadline.value = desk.deadline.slice(0, 10);
      if (!desk.target.ready) return fill(result, h('p.note', desk.target.message));
      const mine = ++asked;
      if (!result.childElementCount) fill(result, working('Writing the spec\u2026'));
      const spec = await engine.ask({ do: 'spec', created: today(), deadline: desk.deadline.slice(0, 10) });
      if (mine !== asked) return;
      if (!spec.ok) return fill(result, h('p.note', spec.message));
      const sent = async (name, content, type) => {
        save(name, content, type);
        const reply = await engine.ask({ do: 'spec-sent' }, spec.text); /* so that a reply can be told to answer it */
        if (!reply.ok) say(reply.message);
        const fresh = await engine.ask({ do: 'desk' });
        if (fresh.ok) { app.desk = fresh; drawPath(); drawTop(); }
      };
      fill(result,
        desk.target.plain ? h('p', 'The target in plain words: ', h('strong', desk.target.plain), '.') : null,
        h('p', 'Send the spec file, and the sheet beside it for the eye. Check code ', h('strong.figures', spec.check_code), '.'),
        h('div.sends',
          h('section', h('h2', 'The spec file'), h('p', 'Carries target, shell, lights, tolerance and how it was measured. The helper opens it in this page or on the command line.'),
            button('Save the spec', () => sent(fileName('spec'), spec.text), 'main')),
          h('section', h('h2', 'The sheet'), h('p', 'To print, or to read on a phone: colours, drawing, figures, step by step.'),
            button('Save the sheet', () => sent(fileName('sheet', 'html'), spec.sheet, 'text/html'))),
          h('section', h('h2', 'The code'), spec.code
            ? [h('p.code', spec.code), h('p.small', spec.words), h('p.small', spec.code_note), button('Copy the code', () => copy(spec.code))]
            : h('p.note', spec.code_note))),
        h('p.small', 'Save the job as well: the answer is checked against it.'));
    }
    deadline.addEventListener('change', () => setPlan('deadline', deadline.value));
    fill(body, h('div.pair-fields', field('Your name, as the helper knows you', owner), field('Needed by', deadline, 'If there is a date.')), result);
    return show;
  },
});

async function copy(text) {
  try {
    await navigator.clipboard.writeText(text);
    say('Copied.');
  } catch (error) {
    const box = h('textarea', { class: 'off-screen' });
    box.value = text;
    document.body.append(box);
    box.select();
    const fine = document.execCommand('copy');
    box.remove();
    say(fine ? 'Copied.' : 'Your browser does not let the page copy; mark the text and copy it.');
  }
}

/* --- The answer ----------------------------------------------------------------------------------- */
paths.owner.push({
  key: 'answer', name: 'The answer',
  done: () => false,
  build(body) {
    const result = h('div', { 'aria-live': 'polite' }), words = h('div'), trouble = h('p.trouble', { role: 'alert' });
    const list = readingList('coupon', { none: 'Nothing from the helper yet.' });
    async function openReply() {
      const file = await pick('.txt,text/plain');
      const reply = await change({ do: 'reply-read', file: file.name }, file.bytes);
      fill(trouble, reply.ok ? '' : place(file.name, reply));
      fill(words, reply.ok ? [h('p.note', reply.words), h('p.note', `${reply.helper || 'The helper'} says: ${reply.says}.`)] : null);
    }
    fill(body,
      h('p', 'The helper sends back a reply with the reading of a coupon. Open it here, or measure the part yourself when it arrives.'),
      h('div.row', button('Open the reply', openReply, 'main')),
      trouble, words, list.node, result,
      h('h2', 'Or measure it yourself'), readingWays('coupon', { nameLabel: 'What is it', namePlaceholder: 'the part that arrived' }),
      visualCheck());
    return (desk) => { list.update(desk); judge(result, desk); };
  },
});

/* The verdict on the coupon: the mean of its readings. */
let judging = 0;
async function judge(result, desk) {
  const count = desk.trays.coupon.length;
  if (!count) return fill(result);
  if (!desk.target.ready) return fill(result, h('p.note', desk.target.message));
  const mine = ++judging;
  if (!app.chosen || app.chosen.tray !== 'coupon') { app.chosen = { tray: 'coupon' }; drawStage(); }
  if (!result.childElementCount) fill(result, working('Judging\u2026'));
  const v = await engine.long({ do: 'check' });
  if (mine !== judging || v.dropped) return;
  fill(result, v.ok ? [count > 1 ? h('p.small', `The mean of ${count} readings is judged.`) : null, verdictCard(v)] : h('p.note', v.message));
}

const verdictMark = { accept: '\u2713', reject: '\u2715', 'measure again': '\u21bb' };

function verdictCard(v) {
  return h('section.verdict',
    h('p.verdict-word', h('span.verdict-mark', { 'aria-hidden': 'true' }, verdictMark[v.decision]), v.headline),
    h('p', v.words),
    h('table', h('caption', 'As seen, by light'), h('thead', h('tr', h('th', 'Light'), h('th', '\u0394E00'), h('th', '95 % interval'), h('th', 'chance it is within'))),
      h('tbody', v.lights.map((l) => h('tr', h('th', { scope: 'row' }, capital(l.name)), h('td', number(l.median, 2)),
        h('td', `${number(l.low)} to ${number(l.high)}`), h('td', l.chance))))),
    v.tie ? h('p.small', v.tie) : null,
    v.exact ? h('p.small', v.exact) : null,
    v.settle ? h('p.note', v.settle) : null);
}

function visualCheck() {
  return h('details', h('summary', 'And at the end, by eye'),
    h('ol', ['Two people with normal colour vision, if you can.', 'Old and new behind the same shell, edge to edge, on neutral grey, nothing coloured around.',
      'Daylight from a north window or open shade first, then the lamp the machine will stand under.',
      'Look for a few seconds at most, look away at grey, swap left and right, look again.',
      'Say what you see before you look at the figures: which is lighter, yellower, redder.'].map((t) => h('li', t))));
}

function cautions(topics) {
  const place = h('aside.cautions');
  engine.ask({ do: 'cautions', topics: topics.join(' ') }).then((reply) => {
    if (reply.ok) fill(place, reply.cautions.map((c) => h('p', h('strong', c.title + '. '), c.text)));
  });
  return place;
}
