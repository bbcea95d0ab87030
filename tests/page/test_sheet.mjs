/* The sheet on paper and on a phone, with names of any length. Readings are invented. */
import { writeFileSync, mkdtempSync, cpSync } from 'node:fs';
import { execFileSync } from 'node:child_process';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { launch, open, top } from './browser.mjs';
import { test, equal, ok, finish } from './harness.mjs';

const browser = await launch();
const work = mkdtempSync(join(tmpdir(), 'sheet-'));
const run = (...words) => execFileSync(process.env.FARHUE, words, { cwd: work, encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'] });
for (const name of ['black', 'grey', 'white', 'truth']) cpSync(join(process.env.DEMO_READINGS, name + '.txt'), join(work, name + '.txt'));
run('shell', 'black.txt', 'grey.txt', 'white.txt', '-o', 'shell.txt');
writeFileSync(join(work, 'long.csv'), `SAMPLE_ID,SAMPLE_NAME,LAB_L,LAB_A,LAB_B,CONDITION\n1,${'M'.repeat(95)},61,4,14,D65/10\n2,short,62,4,14,D65/10\n`);
run('spec', '--part', 'truth.txt#face', '--title', 'Ondrel tide clock', '--sheet', 'plain.html');
run('spec', '--part', 'truth.txt#face', '--title', 'Ondrel tide clock', '--sheet', 'full.html', '--shelf', join(top, 'swatches/filaments.txt'));
run('spec', '--part', 'truth.txt#face', '--title', 'W'.repeat(90), '--sheet', 'long.html', '--shelf', 'long.csv');

async function at(name, viewport) {
  const page = await browser.newPage({ viewport });
  await page.goto('file://' + join(work, name + '.html'));
  return page;
}

/* Own requirement: three pages without candidates, four with twenty. */
for (const [name, most] of [['plain', 3], ['long', 3], ['full', 4]]) {
  test(`on paper: ${name}`, async () => {
    const page = await at(name, { width: 900, height: 900 });
    for (const format of ['A4', 'Letter']) {
      const pdf = (await page.pdf({ format })).toString('latin1');
      const pages = (pdf.match(/\/Type\s*\/Page[^s]/g) || []).length;
      ok(pages >= 1 && pages <= most, `${format}: ${pages} pages`);
    }
    /* Nothing is wider than the paper: 210 mm less twice 12 mm are 703 px. */
    await page.emulateMedia({ media: 'print' });
    await page.setViewportSize({ width: 703, height: 900 });
    ok(await page.evaluate(() => [...document.querySelectorAll('h1, th, td, p, li')].every((node) => node.getBoundingClientRect().right <= 704 && node.scrollWidth <= node.clientWidth + 1)), 'something is cut off');
    await page.close();
  });
}

test('on a phone nothing has to be pushed sideways, the verdict neither', async () => {
  for (const name of ['full', 'long']) {
    const page = await at(name, { width: 390, height: 844 });
    equal(await page.evaluate(() => document.documentElement.scrollWidth), 390, `${name}: width`);
    ok(await page.evaluate(() => [...document.querySelectorAll('.wide')].every((node) => node.scrollWidth <= node.clientWidth)), `${name}: a table is wider`);
    await page.close();
  }
});

test('the page holds a title of 90 wide letters', async () => {
  const page = await open(browser, { viewport: { width: 390, height: 844 } });
  await page.getByRole('button', { name: /I have a spec file/ }).click();
  const spec = run('spec', '--part', 'truth.txt#face', '--title', 'W'.repeat(90), '-o', 'spec.txt') && (await import('node:fs')).readFileSync(join(work, 'spec.txt'), 'utf8');
  await page.evaluate((text) => change({ do: 'spec-read' }, text), spec);
  await page.getByRole('heading', { name: 'WWW' }).waitFor();
  equal(await page.evaluate(() => document.documentElement.scrollWidth), 390);
  await page.close();
});

await finish();
await browser.close();
process.exit();
