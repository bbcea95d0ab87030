/* The owner's whole job on the demo's photos and readings (invented, the truth is known), a large
   shelf, and a hostile library. */
import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { launch, open, shot } from './browser.mjs';
import { test, equal, ok, near, matches, finish } from './harness.mjs';
import { next, toStep, beOwner } from './walk.mjs';

const photos = process.env.DEMO_PHOTOS, readings = process.env.DEMO_READINGS;
const browser = await launch();

async function choose(page, click, files) {
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), click()]);
  await chooser.setFiles(files);
}

const spotsOf = (name) => Object.fromEntries(readFileSync(path.join(photos, 'photos.txt'), 'utf8').split('\n')
  .filter((line) => line.startsWith(name)).map((line) => [...line.matchAll(/(face|sheltered) (\d+),(\d+)/g)].map((m) => [m[1], [Number(m[2]), Number(m[3])]])).flat());

/* Photograph, touch the spot, name it, keep it. */
async function sampleSpot(page, file, spot, label, name) {
  await choose(page, () => page.getByRole('button', { name: 'Choose a photo' }).click(), path.join(photos, file));
  await page.waitForFunction((n) => photo.name === n && photo.report, file);
  await page.getByText('The chart is measured.').waitFor();
  const box = await page.locator('.photo-view').boundingBox();
  const [x, y] = spotsOf(file)[spot];
  await page.locator('.photo-view').click({ position: { x: x / 1200 * box.width, y: y / 800 * box.height } });
  await page.getByLabel(label).fill(name);
  const before = await page.evaluate(() => JSON.stringify(app.desk.trays));
  await page.getByRole('button', { name: 'Keep this spot' }).click();
  await page.waitForFunction((old) => JSON.stringify(app.desk.trays) !== old, before);
}

/* The truth behind the demo: the ring's face under D65/10, from its curve, by the engine. */
const truth = (page, id) => page.evaluate(async ([text, name]) => {
  await engine.ask({ do: 'load', tray: 'shelf' }, text);
  const desk = await engine.ask({ do: 'desk' });
  const lab = desk.trays.shelf.find((r) => r.id === name).lab;
  await engine.ask({ do: 'undo' });
  return lab;
}, [readFileSync(path.join(readings, 'truth.txt'), 'utf8'), id]);

const difference = (page, a, b) => page.evaluate(async ([x, y]) => (await engine.ask({ do: 'difference', L: x[0], a: x[1], b: x[2], L2: y[0], a2: y[1], b2: y[2] })).dE00, [a, b]);

test('the owner\'s whole job from photos and readings comes near the truth', async () => {
  const page = await open(browser, { viewport: { width: 1360, height: 1250 } });
  await beOwner(page);
  await page.getByLabel('A phone or camera').check();
  await page.getByLabel('A colour chart').check();
  await next(page);
  await page.getByText('Use a photo', { exact: true }).click();
  for (const file of ['part-1.jpg', 'part-2.jpg', 'part-3.png']) await sampleSpot(page, file, 'face', 'Where on the part', 'face');
  const part = await page.evaluate(() => app.desk.trays.part[0]);
  equal(part.repeats, 3, 'photos of the face');
  const off = await difference(page, part.lab, await truth(page, 'face'));
  ok(off < 2.5, `the part is ΔE00 ${off} from the truth`);
  await next(page);
  await choose(page, () => page.getByRole('button', { name: 'Open files of backings' }).click(),
    ['black.txt', 'grey.txt', 'white.txt'].map((name) => path.join(readings, name)));
  await page.waitForFunction(() => app.desk.trays.over.length === 3 && app.desk.shell.ready);
  await shot(page, 'job-3-shell');
  await next(page);
  await page.getByText('Use a photo', { exact: true }).click();
  for (const file of ['look-1.jpg', 'look-2.jpg']) await sampleSpot(page, file, 'face', 'What is it', 'hood over the ring');
  await page.getByText(/It adds up/).waitFor();
  const proof = await page.evaluate(() => app.desk.proof[0]);
  ok(proof.dE00 < 3, `predicted and measured differ by ${proof.dE00}`);
  await shot(page, 'job-4-proof');
  await next(page);
  await page.getByText(/Any bare difference below/).waitFor();
  await shot(page, 'job-5-close');
  await toStep(page, 'Send it');
  await page.locator('.code').waitFor();
  await toStep(page, 'The answer');
  await page.getByText('Open a file', { exact: true }).click();
  for (const [file, decision] of [['coupon-bad.txt', 'reject'], ['coupon-good.txt', null]]) {
    await choose(page, () => page.getByRole('button', { name: 'Choose a file' }).click(), path.join(readings, file));
    await page.waitForFunction(() => app.desk.trays.coupon.length === 4);
    await page.locator('.verdict-word').waitFor();
    const verdict = await page.evaluate(() => engine.ask({ do: 'check' }));
    if (decision) equal(verdict.decision, decision, file);
    else ok(verdict.decision !== 'reject', `${file}: ${verdict.decision}`);
    await shot(page, 'job-7-' + file.replace('.txt', ''));
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.waitForFunction(() => app.desk.trays.coupon.length === 0);
  }
  equal(page.troubles.join('\n'), '');
  await page.context().close();
});

