/* Photos: the browser decodes, the engine measures. Pixels go to the engine as the rectangles that
   it asks for, so a large photo never lies in its memory as a whole. */

/* The ICC profile's bytes in a JPEG or PNG file; empty when it has none. */
async function profileOf(bytes) {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const ascii = (at, n) => String.fromCharCode(...bytes.subarray(at, at + n));
  const none = new Uint8Array(0);
  if (bytes.length > 12 && view.getUint16(0) === 0xffd8) { /* JPEG: pieces in APP2 segments */
    const pieces = [];
    for (let at = 2; at + 4 < bytes.length && bytes[at] === 0xff && bytes[at + 1] !== 0xda;) {
      const length = view.getUint16(at + 2);
      if (bytes[at + 1] === 0xe2 && length > 16 && ascii(at + 4, 11) === 'ICC_PROFILE')
        pieces.push([bytes[at + 16], bytes.subarray(at + 18, at + 2 + length)]);
      at += 2 + length;
    }
    if (!pieces.length) return none;
    pieces.sort((a, b) => a[0] - b[0]);
    return new Uint8Array(await new Blob(pieces.map((piece) => piece[1])).arrayBuffer());
  }
  if (bytes.length > 33 && view.getUint32(0) === 0x89504e47) { /* PNG: compressed in iCCP */
    for (let at = 8; at + 12 <= bytes.length;) {
      const length = view.getUint32(at), type = ascii(at + 4, 4);
      if (type === 'IDAT') break;
      if (type === 'iCCP') {
        const data = bytes.subarray(at + 8, at + 8 + length), end = data.indexOf(0);
        const stream = new Blob([data.subarray(end + 2)]).stream().pipeThrough(new DecompressionStream('deflate'));
        const profile = new Uint8Array(await new Response(stream).arrayBuffer());
        return profile.length <= 16 << 20 ? profile : none;
      }
      at += 12 + length;
    }
  }
  return none;
}

/* A pixel of 128 in a file that says "linear": it stays 128 where raw values can be had. */
const rawProbe = 'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAIAAACQd1PeAAAABGdBTUEAAYagMeiWXwAAAAxJREFUeJxjaGhoAAADBAGBS9PSEAAAAABJRU5ErkJggg==';

let rawWorks = null;
async function canReadRaw() {
  if (rawWorks === null) {
    try {
      const bytes = Uint8Array.from(atob(rawProbe), (c) => c.charCodeAt(0));
      const bitmap = await createImageBitmap(new Blob([bytes], { type: 'image/png' }), { colorSpaceConversion: 'none' });
      rawWorks = Math.abs(readPixels(bitmap, 0, 0, 1, 1)[0] - 128) <= 1;
    } catch (error) {
      rawWorks = false;
    }
  }
  return rawWorks;
}

let scratch = null; /* one canvas for all rectangles */
function readPixels(bitmap, x, y, w, h, width = w, height = h) {
  if (!scratch) scratch = document.createElement('canvas');
  if (scratch.width < width || scratch.height < height) {
    scratch.width = Math.max(scratch.width, width);
    scratch.height = Math.max(scratch.height, height);
  }
  const context = scratch.getContext('2d', { willReadFrequently: true });
  context.clearRect(0, 0, width, height);
  context.imageSmoothingQuality = 'high';
  context.drawImage(bitmap, x, y, w, h, 0, 0, width, height);
  return new Uint8Array(context.getImageData(0, 0, width, height).data.buffer);
}

const cornerNames = ['first patch', 'end of the first row', 'last patch', 'start of the last row'];

/* Where the photo on the table is; it stays while one moves between steps. */
const photo = { bitmap: null, file: null, name: '', corners: null, report: null, windows: [], pitch: 0, notes: [],
  by: 'chart', touch: 'spot', chips: [] };

/* Decode, and find the chart. */
async function openPhoto(file) {
  const head = new Uint8Array(await file.arrayBuffer());
  let bitmap;
  const raw = await canReadRaw();
  try {
    bitmap = await createImageBitmap(file, raw ? { colorSpaceConversion: 'none', premultiplyAlpha: 'none' } : {});
  } catch (error) {
    const kind = await engine.ask({ do: 'kind' }, head.subarray(0, 1 << 20));
    throw new Error(kind.ok && kind.words ? kind.words : 'The browser cannot read this picture; export it as JPEG or PNG.');
  }
  const profile = raw ? await profileOf(head) : new Uint8Array(0);
  const opened = await engine.ask({ do: 'photo-open', name: file.name, width: bitmap.width, height: bitmap.height }, profile);
  if (!opened.ok) throw new Error(opened.message);
  if (photo.bitmap) photo.bitmap.close();
  Object.assign(photo, { bitmap, file, name: file.name, corners: null, report: null, windows: [], spot: null, chips: [],
    notes: raw ? [] : ['This browser converts colours by itself and gives no raw values, so the figures may be off a little; another browser does better.'] });
}

