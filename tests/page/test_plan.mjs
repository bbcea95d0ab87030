/* "Is there time?": the routes as the command line has them, in the job for both. */
import { readFileSync, writeFileSync, mkdtempSync } from 'node:fs';
import { execFileSync } from 'node:child_process';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { launch, open, shot } from './browser.mjs';
import { test, equal, ok, matches, finish } from './harness.mjs';
import { toStep, beOwner, typeReading } from './walk.mjs';

const browser = await launch();
const farhue = process.env.FARHUE, work = mkdtempSync(join(tmpdir(), 'plan-'));
const run = (...words) => execFileSync(farhue, words, { cwd: work, encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'] });
const now = '2031-02-03T10:00';
const plan = (page) => page.evaluate((at) => engine.ask({ do: 'plan', now: at }), now);

/* An owner at the step, the clock of the page standing. */
async function atTheStep(options) {
  const page = await open(browser, options);
  await page.clock.setFixedTime(new Date(2031, 1, 3, 10, 0));
  await beOwner(page);
  await toStep(page, 'Is there time?');
  return page;
}
const type = async (page, label, value) => {
  await page.getByLabel(label, { exact: true }).fill(value);
  await page.keyboard.press('Tab');
};
const upload = async (page, name, content) => {
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), page.getByRole('button', { name: 'Open job' }).click()]);
  await chooser.setFiles({ name, mimeType: 'text/plain', buffer: Buffer.from(content) });
};

test('the routes are those of the command line, and the job file has them for both', async () => {
  const page = await atTheStep({ viewport: { width: 1360, height: 1250 } });
  await page.getByText('No date yet.').waitFor();
  await type(page, 'It must be in by', '2031-02-10T18:00');
  await page.getByText(/^Fits, done Sat 8 Feb 15:00 at the earliest/).waitFor();
  await page.getByText('How long each step takes').click();
  await type(page, 'Hours: do the long print', '70,5');
  await page.getByLabel('Done: print a draft of what must fit').check();
  await type(page, 'Coats of paint', '2');
  await type(page, 'Hours in which people work', '7.5-23');
  await page.getByText('Which ways to look at').click();
  await page.getByRole('checkbox', { name: 'Print in any filament, the owner paints' }).uncheck();
  await page.waitForFunction(() => document.querySelectorAll('section.verdict').length === 2);
  await page.getByText(/^measure the draft; the owner compares it \(helper\)$/).waitFor();

  const [file] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Save job' }).click()]);
  const job = readFileSync(await file.path(), 'utf8');
  writeFileSync(join(work, 'job.txt'), job);
  const native = JSON.parse(run('plan', '--job', 'job.txt', '--now', now, '--json')), reply = await plan(page);
  const text = run('plan', '--job', 'job.txt', '--now', now);
  const routes = reply.routes.filter((r) => r.state);
  equal(native.deadline, '2031-02-10T18:00');
  equal(routes.map((r) => r.name).join(), native.routes.map((r) => r.route).join());
  routes.forEach((r, i) => {
    equal(r.fits, native.routes[i].fits);
    equal(r.steps.length, native.routes[i].steps.length);
    ok(text.includes(`${r.words}: ${r.state}\n`), r.state);
    ok(text.includes(`- ${r.words}: ${r.outlook}.`), r.outlook);
    r.steps.forEach((s, k) => equal(s.ready, native.routes[i].steps[k].ready));
  });
  ok(!routes[1].fits, 'with that print the painting route does not fit');
  await page.locator('summary', { hasText: 'Step by step' }).first().click();
  await shot(page, 'owner-plan', { fullPage: true });

  /* A new page has all of it from the job. */
  const other = await open(browser);
  await upload(other, 'job.txt', job);
  await other.waitForFunction(() => app.desk.deadline === '2031-02-10T18:00');
  equal(JSON.stringify(await plan(other)), JSON.stringify(reply));
  await toStep(other, 'Send it');
  equal(await other.getByLabel('Needed by').inputValue(), '2031-02-10');
  await other.context().close();

  await page.getByRole('button', { name: 'Undo' }).click();
  await page.waitForFunction(() => document.querySelectorAll('section.verdict').length === 3);
  equal(page.troubles.join('\n'), '');
  await page.context().close();
});

test('figures that cannot be are refused, and the old ones stay', async () => {
  const page = await atTheStep();
  await type(page, 'It must be in by', '2031-02-03T09:00');
  await page.getByText('The deadline has passed; expected one in the future.').waitFor();
  await type(page, 'It must be in by', '2031-02-20T09:00');
  await page.locator('section.verdict').first().waitFor();
  for (const [label, value, message, stays] of [
    ['Coats of paint', '13', 'Expected 1 to 12 coats.', '3'],
    ['Hours in which people work', '22-8', '"22-8" are no waking hours; expected hours of one day, such as 8-22.', '8-22']]) {
    await type(page, label, value);
    await page.getByText(message).waitFor();
    await page.waitForFunction(([name, old]) => [...document.querySelectorAll('label')].find((l) => l.textContent === name).parentNode.querySelector('input').value === old, [label, stays]);
  }
  await page.getByText('How long each step takes').click();
  await type(page, 'Hours: prime', '-1');
  await page.getByText('"-1" is out of range; expected hours from 0 to 10000.').waitFor();
  await page.getByText('Which ways to look at').click();
  await page.getByRole('checkbox', { name: 'Print in a filament that fits' }).uncheck();
  await page.getByRole('checkbox', { name: 'Print in any filament, the owner paints' }).uncheck();
  await page.waitForFunction(() => document.querySelectorAll('section.verdict').length === 1);
  await page.getByRole('checkbox', { name: 'The helper prints and paints' }).click();
  await page.getByText('At least one way has to stay.').waitFor();
  equal(await page.getByRole('checkbox', { name: 'The helper prints and paints' }).isChecked(), true);
  equal(page.troubles.join('\n'), '');
  await page.context().close();
});

test('the helper plans by the spec’s date, on a phone', async () => {
  const pots = readFileSync('swatches/pots.txt', 'utf8');
  writeFileSync(join(work, 'pots.txt'), pots);
  run('spec', '--part', 'pots.txt#red-30', '--bare', '--date', '2031-02-03', '--deadline', '2031-02-20', '-o', 'spec.txt');
  const page = await open(browser, { viewport: { width: 390, height: 844 } });
  await page.clock.setFixedTime(new Date(2031, 1, 3, 10, 0));
  await page.getByRole('button', { name: /I have a spec file/ }).click();
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), page.getByRole('button', { name: 'Open the spec' }).click()]);
  await chooser.setFiles(join(work, 'spec.txt'));
  await page.waitForFunction(() => app.desk.target.ready);
  await toStep(page, 'Is there time?');
  await page.getByText('That is the date of the spec.').waitFor();
  equal(await page.getByLabel('It must be in by').inputValue(), '2031-02-20T22:00');
  await page.locator('li', { hasText: 'get the filament (you)' }).waitFor();
  await page.locator('li', { hasText: 'get the paints (owner)' }).waitFor();
  equal(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), true);
  await shot(page, 'helper-plan-phone');
  equal(page.troubles.join('\n'), '');
  await page.context().close();
});

await finish();
await browser.close();
process.exit();
