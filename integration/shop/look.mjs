// Opens the pages of the sample shop in a real browser, as its readers do, and says as JSON what it saw.
import { browser, cards, close, frames, open, paper, picture, violations } from './browser.mjs';

const report = { languages: {}, looks: {}, trouble: {} };

// shows waits until the first card speaks a language.
const shows = (page, lang) => page.waitForFunction((lang) => [...document.querySelectorAll('endfloat-spec')].every((c) => [lang, undefined].includes(c.shadowRoot.querySelector('section')?.lang)), lang);

for (const lang of ['en', 'de', 'fr', 'it', 'es']) {
  const visit = await open('/part.html?lang=' + lang);
  if (lang === 'de') await picture(visit.page, 'german');
  report.languages[lang] = await close(visit, { axe: await violations(visit.page) });
}

// How it looks to different eyes: the picture is for whoever wants to see it, the rest is held against rules.
const looks = {
  desktop: {},
  phone: { viewport: { width: 390, height: 800 }, deviceScaleFactor: 2 },
  narrow: { viewport: { width: 320, height: 700 } },
  dark: { colorScheme: 'dark' },
  contrast: { forcedColors: 'active' },
};
for (const [name, options] of Object.entries(looks)) {
  const visit = await open('/part.html?lang=' + (name === 'narrow' ? 'de' : 'en'), options);
  await visit.page.click('.switch [value=metric]');
  await visit.page.waitForFunction(() => document.querySelector('endfloat-spec').shadowRoot.querySelector('[aria-pressed=false]'));
  await picture(visit.page, name);
  const wide = await visit.page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  report.looks[name] = await close(visit, { wide, axe: await violations(visit.page) });
}

// Text twice as large, on a small window.
{
  const visit = await open('/part.html?lang=de', { viewport: { width: 640, height: 800 } });
  await visit.page.evaluate(() => { const sheet = new CSSStyleSheet(); sheet.replaceSync('html { font-size: 200% }'); document.adoptedStyleSheets = [sheet]; });
  await picture(visit.page, 'large');
  const wide = await visit.page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  report.looks.large = await close(visit, { wide, axe: await violations(visit.page) });
}

// A page that runs from right to left: what the card says does not.
{
  const visit = await open('/part.html?lang=ar&dir=rtl');
  await picture(visit.page, 'rtl');
  const order = await visit.page.evaluate(() => {
    const text = document.querySelector('[key="pl-85/counter-shaft/axial-play"]').shadowRoot.querySelector('b').firstChild.firstChild;
    return ['0.08', '0.35', 'mm'].map((part) => {
      const range = document.createRange();
      range.setStart(text, text.data.indexOf(part));
      range.setEnd(text, text.data.indexOf(part) + part.length);
      return range.getBoundingClientRect().left;
    });
  });
  report.looks.rtl = await close(visit, { order, axe: await violations(visit.page) });
}

// On paper: no switch, and no spec torn in two.
{
  const visit = await open('/part.html?lang=en');
  await visit.page.emulateMedia({ media: 'print' });
  const buttons = await visit.page.evaluate(() => [document.querySelector('.switch button'), document.querySelector('.own').shadowRoot.querySelector('button')].map((b) => b.checkVisibility()));
  await paper(visit.page, 'print');
  await picture(visit.page, 'print');
  report.looks.print = await close(visit, { buttons });
}

// The switch of one card by keyboard alone: the value changes, the focus stays. Then those of the page.
{
  const visit = await open('/part.html?lang=en');
  const { page, seen } = visit;
  const inside = () => page.evaluate(() => {
    const button = document.activeElement.shadowRoot?.activeElement;
    return { button: button?.textContent, pressed: button?.ariaPressed, ringed: button && getComputedStyle(button).outlineStyle !== 'none' };
  });
  let tabs = 0;
  while (!(await inside()).button && tabs++ < 20) await page.keyboard.press('Tab');
  const before = await inside();
  await page.keyboard.press('Enter');
  await page.waitForFunction(() => document.querySelector('.own').shadowRoot.querySelector('b').textContent.trim().endsWith(' in'));
  const after = await inside();
  const card = (await cards(page))[0];
  await page.keyboard.press('Space');
  await page.waitForFunction(() => document.querySelector('.own').shadowRoot.querySelector('b').textContent.trim().endsWith(' mm'));
  report.keyboard = { tabs, before, after, back: await inside(), card, requests: seen.requests.length };
  await page.focus('.switch [value=imperial]');
  await page.keyboard.press('Space');
  await page.waitForFunction(() => document.querySelector('[spec=key-bolt]').shadowRoot.querySelector('b').textContent.trim().endsWith('lbf·ft'));
  report.imperial = { cards: await cards(page), requests: [...seen.requests], axe: await violations(page) };
  await picture(page, 'imperial');
  const asked = seen.requests.length;
  await page.click('.switch [value=it]');
  await shows(page, 'it');
  report.switched = await close(visit, { asked: seen.requests.length - asked });
}

// What may go wrong with a service: it is down, or asks for patience in one of the ways that HTTP has.
for (const [name, base] of Object.entries({ down: 'down', seconds: 'seconds', date: 'date', unavailable: 'unavailable', long: 'long', broken: 'broken' })) {
  const stays = ['down', 'long', 'broken'].includes(name);
  const visit = await open('/part.html?lang=en&base=' + base, {}, stays ? null : undefined);
  if (stays) await visit.page.waitForFunction(() => performance.getEntriesByType('resource').some((e) => e.name.includes('lookups') && e.responseEnd));
  await frames(visit.page);
  const times = await visit.page.evaluate(() => performance.getEntriesByType('resource').filter((e) => e.name.includes('lookups')).map((e) => e.startTime));
  if (name === 'down') await picture(visit.page, 'down');
  report.trouble[name] = await close(visit, { waited: times.length > 1 ? times[1] - times[0] : 0,
    visible: await visit.page.locator('.fallback:visible').count(), all: await visit.page.locator('.fallback').count() });
}

// Twenty cards, with an empty cache and with a full one.
{
  const visit = await open('/twenty.html?lang=en', {}, () => globalThis.firstCard);
  const measure = () => visit.page.evaluate(() => ({ asked: performance.getEntriesByType('resource').find((e) => e.name.includes('lookups')).startTime, shown: globalThis.firstCard }));
  const cold = await measure();
  const sizes = { ...visit.seen.sizes };
  const requests = [...visit.seen.requests];
  await picture(visit.page, 'twenty');
  const axe = await violations(visit.page);
  await visit.page.reload();
  await visit.page.waitForFunction(() => globalThis.firstCard);
  report.twenty = await close(visit, { cold, warm: await measure(), axe });
  Object.assign(report.twenty, { sizes, requests });
}

await browser.close();
console.log(JSON.stringify(report));
