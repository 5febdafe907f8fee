// Everything on the stage is one canvas: photo, outlines, drafts, names, loupe.

const INK = "#111";
const PAPER = "#fff";
// The one accent: for what is selected. The outlines themselves are white in black, and stand off any photo.
const ACCENT = "#0a5ea8";
// Surfaces are told apart by number and by dash, so that no hue lies beside the colours to be judged.
const DASHES = [[], [12, 5], [3, 4], [14, 4, 3, 4], [6, 3]];
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
  paintNames(m, c);
  const p = loupePoint(m);
  if (p) paintLoupe(m, c, p);
}

function paintScene(m, c, view) {
  const at = (p) => [p[0] * view.scale + view.x, p[1] * view.scale + view.y];
  c.imageSmoothingEnabled = view.scale < 3;
  if (m.ready) c.drawImage(m.image, view.x, view.y, m.size[0] * view.scale, m.size[1] * view.scale);
  for (const mark of m.marks) if (mark.id !== m.selected) paintOutline(m, c, at, mark, false);
  const selected = markOf(m, m.selected);
  if (selected) {
    paintOutline(m, c, at, selected, true);
    if (!m.readOnly) paintHandles(m, c, at, shownPolygon(m, selected));
  }
  for (const outline of m.proposed) line(c, outline.map(at), { closed: true, dash: [8, 6], accent: true, fill: true });
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
    line(c, points, { closed: true, dash: [8, 6], accent: true });
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
  const dash = DASHES[(numberOf(m, mark) - 1) % DASHES.length];
  line(c, shownPolygon(m, mark).map(at), { closed: true, dash, accent: selected });
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
    ? [[6, INK, []], [4.5, PAPER, []], [2.5, ACCENT, dash]]
    : [[3.5, INK, []], [1.75, PAPER, dash]];
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
  points.forEach((p, i) => (i === m.point ? dot(c, p, 7, ACCENT, PAPER) : dot(c, p, crowded(i) ? 2.5 : 4.5, PAPER)));
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
  points.forEach((p, i) => dot(c, p, i === 0 && points.length > 2 ? 8 : 4.5, i === 0 ? ACCENT : PAPER, i === 0 ? PAPER : INK));
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

function paintNames(m, c) {
  c.font = `600 13px ${m.font}`;
  c.textBaseline = "middle";
  const taken = [];
  for (const mark of m.marks) {
    const top = shownPolygon(m, mark).map((p) => toScreen(m, p)).reduce((a, b) => (b[1] < a[1] ? b : a));
    // The first part carries the name, the others its number; so do cards, which are small and would be covered.
    const named = mark.kind === "card" ? mark.id === m.selected : partsOf(m, mark)[0] === mark;
    const text = named ? `${numberOf(m, mark)}  ${titleOf(m, mark)}` : `${numberOf(m, mark)}`;
    const width = c.measureText(text).width + 14;
    const box = {
      x: clamp(top[0] - width / 2, 4, Math.max(4, m.stage.clientWidth - width - 4)),
      y: clamp(top[1] - 30, 4, m.stage.clientHeight - 28),
      width,
    };
    while (taken.some((b) => Math.abs(b.y - box.y) < 26 && box.x < b.x + b.width + 3 && b.x < box.x + box.width + 3)) box.y += 26;
    taken.push(box);
    const selected = mark.id === m.selected;
    c.fillStyle = selected ? ACCENT : "rgba(17, 17, 17, 0.84)";
    c.beginPath();
    c.roundRect(box.x, box.y, width, 23, 4);
    c.fill();
    if (selected) {
      c.strokeStyle = PAPER;
      c.lineWidth = 1.5;
      c.stroke();
    }
    c.fillStyle = PAPER;
    c.fillText(text, box.x + 7, box.y + 12);
  }
}

// Where precision counts: under a finger or pointer that is placing or dragging a point, and at the keyboard's cursor.
function loupePoint(m) {
  if (!m.ready) return null;
  if (m.gesture?.kind === "point") return m.gesture.polygon[m.point];
  if (m.gesture?.kind === "place") return m.gesture.at;
  if (m.tool === "outline" && m.draft.length) return m.hover || m.crosshair;
  if (m.tool === "outline") return m.crosshair;
  return m.tool === "move" && m.point !== null && m.byKeyboard ? markOf(m, m.selected).polygon[m.point] : null;
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
