// What is being drawn and not yet a mark: an outline point by point, or strokes and what they propose.

function placePoint(m, p) {
  const point = within(m, p);
  const last = m.draft[m.draft.length - 1];
  if (last && apart(last, point) * m.view.scale < 2) return;
  if (m.draft.length > 1 && lastEdgeCrosses(m.draft, point)) return say(m, m.words.would_cross);
  m.draft.push(point);
  say(m, fill(m.draft.length < 3 ? m.words.point_placed : m.words.point_placed_closable, { count: m.draft.length }));
  return refresh(m);
}

function closeDraft(m) {
  if (m.draft.length < 3) return say(m, m.words.three_points);
  if (crossesItself(m.draft)) return say(m, m.words.would_cross);
  if (areaOf(m.draft) < 4) return say(m, m.words.too_small);
  const polygon = m.draft;
  m.draft = [];
  return addOutlines(m, [polygon]);
}

function takeBackPoint(m) {
  m.draft.pop();
  say(m, fill(m.words.point_taken_back, { count: m.draft.length }));
  refresh(m);
}

function nearFirst(m, screen, touch) {
  return m.draft.length >= 3 && apart(screen, toScreen(m, m.draft[0])) <= (touch ? 24 : 14);
}

function addStroke(m, points) {
  const kind = m.tool === "exclude" ? "exclude" : "include";
  if (kind === "exclude" && !m.strokes.some((stroke) => stroke.kind === "include")) return say(m, m.words.brush_first);
  m.strokes.push({ kind, points: points.map((p) => within(m, p)) });
  return askProposal(m);
}

function takeBackStroke(m) {
  m.strokes.pop();
  if (!m.strokes.some((stroke) => stroke.kind === "include")) return discard(m);
  say(m, m.words.stroke_taken_back);
  return askProposal(m);
}

function askProposal(m) {
  if (!m.strokes.length) return;
  const lines = (kind) => m.strokes.filter((stroke) => stroke.kind === kind).map((stroke) => stroke.points);
  const [, target] = m.making.split(":");
  m.serial.stroke = Math.max(m.serial.stroke, m.heard.stroke) + 1;
  m.waiting = true;
  say(m, m.words.looking);
  m.set("stroke", {
    serial: m.serial.stroke,
    include: lines("include"),
    exclude: lines("exclude"),
    tolerance: m.tolerance,
    target: target || null,
  });
  refresh(m);
}

function keepProposal(m) {
  if (!m.proposed.length) return;
  const outlines = m.proposed;
  clearStrokes(m);
  addOutlines(m, outlines);
}

function discard(m) {
  clearStrokes(m);
  say(m, m.words.discarded);
  refresh(m);
}

function clearStrokes(m) {
  m.strokes = [];
  m.proposed = [];
  m.waiting = false;
  m.keyStroke = null;
}

function cancelDraft(m) {
  if (m.strokes.length || m.keyStroke) return discard(m);
  if (m.draft.length) {
    m.draft = [];
    say(m, m.words.discarded);
  } else if (m.point !== null) m.point = null;
  else if (m.selected !== null) return select(m, null);
  return refresh(m);
}

function useTool(m, tool) {
  if (m.tool === tool) return;
  // What is half drawn stays: it is finished or thrown away on purpose only.
  m.point = null;
  m.tool = tool;
  say(m, m.words.tool_hints[tool]);
  refresh(m);
}
