/* The page's figures are those of the command line, for the same job; and what the page says beside
   them. Readings are invented. */
import { readFileSync, writeFileSync, mkdtempSync } from 'node:fs';
import { execFileSync } from 'node:child_process';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { launch, open, shot } from './browser.mjs';
import { test, equal, ok, near, matches, finish } from './harness.mjs';
import { toStep } from './walk.mjs';

const browser = await launch();
const farhue = process.env.FARHUE, work = mkdtempSync(join(tmpdir(), 'figures-'));
const run = (...words) => { try { return execFileSync(farhue, words, { cwd: work, encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'] }); } catch (error) { return error.stdout; } };
const file = (name, text) => { writeFileSync(join(work, name), text); return text; };

/* A helper's job: a bare target, ten candidates of which two state no uncertainty, three coupons. */
run('spec', '--part', 'lab:60,4,14', '--bare', '--tolerance', '2', '--date', '2031-02-03', '-o', 'spec.txt');
const spec = readFileSync(join(work, 'spec.txt'), 'utf8');
const head = 'SAMPLE_ID,SAMPLE_NAME,LAB_L,LAB_A,LAB_B,STDEV_L,STDEV_A,STDEV_B,CONDITION\n';
const shelf = file('shelf.csv', head + Array.from({ length: 10 }, (_, i) =>
  `s${i},swatch ${i},${60 + i * 0.9},4,${14 - i * 0.4},${i < 2 ? ',,' : '1.5,1.5,1.5'},D65/10\n`).join(''));
const coupon = file('coupon.csv', head + '1,"sand, walls",61,4.2,15,0.8,0.8,0.8,D65/10\n2,"sand, walls",61.6,4,14.5,0.8,0.8,0.8,D65/10\n3,"sand, walls",60.4,4.4,15.5,0.8,0.8,0.8,D65/10\n');

async function helper() {
  const page = await open(browser, { viewport: { width: 1360, height: 1250 } });
  await page.getByRole('button', { name: /I have a spec file/ }).click();
  for (const [request, body] of [[{ do: 'spec-read' }, spec], [{ do: 'load', tray: 'shelf' }, shelf], [{ do: 'load', tray: 'coupon' }, coupon]]) {
    const reply = await page.evaluate(([r, b]) => change(r, b), [request, body]);
    ok(reply.ok, reply.message);
  }
  return page;
}

/* Expected: the command line's own figures on the same input; both draw by the same seed. */
test('ranking: bare, seen and interval are those of farhue rank', async () => {
  const page = await helper();
  const there = JSON.parse(run('rank', 'shelf.csv', '--spec', 'spec.txt', '--json')).candidates;
  const here = await page.evaluate(() => engine.ask({ do: 'rank' }));
  equal(here.places.length, there.length, 'places');
  there.forEach((one, i) => {
    const place = here.places[i];
    equal(place.name, one.name, `place ${i + 1}`);
    near(place.bare, one.bare.median, 0.005, `${one.name}, bare`);
    near(place.dE00, one.worst_median, 0.005, `${one.name}, seen`);
  });
  await toStep(page, 'My shelf');
  await page.locator('.ranking li').first().waitFor();
  const shown = (await page.locator('.ranking .figures').allInnerTexts()).map((text) => text.match(/seen ΔE00 ([\d.]+) .*bare ([\d.]+)/).slice(1));
  there.forEach((one, i) => equal(shown[i].join(), [one.worst_median, one.bare.median].map((v) => v.toFixed(1)).join(), `${one.name} as shown`));
  /* Own requirements: the first of a group is named, exact candidates are counted, a drawing that
     leaves some out says so. */
  const text = await page.locator('main').innerText();
  matches(text, /2 of 10 candidates state no uncertainty and count as exact/);
  matches(text, /The drawings show the first eight\./);
  there.forEach((one, i) => {
    const first = there.findIndex((other) => other.group === one.group) + 1;
    equal(/told apart from place (\d+)/.exec(here.places[i].words)?.[1], first === i + 1 ? undefined : String(first), `${one.name} is like`);
  });
  ok(here.places.some((place) => place.tied), 'some cannot be told apart');
  matches(await page.locator('.readings-box').textContent(), /uncertainty not stated/);
  ok(!/± 0\.0/.test(await page.locator('.readings-box').textContent()), 'no uncertainty of zero');
  await shot(page, 'figures-shelf');
  await page.context().close();
});

test('verdict: card, chat text and farhue check say one figure, and the stage shows what is judged', async () => {
  const page = await helper();
  const there = JSON.parse(run('check', 'coupon.csv', '--pool', '--spec', 'spec.txt', '--json'));
  await toStep(page, 'The coupon');
  await page.locator('.verdict-word').waitFor();
  const rows = await page.locator('.verdict tbody tr').allInnerTexts();
  there.seen.forEach((sight, i) => equal(rows[i].split('\t')[1], sight.median.toFixed(2), `light ${i + 1}`));
  const worst = there.worst_median.toFixed(1);
  matches(await page.locator('.verdict').innerText(), new RegExp(`ΔE00 ${worst} where`));
  matches(await page.locator('#stage').innerText(), /sand, walls, mean of 3 readings/);
  await toStep(page, 'Reply');
  await page.locator('.quote').waitFor();
  const quote = await page.locator('.quote').innerText();
  matches(quote, new RegExp(`ΔE00 ${worst}, with 95 %`));
  matches(quote, new RegExp(`ΔE00 ${there.bare.median.toFixed(1)} from the target`));
  matches(quote, /I measured sand, walls, mean of 3 readings: L\*/);
  await page.context().close();
});

/* An owner's job with a spec that was sent, and replies to it and to another. */
test('a reply that answers another spec is refused and not judged', async () => {
  const page = await open(browser, { viewport: { width: 1360, height: 1250 } });
  await page.getByRole('button', { name: /I have the old machine/ }).click();
  run('spec', '--part', 'lab:60,4,14', '--bare', '--tolerance', '1', '--date', '2031-02-03', '-o', 'other.txt');
  for (const [name, asked] of [['reply.txt', 'spec.txt'], ['stray.txt', 'other.txt']]) run('check', 'lab:60.2,4,14', '--spec', asked, '--helper', 'Hilda', '--reply', name);
  await page.evaluate(async (text) => {
    await change({ do: 'add', tray: 'part', L: 60, a: 4, b: 14, condition: 'D65/10', device: 'meter', who: 'owner', name: 'face' });
    await change({ do: 'spec-sent' }, text);
  }, spec);
  await toStep(page, 'The answer');
  const give = async (name) => {
    const [chooser] = await Promise.all([page.waitForEvent('filechooser'), page.getByRole('button', { name: 'Open the reply' }).click()]);
    await chooser.setFiles(join(work, name));
  };
  await give('stray.txt');
  await page.locator('.trouble:not(:empty)').waitFor();
  matches(await page.locator('.trouble:not(:empty)').innerText(), /This reply is to another spec: it answers check code .*nothing is judged/);
  equal(await page.evaluate(() => app.desk.trays.coupon.length), 0, 'readings that were taken');
  equal(await page.locator('.verdict').count(), 0, 'verdicts');
  await give('reply.txt');
  await page.locator('.verdict-word').waitFor();
  matches(await page.locator('main').innerText(), /The reply answers the spec you sent\.\n+Hilda says: /);
  await page.context().close();
});

test('spots: how far apart they lie, and names that the command line takes', async () => {
  const page = await open(browser, { viewport: { width: 1360, height: 1250 } });
  await page.getByRole('button', { name: /I have the old machine/ }).click();
  await page.evaluate(async () => {
    for (const [name, L] of [['face', 60], ['under the label #2', 70], ['face', 61], ['', 62]])
      await change({ do: 'add', tray: 'part', L, a: 4, b: 14, condition: 'D65/10', device: 'meter', who: 'owner', name });
  });
  equal(await page.evaluate(() => app.desk.trays.part.map((r) => r.id).join()), 'face,under-the-label-2,face-2,1', 'ids');
  await toStep(page, 'The old part');
  /* Expected: ΔE00 of (60, 4, 14) and (70, 4, 14) by farhue compare. */
  const far = JSON.parse(run('compare', 'lab:60,4,14', 'lab:70,4,14', '--json')).lights[0].dE00.toFixed(1);
  await page.getByText(`The spots differ by up to ΔE00 ${far}: face and under the label #2. Their mean is then a colour that no spot has`).waitFor();
  file('job.txt', (await page.evaluate(() => engine.ask({ do: 'job-write' }))).text);
  near(JSON.parse(run('compare', '--job', 'job.txt', 'part#face', 'part#under-the-label-2', '--json')).lights[0].dE00, Number(far), 0.05, 'from the job file');
  await shot(page, 'figures-spots');
  await page.context().close();
});

await finish();
await browser.close();
process.exit();