test('a shelf of 1,500 by L*a*b*: the page stays quick while it ranks, and a change drops the work', async () => {
  const page = await open(browser);
  await page.getByRole('button', { name: /I was read a code/ }).click();
  const lines = ['SAMPLE_ID,SAMPLE_NAME,LAB_L,LAB_A,LAB_B'];
  for (let i = 0; i < 1500; i++) lines.push(`s${i},swatch ${i},${(30 + (i * 7919) % 500 / 10).toFixed(1)},${((i * 104729) % 300 / 10 - 15).toFixed(1)},${((i * 1299709) % 350 / 10 - 10).toFixed(1)}`);
  await page.evaluate(async (text) => {
    const code = await engine.ask({ do: 'code-write', L: 60, a: 2, b: 12, condition: 'D65/10', tolerance: 2 });
    await change({ do: 'code-read', code: code.code });
    await change({ do: 'load', tray: 'shelf', condition: 'D65/10' }, text);
  }, lines.join('\n') + '\n');
  await next(page);
  await page.locator('.working progress').first().waitFor();
  const quick = await page.evaluate(async () => {
    const started = performance.now();
    await engine.ask({ do: 'preview', L: 50, a: 1, b: 1 });
    return performance.now() - started;
  });
  ok(quick < 500, `a short question took ${quick} ms while ranking`);
  await page.evaluate(() => change({ do: 'remove', tray: 'shelf', index: 0 }));
  await page.waitForFunction(() => document.querySelectorAll('.ranking li').length > 0, null, { timeout: 120000 });
  ok(await page.evaluate(() => document.querySelectorAll('.ranking li').length) <= 200, 'the list is not endless');
  equal(page.troubles.join('\n'), '');
  await page.context().close();
});

test('a hostile library does nothing but show its names', async () => {
  const page = await open(browser);
  await page.getByRole('button', { name: /I was read a code/ }).click();
  await page.evaluate(async () => {
    const code = await engine.ask({ do: 'code-write', L: 60, a: 2, b: 12, condition: 'D65/10', tolerance: 2 });
    await change({ do: 'code-read', code: code.code });
  });
  await next(page);
  await page.getByText('Open a file', { exact: true }).click();
  const names = ['<script>document.title=1</script>', '</svg><img src=x onerror="document.title=1">', '{{constructor}}', '"onload="x', '\ud83c\udf0a'.repeat(20)];
  const file = ['SAMPLE_ID,SAMPLE_NAME,LAB_L,LAB_A,LAB_B', ...names.map((name, i) => `__proto__${i || ''},"${name.replace(/"/g, '""')}",60,${i},12`)].join('\n');
  await page.getByLabel('Light and observer').selectOption('D65/10');
  await choose(page, () => page.getByRole('button', { name: 'Choose a file' }).click(), { name: '<img src=x onerror=alert(1)>.csv', mimeType: 'text/csv', buffer: Buffer.from(file) });
  await page.waitForFunction((n) => document.querySelectorAll('.ranking li').length === n, names.length);
  equal(await page.title(), 'farhue');
  equal(await page.locator('main img, main script, #stage img').count(), 0);
  matches(await page.locator('.ranking').innerText(), /<script>document/);
  /* A file that claims much and holds little, and one of many columns. */
  for (const bad of ['SAMPLE_ID,SAMPLE_NAME,LAB_L,LAB_A,LAB_B\n1,\u202egnihton,60,1,2\n', 'CGATS.17\nNUMBER_OF_SETS 999999999\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L\nEND_DATA_FORMAT\nBEGIN_DATA\n1 2\nEND_DATA\n',
    'SAMPLE_ID,' + Array.from({ length: 3000 }, (_, i) => 'X' + i).join(',') + '\n1\n', 'SAMPLE_ID,LAB_L,LAB_A,LAB_B\n1,nan,inf,1e999\n']) {
    const reply = await page.evaluate((text) => engine.ask({ do: 'load', tray: 'shelf', condition: 'D65/10' }, text), bad);
    equal(reply.ok, false, bad.slice(0, 40));
  }
  equal(page.troubles.join('\n'), '');
  await page.context().close();
});

await finish();
await browser.close();
process.exit();
