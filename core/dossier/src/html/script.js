// Helps for whoever reads on a screen: search, an edge between two pictures in one frame, and wide tables by keys. Without script all is
// there as well, one below the other; on paper neither is seen.
'use strict';
(() => {
  const make = (name, its = {}, ...inside) => {
    const made = Object.assign(document.createElement(name), its);
    made.append(...inside);
    return made;
  };

  // Two pictures in one frame: the later lies over the earlier, up to an edge that is moved by hand or by keys.
  const lay = (pair, number) => {
    const [before, after] = pair.querySelectorAll('img');
    if (!after) return;
    // A picture goes with the marks on it.
    const copy = img => (img.closest('.marked') ?? img).cloneNode(true);
    const later = make('span', { className: 'later' }, copy(after));
    const line = make('span', { className: 'line' });
    const stack = make('span', { className: 'stack' }, copy(before), later, line);
    const edge = make('input', { type: 'range', min: 0, max: 100, value: 50, id: `edge-${number}` });
    edge.setAttribute('aria-label', 'Edge between the earlier and the later picture');
    const other = make('button', { type: 'button' });
    const show = () => {
      later.style.clipPath = `inset(0 0 0 ${edge.value}%)`;
      line.style.left = `${edge.value}%`;
      edge.setAttribute('aria-valuetext', `earlier picture up to ${edge.value} per cent`);
    };
    const turn = isLaid => {
      pair.classList.toggle('laid', isLaid);
      stack.hidden = edge.hidden = !isLaid;
      other.textContent = isLaid ? 'Show them side by side' : 'Lay one over the other';
    };
    const follow = event => {
      if (event.type === 'pointermove' && !event.buttons) return;
      const { left, width } = stack.getBoundingClientRect();
      edge.value = Math.round(100 * (event.clientX - left) / width);
      show();
    };
    stack.addEventListener('pointerdown', event => { stack.setPointerCapture(event.pointerId); follow(event); });
    stack.addEventListener('pointermove', follow);
    edge.addEventListener('input', show);
    other.addEventListener('click', () => turn(!pair.classList.contains('laid')));
    pair.prepend(make('div', { className: 'over-each-other' }, stack, edge, other));
    show();
    turn(true);
  };
  document.querySelectorAll('.pair[data-laid]').forEach(lay);

  // A table that is wider than the screen moves sideways, by keys too.
  const reach = () => document.querySelectorAll('table').forEach(table =>
    table.scrollWidth > table.clientWidth ? table.setAttribute('tabindex', '0') : table.removeAttribute('tabindex'));
  addEventListener('resize', reach);
  reach();

  // Search: every paragraph, row and caption in which all words stand.
  const most = 40;
  const plain = text => text.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase();
  let index;
  const read = () => [...document.querySelectorAll('main :is(h2, h3, h4, h5, h6, p, li, tr, dd, figcaption)')]
    .map(block => ({ block, says: (block.dataset.says ?? block.innerText).replace(/\s+/g, ' ').trim() }))
    .filter(({ says }) => says)
    .map(({ block, says }) => ({ block, says, plain: plain(says) }));
  const field = make('input', { type: 'search', id: 'search', autocomplete: 'off' });
  const told = make('p', { className: 'told-of' });
  told.setAttribute('role', 'status');
  const list = make('ol');
  const excerpt = (says, words) => {
    // The letters of the plain text are those of the text, except where a letter is written as two.
    const at = Math.max(0, plain(says).indexOf(words[0]));
    const from = at < 40 ? 0 : says.lastIndexOf(' ', at - 25) + 1;
    const part = says.slice(from, from + 130);
    const found = at - from;
    const cut = [from ? '…' : '', says.length > from + 130 ? '…' : ''];
    return [cut[0] + part.slice(0, found), make('mark', {}, part.slice(found, found + words[0].length)), part.slice(found + words[0].length) + cut[1]];
  };
  const go = block => {
    document.querySelectorAll('.found').forEach(one => one.classList.remove('found'));
    block.classList.add('found');
    block.tabIndex = -1;
    block.focus({ preventScroll: true });
    block.scrollIntoView({ block: 'center' });
  };
  const search = () => {
    const words = plain(field.value).split(/\s+/).filter(Boolean);
    list.replaceChildren();
    told.textContent = '';
    if (!words.length) return;
    index ??= read();
    const hits = index.filter(one => words.every(word => one.plain.includes(word)));
    told.textContent = hits.length > most ? `${hits.length} places; the first ${most} are shown.`
      : hits.length ? `${hits.length} ${hits.length === 1 ? 'place' : 'places'}.` : 'Nothing found with all of these words.';
    for (const { block, says } of hits.slice(0, most)) {
      const where = block.closest('section')?.querySelector('h2')?.textContent ?? '';
      const button = make('button', { type: 'button' }, make('b', {}, where), make('span', {}, ...excerpt(says, words)));
      button.addEventListener('click', () => go(block));
      list.append(make('li', {}, button));
    }
  };
  field.addEventListener('input', search);
  const label = make('label', { htmlFor: 'search' }, 'Search this history');
  const part = make('div', { className: 'search' }, label, field, told, list);
  part.setAttribute('role', 'search');
  document.querySelector('nav').before(part);
})();
