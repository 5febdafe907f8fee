"""Room files (TOML) from the truth files: one per room and set of pictures."""

from __future__ import annotations

import importlib
import json
from pathlib import Path
from typing import Any

from shots import SHOTS


def _points(polygon: list[list[float]]) -> str:
    return "[" + ", ".join(f"[{x:g}, {y:g}]" for x, y in polygon) + "]"


def _outlines(key: str, polygons: list[list[list[float]]]) -> str:
    if key == "outlines" and len(polygons) == 1:
        return f"outline = {_points(polygons[0])}"
    return f"{key} = [\n" + "".join(f"    {_points(p)},\n" for p in polygons) + "  ]"


def photo_lines(truth: dict[str, Any], whole: bool) -> list[str]:
    """The [[photos]] table of one picture."""
    lines = ["", "[[photos]]", f'file = "{truth["file"]}"']
    if whole:
        lines.append("whole_room = true")
    for card in truth["cards"]:
        lines += ["", "  [[photos.references]]", f'  kind = "{card["kind"]}"', f"  reflectance = {card['Y']}",
                  f"  outline = {_points(card['outline'])}"]  # fmt: skip
        lines += [f'  on = "{card["on"]}"'] if card["on"] else []
    carded = {c["on"] for c in truth["cards"]}
    for surface in truth["surfaces"]:
        if whole or surface["name"] in carded:
            lines += ["", "  [[photos.surfaces]]", f'  name = "{surface["name"]}"',
                f'  material = "{surface["material"]}"',
                      "  " + _outlines("outlines", surface["outlines"])]  # fmt: skip
    for area in truth["areas"]:
        lines += ["", "  [[photos.areas]]", f'  role = "{area["role"]}"', "  " + "outlines = [\n"
                  + "".join(f"    {_points(p)},\n" for p in area["outlines"]) + "  ]"]  # fmt: skip
        if area["holes"]:
            lines.append("  " + _outlines("holes", area["holes"]))
    return lines


def write_rooms(root: Path) -> None:
    """Write <room>/<room>_<set>.toml for each set whose truth files are all there."""
    sets: dict[tuple[str, str], list[Any]] = {}
    for shot in SHOTS:
        for name in shot.sets:
            sets.setdefault((shot.room, name), []).append(shot)
    for (room, name), shots in sets.items():
        files = [root / room / ("_".join(s.name.split(".")[1:]) + ".truth.json") for s in shots]
        if not all(f.exists() for f in files):
            continue
        head = importlib.import_module(room).ROOM_HEAD
        lines = ["# An invented room; its pictures are rendered. Outlines are in upright full-size pixels.", head]
        for shot, file in zip(shots, files, strict=True):
            lines += photo_lines(json.loads(file.read_text()), shot.view == "whole")
        (root / room / f"{room}_{name}.toml").write_text("\n".join(lines) + "\n")
