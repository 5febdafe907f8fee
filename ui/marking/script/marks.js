// The marks themselves: their undo history, and what travels to the server and back.

const FIELDS = ["id", "kind", "name", "material", "role", "reference", "reflectance", "reflectances", "paint", "on"];
const RESEND_MS = 5000;

// One form for a mark whoever wrote it, so that two can be compared.
function plain(mark) {
  const kept = {};
  // Only surfaces have names of their own.
  const given = mark.kind === "surface" ? mark : { ...mark, name: mark.reference ?? mark.role };
  for (const field of FIELDS) if (given[field] !== undefined && given[field] !== null) kept[field] = given[field];
  kept.polygon = mark.polygon.map(([x, y]) => [tenth(x), tenth(y)]);
  return kept;
}

const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);
const byId = (marks) => marks.toSorted((a, b) => (a.id < b.id ? -1 : 1));
// The store keeps kinds together: in what order marks come says nothing.
const sameMarks = (a, b) => same(byId(a), byId(b));
const markOf = (m, id) => m.marks.find((mark) => mark.id === id);
// Outlines of one surface or area are its parts; every card is one for itself.
const groupKey = (mark) => `${mark.kind} ${mark.kind === "card" ? mark.id : (mark.role ?? mark.name)}`;
const partsOf = (m, mark) => m.marks.filter((other) => groupKey(other) === groupKey(mark));

function numberOf(m, mark) {
  return [...new Set(m.marks.map(groupKey))].indexOf(groupKey(mark)) + 1;
}

function titleOf(m, mark) {
  if (mark.kind === "area") return m.words.roles[mark.role];
  if (mark.kind === "hole") return fill(m.words.hole_title, { role: m.words.roles[mark.role] });
  if (mark.kind === "card") return mark.paint ?? m.words.references[mark.reference];
  return mark.name;
}

function detailOf(m, mark) {
  if (mark.kind === "surface") return m.words.materials[mark.material];
  if (mark.reference !== "paint chip") return m.words.kinds[mark.kind];
  if (!mark.paint) return m.words.paint_none;
  return m.paints[mark.paint]?.name ?? m.words.paint_gone;
}

function change(m, marks) {
  m.past.push(m.marks);
  m.future = [];
  put(m, marks.map(plain));
}

function put(m, marks) {
  m.marks = marks;
  if (!markOf(m, m.selected)) m.selected = null;
  m.point = null;
  m.unsent = true;
  send(m);
  refresh(m);
}

function stepBack(m) {
  if (m.draft.length) return takeBackPoint(m);
  if (m.strokes.length) return takeBackStroke(m);
  if (!m.past.length || m.readOnly) return undefined;
  m.future.push(m.marks);
  say(m, m.words.undone);
  return put(m, m.past.pop());
}

function stepForward(m) {
  if (!m.future.length || m.readOnly) return;
  m.past.push(m.marks);
  say(m, m.words.redone);
  put(m, m.future.pop());
}

const isUnderWay = (m) => m.serial.marks > m.heard.marks;

// One change is under way at a time: the next goes out on top of the revision that the server answers with. Where no
// answer comes, because a run was broken off, it goes out again.
function send(m) {
  clearTimeout(m.resend);
  if (!m.unsent && !isUnderWay(m)) return;
  const left = isUnderWay(m) ? m.sentAt + RESEND_MS - Date.now() : 0;
  if (left > 0) {
    m.resend = setTimeout(() => send(m), left);
    return;
  }
  m.unsent = false;
  m.sentAt = Date.now();
  m.sent = m.marks;
  m.serial.marks = Math.max(m.serial.marks, m.heard.marks) + 1;
  m.set("marks", { serial: m.serial.marks, base_revision: m.revision, marks: m.marks });
}

