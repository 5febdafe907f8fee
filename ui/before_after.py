"""The photo before and after repainting, one over the other, parted by a line that a hand or the arrow keys move."""

from __future__ import annotations

from functools import cache
from typing import Any

import streamlit as st

_HTML = """
<div class="frame"><img class="before"><img class="after"><i></i><b class="b"></b><b class="a"></b></div>
<input type="range" min="0" max="100" value="50">
"""
_CSS = """
.frame { position: relative; overflow: hidden; line-height: 0; touch-action: pan-y; cursor: ew-resize; }
img { display: block; width: 100%; height: auto; user-select: none; -webkit-user-drag: none; }
img.after { position: absolute; inset: 0; height: 100%; clip-path: inset(0 0 0 var(--at, 50%)); }
i {
  position: absolute; top: 0; bottom: 0; left: var(--at, 50%); width: 2px; margin-left: -1px;
  background: #fff; box-shadow: 0 0 0 1px #000;
}
b {
  position: absolute; bottom: 0.6rem; padding: 0.35rem 0.6rem;
  font: 600 0.95rem/1 system-ui, sans-serif; background: #1c1e20; color: #fff;
}
b.b { left: 0.6rem; } b.a { right: 0.6rem; }
input { width: 100%; height: 2.75rem; margin: 0.3rem 0 0; accent-color: #3f4347; }
input:focus-visible { outline: 3px solid #1c1e20; }
"""
_JS = """
export default ({ parentElement, data }) => {
  const find = (name) => parentElement.querySelector(name);
  const frame = find(".frame"), range = find("input");
  find("img.before").src = data.before; find("img.after").src = data.after;
  find("img.before").alt = data.before_word; find("img.after").alt = data.after_word;
  find("b.b").textContent = data.before_word; find("b.a").textContent = data.after_word;
  range.setAttribute("aria-label", data.slider_word);
  const show = () => frame.style.setProperty("--at", range.value + "%");
  const follow = (event) => {
    const box = frame.getBoundingClientRect();
    range.value = 100 * (event.clientX - box.left) / box.width; show();
  };
  let held = false;
  range.oninput = show;
  frame.onpointerdown = (event) => { held = true; frame.setPointerCapture(event.pointerId); follow(event); };
  frame.onpointermove = (event) => { if (held) follow(event); };
  frame.onpointerup = frame.onpointercancel = () => { held = false; };
  show();
}
"""


def before_after(before: str, after: str, *, before_word: str, after_word: str, slider_word: str, key: str) -> None:
    """Show the pictures at the addresses ``before`` and ``after``."""
    data = {
        "before": before,
        "after": after,
        "before_word": before_word,
        "after_word": after_word,
        "slider_word": slider_word,
    }
    _component()(key=key, data=data)


@cache
def _component() -> Any:
    return st.components.v2.component("givens_before_after", html=_HTML, css=_CSS, js=_JS)
