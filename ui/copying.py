"""A text to copy: shown whole, selected by a touch, copied by a button that says so."""

from __future__ import annotations

from functools import cache
from typing import Any

import streamlit as st

from ui import words

_HTML = '<div class="row"><textarea readonly></textarea><button type="button"></button></div><p role="status"></p>'
_CSS = """
.row { display: flex; align-items: stretch; }
textarea {
  flex: 1; min-width: 0; box-sizing: border-box; margin: 0; padding: 9px 12px; resize: none; overflow: auto;
  border: 1px solid #767676; border-right: 0; border-radius: 3px 0 0 3px; background: #fff; color: #1b1b1b;
  font: 16px/24px var(--st-font, system-ui, sans-serif); white-space: nowrap;
}
.many textarea { white-space: pre-wrap; height: 132px; }
.one textarea { height: 44px; overflow: hidden; }
button {
  min-width: 84px; min-height: 44px; border: 1px solid #1b1b1b; border-radius: 0 3px 3px 0; background: #fff;
  color: #1b1b1b; font: 16px/24px var(--st-font, system-ui, sans-serif); cursor: pointer;
}
button:hover { background: #ededed; }
textarea:focus-visible, button:focus-visible { outline: 3px solid #1b1b1b; outline-offset: 2px; }
p { position: absolute; width: 1px; height: 1px; margin: 0; overflow: hidden; clip-path: inset(50%); }
"""
_JS = """
export default ({ parentElement, data }) => {
  const find = (name) => parentElement.querySelector(name);
  const text = find("textarea"), button = find("button"), told = find("p");
  find(".row").className = "row " + (data.lines > 1 ? "many" : "one");
  text.value = data.text; text.rows = data.lines; text.setAttribute("aria-label", data.label);
  button.textContent = data.copy; button.setAttribute("aria-label", `${data.copy}: ${data.label}`);
  text.onfocus = () => text.select();
  button.onclick = async () => {
    text.focus(); text.select();
    /* Without TLS a page is given no clipboard of its own: the old way takes what is selected. */
    try { await navigator.clipboard.writeText(data.text); } catch { document.execCommand("copy"); }
    button.focus();
    button.textContent = told.textContent = data.copied;
    setTimeout(() => { button.textContent = data.copy; told.textContent = ""; }, 4000);
  };
};
"""


def copy_text(text: str, *, label: str, lines: int = 1, key: str) -> None:
    """Show a text under its ``label`` with a button that copies it."""
    data = {"text": text, "label": label, "lines": lines, "copy": words.COPY, "copied": words.COPIED}
    _component()(key=key, data=data)


@cache
def _component() -> Any:
    return st.components.v2.component("givens_copying", html=_HTML, css=_CSS, js=_JS)
