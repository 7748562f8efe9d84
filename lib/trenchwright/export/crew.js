'use strict';
const data = JSON.parse(document.getElementById('data').textContent);
const rows = data.rows;
const us = data.units === 'us';
const byId = (id) => document.getElementById(id);
const store = {
  name: 'trenchwright ' + data.plan,
  read() { try { return JSON.parse(localStorage.getItem(this.name)) || {}; } catch (e) { return {}; } },
  write(value) {
    try { localStorage.setItem(this.name, JSON.stringify(value)); byId('kept').textContent = ''; }
    catch (e) { byId('kept').textContent = 'This browser keeps no checks: they are gone when the page is closed.'; }
  }
};
const kept = store.read();
let sight = typeof kept.sight === 'number' ? kept.sight : data.sight_elev_m;
let current = 0;

const feetInches = (m) => {
  const n = Math.round(Math.abs(m) / 0.0254 * 16);
  const feet = Math.floor(n / 192), inches = Math.floor(n % 192 / 16);
  let part = n % 16, of = 16;
  while (part > 0 && part % 2 === 0) { part /= 2; of /= 2; }
  return (m < 0 && n > 0 ? '-' : '') + feet + "'-" + inches + (part ? ' ' + part + '/' + of : '') + '"';
};
const rodText = (row) => {
  if (sight === null) return 'set the height of instrument';
  const rod = sight - row.bottom_elev_m;
  if (rod < 0) return 'trench bottom above the line of sight';
  return us ? (rod / 0.3048).toFixed(2) + ' ft, ' + feetInches(rod) : rod.toFixed(3) + ' m';
};
// A figure in feet, inches and sixteenths is never broken over two lines.
const fill = (node, value) => {
  node.replaceChildren(...value.split(/(\d+'-\d+ \d+\/\d+")/).map((part, index) => {
    if (index % 2 === 0) return part;
    const figure = document.createElement('span');
    figure.className = 'figure';
    figure.textContent = part;
    return figure;
  }));
};
const fact = (name, value, kind) => {
  if (!value) return;
  const term = document.createElement('dt'), text = document.createElement('dd');
  term.textContent = name;
  fill(text, value);
  if (kind) text.className = kind;
  byId('facts').append(term, text);
};
const circles = new Map([...document.querySelectorAll('#plan .station')].map((c) => [Number(c.dataset.row), c]));
const show = (index) => {
  current = Math.min(Math.max(index, 0), rows.length - 1);
  const row = rows[current];
  byId('facts').replaceChildren();
  fact('Station', row.station + ', trench ' + row.trench + ' (' + row.from + ')');
  fact('Cut', row.cut, 'big');
  fact('Grade rod at trench bottom', rodText(row), 'big');
  fact('Safety', row.safety, row.safety.includes('STOP') ? 'big stop-word' : 'big');
  fact('Dig', row.dig, row.dig === 'BY HAND' ? 'big by-hand-word' : '');
  fact('Expect', row.expect);
  fact('Fitting', row.fitting);
  fact('Cover', row.cover);
  fact('Invert', row.invert);
  fact('Ground', row.ground);
  fact('Slope downstream', row.fall);
  fact('Tape ties', row.ties);
  byId('pick').value = String(current);
  byId('dug').checked = Boolean((kept.dug || {})[current]);
  byId('here').setAttribute('cx', row.x_m);
  byId('here').setAttribute('cy', -row.y_m);
};
const showRods = () => document.querySelectorAll('[data-rod]').forEach((cell) => {
  cell.textContent = rodText(rows[Number(cell.dataset.rod)]);
});
document.querySelectorAll('ol.crossings p, li, td').forEach((node) => {
  if (node.children.length === 0) fill(node, node.textContent);
});
const showDug = () => circles.forEach((circle, index) =>
  circle.classList.toggle('dug', Boolean((kept.dug || {})[index])));

rows.forEach((row, index) => byId('pick').add(new Option('Trench ' + row.trench + ': ' + row.station, String(index))));
byId('pick').addEventListener('change', () => show(Number(byId('pick').value)));
byId('up').addEventListener('click', () => show(current + 1));
byId('down').addEventListener('click', () => show(current - 1));
byId('dug').addEventListener('change', () => {
  kept.dug = kept.dug || {};
  if (byId('dug').checked) kept.dug[current] = true; else delete kept.dug[current];
  store.write(kept);
  showDug();
});
document.querySelectorAll('[data-tick]').forEach((box) => {
  box.checked = Boolean((kept.ticks || {})[box.dataset.tick]);
  box.addEventListener('change', () => {
    kept.ticks = kept.ticks || {};
    if (box.checked) kept.ticks[box.dataset.tick] = true; else delete kept.ticks[box.dataset.tick];
    store.write(kept);
  });
});
byId('unit').textContent = us ? 'ft' : 'm';
if (sight !== null) byId('sight').value = us ? (sight / 0.3048).toFixed(2) : sight.toFixed(3);
byId('sight').addEventListener('input', () => {
  const text = byId('sight').value.trim();
  const value = text === '' ? NaN : Number(text);
  const good = Number.isFinite(value) && Math.abs(value) < 30000;
  byId('level').textContent = text === '' || good ? '' : 'Not a height: ' + text;
  sight = good ? value * (us ? 0.3048 : 1) : null;
  if (good) kept.sight = sight; else delete kept.sight;
  store.write(kept);
  show(current);
  showRods();
});

