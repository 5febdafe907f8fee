// What is in this photo: a row for every card or set of cards, every surface and every area, numbered as on the stage.

function buildList(m) {
  const w = m.words;
  m.parts.list = element("ol", { class: "marks", "aria-label": w.list });
  m.parts.add = button(w.add, () => useTool(m, "outline"), { class: "add" });
  m.parts.listed = element("div", { class: "listed" }, element("h3", {}, w.list), m.parts.list, m.parts.add);
  return m.parts.listed;
}

function refreshList(m) {
  const focused = m.root.activeElement?.dataset?.group;
  m.parts.list.replaceChildren(...groupsOf(m).map((group, i) => element("li", {}, row(m, group, i + 1))));
  if (focused) [...m.parts.list.querySelectorAll("button")].find((made) => made.dataset.group === focused)?.focus();
  m.parts.add.hidden = m.readOnly || m.tool !== "move";
}

function row(m, group, number) {
  const chosen = group.some((mark) => mark.id === m.selected);
  const made = button("", () => chooseNext(m, group), { "data-group": groupKey(group[0]), "aria-pressed": String(chosen) });
  made.append(
    element("span", { class: "number" }, String(number)),
    titled(m, group[0], groupTitle(m, group)),
    element("span", { class: "detail" }, groupDetail(m, group)),
  );
  return made;
}

// Of something in several parts a further press chooses the next of them.
function chooseNext(m, group) {
  const at = group.findIndex((mark) => mark.id === m.selected);
  const next = group[0].kind === "card" || at < 0 ? group[0] : group[(at + 1) % group.length];
  select(m, next.id, { single: false });
}

function groupTitle(m, group) {
  if (group[0].kind !== "card" || group.length < 2) return titleOf(m, group[0]);
  return fill(m.words.set_title, { count: m.words.counts[group.length] ?? group.length });
}

function groupDetail(m, group) {
  const w = m.words;
  const [mark] = group;
  if (isFound(m, mark)) return m.refused.has(mark.set) ? w.cards_refused : w.cards_to_confirm;
  if (!isSaid(m, mark)) return w.to_say;
  if (mark.kind === "card" && mark.reference !== "paint chip") return mark.on ? fill(w.on_detail, { on: mark.on }) : w.on_nothing_detail;
  return group.length > 1 && mark.kind !== "card" ? fill(w.detail_parts, { detail: detailOf(m, mark), count: group.length }) : detailOf(m, mark);
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
