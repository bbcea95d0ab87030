/* Painting in the page, as a helper does it: the pots, recipes, a batch and its correction; the same
   figures as the command line has, and the same job file. */
import { readFileSync, writeFileSync, mkdtempSync } from 'node:fs';
import { execFileSync } from 'node:child_process';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { launch, open, shot } from './browser.mjs';
import { test, equal, ok, near, matches, finish } from './harness.mjs';
import { toStep, typeReading } from './walk.mjs';

const browser = await launch();
const farhue = process.env.FARHUE, work = mkdtempSync(join(tmpdir(), 'paint-'));
const pots = readFileSync('swatches/pots.txt', 'utf8');
const desk = (page) => page.evaluate(() => app.desk);
const run = (...words) => execFileSync(farhue, words, { cwd: work, encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'] });
const mix = (...words) => JSON.parse(run('mix', ...words, '--json'));

writeFileSync(join(work, 'pots.txt'), pots);
run('spec', '--part', 'pots.txt#red-30', '--bare', '--date', '2031-02-03', '-o', 'spec.txt');
const spec = readFileSync(join(work, 'spec.txt'), 'utf8');

const upload = async (page, act, name, content) => {
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), act()]);
  await chooser.setFiles({ name, mimeType: 'text/plain', buffer: Buffer.from(content) });
};
const download = async (page, act) => {
  const [file] = await Promise.all([page.waitForEvent('download'), act()]);
  return readFileSync(await file.path(), 'utf8');
};

/* A helper with the spec, at the paint step with the pots open. */
async function atThePots(options, asked = spec) {
  const page = await open(browser, options);
  await page.getByRole('button', { name: /I have a spec file/ }).click();
  await upload(page, () => page.getByRole('button', { name: 'Open the spec' }).click(), 'spec.txt', asked);
  await page.waitForFunction(() => app.desk.target.ready);
  await toStep(page, 'Or paint it');
  await upload(page, () => page.getByRole('button', { name: 'Open the pots' }).click(), 'pots.txt', pots);
  await page.getByRole('heading', { name: 'Recipes' }).waitFor();
  return page;
}
/* Say what was put in, in the lines of the form. */
async function putIn(page, rows) {
  for (let at = 0; await page.getByLabel(`Paint ${at + 1}`, { exact: true }).count(); at++) {
    const [paint, amount] = rows[at] || ['', ''];
    await page.getByLabel(`Paint ${at + 1}`, { exact: true }).selectOption(paint);
    await page.getByLabel(`How much of paint ${at + 1}`, { exact: true }).fill(amount);
  }
  await page.getByRole('button', { name: 'Keep what I put in' }).click();
}
const ask = (page, request) => page.evaluate((r) => engine.long(r), request);

test('the pots, recipes, and a batch agree with the command line', async () => {
  const page = await atThePots({ viewport: { width: 1360, height: 1250 } });
  await page.getByText('8 paints from 22 coats, met to').waitFor();
  const native = mix('pots.txt', '--spec', 'spec.txt', '--batch', '25g', '--least', '1drop');
  let reply = await ask(page, { do: 'recipes' });
  equal(reply.recipes.length, native.recipes.length);
  native.recipes.forEach((recipe, i) => {
    equal(reply.recipes[i].parts.map((p) => p.id).join(), recipe.paints.map((p) => p.paint).join());
    recipe.paints.forEach((p, k) => near(reply.recipes[i].parts[k].percent, p.percent, 1e-6, 'percent'));
    near(reply.recipes[i].dE00, recipe.dE00, 1e-6, 'dE00');
    near(reply.recipes[i].low, recipe.dE00_95[0], 1e-6, 'low');
    near(reply.recipes[i].high, recipe.dE00_95[1], 1e-6, 'high');
  });
  await page.getByText('How much, how fine').click();
  await page.getByLabel('How much is wanted').fill('25g');
  await page.getByLabel('The smallest you can dispense').fill('1drop');
  await page.keyboard.press('Tab');
  await page.getByText('Recipe 1 as a batch of').waitFor();
  reply = await ask(page, { do: 'recipes' });
  equal(reply.recipes[0].batch.amounts.map((a) => a.id).join(), native.batch.add.map((a) => a.paint).join());
  native.batch.add.forEach((a, i) => near(reply.recipes[0].batch.amounts[i].ml, a.ml, 1e-9, 'ml'));
  near(reply.recipes[0].batch.dE00, native.batch.dE00, 1e-6, 'rounded');
  await page.getByLabel('How much is wanted').fill('2ml');
  await page.getByLabel('The smallest you can dispense').fill('1ml');
  await page.keyboard.press('Tab');
  await page.getByText(/Rounded so, the batch misses the tolerance\. One of about/).waitFor();
  await page.getByLabel('How much is wanted').fill('25g');
  await page.getByLabel('The smallest you can dispense').fill('1drop');
  await page.keyboard.press('Tab');
  await page.getByText(/Recipe 1 as a batch of 1[0-9]/).waitFor();
  await shot(page, 'helper-paint');
  matches(await page.locator('#stage').innerText(), /recipe 1/);

  /* By the keyboard: another recipe goes on the stage and on the bench, and the focus stays. */
  const second = page.locator('.rank').nth(1);
  await second.focus();
  await page.keyboard.press('Enter');
  await page.locator('#stage').getByText('recipe 2').waitFor();
  await page.getByText('Recipe 2 as a batch of').waitFor();
  equal(await second.getAttribute('aria-pressed'), 'true');
  equal(await page.locator('.rank[aria-pressed=true]').count(), 1);
  ok(await second.evaluate((node) => node === document.activeElement), 'the focus stays');
  equal(page.troubles.join('\n'), '');
  await page.context().close();
});