const plan = byId('plan');
const whole = plan.getAttribute('viewBox').split(' ').map(Number);
let view = whole.slice();
const apply = () => plan.setAttribute('viewBox', view.join(' '));
const scale = () => Math.max(view[2] / plan.clientWidth, view[3] / plan.clientHeight);
const place = (x, y) => {
  const at = plan.createSVGPoint();
  at.x = x;
  at.y = y;
  return at.matrixTransform(plan.getScreenCTM().inverse());
};
const zoom = (factor, at) => {
  const size = Math.min(Math.max(view[2] * factor, 2), whole[2] * 4) / view[2];
  view = [at.x + (view[0] - at.x) * size, at.y + (view[1] - at.y) * size, view[2] * size, view[3] * size];
  apply();
};
const middle = () => ({ x: view[0] + view[2] / 2, y: view[1] + view[3] / 2 });
const move = (dx, dy) => { view = [view[0] + dx, view[1] + dy, view[2], view[3]]; apply(); };
byId('closer').addEventListener('click', () => zoom(1 / 1.5, middle()));
byId('farther').addEventListener('click', () => zoom(1.5, middle()));
byId('whole').addEventListener('click', () => { view = whole.slice(); apply(); });
plan.addEventListener('wheel', (event) => {
  event.preventDefault();
  zoom(event.deltaY > 0 ? 1.15 : 1 / 1.15, place(event.clientX, event.clientY));
}, { passive: false });
plan.addEventListener('keydown', (event) => {
  const step = view[2] / 8;
  const keys = { ArrowLeft: () => move(-step, 0), ArrowRight: () => move(step, 0), ArrowUp: () => move(0, -step),
    ArrowDown: () => move(0, step), '+': () => zoom(1 / 1.3, middle()), '=': () => zoom(1 / 1.3, middle()),
    '-': () => zoom(1.3, middle()), Home: () => { view = whole.slice(); apply(); } };
  if (keys[event.key]) { keys[event.key](); event.preventDefault(); }
});
// A thumb in a glove covers half an inch: the nearest station within 60 px is meant.
const tap = (x, y) => {
  const at = place(x, y);
  let best = -1, least = 60 * scale();
  rows.forEach((row, index) => {
    const away = Math.hypot(row.x_m - at.x, -row.y_m - at.y);
    if (away < least) { least = away; best = index; }
  });
  if (best >= 0) show(best);
};
const fingers = new Map();
let travelled = 0;
plan.addEventListener('pointerdown', (event) => {
  plan.setPointerCapture(event.pointerId);
  if (fingers.size === 0) travelled = 0;
  fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
  if (fingers.size > 1) travelled = Infinity;
});
plan.addEventListener('pointermove', (event) => {
  const before = fingers.get(event.pointerId);
  if (!before) return;
  const now = { x: event.clientX, y: event.clientY };
  travelled += Math.hypot(now.x - before.x, now.y - before.y);
  if (fingers.size === 1 && travelled > 10) {
    move((before.x - now.x) * scale(), (before.y - now.y) * scale());
  } else if (fingers.size === 2) {
    const other = [...fingers.entries()].find(([id]) => id !== event.pointerId)[1];
    const spread = (a) => Math.max(Math.hypot(a.x - other.x, a.y - other.y), 1);
    zoom(spread(before) / spread(now), place((now.x + other.x) / 2, (now.y + other.y) / 2));
  }
  fingers.set(event.pointerId, now);
});
const lift = (event) => {
  const held = fingers.delete(event.pointerId);
  if (held && event.type === 'pointerup' && fingers.size === 0 && travelled <= 10) tap(event.clientX, event.clientY);
};
plan.addEventListener('pointerup', lift);
plan.addEventListener('pointercancel', lift);
byId('print').addEventListener('click', () => window.print());
window.addEventListener('beforeprint', () => { byId('all').open = true; });
show(0);
showRods();
showDug();