async function findChart() {
  const { bitmap } = photo;
  const scale = Math.max(1, Math.max(bitmap.width, bitmap.height) / 1400);
  const w = Math.round(bitmap.width / scale), h2 = Math.round(bitmap.height / scale);
  const pixels = readPixels(bitmap, 0, 0, bitmap.width, bitmap.height, w, h2);
  const found = await engine.ask({ do: 'photo-find', x: 0, y: 0, w, h: h2, scale: bitmap.width / w }, pixels);
  if (found.ok) photo.corners = [0, 1, 2, 3].map((i) => ({ x: found.corners[2 * i], y: found.corners[2 * i + 1] }));
  else { /* a start for the person's own hand */
    const { width, height } = bitmap;
    photo.corners = [[0.3, 0.3], [0.7, 0.3], [0.7, 0.7], [0.3, 0.7]].map(([x, y]) => ({ x: x * width, y: y * height }));
  }
  return found;
}

/* A rectangle cut to the photo. */
function cut({ x, y, w, h: height }) {
  const left = Math.max(0, Math.floor(x)), top = Math.max(0, Math.floor(y));
  return { x: left, y: top, w: Math.max(1, Math.min(photo.bitmap.width - left, Math.ceil(x + w) - left)),
    h: Math.max(1, Math.min(photo.bitmap.height - top, Math.ceil(y + height) - top)) };
}

async function measureChart(again = true) {
  photo.report = null;
  const at = {};
  photo.corners.forEach((corner, i) => { at['x' + i] = corner.x; at['y' + i] = corner.y; });
  const grid = await engine.ask({ do: 'photo-corners', ...at });
  if (!grid.ok) return grid;
  photo.windows = grid.windows;
  photo.pitch = grid.pitch;
  for (const [index, window] of grid.windows.entries()) {
    const r = cut(window);
    const reply = await engine.ask({ do: 'photo-patch', index, ...r }, readPixels(photo.bitmap, r.x, r.y, r.w, r.h));
    if (!reply.ok) return { ok: false, message: `Patch ${window.id}: ${reply.message}` };
  }
  const report = await engine.ask({ do: 'photo-calibrate' });
  if (report.ok && report.again && again) {
    photo.notes.push(report.note);
    return measureChart(false);
  }
  if (report.ok) photo.report = report;
  return report;
}

/* A chip of known colour: measured where it was touched, and taken as the reference. */
async function measureChip(id, x, y, radius) {
  const r = cut({ x: x - radius - 2, y: y - radius - 2, w: 2 * radius + 5, h: 2 * radius + 5 });
  const report = await engine.ask({ do: 'photo-chip', id, cx: x, cy: y, radius, ...r }, readPixels(photo.bitmap, r.x, r.y, r.w, r.h));
  if (!report.ok) return report;
  photo.chips = photo.chips.filter((chip) => chip.id !== id).concat({ id, x, y, radius });
  photo.report = { ...report, left: [] };
  return report;
}

async function measureSpot(x, y, radius, id) {
  const r = cut({ x: x - radius - 2, y: y - radius - 2, w: 2 * radius + 5, h: 2 * radius + 5 });
  return engine.ask({ do: 'photo-spot', cx: x, cy: y, radius, id, ...r }, readPixels(photo.bitmap, r.x, r.y, r.w, r.h));
}

