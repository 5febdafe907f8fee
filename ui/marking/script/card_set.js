// Cards that lie side by side are one thing: proposed, looked at, confirmed and said to lie somewhere together.

const isFound = (m, mark) => m.found.includes(mark);

// Those of which one is marked already, wherever it was moved since, are no longer asked about.
function openFound(m) {
  const taken = m.marks.filter((mark) => mark.kind === "card" && mark.reference !== "paint chip");
  const alone = (card) => m.found.filter((other) => other.set === card.set).length === 1;
  const gone = (card) => taken.some((mark) => isInside(centreOf(card.polygon), mark.polygon) || isInside(centreOf(mark.polygon), card.polygon));
  const closed = new Set(m.found.filter((card) => gone(card) || (taken.length && alone(card))).map((card) => card.set));
  return m.readOnly ? [] : m.found.filter((card) => !closed.has(card.set));
}

// What is shown as a set: cards found, or several that are marked; null where one is set by itself, or none is chosen.
function shownSet(m) {
  const mark = markOf(m, m.selected);
  if (!mark || mark.kind !== "card" || m.strip) return null;
  if (isFound(m, mark)) return m.found.filter((card) => card.set === mark.set);
  const cards = partsOf(m, mark);
  return cards.length > 1 && !m.single ? cards : null;
}

function buildSet(m) {
  const { parts, words: w } = m;
  parts.setTitle = element("h3", {});
  parts.setSays = element("p", { class: "small" });
  parts.setPicture = element("canvas", { class: "enlarged", role: "img" });
  parts.setKinds = element("p", { class: "kinds" });
  parts.setOn = element("select", { onchange: (e) => layOn(m, e.target.value) });
  parts.setYes = button("", () => confirmSet(m), { class: "main-action wide" });
  parts.setBrush = button("", () => brushUnder(m), { class: "main-action wide" });
  parts.setSingle = button(w.one_by_one, () => oneByOne(m), { class: "plain" });
  parts.setRemove = button(w.set_remove, () => removeSelected(m), { class: "plain" });
  parts.set = element(
    "div",
    { class: "set", role: "group", "aria-label": w.set_form },
    parts.setTitle,
    parts.setSays,
    parts.setPicture,
    parts.setKinds,
    (parts.setOnField = labelled(w.set_on, parts.setOn)),
    parts.setYes,
    parts.setBrush,
    element("div", { class: "group apart" }, parts.setSingle, parts.setRemove),
  );
  return parts.set;
}

function refreshSet(m) {
  const { parts, words: w } = m;
  const cards = shownSet(m);
  const drawing = m.draft.length > 0 || m.strokes.length > 0 || m.tool !== "move";
  parts.set.hidden = !cards || drawing;
  if (parts.set.hidden) return;
  const found = isFound(m, cards[0]);
  const refused = found && m.refused.has(cards[0].set);
  const several = cards.length > 1;
  parts.setTitle.textContent = groupTitle(m, cards);
  parts.setSays.textContent = refused ? w.set_refused : found ? (several ? w.set_found : w.card_found) : "";
  parts.setSays.hidden = !parts.setSays.textContent;
  parts.setPicture.setAttribute("aria-label", fill(w.set_picture, { name: groupTitle(m, cards) }));
  const across = cards.toSorted((a, b) => centreOf(a.polygon)[0] - centreOf(b.polygon)[0]);
  const lies = several ? w.set_on : w.card_on;
  parts.setOn.setAttribute("aria-label", lies);
  parts.setOnField.firstChild.textContent = lies;
  parts.setKinds.replaceChildren(...across.map((card) => element("span", {}, w.references_short[card.reference] ?? w.references[card.reference])));
  options(parts.setOn, placesFor(m), placeOf(m, cards));
  parts.setOn.disabled = m.readOnly;
  parts.setYes.hidden = !found;
  parts.setYes.textContent = several ? w.set_yes : w.card_yes;
  const under = cards[0].on;
  parts.setBrush.hidden = found || !under || m.readOnly || m.marks.some((mark) => mark.kind === "surface" && mark.name === under);
  parts.setBrush.textContent = fill(w.brush_under, { on: under ?? "" });
  parts.setSingle.hidden = m.readOnly || !several;
  parts.setRemove.hidden = m.readOnly || refused;
  parts.setRemove.textContent = found ? w.set_refuse : w.set_remove;
  paintEnlarged(m, parts.setPicture, cards);
}

