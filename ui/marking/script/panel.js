// The controls around the stage: tools, what is being drawn, the list of marks, and what the chosen one is.

const TOOLS = ["move", "outline", "include", "exclude"];

function element(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) made.addEventListener(name.slice(2), value);
    else if (value === true) made.setAttribute(name, "");
    else if (value !== false && value !== undefined) made.setAttribute(name, value);
  }
  made.append(...children);
  return made;
}

const button = (label, onclick, more = {}) => element("button", { type: "button", onclick, ...more }, label);

function labelled(label, control) {
  // By the label's words alone: those of a list's entries are no part of its name.
  control.setAttribute("aria-label", label);
  return element("label", { class: "field" }, element("span", {}, label), control);
}

function options(select, entries, chosen) {
  if (!same([...select.options].map((o) => [o.value, o.text]), entries)) {
    select.replaceChildren(...entries.map(([value, text]) => element("option", { value }, text)));
  }
  select.value = chosen;
}

function build(m) {
  const w = m.words;
  const parts = (m.parts = {});
  parts.tools = TOOLS.map((tool) => button(w.tools[tool], () => useTool(m, tool), { "data-tool": tool, title: w.tool_hints[tool] }));
  parts.undo = button(w.undo, () => stepBack(m), { title: w.undo_keys });
  parts.redo = button(w.redo, () => stepForward(m), { title: w.redo_keys });
  const zoom = (factor) => () => zoomAt(m, middleOfStage(m), factor);
  const bar = element(
    "div",
    { class: "bar", role: "toolbar", "aria-label": w.toolbar },
    element("div", { class: "group tools", role: "group", "aria-label": w.tools_group }, ...parts.tools),
    element("div", { class: "group history", role: "group", "aria-label": w.history_group }, parts.undo, parts.redo),
    element(
      "div",
      { class: "group", role: "group", "aria-label": w.view_group },
      button("\u2212", zoom(0.8), { "aria-label": w.zoom_out, title: w.zoom_out, class: "square" }),
      button(w.fit, () => fit(m), { title: w.fit_hint }),
      button("+", zoom(1.25), { "aria-label": w.zoom_in, title: w.zoom_in, class: "square" }),
    ),
  );
  m.canvas = element("canvas", { "aria-hidden": "true" });
  parts.veil = element("p", { class: "veil", role: "status" });
  m.stage = element(
    "div",
    { class: "stage", tabindex: "0", role: "application", "aria-label": w.stage, "aria-describedby": "givens-keys" },
    m.canvas,
    parts.veil,
  );
  m.live = element("p", { class: "says", "aria-live": "polite" });
  parts.list = element("ol", { class: "marks", "aria-label": w.list });
  const side = element("div", { class: "side" }, buildForm(m), element("h3", {}, w.list), parts.list);
  parts.keys = element("details", { class: "keys" }, element("summary", {}, w.keys_title), element("p", { id: "givens-keys" }, w.keys));
  // The style sheet lives in the same root: only our own part is replaced.
  m.root.querySelector(".marking")?.remove();
  m.root.append(
    element("div", { class: "marking" }, element("div", { class: "work" }, element("div", {}, bar, m.stage, m.live, buildDrafts(m)), side), parts.keys),
  );
}

function buildDrafts(m) {
  const w = m.words;
  const parts = m.parts;
  parts.making = element("select", { onchange: (e) => (m.making = e.target.value) });
  parts.outline = element(
    "div",
    { class: "group" },
    button(w.close, () => closeDraft(m), { class: "main-action" }),
    button(w.take_back, () => takeBackPoint(m)),
    button(w.cancel, () => cancelDraft(m)),
  );
  parts.reach = element("input", { type: "range", min: "0", max: "1", step: "0.05", "aria-label": w.reach, oninput: (e) => reach(m, e) });
  parts.keep = button(w.keep, () => keepProposal(m), { class: "main-action" });
  parts.stroke = element(
    "div",
    { class: "group" },
    element("label", { class: "reach" }, element("span", {}, w.reach_less), parts.reach, element("span", {}, w.reach_more)),
    parts.keep,
    button(w.discard, () => discard(m)),
  );
  parts.makingField = labelled(w.making, parts.making);
  parts.drafts = element("div", { class: "bar drafts" }, parts.makingField, parts.outline, parts.stroke);
  return parts.drafts;
}

function reach(m, e) {
  m.tolerance = Number(e.target.value);
  clearTimeout(m.asking);
  m.asking = setTimeout(() => askProposal(m), 60);
}

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
  parts.form = element(
    "div",
    { class: "form", role: "group", "aria-label": w.form },
    ...Object.values(parts.labels),
    element("datalist", { id: "givens-names" }, ...[...new Set([...m.known, ...w.names])].map((value) => element("option", { value }))),
    buildStrip(m),
    element("div", { class: "group" }, parts.removePoint, parts.remove),
  );
  parts.empty = element("p", { class: "empty" });
  return element("div", {}, parts.form, parts.empty);
}

const SHOWN = {
  surface: ["kind", "name", "material"],
  card: ["kind", "reference", "reflectance", "on"],
  // Of a scale each step reflects something else; a chart is known.
  "grey scale": ["kind", "reference", "reflectances", "on"],
  "chart 24": ["kind", "reference", "on"],
  // The deck knows its colour.
  "paint chip": ["kind", "reference", "paint", "on"],
  area: ["kind", "role"],
  hole: ["kind", "role"],
};

