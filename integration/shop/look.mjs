// Opens the pages of the sample shop in a real browser and says as JSON what it saw. Arguments: address of the shop,
// address of the service, directory for pictures.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { chromium } from 'playwright-core';

const [shop, service, pictures] = process.argv.slice(2);
const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const browser = await chromium.launch({ executablePath: process.env.CHROMIUM || '/usr/bin/chromium', args: ['--no-sandbox', '--disable-quic'] });

// open loads a page and notes everything that a browser complains about. What the network itself says of a request that
// failed is kept apart: no script can silence it.
async function open(path, options = {}, settled = () => document.querySelector('endfloat-spec')?.shadowRoot?.querySelector('b')) {
  const context = await browser.newContext({ viewport: { width: 1100, height: 900 }, ...options });
  const page = await context.newPage();
  page.setDefaultTimeout(120_000);
  const failed = page.waitForEvent('requestfailed', (r) => r.url().includes('/v1/lookups')).catch(() => {}); // awaited where one must fail
  const seen = { complaints: [], network: [], requests: [], sizes: {} };
  page.on('console', (m) => (m.text().startsWith('Failed to load resource') ? seen.network : seen.complaints).push(m.type() + ': ' + m.text()));
  page.on('pageerror', (e) => seen.complaints.push('error: ' + e.message));
  page.on('requestfinished', async (r) => (seen.sizes[new URL(r.url()).pathname.replace(/\.[0-9a-f]{12}\./, '.')] = (await r.sizes()).responseBodySize));
  page.on('request', (r) => r.url().includes('/v1/lookups') && seen.requests.push(r.url()));
  await page.addInitScript(() => {
    globalThis.violations = [];
    const look = () => (document.querySelector('endfloat-spec')?.shadowRoot?.querySelector('b') ? (globalThis.firstCard = performance.now()) : requestAnimationFrame(look));
    look();
    addEventListener('securitypolicyviolation', (e) => globalThis.violations.push(e.violatedDirective + ' ' + e.blockedURI));
  });
  await page.goto(shop + path);
  if (settled) await page.waitForFunction(settled);
  return { page, context, seen, failed };
}

// cards is what each card shows, as text.
const cards = (page) => page.evaluate(() => [...document.querySelectorAll('endfloat-spec')].map((card) => {
  const text = (selector) => [...card.shadowRoot.querySelectorAll(selector)].map((e) => e.textContent);
  return { fallback: Boolean(card.shadowRoot.querySelector('slot')), lang: card.shadowRoot.querySelector('section')?.lang, cautions: text('li'),
    values: text('b'), hands: text('strong').filter(Boolean), facts: text('dd'), labels: text('dt'), names: text('p'), notes: text('article > small'),
    handBeforeValue: [...card.shadowRoot.querySelectorAll('article')].every((a) => a.textContent.indexOf(a.querySelector('strong').textContent) <= a.textContent.indexOf(a.querySelector('b').textContent)) };
}));

async function violations(page) {
  await page.evaluate(axe);
  const found = await page.evaluate(() => globalThis.axe.run(document, { resultTypes: ['violations'] }));
  return { violations: found.violations.map((v) => v.id + ': ' + v.nodes[0].html), passes: found.passes.length };
}

const report = {};

report.languages = {};
for (const lang of ['en', 'de', 'fr', 'it', 'es']) {
  const { page, context, seen } = await open('/part.html?lang=' + lang);
  report.languages[lang] = { cards: await cards(page), ...seen, policy: await page.evaluate(() => globalThis.violations) };
  if (lang === 'en') {
    report.axe = await violations(page);
    await page.screenshot({ path: pictures + '/desktop.png', fullPage: true });
    await page.emulateMedia({ media: 'print' });
    await page.pdf({ path: pictures + '/print.pdf' });
    await page.screenshot({ path: pictures + '/print.png', fullPage: true });
  }
  await context.close();
}

// The switch of one card by keyboard alone: the value changes, the focus stays.
{
  const { page, context, seen } = await open('/part.html?lang=en');
  const inside = () => page.evaluate(() => ({ host: document.activeElement.getAttribute('sku'), button: document.activeElement.shadowRoot?.activeElement?.textContent,
    pressed: document.activeElement.shadowRoot?.activeElement?.ariaPressed }));
  let tabs = 0;
  while (!(await inside()).button?.startsWith('in') && tabs++ < 20) await page.keyboard.press('Tab');
  const before = await inside();
  await page.keyboard.press('Enter');
  await page.waitForFunction(() => document.querySelector('[sku]').shadowRoot.querySelector('b').textContent.endsWith(' in'));
  report.keyboard = { tabs, before, after: await inside(), card: (await cards(page))[0], requests: seen.requests.length };
  await page.click('.switch button[value=imperial]');
  await page.waitForFunction(() => document.querySelector('[spec=key-bolt]').shadowRoot.querySelector('b').textContent.endsWith('lbf·ft'));
  report.imperial = { cards: await cards(page), ...seen, requests: [...seen.requests] };
  await page.evaluate(() => document.querySelector('[sku]').setAttribute('lang', 'it'));
  await page.waitForFunction(() => document.querySelector('[sku]').shadowRoot.querySelector('section').lang === 'it');
  report.relabelled = (await cards(page))[0];
  report.keyboardAxe = await violations(page);
  await context.close();
}

// The service is down: what the page brings stays, and the script says nothing.
{
  const { page, context, seen, failed } = await open('/part.html?lang=en&base=down', {}, null);
  await failed;
  await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
  report.down = { cards: await cards(page), visible: await page.locator('.fallback:visible').count(), all: await page.locator('.fallback').count(), ...seen };
  await context.close();
}

// Too many requests: the card waits as long as it is told, then asks again.
{
  const { page, context, seen } = await open('/part.html?lang=en&base=busy');
  const times = await page.evaluate(() => performance.getEntriesByType('resource').filter((e) => e.name.includes('lookups')).map((e) => e.startTime));
  report.busy = { waited: times.length > 1 ? times[1] - times[0] : 0, cards: await cards(page), ...seen };
  await context.close();
}

// Twenty cards, with an empty cache.
{
  const { page, context, seen } = await open('/twenty.html?lang=en');
  const measured = await page.evaluate(() => ({ asked: performance.getEntriesByType('resource').find((e) => e.name.includes('lookups')).startTime, shown: globalThis.firstCard }));
  const all = await cards(page);
  report.twenty = { count: all.length, filled: all.filter((c) => c.values.length).length, measured, ...seen };
  report.twentyAxe = await violations(page);
  await page.screenshot({ path: pictures + '/twenty.png', fullPage: true });
  await context.close();
}

for (const [name, options] of [['narrow', { viewport: { width: 320, height: 700 } }], ['dark', { colorScheme: 'dark' }]]) {
  const { page, context, seen } = await open('/part.html?lang=de', options);
  report[name] = { ...seen, wide: await page.evaluate(() => document.documentElement.scrollWidth), axe: await violations(page) };
  await page.screenshot({ path: pictures + '/' + name + '.png', fullPage: true });
  await context.close();
}

await browser.close();
console.log(JSON.stringify(report));
