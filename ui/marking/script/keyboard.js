// The stage by keyboard alone: arrows move a crosshair (or the chosen point, or the view), Enter places, Escape gives up.

const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const STEPS = { fine: 1, plain: 10, wide: 50 }; // screen pixels: with Alt, alone, with Shift

function keys(m) {
  m.root.addEventListener("keydown", (e) => anywhere(m, e));
  m.stage.addEventListener("keydown", (e) => onStage(m, e));
  m.stage.addEventListener("keyup", (e) => {
    if (e.key === " ") m.space = false;
  });
  m.stage.addEventListener("blur", () => {
    m.space = false;
    draw(m);
  });
}

const isTyping = (e) => ["INPUT", "SELECT", "TEXTAREA"].includes(e.target.tagName) && e.target.type !== "range";

function anywhere(m, e) {
  const control = e.ctrlKey || e.metaKey;
  if (!control || isTyping(e)) return;
  const key = e.key.toLowerCase();
  if (key === "z" && !e.shiftKey) stepBack(m);
  else if ((key === "z" && e.shiftKey) || key === "y") stepForward(m);
  else return;
  e.preventDefault();
}

function onStage(m, e) {
  if (e.ctrlKey || e.metaKey) return;
  const done = e.key in ARROWS ? arrow(m, e) : press(m, e);
  if (done === false) return;
  // Streamlit has shortcuts of its own on the page.
  e.preventDefault();
  e.stopPropagation();
}

function press(m, e) {
  switch (e.key) {
    case "+":
    case "=":
      return zoomAt(m, focusPoint(m), 1.25);
    case "-":
      return zoomAt(m, focusPoint(m), 0.8);
    case "0":
      return fit(m);
    case " ":
      m.space = true;
      return undefined;
    case "Escape":
      return cancelDraft(m);
    case ".":
      return nextPoint(m, 1);
    case ",":
      return nextPoint(m, -1);
    case "Insert":
    case "i":
      return insertPoint(m);
    case "Enter":
      return enter(m);
    case "Delete":
    case "Backspace":
      return erase(m);
    default:
      return false;
  }
}

const focusPoint = (m) => (m.crosshair && m.tool !== "move" ? toScreen(m, m.crosshair) : middleOfStage(m));

function arrow(m, e) {
  m.byKeyboard = true;
  m.hover = null;
  const step = e.altKey ? STEPS.fine : e.shiftKey ? STEPS.wide : STEPS.plain;
  const [dx, dy] = ARROWS[e.key].map((part) => part * step);
  if (m.tool !== "move" && !m.readOnly) return moveCrosshair(m, dx, dy);
  if (m.point !== null && !m.readOnly) return movePoint(m, dx, dy);
  return pan(m, -dx * 3, -dy * 3);
}

function moveCrosshair(m, dx, dy) {
  if (!m.crosshair) m.crosshair = within(m, toPhoto(m, middleOfStage(m)));
  else m.crosshair = within(m, [m.crosshair[0] + dx / m.view.scale, m.crosshair[1] + dy / m.view.scale]);
  if (m.keyStroke) m.keyStroke.push(m.crosshair);
  bringIntoView(m, m.crosshair);
  const [x, y] = m.crosshair.map(Math.round);
  say(m, fill(m.words.crosshair_at, { x, y }));
}

function movePoint(m, dx, dy) {
  const mark = editable(m);
  const [x, y] = mark.polygon[m.point];
  const p = within(m, [x + dx / m.view.scale, y + dy / m.view.scale]);
  const polygon = mark.polygon.with(m.point, p);
  if (crossesItself(polygon)) return say(m, m.words.would_cross);
  bringIntoView(m, p);
  say(m, fill(m.words.crosshair_at, { x: Math.round(p[0]), y: Math.round(p[1]) }));
  return reshape(m, mark, polygon, m.point);
}

function nextPoint(m, step) {
  const mark = editable(m);
  if (!mark) return say(m, shownSet(m) ? m.words.set_first : m.words.select_first);
  const count = mark.polygon.length;
  m.byKeyboard = true;
  m.tool = "move";
  m.point = m.point === null ? (step > 0 ? 0 : count - 1) : (m.point + step + count) % count;
  bringIntoView(m, mark.polygon[m.point]);
  say(m, fill(m.words.point_chosen, { point: m.point + 1, count }));
  return refresh(m);
}

function insertPoint(m) {
  const mark = editable(m);
  if (!mark || m.point === null) return say(m, m.words.choose_point);
  const next = mark.polygon[(m.point + 1) % mark.polygon.length];
  const polygon = mark.polygon.toSpliced(m.point + 1, 0, middle(mark.polygon[m.point], next));
  say(m, m.words.point_inserted);
  return reshape(m, mark, polygon, m.point + 1);
}

function enter(m) {
  m.byKeyboard = true;
  if (m.tool === "move" || m.readOnly) return undefined;
  if (m.tool === "outline" && m.hover) return closeDraft(m); // a mouse draws, Enter closes
  if (!m.crosshair) return moveCrosshair(m, 0, 0);
  if (m.tool !== "outline") return strokeByKeyboard(m);
  // Enter where the last point lies, or on the first, closes.
  const last = m.draft[m.draft.length - 1];
  const still = last && apart(last, m.crosshair) * m.view.scale < 2;
  return still || nearFirst(m, toScreen(m, m.crosshair), false) ? closeDraft(m) : placePoint(m, m.crosshair);
}

function strokeByKeyboard(m) {
  if (!m.keyStroke) {
    m.keyStroke = [m.crosshair];
    return say(m, m.words.stroke_begun);
  }
  const points = m.keyStroke;
  m.keyStroke = null;
  return addStroke(m, points);
}

function erase(m) {
  if (m.draft.length) return takeBackPoint(m);
  if (m.strokes.length) return takeBackStroke(m);
  return m.point !== null ? removePoint(m) : removeSelected(m);
}
