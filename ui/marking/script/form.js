// The form of the chosen outline: what it is, and what that kind of thing has.

function buildForm(m) {
  const w = m.words;
  const parts = m.parts;
  const control = (tag, field, more = {}) =>
    element(tag, { onchange: (e) => describe(m, field, e.target.value), ...more });
  parts.fields = {
    kind: control("select", "kind"),
    name: control("input", "name", { type: "text", maxlength: "80", autocomplete: "off", list: "givens-names" }),
    material: control("select", "material"),
    role: control("select", "role"),
    reference: control("select", "reference"),
    reflectance: control("input", "reflectance", { type: "number", min: "0.01", max: "1", step: "0.01" }),
    reflectances: control("input", "reflectances", { type: "text", maxlength: "200", autocomplete: "off" }),
    on: control("select", "on"),
  };
  parts.labels = Object.fromEntries(
    Object.entries(parts.fields).map(([field, made]) => [field, labelled(w.fields[field], made)]),
  );
  parts.paint = paintPicker(m, {
    label: w.fields.paint,
    code: () => markOf(m, m.selected)?.paint,
    choose: (code) => describe(m, "paint", code),
  });
  [parts.fields.paint, parts.labels.paint] = [parts.paint.input, parts.paint.node];
  parts.removePoint = button(w.remove_point, () => removePoint(m));
  parts.remove = button(w.remove, () => removeSelected(m));
  parts.together = button(w.as_set, () => select(m, m.selected, { single: false }), { class: "plain" });
  parts.formTitle = element("h3", { class: "whole-row" });
  parts.formSays = element("p", { class: "small whole-row" });
  parts.form = element(
    "div",
    { class: "form", role: "group", "aria-label": w.form },
    parts.formTitle,
    parts.formSays,
    ...Object.values(parts.labels),
    element("datalist", { id: "givens-names" }, ...[...new Set([...Object.keys(m.known), ...w.names])].map((value) => element("option", { value }))),
    buildStrip(m),
    element("div", { class: "group apart" }, parts.removePoint, parts.remove, parts.together),
  );
  parts.empty = element("p", { class: "empty" });
  parts.next = button("", () => goTo(m, nextPhoto(m).sha), { class: "main-action wide" });
  return element("div", { class: "formed" }, parts.form, parts.empty, parts.next);
}

const SHOWN = {
  surface: ["kind", "name", "material"],
  card: ["kind", "reference", "reflectance", "on"],
  // Of a scale each step reflects something else; a chart is known.
  "grey scale": ["kind", "reference", "reflectances", "on"],
  "chart 24": ["kind", "reference", "on"],
  // The deck knows its colour.
  "paint chip": ["kind", "reference", "paint", "on"],
  unsaid: ["kind", "reference", "on"],
  area: ["kind", "role"],
  hole: ["kind", "role"],
};

// What holds for a surface holds for all its parts. A role is that of one outline, and of what is left out of it.
function describe(m, field, value) {
  const mark = markOf(m, m.selected);
  if (!mark) return;
  let given = value;
  if (field === "name") given = value.trim().slice(0, 80);
  if (field === "reflectance") given = clamp(Number(value) || 0, 0.01, 1);
  if (field === "reflectances") given = numbersIn(value);
  if (field === "name" && !given) return refresh(m);
  if (["role", "reference"].includes(field) && !given) return refresh(m);
  const together = field === "kind" || field === "role" || mark.kind === "card" ? [mark] : partsOf(m, mark);
  if (field === "role" && mark.kind === "area") {
    together.push(...m.marks.filter((hole) => hole.kind === "hole" && hole.role === mark.role && isInside(centreOf(hole.polygon), mark.polygon)));
  }
  // A card stays on the surface it lies on, whatever that is called.
  const follows = (other) => field === "name" && mark.kind === "surface" && other.on === mark.name;
  change(
    m,
    m.marks.map((other) => {
      if (together.includes(other)) return described(m, other, field, given);
      return follows(other) ? { ...other, on: given } : other;
    }),
  );
  say(m, m.words.described);
}

