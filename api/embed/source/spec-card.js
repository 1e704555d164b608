// The product-page card: <endfloat-spec family="…" component="…"> (and spec="…"), or key="…", or sku="…", with
// unit="metric" or "imperial", and variant. What stands in the element is shown until the answer is there, and for good
// where none comes. All text is the service's, in the language that the page says around the card. base names a service
// elsewhere. A page with a switch of its own hides that of the card: endfloat-spec::part(switch) { display: none }.
// Properties that end in an underscore are the card's own and lose their names.
/* global STYLE: spec-card.css, put in when the card is built */

const sheet = new CSSStyleSheet();
sheet.replaceSync(STYLE);

// make is an element with what there is of its children; nothing where there is none.
const make = (tag, ...children) => {
  const given = children.filter(Boolean);
  const element = document.createElement(tag);
  element.append(...given);
  return given[0] && element;
};

const join = (mark, ...parts) => parts.filter(Boolean).join(mark);

// phrases are the parts of a line that stay together: it breaks after the arrow between two stages, never inside a range,
// a number of a part, or before a unit.
const phrases = (line) => line.split(/(?<=[→;,·]) /).flatMap((phrase) => [make('span', phrase), ' ']);

// What is wrong with a page is said to its author, once.
const warned = {};
const warn = (text) => (warned[text] ||= !console.warn('endfloat-spec: ' + text));

// Cards that ask in the same task go together by language and address, at most fifty in a request.
const cards = new Set(); // on the page
let due;
const ask = () => {
  due ||= !queueMicrotask(() => {
    due = 0;
    const groups = {};
    for (const card of cards) card.isConnected ? card.ask_(groups) : cards.delete(card);
    for (const group in groups) while (groups[group][0]) send(group, groups[group].splice(0, 50));
  });
};

// Where the service names a time within the hour, in seconds or as a date, a page asks again, so often at most.
let patience = 9;
const send = async (group, asking) => {
  let [lang, address] = group.split('\n');
  const waiting = () => asking.filter((card) => card.group_ == group);
  const forget = () => waiting().forEach((card) => (card.group_ = 0));
  const asked = {};
  for (const { kind_, name_ } of asking) (asked[kind_] ||= new Set()).add(name_);
  for (const kind in asked) address += '&' + kind + '=' + encodeURIComponent([...asked[kind]]);
  try {
    const answer = await fetch(address.replace('?&', '?'), { headers: { 'Accept-Language': lang } });
    const after = answer.headers.get('Retry-After');
    const wait = +after || (Date.parse(after) - Date.now()) / 1e3;
    if (!answer.ok && wait < 3600 && patience-- > 0) return setTimeout(() => ask(forget()), (Math.max(wait, 1) + Math.random()) * 1e3);
    const found = await answer.json();
    if (answer.ok) return waiting().forEach((card) => card.show_(found, answer.headers.get('Content-Language')));
    warn(found.detail);
  } catch {} // what stands in the element stays
  forget();
};

const shown = ({ converted, display }) => converted?.display || display;

const place = (spec) => join(' · ', spec.family_name, spec.component_name);

// values is what a reader looks for: the hand of a thread before the value, then what belongs to it.
const values = (spec, labels, variant) => {
  const text = shown(spec);
  const value = text.band || text.wear_limit || text.target || text.summary;
  const facts = ['target', 'wear_limit', 'source'].filter((fact) => text[fact] && text[fact] != value);
  return make('div', make('p', variant), make('strong', text.hand), make('b', ...phrases(value)), make('small', text.details),
    make('dl', ...facts.flatMap((fact) => [make('dt', labels[fact]), make('dd', text[fact])])));
};

const names = ['family', 'component', 'spec', 'key', 'sku', 'variant', 'base', 'unit', 'lang'];

// A page that loads two versions keeps the first.
customElements.get('endfloat-spec') || customElements.define('endfloat-spec', class extends HTMLElement {
  static observedAttributes = names;

  constructor() {
    super();
    this.attachShadow({ mode: 'open' }).adoptedStyleSheets = [sheet];
    this.body_ = make('div', ' ');
    this.switch_ = make('button', 'in, lbf·ft');
    this.switch_.part = 'switch';
    this.switch_.onclick = () => this.setAttribute('unit', this.getAttribute('unit') == 'imperial' ? 'metric' : 'imperial');
    this.card_ = make('section', this.body_, this.switch_);
    this.clear_();
  }

  connectedCallback() {
    cards.add(this);
    ask();
  }

  // Values stay while their unit or language changes, but never beside the name of something else.
  attributeChangedCallback(name, before, now) {
    before == now || /unit|lang/.test(name) || this.clear_();
    ask();
  }

  clear_() {
    this.group_ = 0;
    this.shadowRoot.replaceChildren(make('slot', ' '));
  }

  // ask_ goes to those that ask alike, unless it asked before.
  ask_(groups) {
    const [family, component, spec, key, sku, variant, base, unit] = names.map((name) => this.getAttribute(name));
    this.kind_ = sku ? 'sku' : key || spec ? 'key' : 'component';
    this.name_ = sku || key || join('/', family, component, spec);
    const group = (this.closest('[lang]') || document.documentElement).lang + '\n' + (base || import.meta.url).replace(/(\/embed\/v1.*|\/)?$/, '/v1/lookups?') +
      join('&', unit && 'unit_system=' + unit, variant && 'variant=' + variant);
    if (!this.name_ || this.group_ == group) return;
    this.group_ = group;
    (groups[group] ||= []).push(this);
  }

  // show_ draws what was found. The switch is pressed once the values are there, which a screen reader says: a live
  // region would read out whole cards.
  show_({ items, labels, cautions, warnings = [] }, lang) {
    const mine = items.filter((item) => item.asked == this.name_);
    const { part, spec, nearest } = mine[0] || {};
    if (!part && !spec) return warn(join('; perhaps ', this.name_ + ' is unknown', nearest));
    const specs = part ? part.specs.concat(part.torques) : mine.map(({ spec }) => spec);
    this.card_.lang = lang;
    this.body_.replaceChildren(
      part ? make('p', ...phrases(join(' · ', part.name, part.sku, ...new Set(part.sizes.map(shown)), part.superseded_by && '→ ' + part.superseded_by))) : make('small', place(spec)),
      make('ul', ...[...warnings, ...cautions.filter(({ code }) => mine.some((item) => item.cautions.includes(code)))].map(({ text }) => make('li', text))),
      ...specs.map((spec) => make('article', make('p', spec.name, make('small', part && place(spec))), values(spec, labels),
        ...(spec.alternatives || []).map((other) => values(other, labels, other.name)))),
      ...[...new Set(specs.map((spec) => join(' · ', spec.source.title, spec.revision_date)))].map((source) => make('small', source)));
    this.switch_.ariaPressed = this.getAttribute('unit') == 'imperial';
    if (!this.card_.isConnected) this.shadowRoot.replaceChildren(this.card_);
  }
});

// A page that changes its language changes that of its cards.
new MutationObserver(ask).observe(document, { attributeFilter: ['lang'], subtree: true });
