// Mouse, pen and finger. A point is set when the pointer lifts, so that two fingers can still turn into a pinch.

const GRAB = { mouse: 10, touch: 24 };
const STILL = 4; // screen pixels a press may wander and still be a click

function pointers(m) {
  const { stage } = m;
  stage.addEventListener("pointerdown", (e) => down(m, e));
  stage.addEventListener("pointermove", (e) => move(m, e));
  stage.addEventListener("pointerup", (e) => up(m, e));
  stage.addEventListener("pointercancel", (e) => lost(m, e));
  stage.addEventListener("pointerleave", () => {
    m.hover = null;
    draw(m);
  });
  stage.addEventListener("contextmenu", (e) => e.preventDefault());
  stage.addEventListener(
    "wheel",
    (e) => {
      e.preventDefault();
      const pixels = e.deltaY * (e.deltaMode === 1 ? 16 : 1);
      zoomAt(m, spot(m, e), Math.exp(-clamp(pixels, -240, 240) * (e.ctrlKey ? 0.01 : 0.0018)));
    },
    { passive: false },
  );
}

function spot(m, e) {
  const box = m.stage.getBoundingClientRect();
  return [e.clientX - box.left, e.clientY - box.top];
}

const reachOf = (e) => (e.pointerType === "mouse" ? GRAB.mouse : GRAB.touch);

function down(m, e) {
  // Focus for the keys that follow, but a crosshair only once a key is used.
  m.stage.focus({ preventScroll: true });
  m.byKeyboard = false;
  m.crosshair = null;
  m.stage.setPointerCapture(e.pointerId);
  const at = spot(m, e);
  m.fingers.set(e.pointerId, at);
  if (m.fingers.size > 1) {
    cancelGesture(m);
    m.gesture = { kind: "pinch" };
  } else if (e.button === 1 || m.space) m.gesture = { kind: "pan", from: at };
  else if (e.button === 0) m.gesture = begin(m, e, at);
  draw(m);
}

function begin(m, e, at) {
  const p = toPhoto(m, at);
  if (!m.readOnly && m.tool === "outline") return { kind: "place", at: within(m, p), from: at };
  if (!m.readOnly && m.tool !== "move") return { kind: "stroke", points: [within(m, p)], from: at };
  const mark = editable(m);
  if (mark) {
    const grabbed = grab(m, mark, at, reachOf(e));
    if (grabbed) return grabbed;
    if (isInside(p, mark.polygon)) return { kind: "mark", polygon: mark.polygon, start: p, from: at, original: mark.polygon };
  }
  return { kind: "pan", from: at, click: true };
}

// A point of the selected mark, or a new one where a plus stands on its edge.
function grab(m, mark, at, reach) {
  const points = mark.polygon.map((p) => toScreen(m, p));
  const nearest = points.reduce((best, p, i) => (apart(p, at) < apart(points[best], at) ? i : best), 0);
  if (apart(points[nearest], at) <= reach) {
    m.point = nearest;
    return { kind: "point", polygon: mark.polygon, from: at };
  }
  const edge = points.findIndex((p, i) => {
    const next = points[(i + 1) % points.length];
    return apart(p, next) > 44 && apart(middle(p, next), at) <= reach;
  });
  if (edge < 0) return null;
  const polygon = mark.polygon.toSpliced(edge + 1, 0, within(m, toPhoto(m, at)));
  m.point = edge + 1;
  return { kind: "point", polygon, from: at, inserted: true };
}

