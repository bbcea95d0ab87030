/* Readings: a form to type one in, and the list of those that are there. */
const devices = [
  ['meter', 'Colour meter', 'small, for hobbyists'],
  ['spectro', 'Spectrophotometer', 'gives a curve'],
  ['seller', 'Seller\u2019s value', 'or a hex code'],
  ['other', 'Something else', ''],
];
const conditions = [
  ['D65/10', 'D65, 10\u00b0 (the usual one)'], ['D65/2', 'D65, 2\u00b0'], ['D50/2', 'D50, 2\u00b0'],
  ['D50/10', 'D50, 10\u00b0'], ['A/10', 'A, 10\u00b0'], ['C/2', 'C, 2\u00b0'], ['unsure', 'Not sure'],
];

/* What was used last stays chosen. */
const habit = { device: 'meter', condition: 'D65/10', kind: 'lab' };

/* tray: where the reading goes; options: {id, name, namePlaceholder, askName, behind, done}. */
function readingForm(tray, options = {}) {
  const box = h('form.reading', { novalidate: true });
  const trouble = h('p.trouble', { role: 'alert' });
  const chip = h('span.patch.large.empty', { 'aria-hidden': 'true' });
  const name = h('input', { type: 'text', maxlength: 90, placeholder: options.namePlaceholder || '' });
  const L = h('input', { inputmode: 'decimal', autocomplete: 'off', 'aria-label': 'L*', placeholder: 'L*' });
  const a = h('input', { inputmode: 'decimal', autocomplete: 'off', 'aria-label': 'a*', placeholder: 'a*' });
  const b = h('input', { inputmode: 'decimal', autocomplete: 'off', 'aria-label': 'b*', placeholder: 'b*' });
  const hex = h('input', { type: 'text', autocomplete: 'off', maxlength: 7, placeholder: 'c8b496' });
  const curve = h('textarea', { rows: 4, spellcheck: 'false', placeholder: '0.112 0.118 0.125 \u2026' });
  const from = h('input', { inputmode: 'decimal', value: '400' });
  const step = h('input', { inputmode: 'decimal', value: '10' });
  const fields = h('div.fields');

  function colourOf() {
    if (habit.kind === 'hex') return { hex: hex.value };
    if (habit.kind === 'curve') return { curve: curve.value, from: from.value, step: step.value };
    return { L: L.value, a: a.value, b: b.value };
  }
  const filled = () => habit.kind === 'hex' ? hex.value : habit.kind === 'curve' ? curve.value : L.value && a.value && b.value;

  async function preview() {
    const reply = filled() ? await engine.ask({ do: 'preview', ...colourOf() }) : { ok: false };
    chip.classList.toggle('empty', !reply.ok);
    chip.style.backgroundColor = reply.ok ? reply.screen.hex : '';
  }
  for (const input of [L, a, b, hex, curve, from, step]) input.addEventListener('input', preview);

  function drawFields() {
    const seller = habit.device === 'seller';
    const kinds = [['lab', 'L* a* b*'], ['hex', 'Hex code'], ['curve', 'Curve']]
      .filter(([key]) => key === 'lab' || (seller ? key === 'hex' : key === 'curve'));
    if (!kinds.some(([key]) => key === habit.kind)) habit.kind = kinds[seller ? 1 : 0][0];
    fill(fields,
      choice('The figures are', kinds, habit.kind, (kind) => { habit.kind = kind; drawFields(); preview(); }),
      habit.kind === 'lab' ? h('div.triple', [L, a, b]) : null,
      habit.kind === 'hex' ? field('Hex code', hex, 'Taken as sRGB. Sellers\u2019 values are rough; the interval will say so.') : null,
      habit.kind === 'curve' ? [field('Values of the curve', curve, 'Reflectance as fractions or percent, or pairs of wavelength and value.'),
        h('div.pair-fields', field('First wavelength, nm', from), field('Step, nm', step))] : null,
      habit.kind === 'lab' ? field('Which light and observer did your instrument state?',
        select(conditions, habit.condition, (value) => { habit.condition = value; }),
        'Not sure? The result then carries a wider interval.') : null);
  }
  drawFields();

  box.addEventListener('submit', async (event) => {
    event.preventDefault();
    const reply = await change({ do: 'add', tray, ...colourOf(), id: options.id || (tray === 'chips' ? name.value : undefined), name: name.value || options.name,
      condition: habit.condition, device: habit.device, who: app.role, behind: options.behind });
    fill(trouble, reply.ok ? '' : reply.message);
    if (!reply.ok) return;
    for (const input of [L, a, b, hex, curve, name]) input.value = '';
    preview();
    say('The reading is kept.');
    if (options.done) options.done();
    else (habit.kind === 'lab' ? L : habit.kind === 'hex' ? hex : curve).focus();
  });

  fill(box,
    choice('Measured with', devices.map(([key, label]) => [key, label]), habit.device,
      (device) => { habit.device = device; drawFields(); preview(); }),
    h('div.entry', chip, h('div.entry-fields', options.askName === false ? null
      : field(options.nameLabel || 'Where, or what', name), fields)),
    trouble,
    h('div.row', h('button.main', { type: 'submit' }, 'Keep this reading'),
      options.done ? button('Cancel', options.done, 'quiet') : null));
  return box;
}