/* Own requirement: what is marked as chosen is what the stage shows, whatever was there before. */
test('the recipe that is marked is on the stage, whatever was on it before', async () => {
  const page = await open(browser);
  await page.getByRole('button', { name: /I have a spec file/ }).click();
  for (const [request, body] of [[{ do: 'spec-read' }, spec], [{ do: 'paints-load' }, pots],
    [{ do: 'load', tray: 'shelf', condition: 'D65/10' }, 'SAMPLE_ID,SAMPLE_NAME,LAB_L,LAB_A,LAB_B\n1,brick,45,30,24\n']]) {
    const reply = await page.evaluate(([r, b]) => change(r, b), [request, body]);
    ok(reply.ok, reply.message);
  }
  await toStep(page, 'My shelf');
  await page.locator('#stage').getByText('brick').waitFor();
  await toStep(page, 'Or paint it');
  await page.locator('.rank[aria-pressed=true]').waitFor();
  await page.locator('#stage').getByText('recipe 1').waitFor();
  await page.evaluate(() => choose('shelf', 0));
  await page.locator('#stage').getByText('brick').waitFor();
  equal(await page.locator('.rank[aria-pressed=true]').count(), 0, 'marked while another is on the stage');
  equal(page.troubles.join('\n'), '');
  await page.context().close();
});

/* A file without a light is offered what other files are, and the job remembers what was said. */
test('pots whose file does not say its light', async () => {
  const page = await open(browser);
  await page.getByRole('button', { name: /I have a spec file/ }).click();
  await page.evaluate((text) => change({ do: 'spec-read' }, text), spec);
  await toStep(page, 'Or paint it');
  const bare = 'SAMPLE_ID,PAINT_1,PARTS_1,PAINT_2,PARTS_2,LAB_L,LAB_A,LAB_B\nw,white,1,,,95,-1,2\nr,red,1,,,40,50,28\nr20,red,20,white,80,62,38,12\n';
  const give = () => upload(page, () => page.getByRole('button', { name: 'Open the pots' }).click(), 'bare.csv', bare);
  await give();
  await page.locator('.trouble:not(:empty)').waitFor();
  const said = await page.locator('.trouble:not(:empty)').innerText();
  matches(said, /without a condition/);
  ok(!/--/.test(said), `options that a page has not: ${said}`);
  await page.getByLabel('Light and observer of its L*a*b*').selectOption('D50/2');
  await give();
  await page.getByText('2 paints from 3 coats').waitFor();
  /* The same figures as the command line with its option, and from the job file without one. */
  writeFileSync(join(work, 'bare.csv'), bare);
  const native = mix('bare.csv', '--spec', 'spec.txt', '--condition', 'D50/2');
  const here = await ask(page, { do: 'recipes' });
  near(here.recipes[0].dE00, native.recipes[0].dE00, 1e-6, 'dE00');
  const job = await page.evaluate(async () => (await engine.ask({ do: 'job-write' })).text);
  writeFileSync(join(work, 'said-job.txt'), job);
  near(JSON.parse(run('mix', '--job', 'said-job.txt', '--json')).recipes[0].dE00, native.recipes[0].dE00, 1e-6, 'from the job file');
  const again = await page.evaluate(async (text) => { await engine.ask({ do: 'clear' }); return engine.ask({ do: 'job-read' }, text); }, job);
  ok(again.ok, again.message);
  ok((await page.evaluate(() => engine.ask({ do: 'paints' }))).ok, 'the pots are read anew');
  await page.context().close();
});

