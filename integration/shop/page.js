// One switch for all cards of the page: a unit is an attribute of each card, the language stands around them. A shop with
// a switch of its own hides that of the cards (shop.css).
for (const group of document.querySelectorAll('.switch')) {
  group.addEventListener('click', ({ target }) => {
    if (!target.value) return;
    if (group.dataset.sets === 'lang') document.querySelector('#values').lang = target.value;
    else for (const card of document.querySelectorAll('endfloat-spec')) card.setAttribute('unit', target.value);
    for (const button of group.children) button.setAttribute('aria-pressed', String(button === target));
  });
}
