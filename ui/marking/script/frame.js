// The whole of the tool: tools above the stage, photos below it, beside it the list and the form.

const TOOLS = ["move", "outline", "include", "exclude"];

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
      { class: "group view", role: "group", "aria-label": w.view_group },
      button("\u2212", zoom(0.8), { "aria-label": w.zoom_out, title: w.zoom_out, class: "square" }),
      button(w.fit, () => fit(m), { title: w.fit_hint, class: "fit" }),
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
  parts.keys = element("details", { class: "keys" }, element("summary", {}, w.keys_title), element("p", { id: "givens-keys" }, w.keys));
  const said = element("div", { class: "said" }, m.live, parts.keys);
  const main = element("div", { class: "main" }, bar, m.stage, said, buildPhotos(m));
  const side = element("div", { class: "panel" }, buildList(m), element("div", { class: "about" }, buildDrafts(m), buildSet(m), buildForm(m)));
  // The style sheet lives in the same root: only our own part is replaced.
  m.root.querySelector(".marking")?.remove();
  m.root.append(element("div", { class: "marking" }, element("div", { class: m.fill ? "work fill" : "work" }, main, side)));
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
    { class: "stroke" },
    element("p", { class: "small" }, w.reach),
    element("label", { class: "reach" }, element("span", {}, w.reach_less), parts.reach, element("span", {}, w.reach_more)),
    element("div", { class: "group" }, parts.keep, button(w.discard, () => discard(m))),
  );
  parts.makingField = labelled(w.making, parts.making);
  parts.drafts = element("div", { class: "drafts" }, element("h3", {}, w.drawing_title), parts.makingField, parts.outline, parts.stroke);
  return parts.drafts;
}

function reach(m, e) {
  m.tolerance = Number(e.target.value);
  clearTimeout(m.asking);
  m.asking = setTimeout(() => askProposal(m), 60);
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
  refreshSet(m);
  refreshForm(m);
  refreshList(m);
  refreshPhotos(m);
  draw(m);
}

function refreshMaking(m) {
  const surfaces = m.marks.filter((mark, i) => m.marks.findIndex((other) => groupKey(other) === groupKey(mark)) === i && mark.kind !== "card");
  const entries = [
    ...Object.entries(m.words.new_kinds).map(([kind, text]) => [`${kind}:`, text]),
    ...surfaces.filter((mark) => isSaid(m, mark)).map((mark) => [`${mark.kind}:${mark.id}`, fill(m.words.more_of, { name: titleOf(m, mark) })]),
  ];
  if (!entries.some(([value]) => value === m.making)) m.making = "surface:";
  options(m.parts.making, entries, m.making);
}