// Take what the server sends, without losing what it has not heard of yet.
function receive(m, data) {
  m.heard = data.heard;
  const stored = data.marks.map(plain);
  if (data.revision > m.revision) {
    if (!isUnderWay(m) && !m.unsent) {
      if (!sameMarks(stored, m.marks)) {
        // Somebody else's marks, or ones that Python wrote: undo gives back what was here.
        m.past.push(m.marks);
        m.future = [];
        m.marks = stored;
        m.point = null;
        if (!markOf(m, m.selected)) m.selected = null;
        cancelGesture(m);
      }
      m.revision = data.revision;
    } else if (sameMarks(stored, m.sent)) {
      m.revision = data.revision;
    }
  }
  // A choice made since the server looked is newer than the one it sends.
  if (data.selected !== m.givenSelected && m.heard.selected >= m.serial.selected) {
    m.givenSelected = data.selected;
    if (data.selected !== m.selected && (data.selected === null || markOf(m, data.selected))) {
      m.selected = data.selected;
      m.point = null;
    }
  }
  if (m.strokes.length && data.proposal && data.proposal.serial === m.serial.stroke) {
    const first = m.waiting;
    m.waiting = false;
    m.proposed = data.proposal.outlines;
    if (first) say(m, proposedWords(m));
  }
  receiveStrip(m, data.strip);
  send(m);
}

function proposedWords(m) {
  const count = m.proposed.length;
  if (!count) return m.words.nothing_found;
  return count === 1 ? m.words.proposed : fill(m.words.proposed_parts, { count });
}

function select(m, id) {
  if (m.selected === id) return;
  m.selected = id;
  m.point = null;
  tellSelected(m);
  const mark = markOf(m, id);
  if (mark) say(m, fill(m.words.selected_now, { name: titleOf(m, mark), count: mark.polygon.length }));
  refresh(m);
}

function tellSelected(m) {
  m.serial.selected += 1;
  m.set("selected", { serial: m.serial.selected, id: m.selected });
}

function removeSelected(m) {
  const mark = markOf(m, m.selected);
  if (!mark || m.readOnly) return;
  const name = titleOf(m, mark);
  change(m, m.marks.filter((other) => other !== mark));
  say(m, fill(m.words.removed, { name }));
}

function removePoint(m) {
  const mark = markOf(m, m.selected);
  if (!mark || m.point === null || m.readOnly) return;
  const polygon = mark.polygon.filter((_, i) => i !== m.point);
  if (polygon.length < 3) return say(m, m.words.three_points);
  if (crossesItself(polygon)) return say(m, m.words.would_cross);
  say(m, m.words.point_removed);
  return reshape(m, mark, polygon);
}

function reshape(m, mark, polygon, point = null) {
  change(m, m.marks.map((other) => (other === mark ? { ...mark, polygon } : other)));
  m.point = point;
  refresh(m);
}

// What a new outline will be: a new mark of a kind, or one more part of a surface there is.
function addOutlines(m, outlines) {
  const [kind, id] = m.making.split(":");
  const model = markOf(m, id);
  const base = model ? { ...model } : newMark(m, kind);
  const added = outlines.map((polygon) => ({ ...base, id: freshId(), polygon }));
  m.selected = added[0].id;
  change(m, [...m.marks, ...added]);
  tellSelected(m);
  say(m, fill(m.words.added, { name: titleOf(m, added[0]) }));
}

function newMark(m, kind) {
  const mark = { kind };
  if (kind === "surface") [mark.name, mark.material] = [newName(m), Object.keys(m.words.materials).at(-1)];
  if (kind === "area" || kind === "hole") mark.role = Object.keys(m.words.roles)[0];
  if (kind === "card") [mark.reference, mark.reflectance] = ["grey card", m.words.reflectances["grey card"]];
  return mark;
}

// The same name on another photo would be the same surface: a new one must not take it by chance.
function newName(m) {
  const names = new Set([...m.known, ...m.marks.map((mark) => mark.name)]);
  let count = 1;
  while (names.has(fill(m.words.new_name, { count }))) count += 1;
  return fill(m.words.new_name, { count });
}

const freshId = () => "m" + Array.from(crypto.getRandomValues(new Uint8Array(6)), (b) => b.toString(16).padStart(2, "0")).join("");
const fill = (text, values) => text.replace(/\{(\w+)\}/g, (whole, key) => (key in values ? values[key] : whole));
