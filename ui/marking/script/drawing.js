// Everything on the stage is one canvas: photo, outlines, drafts, names, loupe.

const INK = "#111";
const PAPER = "#fff";
// Outlines are white in black and stand off any photo; what is selected is thicker, what is only proposed broken. No hue
// lies beside the colours to be judged.
const BROKEN = [9, 6];
const BADGE = 13; // screen pixels: radius of the number
const LOUPE = { radius: 62, zoom: 3, margin: 12 };

function draw(m) {
  if (m.frame) return;
  m.frame = requestAnimationFrame(() => {
    m.frame = 0;
    paint(m);
  });
}

function paint(m) {
  const ratio = window.devicePixelRatio || 1;
  const [width, height] = [m.stage.clientWidth, m.stage.clientHeight];
  if (m.canvas.width !== Math.round(width * ratio) || m.canvas.height !== Math.round(height * ratio)) {
    m.canvas.width = Math.round(width * ratio);
    m.canvas.height = Math.round(height * ratio);
  }
  const c = m.canvas.getContext("2d");
  c.setTransform(ratio, 0, 0, ratio, 0, 0);
  c.clearRect(0, 0, width, height);
  paintScene(m, c, m.view);
  paintNumbers(m, c);
  const p = loupePoint(m);
  if (p) paintLoupe(m, c, p);
}

function paintScene(m, c, view) {
  const at = (p) => [p[0] * view.scale + view.x, p[1] * view.scale + view.y];
  c.imageSmoothingEnabled = view.scale < 3;
  if (m.ready) c.drawImage(m.image, view.x, view.y, m.size[0] * view.scale, m.size[1] * view.scale);
  const selected = shownSet(m) ?? [markOf(m, m.selected)].filter(Boolean);
  for (const mark of [...m.marks, ...openFound(m)]) if (!selected.includes(mark)) paintOutline(m, c, at, mark, false);
  for (const mark of selected) paintOutline(m, c, at, mark, true);
  const held = editable(m);
  if (held) paintHandles(m, c, at, shownPolygon(m, held));
  for (const outline of m.proposed) line(c, outline.map(at), { closed: true, dash: BROKEN, accent: true, fill: true });
  if (m.strip) paintStrip(m, c, at);
  for (const stroke of m.strokes) paintStroke(c, stroke.points.map(at), stroke.kind);
  if (m.gesture?.kind === "stroke") paintStroke(c, m.gesture.points.map(at), m.tool);
  if (m.keyStroke) paintStroke(c, m.keyStroke.map(at), m.tool);
  paintDraft(m, c, at);
  if (m.crosshair && m.tool !== "move") paintCrosshair(c, at(m.crosshair));
}

function paintStrip(m, c, at) {
  chipsOfStrip(m).forEach((outline, i) => {
    const points = outline.map(at);
    line(c, points, { closed: true, dash: BROKEN, accent: true });
    const [x, y] = middle(middle(points[0], points[2]), middle(points[1], points[3]));
    c.font = `600 14px ${m.font}`;
    c.textAlign = "center";
    c.textBaseline = "middle";
    c.lineWidth = 4;
    c.strokeStyle = INK;
    c.strokeText(`${i + 1}`, x, y);
    c.fillStyle = PAPER;
    c.fillText(`${i + 1}`, x, y);
    c.textAlign = "start";
  });
}

function shownPolygon(m, mark) {
  return m.gesture?.polygon && mark.id === m.selected ? m.gesture.polygon : mark.polygon;
}

function paintOutline(m, c, at, mark, selected) {
  const found = isFound(m, mark);
  if (found && m.refused.has(mark.set) && !selected) return;
  line(c, shownPolygon(m, mark).map(at), { closed: true, dash: found ? BROKEN : [], accent: selected });
}

function line(c, points, { closed = false, dash = [], accent = false, fill: filled = false }) {
  c.beginPath();
  points.forEach(([x, y], i) => (i ? c.lineTo(x, y) : c.moveTo(x, y)));
  if (closed) c.closePath();
  c.lineJoin = "round";
  c.lineCap = "butt";
  if (filled) {
    c.fillStyle = "rgba(255, 255, 255, 0.22)";
    c.fill();
  }
  const layers = accent
    ? [[7, INK, []], [3.5, PAPER, dash]]
    : [[3.5, INK, []], [1.5, PAPER, dash]];
  for (const [width, colour, dashes] of layers) {
    c.lineWidth = width;
    c.strokeStyle = colour;
    c.setLineDash(dashes);
    c.stroke();
  }
  c.setLineDash([]);
}

