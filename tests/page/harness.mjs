/* A few lines of test harness: named tests one after the other, TAP out, a count at the end. */
const tests = [];

export function test(name, run) { tests.push([name, run]); }

export function equal(actual, expected, what = 'value') {
  if (actual !== expected) throw new Error(`${what}: found ${JSON.stringify(actual)}, expected ${JSON.stringify(expected)}`);
}

export function ok(condition, what) {
  if (!condition) throw new Error(what);
}

export function near(actual, expected, tolerance, what = 'value') {
  if (!(Math.abs(actual - expected) <= tolerance)) throw new Error(`${what}: found ${actual}, expected ${expected} within ${tolerance}`);
}

export function matches(text, pattern, what = 'text') {
  if (!pattern.test(text)) throw new Error(`${what}: found ${JSON.stringify(String(text).slice(0, 300))}, expected ${pattern}`);
}

/* A page that answers no more must not keep the whole run waiting. */
const PATIENCE = 180000;
function patience() {
  let timer;
  const late = new Promise((_, fail) => {
    timer = setTimeout(() => fail(new Error(`no end after ${PATIENCE / 1000} s`)), PATIENCE);
  });
  return [late, () => clearTimeout(timer)];
}

export async function finish() {
  let failed = 0;
  for (const [index, [name, run]] of tests.entries()) {
    const started = Date.now();
    const [late, done] = patience();
    try {
      await Promise.race([run(), late]);
      console.log(`ok ${index + 1} - ${name} (${Date.now() - started} ms)`);
    } catch (error) {
      failed++;
      console.log(`not ok ${index + 1} - ${name}`);
      console.log(String(error.stack || error).split('\n').slice(0, 8).map((line) => '  # ' + line).join('\n'));
    } finally {
      done();
    }
  }
  console.log(`1..${tests.length}`);
  console.log(`${tests.length - failed} passed, ${failed} failed`);
  process.exitCode = failed ? 1 : 0;
  setTimeout(() => process.exit(), 20000).unref(); /* a browser that does not close */
}
