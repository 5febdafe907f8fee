// One paint of the deck, chosen by a few letters: the combobox of the ARIA Authoring Practices Guide, with a list of
// the best matches below it, in the flow of the form, so that it covers neither photo nor fields.

const SEARCH_MS = 90; // a pause in typing
let pickers = 0;

function paintPicker(m, { label, code, choose, after = () => undefined }) {
  pickers += 1;
  const id = `givens-paints-${pickers}`;
  const p = { m, code, choose, after, found: [], active: -1, edited: false, asked: 0 };
  p.swatch = element("span", { class: "swatch", "aria-hidden": "true" });
  p.input = element("input", {
    id, type: "text", role: "combobox", maxlength: "100", autocomplete: "off", autocapitalize: "off", spellcheck: "false",
    placeholder: m.words.paint_hint, "aria-autocomplete": "list", "aria-expanded": "false", "aria-controls": `${id}-list`,
    "aria-describedby": `${id}-note`,
    oninput: () => typed(p),
    onclick: () => p.list.hidden && search(p),
    onfocus: () => p.input.select(),
    onblur: () => leave(p),
    onkeydown: (e) => pickerKey(p, e),
  });
  p.list = element("ul", { id: `${id}-list`, class: "found", role: "listbox", "aria-label": label, onmousedown: (e) => e.preventDefault() });
  p.list.hidden = true;
  p.note = element("p", { id: `${id}-note`, class: "note" });
  p.node = element(
    "div",
    { class: "field paint" },
    element("label", { for: id }, label),
    element("div", { class: "chosen" }, p.swatch, p.input),
    p.list,
    p.note,
  );
  p.refresh = () => showChosen(p);
  return p;
}

function showChosen(p) {
  const { m, input } = p;
  const chosen = p.code();
  const paint = m.paints[chosen];
  const gone = Boolean(chosen) && !paint;
  p.swatch.style.background = paint?.hex ?? "";
  p.swatch.classList.toggle("none", !paint);
  if (!p.edited) input.value = paint ? paintTitle(paint) : (chosen ?? "");
  input.setAttribute("aria-invalid", String(gone));
  p.note.textContent = gone ? fill(m.words.paint_gone_long, { code: chosen }) : "";
  p.note.hidden = !gone;
}

const paintTitle = (paint) => `${paint.code}  ${paint.name}`;

function typed(p) {
  p.edited = true;
  // What the list shows is an answer to other letters.
  activate(p, -1);
  clearTimeout(p.timer);
  p.timer = setTimeout(() => search(p), SEARCH_MS);
}

async function search(p) {
  const { m } = p;
  clearTimeout(p.timer);
  const like = p.edited ? p.input.value : "";
  const found = await ask(p, like);
  // Somebody who has gone on meanwhile is shown no list.
  if (!found || m.root.activeElement !== p.input) return;
  p.found = found;
  p.list.replaceChildren(...found.map((paint, i) => foundOption(p, paint, i)));
  open(p, found.length > 0);
  // What was typed means the first of them; a list that was only opened means none yet.
  activate(p, like.trim() ? 0 : -1);
  say(m, foundWords(m, found.length), !found.length);
}

// The paints that letters mean, or null where the answer is to letters that have changed since.
async function ask(p, like) {
  const { m } = p;
  p.asked += 1;
  const { asked } = p;
  let found;
  try {
    const answer = await fetch(`${m.paintsUrl}?${new URLSearchParams({ like, after: p.after() ?? "" })}`);
    if (!answer.ok) throw new TypeError(answer.status);
    found = await answer.json();
  } catch {
    say(m, m.words.paints_failed, true);
    return null;
  }
  for (const paint of found) m.paints[paint.code] = paint;
  return asked === p.asked ? found : null;
}

function foundWords(m, count) {
  if (!count) return m.words.paints_none;
  if (count === 1) return m.words.paint_found;
  return fill(count < m.words.paints_most ? m.words.paints_found : m.words.paints_first, { count });
}

function foundOption(p, paint, i) {
  const swatch = element("span", { class: "swatch", "aria-hidden": "true" });
  swatch.style.background = paint.hex;
  return element(
    "li",
    { id: `${p.list.id}-${i}`, role: "option", "aria-selected": "false", onclick: () => take(p, paint) },
    swatch,
    element("span", { class: "number" }, paint.code),
    element("span", { class: "title" }, paint.name),
  );
}

function open(p, shown) {
  p.list.hidden = !shown;
  p.input.setAttribute("aria-expanded", String(shown));
  if (!shown) activate(p, -1);
}

function activate(p, i) {
  p.active = p.found.length && !p.list.hidden ? i : -1;
  [...p.list.children].forEach((option, place) => option.setAttribute("aria-selected", String(place === p.active)));
  const option = p.list.children[p.active];
  if (option) {
    p.input.setAttribute("aria-activedescendant", option.id);
    // Within the list alone: the page stays where it is.
    const [top, bottom] = [option.offsetTop, option.offsetTop + option.offsetHeight];
    p.list.scrollTop = clamp(p.list.scrollTop, bottom - p.list.clientHeight, top);
  } else p.input.removeAttribute("aria-activedescendant");
}

function pickerKey(p, e) {
  if (e.ctrlKey || e.metaKey || e.altKey) return;
  // Letters typed here are no shortcuts of the page.
  e.stopPropagation();
  const count = p.found.length;
  if (e.key === "ArrowDown" || e.key === "ArrowUp") {
    if (p.list.hidden) search(p).then(() => p.active < 0 && activate(p, 0));
    else if (count) activate(p, (p.active + (e.key === "ArrowDown" ? 1 : p.active < 0 ? 0 : -1) + count) % count);
  } else if (e.key === "Enter") {
    if (p.active >= 0) take(p, p.found[p.active]);
    else if (p.edited) search(p).then(() => p.active >= 0 && take(p, p.found[p.active]));
    else return;
  } else if (e.key === "Tab") {
    // On to the next field, with what is marked in the list.
    if (!p.list.hidden && p.active >= 0) take(p, p.found[p.active]);
    return;
  } else if (e.key === "Escape") {
    if (p.list.hidden) giveBack(p);
    else open(p, false);
  } else return;
  e.preventDefault();
}

function take(p, paint) {
  finishTyping(p);
  p.choose(paint?.code);
  say(p.m, paint ? fill(p.m.words.paint_chosen, paint) : p.m.words.paint_taken_off);
  showChosen(p);
  if (paint && p.m.root.activeElement === p.input) p.input.select();
}

function giveBack(p) {
  finishTyping(p);
  showChosen(p);
}

function finishTyping(p) {
  clearTimeout(p.timer);
  p.asked += 1;
  p.edited = false;
  open(p, false);
}

// A whole code is a choice, an emptied field takes the paint off; what was only begun goes back to what is chosen.
async function leave(p) {
  if (!p.edited) return finishTyping(p);
  const text = p.input.value.trim();
  if (!text && p.code()) return take(p);
  const place = p.m.selected;
  giveBack(p);
  const [first] = (text && (await ask(p, text))) || [];
  if (first?.code.toLowerCase() === text.toLowerCase() && p.m.selected === place && !p.edited) take(p, first);
  return undefined;
}