/* The panel: choose, see the chart found or touch chips, touch spots, keep them. */
function photoPanel(tray, options = {}) {
  const trouble = h('p.trouble', { role: 'alert' }), report = h('div', { 'aria-live': 'polite' });
  const table = h('div.photo-table'), result = h('div', { 'aria-live': 'polite' }), reference = h('div');
  const box = h('div.inset.photo-box',
    choice('What of known colour is in the picture?', [['chart', 'A chart'], ['chips', 'Chips, or a grey card']], photo.by, (by) => {
      photo.by = by;
      Object.assign(photo, { report: null, windows: [], chips: [], spot: null, touch: by === 'chips' ? 'chip' : 'spot' });
      drawReference();
      fill(report);
      fill(result);
      if (photo.bitmap) (by === 'chart' ? lookForChart() : startChips());
    }), reference,
    h('div.row', button('Choose a photo', choosePhoto, 'main')),
    trouble, table, report, result);

  function drawReference() {
    fill(reference, photo.by === 'chart'
      ? h('p.help', 'Chart and part in one picture, same light, camera straight above. The chart is looked for by itself; it is taken for the usual one of 24 patches, unless you ', button('open the reference file of another chart', chooseChart, 'quiet.inline'), '.')
      : [h('p.help', 'Chips whose L*a*b* are known, or a grey card, beside the part. One is little, three of colours around the part\u2019s are good. Give their figures once:'),
        h('details.plain', h('summary', 'Known chips'), readingForm('chips', { nameLabel: 'Name of the chip', namePlaceholder: 'grey card', done: async () => { drawReference(); if (photo.bitmap && photo.by === 'chips') startChips(); } }))]);
  }
  drawReference();

  async function choosePhoto() {
    const { file } = await pick('image/png,image/jpeg');
    fill(trouble);
    fill(result);
    fill(report, working('Opening the photo\u2026'));
    try {
      await openPhoto(file);
      await (photo.by === 'chart' ? lookForChart() : startChips());
    } catch (error) {
      fill(report);
      fill(trouble, file.name + ': ' + error.message);
    }
  }
  async function lookForChart() {
    fill(report, working('Looking for the chart\u2026'));
    const found = await findChart();
    draw();
    if (!found.ok) return fill(report, h('p.note', sentence(found.message), ' Move the four corners onto the chart\u2019s corner patches, the first patch first; then press \u201cMeasure the chart\u201d.'), measureKey());
    if (found.warning) photo.notes.push(found.warning);
    await measure();
  }
  async function chooseChart() {
    const file = await pick('.txt,.csv,text/plain');
    const reply = await engine.ask({ do: 'photo-chart' }, file.bytes);
    fill(trouble, reply.ok ? '' : place(file.name, reply));
    if (reply.ok) say(`${reply.chart}: ${reply.rows} \u00d7 ${reply.columns} patches.`);
  }

  /* --- Chips: choose which one, then touch it. --- */
  let nextChip = '';
  function startChips() {
    photo.corners = null;
    photo.touch = 'chip';
    draw();
    const known = app.desk.trays.chips;
    if (!known.length) return fill(report, h('p.note', 'Give the figures of at least one chip first, above under \u201cKnown chips\u201d.'));
    const open = known.filter((chip) => !photo.chips.some((done) => done.id === chip.id));
    nextChip = open.length ? open[0].id : '';
    showChips();
  }
  function showChips(reply) {
    const known = app.desk.trays.chips;
    fill(report,
      reply ? h('p', h('strong', `${reply.count} ${reply.count === 1 ? 'chip is' : 'chips are'} measured. `), `A colour near theirs comes out right to about \u0394E00 ${number(reply.error)}.`) : null,
      [...photo.notes, ...(reply ? reply.warnings : [])].map((text) => h('p.note', text)),
      choice('Touch in the photo', [...known.map((chip) => ['chip ' + chip.id, chip.name + (photo.chips.some((done) => done.id === chip.id) ? ' \u2713' : '')]),
        ...(photo.chips.length ? [['spot', options.name || 'a spot to be measured']] : [])],
      photo.touch === 'spot' ? 'spot' : 'chip ' + nextChip, (value) => {
        photo.touch = value === 'spot' ? 'spot' : 'chip';
        if (value !== 'spot') nextChip = value.slice(5);
      }));
  }
  async function touchChip(x, y) {
    const radius = Math.max(5, Math.max(photo.bitmap.width, photo.bitmap.height) / 60);
    if (!nextChip) return;
    const reply = await measureChip(nextChip, x, y, radius);
    draw();
    if (!reply.ok) return fill(report, h('p.note', reply.message), h('div.row', button('Go on', startChips)));
    photo.pitch = radius * 4;
    const open = app.desk.trays.chips.filter((chip) => !photo.chips.some((done) => done.id === chip.id));
    if (open.length) nextChip = open[0].id;
    else photo.touch = 'spot';
    showChips(reply);
  }
  const measureKey = () => h('div.row', button('Measure the chart', measure));

  async function measure() {
    fill(report, working('Measuring the chart\u2026'));
    const r = await measureChart();
    draw();
    if (!r.ok) return fill(report, h('p.note', r.message), measureKey());
    fill(report,
      h('p', h('strong', 'The chart is measured. '), `Patches that the correction has not seen come out right to \u0394E00 ${number(r.error)}, 95 % of them to ${number(r.high)}; ${r.used} of ${r.count} patches take part.`),
      [...photo.notes, ...r.warnings].map((text) => h('p.note', text)),
      h('p', 'Now touch the spots to be measured. Corners can still be moved, with the pointer or the arrow keys.'),
      h('div.row', button('Put a spot in the middle', () => spotAt(photo.bitmap.width / 2, photo.bitmap.height / 2), 'quiet')));
  }

  async function spotAt(x, y, radius = photo.spot ? photo.spot.radius : Math.max(4, photo.pitch * 0.22)) {
    if (!photo.report) return;
    photo.spot = { x, y, radius };
    draw();
    const reply = await measureSpot(x, y, radius, options.id);
    if (!reply.ok) return fill(result, h('p.note', reply.message));
    const name = h('input', { type: 'text', maxlength: 90, value: options.name || '', placeholder: options.namePlaceholder || '' });
    const size = h('input', { type: 'range', min: 3, max: Math.round(photo.pitch * 0.6), value: Math.round(radius), step: 1 });
    size.addEventListener('change', () => spotAt(x, y, Number(size.value)));
    fill(result, h('form.entry', { onsubmit: keep },
      h('span.patch.large', { 'aria-hidden': 'true' }), h('div.entry-fields',
        h('p.figures', h('strong', labText(reply.lab)), ` \u00b1 about ${number(reply.expected)} \u0394E00`),
        reply.warnings.map((text) => h('p.note', text)),
        options.askName === false ? null : field(options.nameLabel || 'What is it', name, 'The same name in another photo takes both together.'),
        field('Size of the spot', size),
        h('div.row', h('button.main', { type: 'submit' }, 'Keep this spot')))));
    result.querySelector('.patch').style.backgroundColor = reply.screen.hex;

    async function keep(event) {
      event.preventDefault();
      const label = options.askName === false ? options.name : name.value;
      const kept = await change({ do: 'photo-keep', tray, id: options.id || label || 'spot', name: label, behind: options.behind });
      if (!kept.ok) return fill(result, h('p.note', kept.message));
      say(kept.photos > 1 ? `Kept, from ${kept.photos} photos; they differ by \u0394E00 ${number(kept.between)} at most.` : 'The spot is kept.');
      photo.spot = null;
      fill(result);
      draw();
      if (options.done) options.done();
    }
  }

  function draw() {
    if (!photo.bitmap) return;
    fill(table, photoView({ moved: measure, touched: (x, y) => photo.touch === 'chip' ? touchChip(x, y) : spotAt(x, y) }));
  }
  if (photo.bitmap) {
    draw();
    if (photo.by === 'chips') startChips();
    else if (photo.report) measure();
  }
  return box;
}