/* The readings of a tray as a list; marks tells which one is the target (optional). */
function readingList(tray, options = {}) {
  const list = h('ul.readings');
  const save = button('Save these readings as a file', () => saveReadings(tray), 'quiet');
  return {
    node: h('div.readings-box', list, save),
    update(desk) {
      const readings = desk.trays[tray];
      save.hidden = !readings.length;
      fill(list, readings.length ? readings.map((reading, index) => h('li',
        patch(reading.screen, reading.name),
        h('div.what', h('strong', h('bdi', reading.name)),
          h('span.figures', labText(reading.lab)),
          h('span.small', [reading.condition, reading.origin === 'spectrum' ? 'with a curve' : null,
            Math.max(...reading.sd) > 0 ? '\u00b1 ' + number(2 * Math.max(...reading.sd)) : 'uncertainty not stated', reading.repeats > 1 ? reading.repeats + ' readings' : null]
            .filter(Boolean).join(' \u00b7 '))),
        options.extra ? options.extra(reading, index) : null,
        h('button.quiet.small', { type: 'button', 'aria-label': 'Remove ' + reading.name,
          onclick: async () => { const r = await change({ do: 'remove', tray, index }); say(r.ok ? 'Removed. Undo brings it back.' : r.message); } }, 'Remove')))
        : h('li.none', options.none || 'No reading yet.'));
    },
  };
}

async function saveReadings(tray) {
  const reply = await engine.ask({ do: 'readings-write', tray, created: today() });
  if (!reply.ok) return say(reply.message);
  save(fileName(tray), reply.text);
}

/* Typing, a photo, a file: the three ways to get readings. */
function readingWays(tray, options = {}) {
  const place = h('div.way');
  const ways = [['type', 'Type figures'], ['photo', 'Use a photo'], ['file', 'Open a file']];
  const show = (way) => fill(place,
    way === 'type' ? readingForm(tray, options)
      : way === 'photo' ? photoPanel(tray, options)
        : fileWay(tray));
  show('type');
  return h('div.ways', choice('How do you want to enter it?', ways, 'type', show), place);
}

/* What a file may leave unsaid: fields for the person, and what they say. */
function unsaidFields() {
  const light = select([['', 'The file says it'], ...conditions.filter(([key]) => key !== 'unsure')], '');
  const unit = select([['', 'The file says it'], ['factor', 'fractions, 0 to 1'], ['percent', 'percent, 0 to 100']], '');
  return { node: h('div.pair-fields', field('Light and observer of its L*a*b*', light), field('Unit of its curves', unit)),
    said: () => ({ condition: light.value, unit: unit.value }) };
}

function fileWay(tray) {
  const trouble = h('p.trouble', { role: 'alert' });
  const notes = h('div'), unsaid = unsaidFields();
  return h('div.inset', h('p', 'A file of readings from your instrument or from this program: table text (.txt), or CSV with a header row.'),
    unsaid.node,
    h('div.row', button('Choose a file', async () => {
      const file = await pick('.txt,.csv,text/plain,text/csv');
      const reply = await change({ do: 'load', tray, file: file.name, ...unsaid.said() }, file.bytes);
      fill(trouble, reply.ok ? '' : place(file.name, reply, true));
      fill(notes, reply.ok ? [`${reply.added} reading${reply.added === 1 ? '' : 's'} from ${file.name}.`, ...reply.notes].map((text) => h('p.note', text)) : null);
    }, 'main')), trouble, notes);
}

/* "shelf.txt, line 12: …"; where the command line has options, the page has fields, or nothing. */
function place(name, reply, fields = false) {
  const message = fields
    ? reply.message.replace('the option --condition', 'say it under \u201cLight and observer\u201d').replace('the option --unit', 'say it under \u201cUnit of its curves\u201d')
    : reply.message.replace(/,? or the option --(condition|unit)/, '');
  return name + (reply.line ? `, line ${reply.line}` : '') + ': ' + message;
}
