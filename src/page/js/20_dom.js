/* Building the document. Text only ever goes in as text; nothing is parsed as HTML. */

/* h('p.note', {title: '…'}, 'text', node…): an element. Properties that begin with "on" are
   listeners, "class" and "aria-…" attributes, true an empty attribute, false none. */
function h(tag, props, ...children) {
  const [name, ...classes] = tag.split('.');
  const node = document.createElement(name || 'div');
  if (classes.length) node.className = classes.join(' ');
  if (props && (typeof props !== 'object' || props instanceof Node || Array.isArray(props))) {
    children.unshift(props);
    props = null;
  }
  for (const [key, value] of Object.entries(props || {})) {
    if (key.startsWith('on')) node.addEventListener(key.slice(2), value);
    else if (key === 'value' || key === 'checked') node[key] = value;
    else if (value === true) node.setAttribute(key, '');
    else if (value !== false && value !== undefined && value !== null) node.setAttribute(key, value);
  }
  for (const child of children.flat(Infinity)) {
    if (child === null || child === undefined || child === false) continue;
    node.append(child instanceof Node ? child : String(child));
  }
  return node;
}

function fill(node, ...children) {
  node.replaceChildren(...children.flat(Infinity).filter((c) => c !== null && c !== undefined && c !== false)
    .map((c) => c instanceof Node ? c : String(c)));
  return node;
}

/* Fill a part of the page anew without taking the focus from whoever is in it. */
function refill(node, ...children) {
  const at = document.activeElement;
  const inside = at && node.contains(at) && at !== node;
  const mark = inside ? [at.tagName, at.id.replace(/^f\d+$/, ''), at.type, at.value, at.getAttribute('aria-label'), at.innerText].join('|') : null;
  fill(node, ...children);
  if (!inside) return;
  for (const next of node.querySelectorAll(at.tagName)) {
    if ([next.tagName, next.id.replace(/^f\d+$/, ''), next.type, next.value, next.getAttribute('aria-label'), next.innerText].join('|') === mark) return next.focus({ preventScroll: true });
  }
}

/* Work that takes a while, with how far it is. */
function working(text) {
  const bar = h('progress', { max: 1, 'aria-label': text });
  engine.progress = (done) => { bar.value = done; };
  return h('p.working', text, bar);
}

/* A drawing of the engine's: parsed as XML, so that it is either well-formed or not shown. */
function drawing(svg) {
  const parsed = new DOMParser().parseFromString(svg, 'image/svg+xml').documentElement;
  if (parsed.nodeName !== 'svg') return h('p', 'The drawing could not be made.');
  return h('div.drawing', document.importNode(parsed, true));
}

/* A colour to look at. */
function patch(screen, label) {
  const node = h('span.patch', { role: 'img', 'aria-label': label || 'colour ' + screen.hex });
  node.style.backgroundColor = screen.hex;
  return node;
}

const number = (value, digits = 1) =>
  value === null || value === undefined ? '–' : value.toFixed(digits).replace('-', '\u2212');

const labText = (lab) => `L* ${number(lab[0])}  a* ${number(lab[1])}  b* ${number(lab[2])}`;

const sentence = (text) => capital(text) + (/[.!?]$/.test(text) ? '' : '.');

const capital = (text) => text.slice(0, 1).toUpperCase() + text.slice(1);

let idCounter = 0;
const freshId = () => 'f' + ++idCounter;

/* A labelled field: the control, with an optional line of help below. */
function field(label, control, help) {
  const id = control.id || freshId();
  control.id = id;
  const parts = [h('label', { for: id }, label), control];
  if (help) {
    const note = h('p.help', { id: id + 'h' }, help);
    control.setAttribute('aria-describedby', note.id);
    parts.push(note);
  }
  return h('div.field', parts);
}

function select(options, value, onchange) {
  const node = h('select', { onchange: () => onchange && onchange(node.value) },
    options.map(([key, label]) => h('option', { value: key }, label)));
  node.value = value;
  return node;
}

/* One of a few: radio buttons that look like a row of keys. */
function choice(legend, options, value, onchange) {
  const name = freshId();
  return h('fieldset.choice', h('legend', legend), h('div.keys', options.map(([key, label, hint]) => {
    const id = freshId();
    return h('div.key',
      h('input', { type: 'radio', name, id, value: key, checked: key === value,
        onchange: () => onchange(key) }),
      h('label', { for: id }, h('span.key-name', label), hint ? h('span.key-hint', hint) : null));
  })));
}

function button(label, onclick, kind = '') {
  return h('button' + (kind ? '.' + kind : ''), { type: 'button', onclick }, label);
}

/* Hand a file to the person. */
function save(name, content, type = 'text/plain') {
  const url = URL.createObjectURL(new Blob([content], { type }));
  const link = h('a', { href: url, download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(url), 10000);
}

/* Ask for a file; resolves to {name, bytes, file}, or to a list of them. */
function pick(accept, several = false) {
  return new Promise((resolve) => {
    const input = h('input', { type: 'file', accept, multiple: several, class: 'off-screen', tabindex: '-1', 'aria-hidden': 'true' });
    const read = async (file) => ({ name: file.name, bytes: new Uint8Array(await file.arrayBuffer()), file });
    input.addEventListener('change', async () => {
      const files = await Promise.all([...input.files].map(read));
      input.remove();
      if (files.length) resolve(several ? files : files[0]);
    });
    input.addEventListener('cancel', () => input.remove());
    document.body.append(input);
    input.click();
  });
}
