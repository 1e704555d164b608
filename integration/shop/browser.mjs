// What every visit of the sample shop needs: a page that notes all that a browser complains about, what its cards show,
// and what axe says of it. Arguments of the program: address of the shop, directory for pictures.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { chromium } from 'playwright-core';

const [shop, pictures] = process.argv.slice(2);
const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
export const browser = await chromium.launch({ executablePath: process.env.CHROMIUM || '/usr/bin/chromium', args: ['--no-sandbox', '--disable-quic'] });

const filled = () => [...document.querySelectorAll('endfloat-spec')].some((card) => card.shadowRoot?.querySelector('b'));

// open loads a page and notes what is said about it. What the network itself says of a request that failed is kept
// apart: no script can silence it.
export async function open(path, options = {}, settled = filled) {
  const context = await browser.newContext({ viewport: { width: 1100, height: 900 }, ...options });
  const page = await context.newPage();
  page.setDefaultTimeout(60_000);
  const seen = { complaints: [], warnings: [], network: [], requests: [], sizes: {} };
  page.on('console', (m) => (m.text().startsWith('Failed to load resource') ? seen.network : m.type() === 'warning' ? seen.warnings : seen.complaints).push(m.type() + ': ' + m.text()));
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
  return { page, context, seen };
}

// close ends a visit and returns what was seen.
export async function close({ page, context, seen }, more = {}) {
  const report = { cards: await cards(page), policy: await page.evaluate(() => globalThis.violations), ...seen, ...more };
  await context.close();
  return report;
}

// frames waits until what a script has set off without a request has been drawn.
export const frames = (page) => page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done)))));

// cards is what each card shows, as text.
export const cards = (page) => page.evaluate(() => [...document.querySelectorAll('endfloat-spec')].map((card) => {
  const root = card.shadowRoot;
  if (!root) return { fallback: true };
  const text = (selector) => [...root.querySelectorAll(selector)].map((e) => e.textContent.trim());
  return { fallback: Boolean(root.querySelector('slot')), brought: root.querySelector('slot') ? card.innerText : '', lang: root.querySelector('section')?.lang, cautions: text('li'), values: text('b'), hands: text('strong'),
    facts: text('dd'), labels: text('dt'), names: text('p'), notes: text('small'), text: (root.querySelector('section') || root).textContent,
    handBeforeValue: [...root.querySelectorAll('strong')].every((hand) => hand.compareDocumentPosition(hand.parentElement.querySelector('b')) & Node.DOCUMENT_POSITION_FOLLOWING),
    cautionsFirst: [...root.querySelectorAll('li')].every((li) => li.compareDocumentPosition(root.querySelector('b')) & Node.DOCUMENT_POSITION_FOLLOWING) };
}));

// Every rule of axe but those it calls experimental: WCAG 2.0 to 2.2 at all levels, and best practice.
const levels = ['wcag2a', 'wcag2aa', 'wcag2aaa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

export async function violations(page) {
  await page.evaluate(axe);
  const found = await page.evaluate((levels) => {
    const rules = Object.fromEntries(globalThis.axe.getRules(levels).map(({ ruleId }) => [ruleId, { enabled: true }]));
    return globalThis.axe.run(document, { runOnly: levels, rules, resultTypes: ['violations'] });
  }, levels);
  return { violations: found.violations.map((v) => v.id + ': ' + v.nodes[0].html + ' ' + (v.nodes[0].failureSummary || '')), passes: found.passes.length };
}

export const picture = (page, name) => page.screenshot({ path: pictures + '/' + name + '.png', fullPage: true });
export const paper = (page, name) => page.pdf({ path: pictures + '/' + name + '.pdf' });
