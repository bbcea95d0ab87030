/* Photos in the page: the demo's photos (rendered from invented curves) against the command line on
   the same files, several photos of one spot, a photo of 24 megapixels, and files that are no
   photos. PNG must agree to 0.01 ΔE00; JPEG decoders may differ by a step, so there to 0.3. */
import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { deflateSync, inflateSync } from 'node:zlib';
import { launch, open, shot, top } from './browser.mjs';
import { test, equal, ok, near, matches, finish } from './harness.mjs';
import { next, beOwner } from './walk.mjs';

const photos = process.env.DEMO_PHOTOS, farhue = process.env.FARHUE;
const browser = await launch();

async function choosePhoto(page, file) {
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), page.getByRole('button', { name: 'Choose a photo' }).click()]);
  await chooser.setFiles(file);
}

async function toPhotos(page) {
  await beOwner(page);
  await next(page);
  await page.getByText('Use a photo', { exact: true }).click();
}

const measured = (page) => page.getByText('The chart is measured.').waitFor({ timeout: 30000 });

/* What the demo says of its photos: corners and spots. */
const places = Object.fromEntries(readFileSync(path.join(photos, 'photos.txt'), 'utf8').trim().split('\n').map((line) => {
  const [name, ...words] = line.trim().split(/\s+/);
  const at = (word) => words[words.indexOf(word) + 1];
  return [name, { corners: words.slice(1, 5).map((w) => w.split(',').map(Number)), face: at('face').split(',').map(Number) }];
}));

/* The same corners and spot as the command line. */
const measureAt = (page, { corners, face }) => page.evaluate(async ([c, [x, y]]) => {
  photo.corners = c.map(([px, py]) => ({ x: px, y: py }));
  const chart = await measureChart();
  if (!chart.ok) return chart;
  return { error: chart.error, spot: await measureSpot(x, y, 20, 'face') };
}, [corners, face]);

function sample(name, { corners, face }) {
  const out = execFileSync(farhue, ['sample', path.join(photos, name), '--corners', corners.flat().join(','),
    '--spot', `face=${face.join(',')},20`, '--json'], { encoding: 'utf8' });
  return JSON.parse(out);
}

const difference = async (page, a, b) => (await page.evaluate(async ([x, y]) => engine.ask({ do: 'difference', L: x[0], a: x[1], b: x[2], L2: y[0], a2: y[1], b2: y[2] }), [a, b])).dE00;

test('the chart is found, and figures agree with the command line', async () => {
  const page = await open(browser, { viewport: { width: 1360, height: 1200 } });
  await toPhotos(page);
  for (const name of ['part-3.png', 'part-1.jpg', 'part-2.jpg']) {
    await choosePhoto(page, path.join(photos, name));
    await page.waitForFunction((n) => photo.name === n && photo.report, name);
    await measured(page);
    const found = await page.evaluate(() => photo.corners.map((c) => [c.x, c.y]));
    places[name].corners.forEach(([x, y], i) => ok(Math.hypot(found[i][0] - x, found[i][1] - y) < 8, `${name}: corner ${i + 1} at ${found[i]}, expected ${[x, y]}`));
    const here = await measureAt(page, places[name]);
    ok(here.spot && here.spot.ok, JSON.stringify(here).slice(0, 200));
    const there = sample(name, places[name]);
    const lab = (there.readings || there.spots)[0].lab;
    const dE = await difference(page, here.spot.lab, lab);
    ok(dE <= (name.endsWith('png') ? 0.01 : 0.3), `${name}: page ${here.spot.lab}, command line ${lab}: ΔE00 ${dE}`);
    near(here.error, there.photos[0].dE00_left_out_mean, name.endsWith('png') ? 1e-3 : 0.2, 'left-out error');
  }
  equal(page.troubles.join('\n'), '');
  await page.context().close();
});

test('touching a spot, keeping it, and the same spot in another photo', async () => {
  const page = await open(browser, { viewport: { width: 1360, height: 1300 } });
  await toPhotos(page);
  for (const [index, name] of ['part-1.jpg', 'part-2.jpg'].entries()) {
    await choosePhoto(page, path.join(photos, name));
    await page.waitForFunction((n) => photo.name === n && photo.report, name);
    await measured(page);
    const box = await page.locator('.photo-view').boundingBox();
    const [x, y] = places[name].face;
    await page.locator('.photo-view').click({ position: { x: x / 1200 * box.width, y: y / 800 * box.height } });
    await page.getByLabel('Where on the part').fill('face');
    if (index === 1) {
      await page.locator('.photo-box').scrollIntoViewIfNeeded();
      await shot(page, 'owner-2-photo');
    }
    const before = await page.evaluate(() => JSON.stringify(app.desk.trays.part));
    await page.getByRole('button', { name: 'Keep this spot' }).click();
    await page.waitForFunction((old) => JSON.stringify(app.desk.trays.part) !== old, before);
  }
  const readings = await page.evaluate(() => app.desk.trays.part);
  equal(readings.length, 1, 'readings');
  equal(readings[0].repeats, 2, 'repeats');
  ok(readings[0].sources.some((source) => source.startsWith('photo')), readings[0].sources.join(', '));
  equal(page.troubles.join('\n'), '');
  await page.context().close();
});

