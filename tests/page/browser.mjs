/* Chromium for the tests: one headless browser, pages with the console watched. */
import { createRequire } from 'node:module';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';

export const top = path.resolve(path.dirname(fileURLToPath(import.meta.url)), '../..');
const require = createRequire(path.join(top, 'build/page-test/'));
const { chromium } = require('playwright-core');

export const pageUrl = pathToFileURL(path.join(top, 'build/farhue.html')).href;

export async function launch() {
  const args = ['--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking',
    '--disable-component-update', '--disable-sync'];
  if (process.getuid && process.getuid() === 0) args.push('--no-sandbox');
  return chromium.launch({ executablePath: process.env.CHROMIUM || '/usr/bin/chromium', args });
}

/* A page of that size that is open and ready; page.troubles collects errors and blocked content. */
export async function open(browser, options = {}) {
  const context = await browser.newContext({ viewport: { width: 1360, height: 860 }, acceptDownloads: true,
    colorScheme: 'light', ...options });
  const page = await context.newPage();
  page.troubles = [];
  page.on('pageerror', (error) => page.troubles.push('error: ' + error.message));
  page.on('console', (message) => { if (message.type() === 'error' || message.type() === 'warning') page.troubles.push(message.text()); });
  page.on('request', (request) => { if (/^https?:/.test(request.url())) page.troubles.push('network: ' + request.url()); });
  await page.goto(options.url || pageUrl);
  await page.waitForSelector('html[data-ready=yes]', { timeout: 20000 });
  return page;
}

export const shot = (page, name, options = {}) =>
  page.screenshot({ caret: 'initial', path: path.join(top, 'build/page-test', name + '.png'), ...options });
