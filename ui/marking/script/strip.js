// A strip of paint chips, outlined as one: how many lie on it, where each is, which paint each has. Then a mark a chip.

function beginStrip(m) {
  const mark = markOf(m, m.selected);
  if (mark.polygon.length !== 4) return say(m, m.words.strip_corners, true);
  m.strip = { id: mark.id, polygon: mark.polygon, paints: [], outlines: [], turned: false };
  return askStrip(m);
}

// What is even on the strip is not even in its picture: the server says where the chips lie.
function askStrip(m) {
  m.serial.strip = Math.max(m.serial.strip, m.heard.strip) + 1;
  m.set("strip", { serial: m.serial.strip, polygon: m.strip.polygon, count: m.stripCount });
  refresh(m);
}

function countStrip(m, text) {
  const [fewest, most] = m.words.strip_counts;
  const count = Math.round(Number(text));
  if (!m.strip || !(count >= fewest && count <= most) || count === m.stripCount) return;
  m.stripCount = count;
  askStrip(m);
}

function turnStrip(m) {
  m.strip.turned = !m.strip.turned;
  refresh(m);
}

const chipsOfStrip = (m) => (m.strip.turned ? m.strip.outlines.toReversed() : m.strip.outlines);

function receiveStrip(m, answer) {
  if (m.strip && answer && answer.serial === m.serial.strip) m.strip.outlines = answer.outlines;
}

// A strip that was given up, reshaped, or made something else meanwhile.
function keepUpStrip(m) {
  if (!m.strip) return;
  const mark = markOf(m, m.strip.id);
  if (m.readOnly || mark?.id !== m.selected || mark.reference !== "paint chip" || mark.polygon.length !== 4) m.strip = null;
  else if (!same(mark.polygon, m.strip.polygon)) {
    m.strip.polygon = mark.polygon;
    askStrip(m);
  }
}

function splitStrip(m) {
  const strip = markOf(m, m.strip.id);
  const chips = chipsOfStrip(m).map((outline, i) => ({
    ...strip,
    id: freshId(),
    polygon: outline.map((p) => within(m, p)),
    paint: m.strip.paints[i],
  }));
  m.strip = null;
  m.tool = "move";
  m.selected = (chips.find((chip) => !chip.paint) ?? chips[0]).id;
  change(m, m.marks.flatMap((mark) => (mark === strip ? chips : [mark])));
  tellSelected(m);
  say(m, fill(m.words.strip_was_split, { count: chips.length }));
}

function giveUpStrip(m) {
  m.strip = null;
  say(m, m.words.discarded);
  refresh(m);
}