test('without a chart: chips of known colour are touched, then the spot', async () => {
  const page = await open(browser, { viewport: { width: 1360, height: 1250 } });
  await toPhotos(page);
  await page.getByText('Chips, or a grey card').click();
  /* Patches of the chart in the photo play the chips: where they are, and their published colours. */
  const names = ['3', '14', '16', '22', '12', '19'];
  const whole = readFileSync(path.join(top, 'swatches/chart24.txt'), 'utf8');
  const chart = whole.slice(0, whole.indexOf('END_DATA\n') + 9); /* the first edition */
  const loaded = await page.evaluate((text) => change({ do: 'load', tray: 'chips' }, text), chart);
  ok(loaded.ok, loaded.message);
  await page.evaluate(async (keep) => {
    for (let i = app.desk.trays.chips.length - 1; i >= 0; i--)
      if (!keep.includes(app.desk.trays.chips[i].id)) await engine.ask({ do: 'remove', tray: 'chips', index: i });
    await refresh();
  }, names);
  equal(await page.evaluate(() => app.desk.trays.chips.length), names.length, 'chips');
  await choosePhoto(page, path.join(photos, 'part-3.png'));
  await page.getByText('Touch in the photo').waitFor();
  const [a, b, c, d] = places['part-3.png'].corners, box = await page.locator('.photo-view').boundingBox();
  const order = await page.evaluate(() => app.desk.trays.chips.map((chip) => chip.id));
  for (const [index, id] of order.entries()) {
    const u = (Number(id) - 1) % 6 / 5, v = Math.floor((Number(id) - 1) / 6) / 3;
    const at = [0, 1].map((k) => (a[k] * (1 - u) + b[k] * u) * (1 - v) + (d[k] * (1 - u) + c[k] * u) * v);
    await page.locator('.photo-view').click({ position: { x: at[0] / 1200 * box.width, y: at[1] / 800 * box.height } });
    await page.getByText(new RegExp(`^${index + 1} chips? (is|are) measured`)).waitFor();
  }
  const [x, y] = places['part-3.png'].face;
  await page.locator('.photo-view').click({ position: { x: x / 1200 * box.width, y: y / 800 * box.height } });
  await page.getByLabel('Where on the part').fill('face');
  await page.locator('.photo-box').scrollIntoViewIfNeeded();
  await shot(page, 'owner-2-chips');
  await page.getByRole('button', { name: 'Keep this spot' }).click();
  await page.waitForFunction(() => app.desk.trays.part.length === 1);
  const here = await page.evaluate(() => app.desk.trays.part[0]);
  const lab = sample('part-3.png', places['part-3.png']).readings[0].lab;
  const dE = await difference(page, here.lab, lab);
  ok(dE < 4, `by six chips ${here.lab}, by the chart ${lab}: ΔE00 ${dE}`);
  ok(Math.max(...here.sd) > 0.4, 'few chips are worth less: ' + here.sd);
  equal(page.troubles.join('\n'), '');
  await page.context().close();
});

test('corners move by arrow keys', async () => {
  const page = await open(browser);
  await toPhotos(page);
  await choosePhoto(page, path.join(photos, 'part-3.png'));
  await measured(page);
  const before = await page.evaluate(() => photo.corners[0].x);
  await page.locator('.corner').first().focus();
  await page.keyboard.press('Shift+ArrowRight');
  await page.waitForTimeout(900);
  await page.waitForFunction(() => photo.report);
  ok(await page.evaluate((x) => photo.corners[0].x > x + 5, before), 'the corner moved');
  await page.context().close();
});

/* A PNG of 6000 × 4000: the demo's photo, each pixel five times five. */
function enlarge(bytes, times) {
  const { width, height, rows } = readPng(bytes);
  const out = Buffer.alloc(height * times * (width * times * 3 + 1));
  const row = Buffer.alloc(width * times * 3 + 1);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++)
      for (let k = 0; k < times; k++) rows.copy(row, 1 + (x * times + k) * 3, (y * width + x) * 3, (y * width + x) * 3 + 3);
    for (let k = 0; k < times; k++) row.copy(out, (y * times + k) * row.length);
  }
  const head = Buffer.alloc(13);
  head.writeUInt32BE(width * times, 0);
  head.writeUInt32BE(height * times, 4);
  head[8] = 8;
  head[9] = 2;
  const chunk = (type, data) => {
    const body = Buffer.concat([Buffer.from(type), data]), size = Buffer.alloc(4), crc = Buffer.alloc(4);
    size.writeUInt32BE(data.length);
    crc.writeUInt32BE(crcOf(body));
    return Buffer.concat([size, body, crc]);
  };
  return Buffer.concat([Buffer.from('89504e470d0a1a0a', 'hex'), chunk('IHDR', head), chunk('IDAT', deflateSync(out, { level: 1 })), chunk('IEND', Buffer.alloc(0))]);
}

