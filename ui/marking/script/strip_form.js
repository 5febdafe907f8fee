// The form of a strip of chips: how many, and a paint for each, numbered as on the photo.

function buildStrip(m) {
  const { parts, words: w } = m;
  const [fewest, most] = w.strip_counts;
  parts.stripOpen = button(w.strip, () => {
    beginStrip(m);
    if (m.strip) parts.stripCount.focus();
  });
  parts.stripCount = element("input", {
    type: "number", min: String(fewest), max: String(most), step: "1", oninput: (e) => countStrip(m, e.target.value),
  });
  parts.stripCount.value = m.stripCount;
  parts.stripChips = element("ol", {});
  parts.stripPickers = [];
  parts.stripSplit = button("", () => splitStrip(m), { class: "main-action" });
  parts.strip = element(
    "div",
    { class: "strip", role: "group", "aria-label": w.strip_form },
    labelled(w.strip_count, parts.stripCount),
    element("p", { class: "empty" }, w.strip_hint),
    parts.stripChips,
    element(
      "div",
      { class: "group" },
      parts.stripSplit,
      button(w.strip_turn, () => turnStrip(m)),
      button(w.cancel, () => {
        giveUpStrip(m);
        parts.stripOpen.focus();
      }),
    ),
  );
  return element("div", { class: "whole-row" }, parts.stripOpen, parts.strip);
}

function stripPicker(m, i) {
  const pickers = m.parts.stripPickers;
  pickers[i] ??= paintPicker(m, {
    label: fill(m.words.strip_chip, { number: i + 1 }),
    code: () => m.strip?.paints[i],
    // A strip is printed in the deck's order as a rule: what follows the chip before is offered first.
    after: () => m.strip?.paints[i - 1],
    choose: (code) => {
      m.strip.paints[i] = code;
      refresh(m);
    },
  });
  return pickers[i];
}

function refreshStrip(m, mark) {
  const { parts, words: w } = m;
  const open = Boolean(m.strip);
  parts.stripOpen.hidden = open || m.readOnly || mark.reference !== "paint chip" || Boolean(mark.paint);
  parts.strip.hidden = !open;
  if (!open) return;
  if (m.root.activeElement !== parts.stripCount) parts.stripCount.value = m.stripCount;
  const pickers = Array.from({ length: m.stripCount }, (_, i) => stripPicker(m, i));
  while (parts.stripChips.children.length > pickers.length) parts.stripChips.lastChild.remove();
  for (const made of pickers.slice(parts.stripChips.children.length)) parts.stripChips.append(element("li", {}, made.node));
  for (const made of pickers) made.refresh();
  parts.stripSplit.textContent = fill(w.strip_split, { count: m.stripCount });
  parts.stripSplit.disabled = m.strip.outlines.length !== m.stripCount;
}
