// What pages do to cards besides showing them: make, move, remove and rename them, load the script late or twice. Says as
// JSON what it saw. The third argument is the tag of the card, the fourth that of another version.
import { browser, cards, close, frames, open } from './browser.mjs';

const [, , , , card, other] = process.argv;
const report = {};

// bare is a page with these cards and without the script.
async function bare(html = '') {
  const visit = await open('/bare.html?lang=en', {}, null);
  await visit.page.evaluate((cards) => document.querySelector('#values').append(...cards.map((attributes) => {
    const card = document.createElement('endfloat-spec');
    for (const [name, value] of Object.entries(attributes)) card.setAttribute(name, value);
    card.append('fallback');
    return card;
  })), html || []);
  return visit;
}

const load = (page, src) => page.evaluate((src) => import(src), src); // an element with this address is text made into a script

const value = (text) => (page) => page.waitForFunction((text) => document.querySelector('endfloat-spec').shadowRoot?.querySelector('b')?.textContent.trim() === text, text);
const play = { family: 'pl-85', component: 'counter-shaft', spec: 'axial-play' };
const bolt = { key: 'pl-85/counter-shaft/key-bolt' };
const [playShown, boltShown] = [value('0.08–0.35 mm'), value('22–26 N·m')];

// hold keeps look-ups back until they are let go.
async function hold(page) {
  let go;
  const gate = new Promise((done) => (go = done));
  await page.route('**/v1/lookups*', async (route) => { await gate; await route.continue(); });
  return go;
}

// The script comes last: the cards are upgraded where they stand, and ask once.
{
  const visit = await bare([play, play, { ...play, unit: 'imperial' }, ...Array(30).fill(bolt)]);
  await load(visit.page, card);
  await playShown(visit.page);
  await visit.page.waitForFunction(() => [...document.querySelectorAll('endfloat-spec')].every((c) => c.shadowRoot.querySelector('b')));
  report.late = await close(visit);
}

// Made by a script, sixty-one names at once, and one that is never put in.
{
  const visit = await bare();
  await load(visit.page, card);
  await visit.page.evaluate((keys) => {
    document.createElement('endfloat-spec').setAttribute('key', 'pl-85/clutch/hub-nut');
    for (const key of keys) {
      const card = document.createElement('endfloat-spec');
      document.querySelector('#values').append(card);
      card.setAttribute('key', key);
    }
  }, ['pl-85/counter-shaft/axial-play', ...Array.from({ length: 60 }, (_, n) => 'pl-85/none/number-' + n)]);
  await playShown(visit.page);
  await frames(visit.page);
  report.made = await close(visit);
}

// Moved, copied, and taken out and put back: what is shown stays, and nothing is asked again.
{
  const visit = await bare([play]);
  await load(visit.page, card);
  await playShown(visit.page);
  await visit.page.evaluate(() => {
    const card = document.querySelector('endfloat-spec');
    document.querySelector('#elsewhere').append(card);
    card.remove();
    document.querySelector('#values').append(card);
    card.setAttribute('unit', card.getAttribute('unit') || '');
    card.removeAttribute('unit');
  });
  await frames(visit.page);
  report.moved = await close(visit);
}

// Taken out while the answer is under way, and put back: before it comes, and after.
{
  const visit = await bare([play, bolt]);
  const go = await hold(visit.page);
  await load(visit.page, card);
  await visit.page.evaluate(() => {
    const [first, second] = document.querySelectorAll('endfloat-spec');
    first.remove();
    second.remove();
    document.querySelector('#elsewhere').append(first);
    globalThis.second = second;
  });
  go();
  await playShown(visit.page);
  await visit.page.evaluate(() => document.querySelector('#elsewhere').append(globalThis.second));
  await visit.page.waitForFunction(() => [...document.querySelectorAll('endfloat-spec')].every((c) => c.shadowRoot.querySelector('b')));
  report.removed = await close(visit);
}