function dot(c, [x, y], radius, inner, outer = INK) {
  c.beginPath();
  c.arc(x, y, radius + 1.5, 0, 2 * Math.PI);
  c.fillStyle = outer;
  c.fill();
  c.beginPath();
  c.arc(x, y, radius, 0, 2 * Math.PI);
  c.fillStyle = inner;
  c.fill();
}

function square(c, [x, y], half, inner, outer = INK) {
  c.fillStyle = outer;
  c.fillRect(x - half - 1.5, y - half - 1.5, 2 * half + 3, 2 * half + 3);
  c.fillStyle = inner;
  c.fillRect(x - half, y - half, 2 * half, 2 * half);
}

function paintHandles(m, c, at, polygon) {
  const points = polygon.map(at);
  if (m.tool !== "move") return;
  points.forEach((p, i) => {
    const next = points[(i + 1) % points.length];
    // A small plus where a point can be put in, on edges long enough to tell it from their ends.
    if (apart(p, next) > 44) paintPlus(c, middle(p, next));
  });
  // Where points crowd, smaller dots leave the line to be seen.
  const crowded = (i) => apart(points[i], points[(i + points.length - 1) % points.length]) < 13;
  points.forEach((p, i) => (i === m.point ? square(c, p, 7, INK, PAPER) : square(c, p, crowded(i) ? 2.5 : 5, PAPER)));
}

function paintPlus(c, [x, y]) {
  for (const [width, colour] of [[4, INK], [1.75, PAPER]]) {
    c.lineWidth = width;
    c.strokeStyle = colour;
    c.beginPath();
    c.moveTo(x - 5, y);
    c.lineTo(x + 5, y);
    c.moveTo(x, y - 5);
    c.lineTo(x, y + 5);
    c.stroke();
  }
}

function paintStroke(c, points, kind) {
  const include = kind !== "exclude";
  const drawn = points.length > 1 ? points : [points[0], [points[0][0] + 0.1, points[0][1]]];
  c.beginPath();
  drawn.forEach(([x, y], i) => (i ? c.lineTo(x, y) : c.moveTo(x, y)));
  c.lineCap = c.lineJoin = "round";
  // Taken in: a solid white band. Left out: a black one with white bars across it.
  for (const [width, colour, dashes, cap] of include
    ? [[14, "rgba(17, 17, 17, 0.55)", [], "round"], [10, "rgba(255, 255, 255, 0.8)", [], "round"]]
    : [[14, "rgba(255, 255, 255, 0.8)", [], "round"], [10, "rgba(17, 17, 17, 0.85)", [], "round"], [10, PAPER, [2, 9], "butt"]]) {
    c.lineWidth = width;
    c.lineCap = cap;
    c.strokeStyle = colour;
    c.setLineDash(dashes);
    c.stroke();
  }
  c.setLineDash([]);
}

function paintDraft(m, c, at) {
  if (!m.draft.length) return;
  const points = m.draft.map(at);
  const tip = m.tool === "outline" && (m.hover || m.crosshair);
  line(c, tip ? [...points, at(tip)] : points, { accent: true });
  points.forEach((p, i) => dot(c, p, i === 0 && points.length > 2 ? 8 : 4.5, i === 0 ? INK : PAPER, i === 0 ? PAPER : INK));
}

function paintCrosshair(c, [x, y]) {
  for (const [width, colour] of [[4, INK], [1.5, PAPER]]) {
    c.lineWidth = width;
    c.strokeStyle = colour;
    c.beginPath();
    for (const [dx, dy] of [[1, 0], [-1, 0], [0, 1], [0, -1]]) {
      c.moveTo(x + 5 * dx, y + 5 * dy);
      c.lineTo(x + 17 * dx, y + 17 * dy);
    }
    c.stroke();
  }
}