/* A tie that cannot be made is said beside the advice, and the advice follows the chips. */
test('a batch says where it is not tied', async () => {
  const page = await atThePots();
  await page.getByText('I have mixed it').click();
  await page.evaluate(async () => {
    await change({ do: 'set', key: 'tied', value: '1' });
    await change({ do: 'batch-add', value: 'white=14ml,red=6ml' });
    await change({ do: 'add', tray: 'painted', L: 55, a: 30, b: 20, condition: 'D65/10', device: 'meter', who: 'helper', name: 'paint-out 1' });
  });
  await page.getByText(/Not tied: A tie needs \d chips that both have measured; there are 0\./).waitFor();
  await page.evaluate(async () => {
    for (const tray of ['chips', 'mine'])
      await change({ do: 'add', tray, id: 'maize', name: 'maize', L: 78, a: 6, b: 45, condition: 'D65/10', device: 'meter', who: tray === 'mine' ? 'helper' : 'owner' });
  });
  await page.getByText(/Not tied: A tie needs \d chips that both have measured; there are 1\./).waitFor();
  await page.context().close();
});

/* Own requirement: what may stay is not followed by an order to check before adding. */
test('advice does not contradict itself', async () => {
  const page = await open(browser);
  const words = await page.evaluate(() => ['within', 'beyond'].map((kind) => adviceBox({ significant: true, within: kind === 'within', helps: false, strange: true, beyond: true, learned: [], dE00: 1, tolerance: 2, size_ml: 20 }).innerText));
  matches(words[0], /It may stay as it is/);
  ok(!/before you add anything/.test(words[0]), words[0]);
  matches(words[1], /check what was put in before you add anything/);
  await page.context().close();
});