// Another thing: its name never stands beside the value of the one before. Another unit: the value stays until the next.
{
  const visit = await bare([play]);
  await load(visit.page, card);
  await playShown(visit.page);
  const shown = () => visit.page.evaluate(() => document.querySelector('endfloat-spec').shadowRoot.querySelector('b')?.textContent.trim() || '');
  const go = await hold(visit.page);
  await visit.page.evaluate(() => document.querySelector('endfloat-spec').setAttribute('unit', 'imperial'));
  await frames(visit.page);
  const unit = await shown();
  go();
  await value('0.0032–0.0137 in')(visit.page);
  await visit.page.unrouteAll();
  const again = await hold(visit.page);
  await visit.page.evaluate(() => {
    const card = document.querySelector('endfloat-spec');
    card.removeAttribute('unit');
    card.setAttribute('spec', 'key-bolt');
  });
  const name = await shown();
  again();
  await boltShown(visit.page);
  report.renamed = await close(visit, { during: { unit, name } });
}

// Two answers that overtake each other: the last question counts.
{
  const visit = await bare([play]);
  await load(visit.page, card);
  await playShown(visit.page);
  const go = await hold(visit.page);
  await visit.page.evaluate(() => document.querySelector('endfloat-spec').setAttribute('unit', 'imperial'));
  await frames(visit.page);
  await visit.page.unrouteAll({ behavior: 'ignoreErrors' });
  await visit.page.evaluate(() => document.querySelector('endfloat-spec').setAttribute('unit', 'metric'));
  await visit.page.waitForFunction(() => document.querySelector('endfloat-spec').shadowRoot.querySelector('[aria-pressed=false]'));
  go();
  await frames(visit.page);
  report.overtaken = await close(visit);
}

// The language of the page, of what is around a card, of the card itself, and of a page whose language nobody speaks.
{
  const visit = await bare([play, { ...play, lang: 'fr-CH' }]);
  await load(visit.page, card);
  await playShown(visit.page);
  const spoken = async (change, ...want) => {
    await visit.page.evaluate(change);
    await visit.page.waitForFunction((want) => [...document.querySelectorAll('endfloat-spec')].map((c) => c.shadowRoot.querySelector('section')?.lang).join() === want.join(), want);
    return want;
  };
  report.spoken = { steps: [await spoken(() => {}, 'en', 'fr'), await spoken(() => { document.documentElement.lang = 'DE-at'; }, 'de', 'fr'),
    await spoken(() => { document.querySelector('#values').lang = 'it'; }, 'it', 'fr'), await spoken(() => { document.querySelector('#values').lang = 'et'; }, 'en', 'fr'),
    await spoken(() => { document.querySelectorAll('endfloat-spec')[1].lang = 'es'; }, 'en', 'es')] };
  Object.assign(report.spoken, await close(visit));
}

// Wrong attributes: each is said once, and the other cards do not mind. A card without a name waits for one.
{
  const visit = await bare([play, { key: 'pl-85/counter-shaft/axail-play' }, { key: 'pl-85/counter-shaft/axail-play' }, { sku: 'A&B,C#D' }, { ...play, unit: 'furlong' },
    { ...play, base: 'http://[' }, {}, { component: 'pl-85/none' }, { ...play, lang: 'de_DE' }]);
  await load(visit.page, card);
  await playShown(visit.page);
  for (let n = 0; n < 500 && !visit.seen.warnings.some((w) => w.includes('furlong')); n++) await frames(visit.page);
  await frames(visit.page);
  report.wrong = await close(visit);
}

// A hidden card is hidden, and one in the shadow of another element speaks the language of the page.
{
  const visit = await bare([play]);
  await load(visit.page, card);
  await playShown(visit.page);
  report.placed = await visit.page.evaluate(() => {
    const first = document.querySelector('endfloat-spec');
    first.hidden = true;
    const visible = first.checkVisibility();
    first.hidden = false;
    const root = document.querySelector('#elsewhere').attachShadow({ mode: 'open' });
    document.documentElement.lang = 'de';
    const inner = document.createElement('endfloat-spec');
    inner.setAttribute('sku', 'PL-SH-110');
    root.append(inner);
    globalThis.inner = inner;
    return { visible, shown: first.checkVisibility() };
  });
  await visit.page.waitForFunction(() => globalThis.inner.shadowRoot.querySelector('section')?.lang === 'de');
  Object.assign(report.placed, await close(visit));
}

// Two versions on a page, in both orders: the first stays, and either speaks with the service.
report.versions = [];
for (const order of [[card, other], [other, card]]) {
  const visit = await bare([bolt]);
  for (const src of order) await load(visit.page, src);
  await boltShown(visit.page);
  report.versions.push(await close(visit));
}

await browser.close();
console.log(JSON.stringify(report));
