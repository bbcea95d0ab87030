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

export async function finish() {
  let failed = 0;
  for (const [index, [name, run]] of tests.entries()) {
    const started = Date.now();
    try {
      await run();
      console.log(`ok ${index + 1} - ${name} (${Date.now() - started} ms)`);
    } catch (error) {
      failed++;
      console.log(`not ok ${index + 1} - ${name}`);
      console.log(String(error.stack || error).split('\n').slice(0, 8).map((line) => '  # ' + line).join('\n'));
    }
  }
  console.log(`1..${tests.length}`);
  console.log(`${tests.length - failed} passed, ${failed} failed`);
  process.exitCode = failed ? 1 : 0;
}