test('a clear coat and a gloss change the paint, and say so', async () => {
  const page = await atThePots();
  await page.getByText('How much, how fine').click();
  await page.getByLabel('Gloss of the finished part').fill('10');
  await page.keyboard.press('Tab');
  await page.getByText(/With its finish recipe 1 looks/).waitFor();
  const native = mix('pots.txt', '--spec', 'spec.txt', '--gloss', '10');
  const reply = await ask(page, { do: 'recipes' });
  near(reply.recipes[0].dE00, native.recipes[0].dE00, 1e-6, 'dE00');
  near(reply.recipes[0].finish.dE00, native.finish.dE00, 1e-6, 'what the finish does');
  await page.getByLabel('Gloss of the finished part').fill('95');
  await page.keyboard.press('Tab');
  await page.getByText('No face of this coat has more than 89 gloss units: it is taken as perfectly smooth.').waitFor();
  await page.getByLabel('Gloss of the finished part').fill('shiny');
  await page.keyboard.press('Tab');
  await page.getByText('The gloss is "shiny"; expected a number from 0 to 100.').waitFor();
  await page.getByLabel('Gloss of the finished part').fill('');
  await page.getByLabel('What one coat lays on').fill('0,03');
  await page.keyboard.press('Tab');
  await page.getByText(/are all opaque, so how much of it hides isn't known/).waitFor();
  await page.context().close();
});

test('a batch that came out wrong is corrected; undo and the job file keep it', async () => {
  const page = await atThePots({ viewport: { width: 1360, height: 1250 } });
  await page.getByText('I have mixed it').click();
  await putIn(page, [['white', '12'], ['red', '8,0 ml']]);
  await page.getByRole('heading', { name: 'Its dry paint-out' }).waitFor();
  await page.waitForFunction(() => document.activeElement.textContent === 'Its dry paint-out');
  await typeReading(page, [41.0, 42.0, 18.5], {});
  await page.getByText(/Add to the 20\.00 ml that are there/).waitFor();
  await page.getByRole('heading', { name: 'What I put in' }).waitFor(); /* for what is added next */
  /* The same paint-outs, with the doubt that the page states for them. */
  const paintOuts = async () => {
    const file = await page.evaluate(() => engine.ask({ do: 'readings-write', tray: 'painted', created: '2031-02-04' }));
    writeFileSync(join(work, 'outs.txt'), file.text);
    return page.evaluate(() => app.desk.trays.painted.map((reading) => reading.id));
  };
  const same = (reply, native, step) => {
    for (const key of ['dE00', 'size_ml', 'new_size_ml', 'predicted']) near(reply[key], native[key], 1e-6, key + step);
    equal([reply.strange, reply.beyond].join(), [native.surprise > 3, native.surprise > 6].join(), 'surprise' + step);
    native.learned.forEach((p, i) => { near(reply.learned[i].K, p.K, 1e-6, p.paint + ' K' + step); near(reply.learned[i].S, p.S, 1e-6, p.paint + ' S' + step); });
    equal(JSON.stringify((reply.add ? reply.add.amounts : []).map((a) => [a.id, a.ml.toFixed(6)])), JSON.stringify((native.add || []).map((a) => [a.paint, a.ml.toFixed(6)])));
  };
  const first = (await paintOuts())[0], once = ['pots.txt', '--spec', 'spec.txt', '--added', 'white=12ml,red=8ml', '--paint-out', 'outs.txt#' + first];
  let reply = await ask(page, { do: 'batch' });
  same(reply, mix(...once), ', mixed');
  ok(reply.add.amounts.some((a) => a.id === 'white'), 'white is to be added');
  same(await ask(page, { do: 'batch', also: 'blue' }), mix(...once, '--also', 'blue'), ', blue let in');
  equal((await ask(page, { do: 'batch', also: 'pink' })).message, 'there is no paint pink');

  /* What is to be added stands in the form; it is added, and the next paint-out is right. */
  equal(await page.getByLabel('Paint 1', { exact: true }).inputValue(), reply.add.amounts[0].id);
  equal(await page.getByLabel('How much of paint 1', { exact: true }).inputValue(), reply.add.amounts[0].ml.toFixed(1) + 'ml');
  await page.getByRole('button', { name: 'Keep what I put in' }).click();
  await page.getByRole('heading', { name: 'Its dry paint-out' }).waitFor();
  const target = (await desk(page)).target.lab;
  await typeReading(page, target.map((v) => Number(v.toFixed(2))), {});
  await page.getByText('Nothing should be added').waitFor();
  const both = await paintOuts(), added = (await desk(page)).settings.added;
  equal(new Set(both).size, 2);
  same(await ask(page, { do: 'batch' }), mix(...once, '--added', added[1], '--paint-out', 'outs.txt#' + both[1]), ', added to');
  await page.getByRole('button', { name: 'Show paint-out 2' }).click();
  await page.locator('#stage').getByText('paint-out 2').waitFor();
  await shot(page, 'helper-paint-batch');
  const job = await download(page, () => page.getByRole('button', { name: 'Save job' }).click());
  matches(job, /JOB "paints"/);
  matches(job, /"added"\t"white=12ml, red=8\.0 ml"/);
  await page.getByRole('button', { name: 'Undo' }).click();
  await page.waitForFunction(() => app.desk.trays.painted.length === 1);
  equal((await desk(page)).settings.added.length, 2);
  await page.getByRole('button', { name: 'Remove paint-out 1' }).click();
  await page.waitForFunction(() => app.desk.trays.painted.length === 0);

  /* The command line finds pots and spec in the page's job. */
  writeFileSync(join(work, 'page-job.txt'), job);
  const again = JSON.parse(execFileSync(farhue, ['mix', '--job', join(work, 'page-job.txt'), '--json'], { cwd: tmpdir(), encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'] }));
  near(again.recipes[0].dE00, mix('pots.txt', '--spec', 'spec.txt').recipes[0].dE00, 1e-9, 'from the job');

  /* And the page opens it again. */
  const other = await open(browser);
  await upload(other, () => other.getByRole('button', { name: 'Open job' }).click(), 'job.txt', job);
  await other.waitForFunction(() => app.desk.pots && app.desk.settings.added.length === 2 && app.desk.trays.painted.length === 2);
  equal(JSON.stringify(await ask(other, { do: 'paints' })), JSON.stringify(await ask(page, { do: 'paints' })));
  same(await ask(other, { do: 'batch' }), mix(...once, '--added', added[1], '--paint-out', 'outs.txt#' + both[1]), ', reopened');
  await other.context().close();
  await page.context().close();
});

test('another file of pots: films over black and white, and coats as the command line counts them', async () => {
  const page = await atThePots();
  /* A grey and a red-brown without a face, invented: thin films whose cards show through. */
  const films = 'CGATS.17\nMEASUREMENT_GEOMETRY "45/0"\nWEIGHTING_FUNCTION "D65/10"\nSPECTRAL_UNIT "factor"\nKEYWORD "PAINT_INDEX"\nPAINT_INDEX 1\n' +
    'BEGIN_DATA_FORMAT\nSAMPLE_ID SAMPLE_BACKING PAINT_1 PARTS_1 FILM_AMOUNT R380 R555 R730\nEND_DATA_FORMAT\nBEGIN_DATA\n' +
    'B - "" "" "" 0 0 0\nW - "" "" "" 0.8 0.8 0.8\ngb B grey 1 1 0.4762 0.4762 0.4762\ngw W grey 1 1 0.7 0.7 0.7\n' +
    'rb B "<i>rust" 1 1 0.10 0.16 0.34\nrw W "<i>rust" 1 1 0.20 0.34 0.60\nEND_DATA\n';
  writeFileSync(join(work, 'films.txt'), films);
  await page.getByText('How much, how fine').click();
  await page.getByLabel('What one coat lays on').fill('1,5');
  await page.keyboard.press('Tab');
  await upload(page, () => page.getByRole('button', { name: 'Open the pots' }).click(), 'films.txt', films);
  await page.getByText('2 paints from 4 coats').waitFor();
  await page.getByRole('table', { name: 'Coats until what is behind is hidden' }).waitFor();
  equal(await page.locator('main i').count(), 0);
  const native = mix('films.txt', '--spec', 'spec.txt', '--coat', '1.5').coats.goals;
  const { coats } = (await ask(page, { do: 'recipes' })).recipes[0];
  for (const [goal, key] of [[native[0], 'ratio'], [native[1], 'difference']]) {
    equal(coats.bare[key].possible, goal.bare.possible);
    equal(coats.bare[key].coats, goal.bare.coats);
    equal(coats.bare[key].coats_safe, goal.bare.coats_safe);
    near(coats.bare[key].amount, goal.bare.amount, 1e-6, key);
  }
  await page.getByLabel('What is painted over').selectOption('print');
  await page.getByText('The coupon has no reading yet.').waitFor();
  await page.getByRole('heading', { name: 'Recipes' }).waitFor(); /* and the recipes stand */
  await page.getByLabel('How much is wanted').fill('25g');
  await page.keyboard.press('Tab');
  await page.getByText(/density/).waitFor();
  await page.getByRole('button', { name: 'Undo' }).click();
  await page.waitForFunction(() => app.desk.settings.paint_batch === '');

  /* Undo goes back to the pots before these, and forward again. */
  await page.getByLabel('What one coat lays on').fill('');
  await page.keyboard.press('Tab');
  await upload(page, () => page.getByRole('button', { name: 'Open the pots' }).click(), 'pots.txt', pots);
  await page.getByText('8 paints from 22 coats').waitFor();
  await page.getByRole('button', { name: 'Undo' }).click();
  await page.getByText('2 paints from 4 coats').waitFor();
  await page.getByRole('button', { name: 'Redo' }).click();
  await page.getByText('8 paints from 22 coats').waitFor();
  near((await ask(page, { do: 'recipes' })).recipes[0].dE00, mix('pots.txt', '--spec', 'spec.txt').recipes[0].dE00, 1e-6, 'again the first pots');
  equal(page.troubles.join('\n'), '');
  await page.context().close();
});

test('a colour that is right with a spectrum that is not, as the command line tells it', async () => {
  const few = pots.split('\n').filter((line) => !line.startsWith('umber')).join('\n');
  writeFileSync(join(work, 'few.txt'), few);
  run('spec', '--part', 'pots.txt#umber-30', '--bare', '--tolerance', '0.2', '--date', '2031-02-03', '-o', 'umber.txt');
  const page = await atThePots({}, readFileSync(join(work, 'umber.txt'), 'utf8'));
  await upload(page, () => page.getByRole('button', { name: 'Open the pots' }).click(), 'few.txt', few);
  await page.getByText(/The colour is right, the spectrum is not: a paint that lets the mixture reflect (more|less) near \d+ nm would help/).waitFor();
  const native = mix('few.txt', '--spec', 'umber.txt').missing, { metameric } = await ask(page, { do: 'recipes' });
  near(metameric.nm, native.nm, 1e-9, 'nm');
  equal(metameric.more, native.more);
  matches(native.metameric_under, /^A/);
  equal(metameric.other, 'filament lamp');
  await page.context().close();
});

test('wrong files and wrong words are named, and nothing is kept', async () => {
  const page = await atThePots();
  const open_ = (name, content) => upload(page, () => page.getByRole('button', { name: 'Open the pots' }).click(), name, content);
  await open_('bad.csv', 'SAMPLE_ID,PAINT_1,PARTS_1,LAB_L,LAB_A,LAB_B,CONDITION\nW,white,-1,95,0,2,D65/10\n');
  await page.getByText('bad.csv, line 2: a negative part; expected 0 or more').waitFor();
  await open_('photo.jpg', Buffer.from([0xff, 0xd8, 0xff, 0xe0, 0, 16, 74, 70, 73, 70, 0, 1]));
  await page.getByText(/photo\.jpg: This is/).waitFor();
  ok((await desk(page)).pots > 0, 'the pots stay');
  await page.getByText('I have mixed it').click();
  for (const [rows, message] of [[[['white', '3cups']], 'expected a quantity such as 20ml'], [[['white', '']], 'How much of white was put in?'],
    [[['', '3ml']], 'Which paint was it of which 3ml was put in?'], [[['', '']], 'Nothing was put in.']]) {
    await putIn(page, rows);
    await page.getByText(message).waitFor();
  }
  equal((await desk(page)).settings.added.length, 0);
  await page.context().close();
});

test('pots from CSV, as the empty table has them, lie in the job for both', async () => {
  const page = await atThePots();
  await page.getByText('What that file holds').click();
  const empty = await download(page, () => page.getByRole('button', { name: 'Save an empty table' }).click());
  await upload(page, () => page.getByRole('button', { name: 'Open the pots' }).click(), 'pots.csv', empty);
  await page.getByText('pots.csv, line 2: a row without a colour').waitFor();
  const figures = ['95,0,2', '40,50,30', '68,30,12', '84,12,4'];
  const filled = empty.trim().split('\n').map((line, i) => i ? line.replace(',,,,D65', `,${figures[i - 1]},D65`) : line).join('\n') + '\n';
  writeFileSync(join(work, 'pots.csv'), filled);
  await upload(page, () => page.getByRole('button', { name: 'Open the pots' }).click(), 'pots.csv', filled);
  await page.getByText('2 paints from 4 coats').waitFor();
  await page.getByText(/spectra were estimated from Lab/i).waitFor(); /* the reader's notes */
  const job = await download(page, () => page.getByRole('button', { name: 'Save job' }).click());
  writeFileSync(join(work, 'csv-job.txt'), job);
  const native = mix('--job', 'csv-job.txt'), plain = mix('pots.csv', '--spec', 'spec.txt');
  near(native.recipes[0].dE00, plain.recipes[0].dE00, 1e-9, 'from the job');
  const other = await open(browser);
  await upload(other, () => other.getByRole('button', { name: 'Open job' }).click(), 'job.txt', job);
  await other.waitForFunction(() => app.desk.pots);
  near((await ask(other, { do: 'recipes' })).recipes[0].dE00, plain.recipes[0].dE00, 1e-6, 'reopened');
  await other.context().close();
  await page.context().close();
});

test('a job that the command line made has its pots and its target', async () => {
  writeFileSync(join(work, 'paints.txt'), pots);
  run('swatches', 'join', 'paints.txt', 'spec.txt', '-o', 'joined.txt');
  const page = await open(browser);
  await upload(page, () => page.getByRole('button', { name: 'Open job' }).click(), 'joined.txt', readFileSync(join(work, 'joined.txt'), 'utf8'));
  await toStep(page, 'Or paint it');
  await page.getByText('8 paints from 22 coats').waitFor();
  await page.getByRole('heading', { name: 'Recipes' }).waitFor();
  near((await ask(page, { do: 'recipes' })).recipes[0].dE00, mix('--job', 'joined.txt').recipes[0].dE00, 1e-6, 'dE00');
  await page.context().close();
});

test('on a phone and on a dark page', async () => {
  const page = await atThePots({ viewport: { width: 390, height: 844 }, colorScheme: 'dark' });
  await shot(page, 'phone-paint');
  ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth + 1), 'nothing is wider than the screen');
  await page.context().close();
});

await finish();
await browser.close();
process.exit();
