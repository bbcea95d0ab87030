/* The same figures natively and in the page: random cases of the engine's functions, line by line.
   Kinds: c closed formulas, 1e-9; f iterative fits, 1e-6; p Monte Carlo, one draw in 2,000 and
   1e-6 for the rest; n counts, names and choices, equal. */
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { launch, open, top } from './browser.mjs';
import { test, equal, ok, finish } from './harness.mjs';

const browser = await launch();
const page = await open(browser);
const native = execFileSync(path.join(top, 'build/release/tests/page/cases'), { encoding: 'utf8', maxBuffer: 1 << 28 }).trim().split('\n');
const module = readFileSync(path.join(top, 'build/wasm/cases.wasm')).toString('base64');
const inPage = (await page.evaluate(async (text) => {
  const bytes = Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
  const no = () => 8;
  const { instance } = await WebAssembly.instantiate(bytes, { page: { progress: () => 1 },
    wasi_snapshot_preview1: { fd_close: no, fd_seek: no, fd_write: no, fd_read: no, fd_fdstat_get: no, proc_exit: no } });
  const x = instance.exports;
  x._initialize();
  const at = x.cases();
  return new TextDecoder().decode(new Uint8Array(x.memory.buffer, at, x.length()));
}, module)).trim().split('\n');

const tolerance = { c: 1e-9, f: 1e-6, p: 1 / 2000 + 1e-6 };

test('as many lines', async () => equal(inPage.length, native.length));

const names = [...new Set(native.map((line) => line.split(' ')[1]))];
for (const name of names) {
  test(`the same ${name}`, async () => {
    let worst = 0, values = 0, cases = 0;
    for (const [index, line] of native.entries()) {
      const a = line.split(' '), b = inPage[index].split(' ');
      if (a[1] !== name) continue;
      cases++;
      equal(b.length, a.length, `length of line ${index + 1}`);
      ok(a.length > 4, `line ${index + 1} has values: ${line}`);
      for (let i = 3; i < a.length; i++) {
        if (a[i] === b[i]) { values++; continue; }
        const difference = Math.abs(Number(a[i]) - Number(b[i])) / Math.max(1, Math.abs(Number(a[i])));
        ok(a[0] !== 'n' && difference <= tolerance[a[0]], `line ${index + 1}, value ${i - 2}: native ${a[i]}, page ${b[i]}`);
        worst = Math.max(worst, difference);
        values++;
      }
    }
    console.log(`  # ${name}: ${cases} cases, ${values} values, largest difference ${worst.toExponential(1)}`);
  });
}

await finish();
await browser.close();
process.exit();
