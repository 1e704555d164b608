// The product-page card: <endfloat-spec family="…" component="…"> (and spec="…"), or key="…", or sku="…", with
// unit="metric" or "imperial", lang and variant. What stands in the element is shown until the answer is there, and for
// good where none comes. All text is the service's but the few labels below. base names a service elsewhere.
// Properties that end in an underscore are the card's own and lose their names.
/* global STYLE: spec-card.css, put in when the card is built */
const labels = {
  en: ['Aim', 'Wear limit', 'Source'],
  de: ['Ziel', 'Verschleißgrenze', 'Quelle'],
  fr: ['Valeur visée', 'Limite d’usure', 'Source'],
  it: ['Obiettivo', 'Limite di usura', 'Fonte'],
  es: ['Objetivo', 'Límite de desgaste', 'Fuente'],
};

const sheet = new CSSStyleSheet();
sheet.replaceSync(STYLE);

// make is an element with children; what is empty is left out.
const make = (tag, ...children) => {
  const element = document.createElement(tag);
  element.append(...children.filter(Boolean));
  return element;
};

const join = (mark, ...parts) => parts.filter(Boolean).join(mark);

// Cards that ask the same way wait for the end of the task and go in one request of at most fifty.
let waiting;

const enqueue = (question) => {
  if (!waiting) {
    waiting = {};
    queueMicrotask(() => {
      for (const address in waiting) while (waiting[address][0]) send(address, waiting[address].splice(0, 50), 3);
      waiting = 0;
    });
  }
  (waiting[question.address_] ||= []).push(question);
};

const send = async (address, questions, tries) => {
  const url = new URL(address);
  const asked = {};
  for (const { kind_, name_ } of questions) (asked[kind_] ||= new Set()).add(name_);
  for (const kind in asked) url.searchParams.set(kind, [...asked[kind]]);
  try {
    const answer = await fetch(url);
    const wait = answer.headers.get('Retry-After');
    if (answer.ok) {
      const found = await answer.json();
      questions.forEach((question) => question.card_.show_(found, question));
    } else if (wait > 0 && tries) setTimeout(send, wait * 1e3, address, questions, tries - 1);
  } catch {} // what stands in the element stays
};

const place = (spec) => join(' · ', spec.family_name, spec.component_name);

const drawn = (spec, words, about) => {
  const shown = ({ converted, display }) => converted?.display || display;
  const text = shown(spec);
  const value = text.band || text.wear_limit || text.target;
  return make('article', make('p', spec.name, make('small', about)), make('strong', text.hand), make('b', value),
    make('dl', ...[text.target, text.wear_limit].flatMap((fact, n) => fact && fact != value ? [make('dt', words[n]), make('dd', fact)] : [])),
    ...[text.details, ...(spec.alternatives || []).map((other) => (other.variant || other.mark) + ': ' + shown(other).summary),
      words[2] + ': ' + join(' · ', spec.display.source, spec.revision_date, spec.source.title)].map((line) => line && make('small', line)));
};

const names = ['family', 'component', 'spec', 'key', 'sku', 'unit', 'variant', 'base', 'lang'];

// A page that loads two cards keeps the first.
customElements.get('endfloat-spec') || customElements.define('endfloat-spec', class extends HTMLElement {
  static observedAttributes = names;

  constructor() {
    super();
    const root = this.attachShadow({ mode: 'open' });
    root.adoptedStyleSheets = [sheet];
    root.append(make('slot'));
    this.body_ = make('div');
    this.body_.ariaLive = 'polite';
    this.units_ = make('fieldset', ...[['metric', 'mm, N·m'], ['imperial', 'in, lbf·ft']].map(([system, name]) => {
      const button = make('button', name);
      button.value = system;
      button.onclick = () => this.setAttribute('unit', system);
      return button;
    }));
    this.card_ = make('section', this.body_, this.units_);
  }

  connectedCallback() {
    const [family, component, spec, key, sku, unit, variant, base] = names.map((name) => this.getAttribute(name));
    const near = this.closest('[lang]')?.lang.slice(0, 2);
    const lang_ = labels[near] ? near : 'en';
    const url = new URL('v1/lookups', base || new URL('../../', import.meta.url));
    url.search = join('&', 'lang=' + lang_, unit && 'unit_system=' + unit, variant && 'variant=' + variant);
    this.question_ = { card_: this, lang_, address_: url, name_: sku || key || join('/', family, component, spec), kind_: sku ? 'sku' : key || spec ? 'key' : 'component' };
    if (this.question_.name_) enqueue(this.question_);
  }

  attributeChangedCallback(name, before, now) {
    if (this.isConnected && before != now) this.connectedCallback();
  }

  show_({ items, cautions, warnings = [] }, question) {
    if (question != this.question_) return; // something else was asked for since
    const root = this.shadowRoot;
    const mine = items.filter((item) => item.asked == question.name_ && item.found != 'nothing');
    if (!mine[0]) return root.replaceChildren(make('slot'));
    const { part } = mine[0];
    const words = labels[this.card_.lang = question.lang_];
    const specs = mine.flatMap(({ spec, part }) => spec || part.specs.concat(part.torques));
    this.body_.replaceChildren(
      part ? make('p', join(' · ', part.name, part.sku, ...new Set(part.sizes.map((size) => size.display)), part.superseded_by && '→ ' + part.superseded_by)) : make('small', place(specs[0])),
      make('ul', ...[...warnings, ...cautions.filter(({ code }) => mine.some((item) => item.cautions.includes(code)))].map(({ text }) => make('li', text))),
      ...specs.map((spec) => drawn(spec, words, part && place(spec))));
    for (const button of this.units_.children) button.ariaPressed = this.getAttribute('unit') == button.value;
    if (!this.card_.isConnected) root.replaceChildren(this.card_);
  }
});