// What holds for a surface holds for all its parts.
function describe(m, field, value) {
  const mark = markOf(m, m.selected);
  if (!mark) return;
  let given = value;
  if (field === "name") given = value.trim().slice(0, 80);
  if (field === "reflectance") given = clamp(Number(value) || 0, 0.01, 1);
  if (field === "reflectances") given = numbersIn(value);
  if (field === "name" && !given) return refresh(m);
  const together = field === "kind" || mark.kind === "card" ? [mark] : partsOf(m, mark);
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

const numbersIn = (text) => {
  const found = text.split(/[\s,;]+/).map(Number).filter((value) => value > 0 && value <= 1);
  return found.length ? found : undefined;
};

function described(m, mark, field, value) {
  if (field !== "kind") {
    const changed = { ...mark, [field]: value || undefined };
    if (field === "reference") [changed.reflectance, changed.reflectances, changed.paint] = [m.words.reflectances[value] ?? undefined];
    return changed;
  }
  const fresh = newMark(m, value);
  return { ...fresh, ...(mark.kind === value && mark.name ? { name: mark.name } : {}), id: mark.id, polygon: mark.polygon };
}

function refresh(m) {
  const parts = m.parts;
  const drafting = m.draft.length > 0;
  const brushed = m.strokes.length > 0;
  for (const made of parts.tools) {
    made.setAttribute("aria-pressed", String(made.dataset.tool === m.tool));
    made.hidden = m.readOnly && made.dataset.tool !== "move";
  }
  parts.undo.parentElement.hidden = m.readOnly;
  parts.undo.disabled = !(m.past.length || drafting || brushed);
  parts.redo.disabled = !m.future.length;
  parts.drafts.hidden = m.readOnly || (m.tool === "move" && !drafting && !brushed);
  parts.outline.hidden = !drafting;
  parts.stroke.hidden = !brushed;
  parts.keep.disabled = !m.proposed.length;
  parts.reach.value = m.tolerance;
  m.stage.dataset.tool = m.tool;
  keepUpStrip(m);
  refreshMaking(m);
  refreshForm(m);
  refreshList(m);
  draw(m);
}

function refreshMaking(m) {
  const surfaces = m.marks.filter((mark, i) => m.marks.findIndex((other) => groupKey(other) === groupKey(mark)) === i && mark.kind !== "card");
  const entries = [
    ...Object.entries(m.words.new_kinds).map(([kind, text]) => [`${kind}:`, text]),
    ...surfaces.map((mark) => [`${mark.kind}:${mark.id}`, fill(m.words.more_of, { name: titleOf(m, mark) })]),
  ];
  if (!entries.some(([value]) => value === m.making)) m.making = "surface:";
  options(m.parts.making, entries, m.making);
}

function refreshForm(m) {
  const { parts, words: w } = m;
  const mark = markOf(m, m.selected);
  // While something new is drawn, the form of another outline would only mislead.
  const drawing = m.draft.length > 0 || m.strokes.length > 0;
  parts.form.hidden = !mark || drawing;
  parts.empty.hidden = Boolean(mark) || drawing;
  parts.empty.textContent = m.marks.length ? w.none_selected : w.none_yet;
  if (!mark) return;
  const shown = (mark.kind === "card" && SHOWN[mark.reference]) || SHOWN[mark.kind];
  for (const [field, label] of Object.entries(parts.labels)) label.hidden = !shown.includes(field);
  // The chips of a strip have a paint each.
  if (m.strip) parts.labels.paint.hidden = true;
  const surfaces = [...new Set(m.marks.filter((other) => other.kind === "surface").map((other) => other.name))];
  options(parts.fields.kind, Object.entries(w.kinds), mark.kind);
  options(parts.fields.material, Object.entries(w.materials), mark.material);
  options(parts.fields.role, Object.entries(w.roles), mark.role);
  options(parts.fields.reference, Object.entries(w.references), mark.reference);
  options(parts.fields.on, [["", w.on_nothing], ...surfaces.map((name) => [name, name])], mark.on ?? "");
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

function refreshList(m) {
  const focused = m.root.activeElement?.dataset?.id;
  const rows = m.marks.map((mark) => {
    const together = partsOf(m, mark);
    const title = titleOf(m, mark);
    const part = together.length > 1 ? ` ${fill(m.words.part, { part: together.indexOf(mark) + 1, count: together.length })}` : "";
    const row = button("", () => select(m, mark.id), { "data-id": mark.id, "aria-pressed": String(mark.id === m.selected) });
    row.append(
      element("span", { class: "number" }, String(numberOf(m, mark))),
      titled(m, mark, title + part),
      element("span", { class: "detail" }, detailOf(m, mark)),
    );
    return element("li", {}, row);
  });
  m.parts.list.replaceChildren(...rows);
  if (focused) m.parts.list.querySelector(`[data-id="${focused}"]`)?.focus();
}

function titled(m, mark, text) {
  const title = element("span", { class: "title" }, text);
  const paint = mark.paint && m.paints[mark.paint];
  if (paint) {
    const swatch = element("span", { class: "swatch", "aria-hidden": "true" });
    swatch.style.background = paint.hex;
    title.prepend(swatch);
  }
  return title;
}

function say(m, text, alarm = false) {
  m.live.textContent = text;
  m.live.classList.toggle("alarm", alarm);
}
