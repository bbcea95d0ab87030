/* Walking through the page as a person does: by what is written on it. */
export async function next(page) {
  await page.getByRole('button', { name: /^Next: / }).click();
}

export async function toStep(page, name) {
  await page.locator('#path').getByRole('button', { name }).click();
}

export async function beOwner(page, title = 'Ondrel tide clock, dial ring') {
  await page.getByRole('button', { name: /I have the old machine/ }).click();
  await page.getByLabel('What is the job?').fill(title);
  await page.keyboard.press('Tab');
}

/* Type a reading into the open form. */
export async function typeReading(page, [L, a, b], { name, device, condition } = {}) {
  const form = page.locator('form.reading').last();
  if (device) await form.getByText(device, { exact: true }).click();
  if (name !== undefined) await form.locator('input[type=text]').first().fill(name);
  await form.getByLabel('L*', { exact: true }).fill(String(L));
  await form.getByLabel('a*', { exact: true }).fill(String(a));
  await form.getByLabel('b*', { exact: true }).fill(String(b));
  if (condition) await form.locator('select').selectOption(condition);
  const before = await page.evaluate(() => app.desk && JSON.stringify(app.desk.trays));
  await form.getByRole('button', { name: 'Keep this reading' }).click();
  await page.waitForFunction((old) => JSON.stringify(app.desk.trays) !== old, before);
}

/* The shell of the invented clock: backings by themselves, and the hood on top. */
export const hood = {
  black: [[8.2, 0.1, -0.4], [24.5, 9.1, 14.6]],
  white: [[94.1, -0.4, 1.8], [68.9, 21.5, 61.7]],
  grey: [[52.1, 0, 0.4], [44.9, 16.4, 38.4]],
};

export async function measureShell(page, shell = hood) {
  for (const [id, pair] of Object.entries(shell)) {
    const name = id[0].toUpperCase() + id.slice(1);
    for (const [i, label] of [`Enter: ${name} by itself`, `Enter: Shell on ${id}`].entries()) {
      await page.getByRole('button', { name: label }).click();
      await typeReading(page, pair[i]);
    }
  }
}