const crcTable = Array.from({ length: 256 }, (_, n) => { for (let k = 0; k < 8; k++) n = n & 1 ? 0xedb88320 ^ (n >>> 1) : n >>> 1; return n >>> 0; });
function crcOf(data) {
  let c = 0xffffffff;
  for (const byte of data) c = crcTable[(c ^ byte) & 255] ^ (c >>> 8);
  return (c ^ 0xffffffff) >>> 0;
}

/* The rows of a PNG with 8 bits and three channels, the five filters of [ISO15948] undone. */
function readPng(bytes) {
  const width = bytes.readUInt32BE(16), height = bytes.readUInt32BE(20);
  equal(bytes[24], 8, 'bit depth');
  equal(bytes[25], 2, 'colour type');
  const parts = [];
  for (let at = 8; at < bytes.length;) {
    const length = bytes.readUInt32BE(at);
    if (bytes.toString('latin1', at + 4, at + 8) === 'IDAT') parts.push(bytes.subarray(at + 8, at + 8 + length));
    at += 12 + length;
  }
  const raw = inflateSync(Buffer.concat(parts)), stride = width * 3, rows = Buffer.alloc(height * stride);
  for (let y = 0; y < height; y++) {
    const filter = raw[y * (stride + 1)];
    for (let i = 0; i < stride; i++) {
      const a = i >= 3 ? rows[y * stride + i - 3] : 0, b = y ? rows[(y - 1) * stride + i] : 0, c = y && i >= 3 ? rows[(y - 1) * stride + i - 3] : 0;
      const p = a + b - c, pa = Math.abs(p - a), pb = Math.abs(p - b), pc = Math.abs(p - c);
      const predicted = [0, a, b, (a + b) >> 1, pa <= pb && pa <= pc ? a : pb <= pc ? b : c][filter];
      rows[y * stride + i] = raw[y * (stride + 1) + 1 + i] + predicted;
    }
  }
  return { width, height, rows };
}

test('a photo of 24 megapixels is sampled', async () => {
  const file = path.join(photos, 'large.png');
  if (!existsSync(file)) writeFileSync(file, enlarge(readFileSync(path.join(photos, 'part-3.png')), 5));
  const page = await open(browser);
  await toPhotos(page);
  await choosePhoto(page, file);
  await page.waitForFunction(() => photo.name === 'large.png' && photo.report, null, { timeout: 30000 });
  await measured(page);
  /* The best of three: other work on the machine is no fault of the page. */
  const [time, width] = await page.evaluate(async () => {
    let best = Infinity;
    for (let i = 0; i < 3; i++) {
      const started = performance.now();
      await openPhoto(photo.file);
      await findChart();
      await measureChart();
      await measureSpot(4700, 1440, 100, 'face');
      best = Math.min(best, performance.now() - started);
    }
    return [best, photo.bitmap.width];
  });
  equal(width, 6000);
  console.log(`  # ${Math.round(time)} ms (aim: 3000 on a machine at rest)`);
  await page.context().close();
});

/* The head of a picture of 30000 × 20000 pixels: own requirement, size and limit are named, as on the
   command line. */
const enormous = Buffer.from('89504e470d0a1a0a0000000d49484452' + '0000753000004e20' + '0802000000' + '00000000', 'hex');

test('a sentence ends before the next begins', async () => {
  const page = await open(browser);
  equal(await page.evaluate(() => [sentence('evenly lit and sharp'), sentence('Done.')].join(' ')), 'Evenly lit and sharp. Done.');
  await page.context().close();
});

test('files that are no photos are named', async () => {
  const page = await open(browser);
  await toPhotos(page);
  for (const [name, bytes, words] of [
    ['photo.heic', Buffer.from('\0\0\0\x18ftypheic\0\0\0\0mif1heic', 'latin1'), /HEIC/],
    ['scan.pdf', Buffer.from('%PDF-1.7\n'), /PDF/],
    ['cut.png', readFileSync(path.join(photos, 'part-3.png')).subarray(0, 60), /damaged|cut off/],
    ['cut.jpg', readFileSync(path.join(photos, 'part-1.jpg')).subarray(0, 300), /damaged|cut off/],
    ['empty.jpg', Buffer.alloc(0), /empty file: there is nothing in it/],
    ['huge.png', enormous, /has 30000 \u00d7 20000 pixels; expected at most 268 megapixels/],
    ['huge.jpg', Buffer.from('ffd8ffe000040000ffc000110862a862a803011100021100031100', 'hex'), /has 25256 \u00d7 25256 pixels; expected at most 268/],
  ]) {
    await choosePhoto(page, { name, mimeType: 'image/png', buffer: bytes });
    await page.waitForFunction((n) => document.querySelector('.photo-box .trouble').innerText.startsWith(n), name);
    matches(await page.locator('.photo-box .trouble').innerText(), words, name);
  }
  equal(page.troubles.join('\n'), '');
  await page.context().close();
});

await finish();
await browser.close();
process.exit();
