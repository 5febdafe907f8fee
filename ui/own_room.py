"""A householder's room before and after, on a phone; three buttons do what a finger on it does (WCAG 2.5.7)."""

from __future__ import annotations

from functools import cache
from typing import Any

import streamlit as st

from ui import words

_HTML = """
<div class="frame">
  <img class="before"><img class="after"><i><u></u></i><b class="b"></b><b class="a"></b>
  <input type="range" min="0" max="100" value="50">
</div>
<div class="three" role="group"><button type="button"></button><button type="button"></button><button type="button">
</button></div>
"""
_CSS = """
.frame { position: relative; overflow: hidden; line-height: 0; background: #b9b9b9; }
img { display: block; width: 100%; height: auto; max-height: 640px; object-fit: cover; user-select: none; }
img.after { position: absolute; inset: 0; height: 100%; clip-path: inset(0 0 0 var(--at, 50%)); }
i { position: absolute; top: 0; bottom: 0; left: var(--at, 50%); width: 2px; margin-left: -1px; background: #fff;
  box-shadow: 0 0 0 1px #1b1b1b; }
u { position: absolute; top: 50%; left: 50%; width: 44px; height: 44px; margin: -22px; border-radius: 50%;
  background: #fff; box-shadow: 0 0 0 1px #1b1b1b; }
u::before, u::after { content: ""; position: absolute; top: 16px; width: 10px; height: 10px;
  border: solid #1b1b1b; border-width: 0 0 2px 2px; }
u::before { left: 11px; transform: rotate(45deg); } u::after { right: 11px; transform: rotate(225deg); }
b { position: absolute; top: 12px; padding: 8px 12px; font: 400 15px/20px var(--st-font, system-ui, sans-serif);
  background: #fff; color: #1b1b1b; box-shadow: 0 0 0 1px #1b1b1b; pointer-events: none; }
b.b { left: 12px; } b.a { right: 12px; }
.whole i, .none i, .whole b.b, .none b.a { display: none; }
input { position: absolute; inset: 0; width: 100%; height: 100%; margin: 0; opacity: 0; cursor: ew-resize;
  touch-action: pan-y; }
.frame:has(:focus-visible) { outline: 3px solid #1b1b1b; outline-offset: 2px; }
.frame:has(:focus-visible) u { box-shadow: 0 0 0 2px #fff, 0 0 0 5px #1b1b1b; }
.three { display: flex; flex-wrap: wrap; margin-top: 16px; border: 1px solid #767676; border-radius: 3px;
  overflow: hidden; background: #fff; }
button { flex: 1 1 7rem; min-height: 48px; padding: 8px 12px; border: 0; border-right: 1px solid #767676;
  background: none; color: #1b1b1b; font: 17px/24px var(--st-font, system-ui, sans-serif); cursor: pointer; }
button:last-child { border-right: 0; }
button[aria-pressed=true] { background: #1b1b1b; color: #fff; }
button[aria-pressed=true]::before { content: "\\2713\\00a0"; }
button:focus-visible { outline: 3px solid #1b1b1b; outline-offset: -6px; box-shadow: inset 0 0 0 6px #fff; }
@media (max-width: 480px) { .frame > img { aspect-ratio: 1; height: auto; } }
"""
_JS = """
export default ({ parentElement, data }) => {
  const find = (name) => parentElement.querySelector(name);
  const frame = find(".frame"), range = find("input"), buttons = [...parentElement.querySelectorAll("button")];
  find("img.before").src = data.before; find("img.after").src = data.after;
  find("img.before").alt = data.before_said; find("img.after").alt = data.after_said;
  find("b.b").textContent = data.views[0]; find("b.a").textContent = data.views[2];
  range.setAttribute("aria-label", data.slider); find(".three").setAttribute("aria-label", data.view);
  /* How far from the left the old room reaches, per cent, for each button. */
  const stops = [100, 50, 0];
  const show = () => {
    const at = 100 - range.value;
    frame.style.setProperty("--at", at + "%");
    frame.classList.toggle("whole", at <= 1); frame.classList.toggle("none", at >= 99);
    buttons.forEach((button, place) => button.setAttribute("aria-pressed", String(Math.abs(at - stops[place]) <= 1)));
  };
  buttons.forEach((button, place) => {
    button.textContent = data.views[place];
    button.onclick = () => { range.value = 100 - stops[place]; show(); };
  });
  const follow = (event) => {
    const box = frame.getBoundingClientRect();
    range.value = 100 - 100 * (event.clientX - box.left) / box.width; show();
  };
  let held = false;
  range.oninput = show;
  range.onpointerdown = (event) => { held = true; range.setPointerCapture(event.pointerId); follow(event); };
  range.onpointermove = (event) => { if (held) follow(event); };
  range.onpointerup = range.onpointercancel = () => { held = false; };
  show();
};
"""


def own_room(before: str, after: str, *, key: str) -> None:
    """Show the pictures at the addresses ``before`` and ``after``, half and half at first."""
    data = {
        "before": before,
        "after": after,
        "views": [words.CLIENT_NOW, words.CLIENT_HALF, words.CLIENT_THEN],
        "view": words.CLIENT_VIEW,
        "slider": words.CLIENT_SLIDER,
        "before_said": words.CLIENT_NOW_SAID,
        "after_said": words.CLIENT_THEN_SAID,
    }
    _component()(key=key, data=data)


@cache
def _component() -> Any:
    return st.components.v2.component("givens_own_room", html=_HTML, css=_CSS, js=_JS)