const unsaidMaterial = (m) => Object.keys(m.words.materials).at(-1);

const numbersIn = (text) => {
  const found = text.split(/[\s,;]+/).map(Number).filter((value) => value > 0 && value <= 1);
  return found.length ? found : undefined;
};

function described(m, mark, field, value) {
  if (field !== "kind") {
    const changed = { ...mark, [field]: value || undefined };
    // What is called as on another photo is the same there and here.
    if (field === "name" && m.known[value] && mark.material === unsaidMaterial(m)) changed.material = m.known[value];
    if (field === "reference") [changed.reflectance, changed.reflectances, changed.paint] = [m.words.reflectances[value] ?? undefined];
    return changed;
  }
  const fresh = newMark(m, value);
  return { ...fresh, ...(mark.kind === value && mark.name ? { name: mark.name } : {}), id: mark.id, polygon: mark.polygon };
}

function refreshForm(m) {
  const { parts, words: w } = m;
  const mark = markOf(m, m.selected);
  // While something new is drawn, the form of another outline would only mislead.
  const drawing = m.draft.length > 0 || m.strokes.length > 0 || (m.tool !== "move" && !m.readOnly);
  const single = mark && !shownSet(m);
  parts.form.hidden = !single || drawing;
  parts.empty.hidden = Boolean(mark) || drawing;
  const done = m.photos.find((photo) => photo.sha === m.here)?.state === "done";
  const next = nextPhoto(m);
  parts.next.hidden = parts.empty.hidden || !done || !next;
  parts.next.textContent = next ? fill(w.next_photo, { title: next.title }) : "";
  parts.empty.textContent = m.marks.length ? w.none_selected : openFound(m).length ? w.none_confirmed : w.none_yet;
  if (!single) return;
  const together = partsOf(m, mark);
  const part = together.length > 1 && mark.kind !== "card" ? ` ${fill(w.part, { part: together.indexOf(mark) + 1, count: together.length })}` : "";
  parts.formTitle.textContent = capital(titleOf(m, mark)) + part;
  parts.formSays.textContent = isSaid(m, mark) ? "" : w.unsaid[mark.kind === "hole" && mark.role ? "hole_alone" : mark.kind];
  parts.formSays.hidden = isSaid(m, mark);
  parts.together.hidden = m.readOnly || mark.kind !== "card" || together.length < 2;
  const shown = (mark.kind === "card" && SHOWN[mark.reference ?? "unsaid"]) || SHOWN[mark.kind];
  for (const [field, label] of Object.entries(parts.labels)) label.hidden = !shown.includes(field);
  // The chips of a strip have a paint each.
  if (m.strip) parts.labels.paint.hidden = true;
  options(parts.fields.kind, Object.entries(w.kinds), mark.kind);
  options(parts.fields.material, Object.entries(w.materials), mark.material);
  const choose = (said) => (said ? [] : [["", w.choose]]);
  options(parts.fields.role, [...choose(mark.role), ...Object.entries(w.roles)], mark.role ?? "");
  options(parts.fields.reference, [...choose(mark.reference), ...Object.entries(w.references)], mark.reference ?? "");
  options(parts.fields.on, placesFor(m).slice(1), mark.on ?? "");
  const active = m.root.activeElement;
  if (active !== parts.fields.name) parts.fields.name.value = mark.name;
  if (active !== parts.fields.reflectance) parts.fields.reflectance.value = mark.reflectance ?? "";
  if (active !== parts.fields.reflectances) parts.fields.reflectances.value = (mark.reflectances ?? []).join(", ");
  parts.paint.refresh();
  refreshStrip(m, mark);
  for (const made of Object.values(parts.fields)) made.disabled = m.readOnly;
  parts.remove.hidden = parts.removePoint.hidden = m.readOnly;
  parts.removePoint.disabled = m.point === null;
}

