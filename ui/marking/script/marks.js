// The marks themselves: their undo history, and what travels to the server and back.

const FIELDS = ["id", "kind", "name", "material", "role", "reference", "reflectance", "reflectances", "paint", "on", "set"];
const RESEND_MS = 5000;

// One form for a mark whoever wrote it, so that two can be compared.
function plain(mark) {
  const kept = {};
  // Only surfaces have names of their own.
  const given = mark.kind === "surface" ? mark : { ...mark, name: mark.reference ?? mark.role ?? mark.kind };
  for (const field of FIELDS) if (given[field] !== undefined && given[field] !== null) kept[field] = given[field];
  kept.polygon = mark.polygon.map(([x, y]) => [tenth(x), tenth(y)]);
  return kept;
}

const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);
const byId = (marks) => marks.toSorted((a, b) => (a.id < b.id ? -1 : 1));
// Which cards are a set is seen anew by the server: no part of what is stored.
const withoutSet = ({ set, ...mark }) => mark;
// The store keeps kinds together: in what order marks come says nothing.
const sameMarks = (a, b) => same(byId(a).map(withoutSet), byId(b).map(withoutSet));
const markOf = (m, id) => m.marks.find((mark) => mark.id === id) ?? openFound(m).find((mark) => mark.id === id);
// Outlines of one surface or area are its parts, cards side by side those of a set; what is not said yet is one alone.
const groupKey = (mark) => `${mark.kind} ${mark.kind === "card" ? (mark.set ?? mark.id) : (mark.role ?? (mark.kind === "surface" ? mark.name : mark.id))}`;
const partsOf = (m, mark) => m.marks.filter((other) => groupKey(other) === groupKey(mark));

// A kind alone is not enough: a card whose kind nobody said, or an area without its role, stays here until it is said.
function isSaid(m, mark) {
  if (mark.kind === "card") return Boolean(mark.reference);
  if (mark.kind === "hole") return Boolean(mark.role) && m.marks.some((area) => area.kind === "area" && area.role === mark.role);
  return mark.kind === "surface" || Boolean(mark.role);
}

const saidMarks = (m) => m.marks.filter((mark) => isSaid(m, mark));

// Everything in the photo, what is to be confirmed first, as groups of marks that are one thing.
function groupsOf(m) {
  const groups = new Map();
  for (const mark of [...openFound(m), ...m.marks]) {
    if (!groups.has(groupKey(mark))) groups.set(groupKey(mark), []);
    groups.get(groupKey(mark)).push(mark);
  }
  return [...groups.values()];
}

function numberOf(m, mark) {
  return groupsOf(m).findIndex((group) => groupKey(group[0]) === groupKey(mark)) + 1;
}

function titleOf(m, mark) {
  if (!isFound(m, mark) && mark.kind !== "surface" && !(mark.role ?? mark.reference)) return m.words.kinds[mark.kind];
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
  const next = marks.map(plain);
  // What changes nothing is no step to undo.
  if (same(next, m.marks)) return refresh(m);
  m.past.push(m.marks);
  m.future = [];
  return put(m, next);
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
  put(m, m.past.pop());
  // Cards whose confirmation is taken back wait to be confirmed again.
  m.selected ??= firstToConfirm(m);
  say(m, m.words.undone);
  return refresh(m);
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
  m.sent = saidMarks(m);
  m.serial.marks = Math.max(m.serial.marks, m.heard.marks) + 1;
  m.set("marks", { serial: m.serial.marks, base_revision: m.revision, marks: m.sent });
}