/* The photo with grid, corner handles and spot; touching it puts a spot. */
function photoView({ moved, touched }) {
  const { bitmap } = photo, { width, height } = bitmap;
  const scale = Math.min(1, 1800 / Math.max(width, height));
  const canvas = h('canvas', { width: Math.round(width * scale), height: Math.round(height * scale), 'aria-hidden': 'true' });
  canvas.getContext('2d').drawImage(bitmap, 0, 0, canvas.width, canvas.height);
  const loupe = h('canvas.loupe', { width: 132, height: 132, 'aria-hidden': 'true', hidden: true });
  const view = h('div.photo-view', canvas, overlay(width, height), loupe);
  view.style.aspectRatio = `${width} / ${height}`;

  function place(event) {
    const box = view.getBoundingClientRect();
    /* (0, 0) is the centre of the first pixel */
    return { x: (event.clientX - box.left) / box.width * width - 0.5, y: (event.clientY - box.top) / box.height * height - 0.5 };
  }
  function magnify(at) {
    loupe.hidden = false;
    loupe.classList.toggle('right', at.x < width / 2);
    const context = loupe.getContext('2d'), reach = Math.max(12, Math.max(width, height) / 60);
    context.imageSmoothingEnabled = false;
    context.clearRect(0, 0, 132, 132);
    context.drawImage(bitmap, at.x - reach, at.y - reach, 2 * reach, 2 * reach, 0, 0, 132, 132);
    for (const [colour, line] of [['#fff', 3], ['#000', 1]]) {
      context.strokeStyle = colour;
      context.lineWidth = line;
      context.beginPath();
      context.moveTo(66, 40); context.lineTo(66, 92); context.moveTo(40, 66); context.lineTo(92, 66);
      context.stroke();
    }
  }
  view.addEventListener('click', (event) => {
    if (event.target.closest('.corner')) return;
    const at = place(event);
    touched(at.x, at.y);
  });
  (photo.corners || []).forEach((corner, index) => {
    const handle = h('button.corner', { type: 'button', 'aria-label': `Corner: ${cornerNames[index]}. Arrow keys move it.` }, String(index + 1));
    const put = () => { handle.style.left = (corner.x + 0.5) / width * 100 + '%'; handle.style.top = (corner.y + 0.5) / height * 100 + '%'; };
    put();
    let dragging = false;
    handle.addEventListener('pointerdown', (event) => { dragging = true; handle.setPointerCapture(event.pointerId); magnify(corner); });
    handle.addEventListener('pointermove', (event) => { if (dragging) { Object.assign(corner, place(event)); put(); magnify(corner); } });
    handle.addEventListener('pointerup', () => { if (dragging) { dragging = false; loupe.hidden = true; moved(); } });
    handle.addEventListener('keydown', (event) => {
      const step = (event.shiftKey ? 10 : 1) * Math.max(1, width / 1500);
      const move = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, -step], ArrowDown: [0, step] }[event.key];
      if (!move) return;
      event.preventDefault();
      corner.x = Math.min(width, Math.max(0, corner.x + move[0]));
      corner.y = Math.min(height, Math.max(0, corner.y + move[1]));
      put();
      magnify(corner);
      clearTimeout(handle.timer);
      handle.timer = setTimeout(async () => { loupe.hidden = true; await moved(); const again = document.querySelectorAll('.corner')[index]; if (again) again.focus(); }, 700);
    });
    view.append(handle);
  });
  return view;
}

