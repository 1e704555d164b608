// One switch for all cards of the page: the card only follows its attributes.
for (const button of document.querySelectorAll('.switch button')) {
  button.addEventListener('click', () => {
    for (const card of document.querySelectorAll('endfloat-spec')) card.setAttribute('unit', button.value);
    for (const other of document.querySelectorAll('.switch button')) other.setAttribute('aria-pressed', String(other === button));
  });
}