// The number of each thing, once, where it covers little: beside cards, inside everything else.
function paintNumbers(m, c) {
  c.font = `600 14px ${m.font}`;
  c.textBaseline = "middle";
  c.textAlign = "center";
  const taken = [];
  groupsOf(m).forEach((group, i) => {
    if (isFound(m, group[0]) && m.refused.has(group[0].set)) return;
    const selected = group.some((mark) => mark.id === m.selected);
    const at = placeOfNumber(m, group, taken);
    taken.push(at);
    dot(c, at, BADGE, selected ? INK : PAPER, INK);
    if (selected) {
      c.strokeStyle = PAPER;
      c.lineWidth = 2;
      c.beginPath();
      c.arc(...at, BADGE, 0, 2 * Math.PI);
      c.stroke();
    }
    c.fillStyle = selected ? PAPER : INK;
    c.fillText(`${i + 1}`, at[0], at[1] + 1);
  });
  c.textAlign = "start";
}

function placeOfNumber(m, group, taken) {
  const shapes = group.map((mark) => shownPolygon(m, mark));
  const [width, height] = [m.stage.clientWidth, m.stage.clientHeight];
  const kept = ([x, y]) => [clamp(x, BADGE + 4, Math.max(BADGE + 4, width - BADGE - 4)), clamp(y, BADGE + 4, Math.max(BADGE + 4, height - BADGE - 4))];
  const free = (p) => taken.every((other) => apart(other, p) > 2 * BADGE + 4);
  const places = group[0].kind === "card" ? besideOf(shapes.flat().map((p) => toScreen(m, p))) : insideOf(m, shapes);
  return places.map(kept).find(free) ?? kept(places[0]);
}

function besideOf(points) {
  const [xs, ys] = [0, 1].map((k) => points.map((p) => p[k]));
  const [left, right, top, bottom] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const off = BADGE + 8;
  return [[left - off, (top + bottom) / 2], [right + off, (top + bottom) / 2], [(left + right) / 2, top - off], [(left + right) / 2, bottom + off]];
}

function insideOf(m, polygons) {
  const polygon = polygons.toSorted((a, b) => areaOf(b) - areaOf(a))[0];
  const cards = m.marks.filter((mark) => mark.kind === "card").map((mark) => toScreen(m, centreOf(mark.polygon)));
  const places = roomyPlaces(polygon).map((p) => toScreen(m, p));
  return [...places.filter((p) => !cards.some((card) => apart(p, card) < 4 * BADGE)), toScreen(m, polygon[0])];
}

// Where precision counts: under a finger or pointer that is placing or dragging a point, and at the keyboard's cursor.
function loupePoint(m) {
  if (!m.ready) return null;
  if (m.gesture?.kind === "point") return m.gesture.polygon[m.point];
  if (m.gesture?.kind === "place") return m.gesture.at;
  if (m.tool === "outline" && m.draft.length) return m.hover || m.crosshair;
  if (m.tool === "outline") return m.crosshair;
  return m.tool === "move" && m.point !== null && m.byKeyboard ? (editable(m)?.polygon[m.point] ?? null) : null;
}

function paintLoupe(m, c, p) {
  const [sx, sy] = toScreen(m, p);
  const reach = LOUPE.radius + LOUPE.margin;
  const x = sx < m.stage.clientWidth / 2 ? m.stage.clientWidth - reach : reach;
  const y = sy < 2 * reach + LOUPE.margin ? Math.min(m.stage.clientHeight - reach, m.stage.clientHeight / 2) : reach;
  const scale = Math.min(m.view.scale * LOUPE.zoom, MOST_ZOOM * 1.5);
  c.save();
  c.beginPath();
  c.arc(x, y, LOUPE.radius, 0, 2 * Math.PI);
  c.fillStyle = "#b9b9b9";
  c.fill();
  c.clip();
  paintScene({ ...m, crosshair: null, selected: m.gesture?.kind === "point" ? m.selected : null }, c, { scale, x: x - p[0] * scale, y: y - p[1] * scale });
  c.restore();
  for (const [width, colour] of [[5, INK], [2, PAPER]]) {
    c.lineWidth = width;
    c.strokeStyle = colour;
    c.beginPath();
    c.arc(x, y, LOUPE.radius, 0, 2 * Math.PI);
    c.stroke();
  }
  paintCrosshair(c, [x, y]);
}