function overlay(width, height) {
  const ns = 'http://www.w3.org/2000/svg';
  const make = (tag, attributes) => {
    const node = document.createElementNS(ns, tag);
    for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
    return node;
  };
  const svg = make('svg', { viewBox: `-0.5 -0.5 ${width} ${height}`, 'aria-hidden': 'true' });
  const left = new Set(photo.report ? photo.report.left.map((patch) => patch.index) : []);
  const thick = Math.max(width, height) / 500;
  photo.windows.forEach((window, index) => {
    const points = window.outline.map((v, i) => v + (i % 2 ? ' ' : ',')).join('');
    svg.append(make('polygon', { points, fill: 'none', stroke: '#fff', 'stroke-width': thick * 2 }));
    svg.append(make('polygon', { points, fill: 'none', stroke: '#000', 'stroke-width': thick, 'stroke-dasharray': left.has(index) ? `${thick * 2} ${thick * 2}` : 'none' }));
    if (left.has(index)) { /* a patch that takes no part is crossed out */
      const [ax, ay, bx, by, cx, cy, dx, dy] = window.outline;
      svg.append(make('path', { d: `M${ax} ${ay}L${cx} ${cy}M${bx} ${by}L${dx} ${dy}`, stroke: '#fff', 'stroke-width': thick * 2 }));
    }
  });
  for (const { x, y, radius } of photo.by === 'chips' ? photo.chips : []) {
    const box2 = { x: x - radius, y: y - radius, width: 2 * radius, height: 2 * radius, fill: 'none' };
    svg.append(make('rect', { ...box2, stroke: '#fff', 'stroke-width': thick * 2 }), make('rect', { ...box2, stroke: '#000', 'stroke-width': thick }));
  }
  if (photo.spot) {
    const { x, y, radius } = photo.spot;
    svg.append(make('circle', { cx: x, cy: y, r: radius, fill: 'none', stroke: '#fff', 'stroke-width': thick * 2.5 }),
      make('circle', { cx: x, cy: y, r: radius, fill: 'none', stroke: '#000', 'stroke-width': thick }));
  }
  return svg;
}