const NOT_SAID = "?";

// What cards may lie on: what is outlined here, what other photos show, what there is in most rooms.
function placesFor(m) {
  const here = m.marks.filter((mark) => mark.kind === "surface").map((mark) => mark.name);
  const names = [...new Set([...here, ...Object.keys(m.known), ...m.words.names])];
  return [[NOT_SAID, m.words.on_choose], ...names.map((name) => [name, capital(name)]), ["", m.words.on_nothing]];
}

const capital = (text) => text.slice(0, 1).toUpperCase() + text.slice(1);

function placeOf(m, cards) {
  const [{ on, set }] = cards;
  if (on) return on;
  return !isFound(m, cards[0]) || m.onNothing.has(set) ? "" : NOT_SAID;
}

function layOn(m, value) {
  const cards = shownSet(m);
  const on = value === NOT_SAID ? undefined : value || undefined;
  if (!isFound(m, cards[0])) {
    change(m, m.marks.map((mark) => (cards.includes(mark) ? { ...mark, on } : mark)));
    return say(m, m.words.described);
  }
  m.said.set(cards[0].set, on ?? null);
  if (value === "") m.onNothing.add(cards[0].set);
  else m.onNothing.delete(cards[0].set);
  m.found = m.found.map((card) => (cards.includes(card) ? { ...card, on } : card));
  return refresh(m);
}

function confirmSet(m, single = false) {
  const cards = shownSet(m);
  if (!single && placeOf(m, cards) === NOT_SAID) {
    m.parts.setOn.focus();
    return say(m, m.words.say_on_first, true);
  }
  const title = groupTitle(m, cards);
  const marks = cards.map((card) => ({ ...card, id: freshId() }));
  m.selected = marks[0].id;
  m.single = single;
  change(m, [...marks, ...m.marks]);
  tellSelected(m);
  return say(m, fill(m.words.confirmed, { name: title }));
}

// Each with a form and handles of its own; what was found becomes marks first.
function oneByOne(m) {
  if (isFound(m, shownSet(m)[0])) return confirmSet(m, true);
  m.single = true;
  say(m, m.words.one_by_one_says);
  return refresh(m);
}

function refuseSet(m, cards) {
  m.refused.add(cards[0].set);
  m.serial.refused = Math.max(m.serial.refused ?? 0, m.heard.refused ?? 0) + 1;
  m.set("refused", { serial: m.serial.refused, sets: [...m.refused] });
  say(m, m.words.refused_says);
  refresh(m);
}

// The surface that cards lie on is outlined next, and gets the name it was called by.
function brushUnder(m) {
  m.calledNext = shownSet(m)[0].on;
  m.making = "surface:";
  useTool(m, "include");
}

function paintEnlarged(m, canvas, cards) {
  const ratio = window.devicePixelRatio || 1;
  const [width, height] = [canvas.clientWidth || 320, canvas.clientHeight || 124];
  canvas.width = Math.round(width * ratio);
  canvas.height = Math.round(height * ratio);
  if (!m.ready) return;
  const points = cards.flatMap((card) => card.polygon);
  const span = (k) => [Math.min(...points.map((p) => p[k])), Math.max(...points.map((p) => p[k]))];
  const [[left, right], [top, bottom]] = [span(0), span(1)];
  const margin = 0.22 * Math.max(right - left, bottom - top);
  const scale = Math.min(width / (right - left + 2 * margin), height / (bottom - top + 2 * margin));
  const view = { scale, x: width / 2 - ((left + right) / 2) * scale, y: height / 2 - ((top + bottom) / 2) * scale };
  const c = canvas.getContext("2d");
  c.setTransform(ratio, 0, 0, ratio, 0, 0);
  c.drawImage(m.image, view.x, view.y, m.size[0] * scale, m.size[1] * scale);
  for (const card of cards) {
    const at = card.polygon.map(([x, y]) => [x * scale + view.x, y * scale + view.y]);
    line(c, at, { closed: true });
  }
}