function move(m, e) {
  const at = spot(m, e);
  const before = m.fingers.get(e.pointerId);
  if (!before) {
    if (m.tool !== "move" && e.pointerType === "mouse") {
      m.hover = within(m, toPhoto(m, at));
      m.crosshair = null;
      draw(m);
    }
    return;
  }
  const g = m.gesture;
  if (g?.kind === "pinch") pinch(m, e.pointerId, at);
  m.fingers.set(e.pointerId, at);
  if (!g || g.kind === "pinch") return;
  g.moved ||= apart(g.from, at) > STILL;
  const p = within(m, toPhoto(m, at));
  if (g.kind === "pan" && g.moved) pan(m, at[0] - before[0], at[1] - before[1]);
  if (g.kind === "place") g.at = m.hover = p;
  if (g.kind === "stroke" && apart(toScreen(m, g.points.at(-1)), at) > 3) g.points.push(p);
  if (g.kind === "point" && g.moved) g.polygon = g.polygon.with(m.point, p);
  if (g.kind === "mark" && g.moved) g.polygon = shifted(m, g.original, toPhoto(m, at), g.start);
  draw(m);
}

// The whole mark moves as far as it stays inside the photo.
function shifted(m, polygon, to, from) {
  const axis = (k) => {
    const values = polygon.map((p) => p[k]);
    return clamp(to[k] - from[k], -Math.min(...values), m.size[k] - Math.max(...values));
  };
  const [dx, dy] = [axis(0), axis(1)];
  return polygon.map(([x, y]) => [tenth(x + dx), tenth(y + dy)]);
}

function pinch(m, id, at) {
  const [other] = [...m.fingers].filter(([key]) => key !== id).map(([, value]) => value);
  const before = m.fingers.get(id);
  const centre = middle(at, other);
  const was = middle(before, other);
  zoomAt(m, centre, apart(at, other) / Math.max(apart(before, other), 1));
  pan(m, centre[0] - was[0], centre[1] - was[1]);
}

function up(m, e) {
  if (!m.fingers.delete(e.pointerId)) return;
  const g = m.gesture;
  // After a pinch the last finger to lift sets nothing.
  if (m.fingers.size) return;
  m.gesture = null;
  if (e.pointerType !== "mouse") m.hover = null;
  if (g) finish(m, g, spot(m, e), e.pointerType !== "mouse");
  draw(m);
}

function finish(m, g, at, touch) {
  if (g.kind === "place") {
    if (nearFirst(m, at, touch)) closeDraft(m);
    else placePoint(m, g.at);
  } else if (g.kind === "stroke") addStroke(m, g.points);
  else if (g.kind === "pan" && g.click && !g.moved) clickAt(m, at, touch ? GRAB.touch : GRAB.mouse);
  else if (g.kind === "mark" && !g.moved) clickAt(m, at, touch ? GRAB.touch : GRAB.mouse);
  else if (g.kind === "point" || g.kind === "mark") settle(m, g);
}

function settle(m, g) {
  const mark = editable(m);
  if (!mark || !(g.moved || g.inserted)) return refresh(m);
  if (crossesItself(g.polygon)) {
    m.point = g.inserted ? null : m.point;
    return say(m, m.words.would_cross_back, true);
  }
  say(m, g.kind === "mark" ? m.words.mark_moved : m.words.point_moved);
  return reshape(m, mark, g.polygon, g.kind === "point" ? m.point : null);
}

// Choose the smallest outline around the click, or the one whose edge it is on.
function clickAt(m, at, reach) {
  // The second press of a double click that closed an outline chooses nothing else.
  if (Date.now() - m.addedAt < 400) return;
  const p = toPhoto(m, at);
  const edges = (mark) => mark.polygon.map((a, i) => distanceToEdge(p, a, mark.polygon[(i + 1) % mark.polygon.length]));
  const hit = [...openFound(m), ...m.marks]
    .filter((mark) => isInside(p, mark.polygon) || Math.min(...edges(mark)) * m.view.scale <= reach)
    .sort((a, b) => areaOf(a.polygon) - areaOf(b.polygon));
  select(m, hit[0]?.id ?? null);
}

function lost(m, e) {
  m.fingers.delete(e.pointerId);
  cancelGesture(m);
}

function cancelGesture(m) {
  if (m.gesture?.inserted) m.point = null;
  m.gesture = null;
  m.hover = null;
  draw(m);
}
