"""The photo before and after repainting, one over the other, parted by a line that a hand or the arrow keys move.

Three buttons of the page do what the drag does: before, half and half, after (WCAG 2.2, 2.5.7).
"""

from __future__ import annotations

from functools import cache
from typing import Any, Literal

import streamlit as st

View = Literal["before", "half", "after"]

_HTML = """
<div class="frame">
  <img class="before"><img class="after"><i></i><b class="b"></b><b class="a"></b>
  <input type="range" min="0" max="100" value="50" step="5"><p class="loading" role="status"></p>
</div>
"""
_CSS = """
.frame {
  position: relative; overflow: hidden; line-height: 0; touch-action: pan-y; background: #ededed;
  max-width: calc((100vh - 12rem) * var(--aspect, 100)); min-width: min(100%, 20rem);
}
.frame.half { cursor: ew-resize; }
img { display: block; width: 100%; height: auto; user-select: none; -webkit-user-drag: none; }
img.after { position: absolute; inset: 0; height: 100%; }
.half img.after { clip-path: inset(0 0 0 var(--at, 50%)); }
.before img.after { display: none; }
i {
  position: absolute; top: 0; bottom: 0; left: var(--at, 50%); width: 2px; margin-left: -1px;
  background: #fff; box-shadow: 0 0 0 1px #1b1b1b; pointer-events: none;
}
i::after {
  content: "\\2039 \\203a"; position: absolute; top: 50%; left: 50%; width: 44px; height: 44px; margin: -22px;
  border: 2px solid #1b1b1b; border-radius: 50%; background: #fff; color: #1b1b1b; box-sizing: border-box;
  font: 600 22px/36px system-ui, sans-serif; text-align: center; letter-spacing: 1px;
}
.frame:has(input:focus-visible) i::after { outline: 3px solid #1b1b1b; outline-offset: 2px; }
.before i, .after i { display: none; }
b {
  position: absolute; top: 12px; padding: 0 12px; border: 1px solid #1b1b1b;
  font-size: 14px; line-height: 30px; font-weight: 400; background: #fff; color: #1b1b1b; pointer-events: none;
}
b.b { left: 12px; } b.a { right: 12px; }
.before b.a, .after b.b { display: none; }
input { position: absolute; inset: auto 0 0; width: 100%; margin: 0; opacity: 0; pointer-events: none; }
.before input, .after input { display: none; }
.loading {
  position: absolute; left: 12px; bottom: 12px; margin: 0; padding: 0 12px; border: 1px solid #1b1b1b;
  font-size: 14px; line-height: 30px; background: #fff; color: #1b1b1b;
}
.loading:empty { display: none; }
"""
# The old picture stays until the new one is there; after a second it is said what runs.
_JS = """
export default ({ parentElement, data }) => {
  const find = (name) => parentElement.querySelector(name);
  const frame = find(".frame"), range = find("input"), after = find("img.after"), before = find("img.before");
  frame.className = "frame " + data.view;
  const sized = () => {
    if (before.naturalWidth) frame.style.setProperty("--aspect", before.naturalWidth / before.naturalHeight);
  };
  before.onload = sized;
  if (before.getAttribute("src") !== data.before) before.src = data.before;
  sized();
  before.alt = data.before_word; after.alt = data.after_word;
  find("b.b").textContent = data.before_word; find("b.a").textContent = data.after_word;
  range.setAttribute("aria-label", data.slider_word);
  const loading = find(".loading");
  if (frame.dataset.after !== data.after) {
    frame.dataset.after = data.after;
    const next = new Image();
    const wait = setTimeout(() => { loading.textContent = data.loading_word; }, 1000);
    const done = () => {
      clearTimeout(wait);
      if (frame.dataset.after !== data.after) return;
      loading.textContent = "";
      after.src = data.after;
    };
    next.onload = next.onerror = done;
    next.src = data.after;
  }
  const show = () => frame.style.setProperty("--at", range.value + "%");
  let held = false;
  const follow = (event) => {
    const box = frame.getBoundingClientRect();
    const at = Math.min(100, Math.max(0, 100 * (event.clientX - box.left) / box.width));
    range.value = at; frame.style.setProperty("--at", at + "%");
  };
  range.oninput = show;
  frame.onpointerdown = (event) => {
    if (!frame.classList.contains("half")) return;
    held = true; frame.setPointerCapture(event.pointerId); follow(event);
  };
  frame.onpointermove = (event) => { if (held) follow(event); };
  frame.onpointerup = frame.onpointercancel = () => { held = false; };
}
"""


def before_after(
    before: str,
    after: str,
    *,
    before_word: str,
    after_word: str,
    slider_word: str,
    key: str,
    view: View = "half",
    loading_word: str = "",
) -> None:
    """Show the pictures at the addresses ``before`` and ``after``: one, the other, or each one's half."""
    data = {
        "before": before,
        "after": after,
        "before_word": before_word,
        "after_word": after_word,
        "slider_word": slider_word,
        "loading_word": loading_word,
        "view": view,
    }
    _component()(key=key, data=data)


@cache
def _component() -> Any:
    return st.components.v2.component("givens_before_after", html=_HTML, css=_CSS, js=_JS)
