// Elements made by hand: what they are called aloud is always the words of their label.

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

function say(m, text, alarm = false) {
  m.live.textContent = text;
  m.live.classList.toggle("alarm", alarm);
}