// Take what the server sends, without losing what it has not heard of yet.
function receive(m, data) {
  const answered = data.heard.marks > m.heard.marks;
  m.heard = data.heard;
  const stored = data.marks.map(plain);
  if (data.revision > m.revision) {
    if (!isUnderWay(m) && !m.unsent) {
      if (!sameMarks(stored, saidMarks(m))) {
        // Somebody else's marks: undo gives back what was here. What the store made of our own is no step of anybody's.
        const ours = answered && stored.length > 0 && stored.every((mark) => m.sent.some((other) => other.id === mark.id));
        if (!ours) {
          m.past.push(m.marks);
          m.future = [];
        }
        m.marks = [...stored, ...m.marks.filter((mark) => !isSaid(m, mark))];
        m.point = null;
        if (!markOf(m, m.selected)) m.selected = null;
        cancelGesture(m);
      }
      m.revision = data.revision;
    } else if (sameMarks(stored, m.sent)) {
      m.revision = data.revision;
    }
  }
  if (data.revision === m.revision && !isUnderWay(m) && !m.unsent) {
    if (sameMarks(stored, saidMarks(m))) takeSets(m, stored);
    else if (!same(m.sentTwice, m.sent)) {
      // A run that was broken off has heard of it and stored nothing: once more.
      m.sentTwice = m.sent;
      m.unsent = true;
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
  if (m.waiting && m.heard.stroke >= m.serial.stroke && data.proposal?.serial !== m.serial.stroke && !same(m.askedTwice, m.strokes)) {
    m.askedTwice = [...m.strokes];
    askProposal(m);
  }
  receiveStrip(m, data.strip);
  send(m);
  sendOff(m);
}

function takeSets(m, stored) {
  const sets = new Map(stored.map((mark) => [mark.id, mark.set]));
  m.marks = m.marks.map((mark) => (sets.has(mark.id) ? plain({ ...mark, set: sets.get(mark.id) }) : mark));
}

// What was said here of cards that were found is kept over what the server last heard.
function receiveFound(m, data) {
  // The server no longer sends those that are marked; undo brings them back at once.
  for (const card of data.found.map(plain)) m.proposals.set(card.id, card);
  m.found = [...m.proposals.values()].map((card) => (m.said.has(card.set) ? plain({ ...card, on: m.said.get(card.set) }) : card));
  if ((m.heard.refused ?? 0) >= (m.serial.refused ?? 0)) m.refused = new Set(data.refused);
  // What waits to be confirmed is what one came for.
  if (m.begun || !m.found.length) return;
  m.begun = true;
  if (!m.readOnly) m.selected ??= firstToConfirm(m);
}

const firstToConfirm = (m) => openFound(m).find((card) => !m.refused.has(card.set))?.id ?? null;

function proposedWords(m) {
  const count = m.proposed.length;
  if (!count) return m.words.nothing_found;
  return count === 1 ? m.words.proposed : fill(m.words.proposed_parts, { count });
}

function select(m, id, { single = m.single } = {}) {
  if (m.selected === id && m.single === single) return;
  const [before, now] = [markOf(m, m.selected), markOf(m, id)];
  m.single = single && Boolean(before && now) && groupKey(before) === groupKey(now);
  m.selected = id;
  m.point = null;
  tellSelected(m);
  const mark = markOf(m, id);
  const cards = shownSet(m);
  if (cards) say(m, fill(m.words.set_selected, { name: groupTitle(m, cards) }));
  else if (mark) say(m, fill(m.words.selected_now, { name: titleOf(m, mark), count: mark.polygon.length }));
  refresh(m);
}

function tellSelected(m) {
  m.serial.selected += 1;
  m.set("selected", { serial: m.serial.selected, id: m.selected });
}

function removeSelected(m) {
  const mark = markOf(m, m.selected);
  if (!mark || m.readOnly) return;
  const cards = shownSet(m) ?? [mark];
  if (isFound(m, mark)) {
    refuseSet(m, cards);
    return;
  }
  const name = cards.length > 1 ? groupTitle(m, cards) : titleOf(m, mark);
  change(m, m.marks.filter((other) => !cards.includes(other)));
  say(m, fill(m.words.removed, { name }));
}

// The one outline whose points can be moved: not a whole set, and not what is only proposed.
const editable = (m) => (m.readOnly || shownSet(m) ? undefined : m.marks.find((mark) => mark.id === m.selected));

function removePoint(m) {
  const mark = editable(m);
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
  const base = model ? { ...model } : newMark(m, kind, outlines);
  const added = outlines.map((polygon) => ({ ...base, id: freshId(), polygon }));
  m.selected = added[0].id;
  m.single = true;
  // Its form is there at once; the next outline is something new unless one says otherwise.
  m.tool = "move";
  m.making = `${kind}:`;
  m.calledNext = null;
  m.addedAt = Date.now();
  change(m, [...m.marks, ...added]);
  tellSelected(m);
  say(m, fill(m.words.added, { name: titleOf(m, added[0]) }));
}

// What a card is and which role an area has is asked, never taken for granted.
function newMark(m, kind, outlines = []) {
  const mark = { kind };
  if (kind === "surface") {
    mark.name = nameUnderCards(m, outlines) ?? newName(m);
    mark.material = m.known[mark.name] ?? unsaidMaterial(m);
  }
  return mark;
}

// Cards said to lie on something that is not outlined yet give it its name when it is outlined around or beside them.
function nameUnderCards(m, outlines) {
  const outlined = new Set(m.marks.filter((mark) => mark.kind === "surface").map((mark) => mark.name));
  const cards = m.marks.filter((mark) => mark.kind === "card" && mark.on && !outlined.has(mark.on));
  if (m.calledNext && !outlined.has(m.calledNext)) return m.calledNext;
  const beside = (card) => outlines.some((outline) => {
    const [centre, size] = [centreOf(card.polygon), Math.sqrt(areaOf(card.polygon))];
    return isInside(centre, outline) || outline.some((a, i) => distanceToEdge(centre, a, outline[(i + 1) % outline.length]) < 1.5 * size);
  });
  return cards.find(beside)?.on;
}

// The same name on another photo would be the same surface: a new one must not take it by chance.
function newName(m) {
  const names = new Set([...Object.keys(m.known), ...m.marks.map((mark) => mark.name)]);
  let count = 1;
  while (names.has(fill(m.words.new_name, { count }))) count += 1;
  return fill(m.words.new_name, { count });
}

const freshId = () => "m" + Array.from(crypto.getRandomValues(new Uint8Array(6)), (b) => b.toString(16).padStart(2, "0")).join("");
const fill = (text, values) => text.replace(/\{(\w+)\}/g, (whole, key) => (key in values ? values[key] : whole));
