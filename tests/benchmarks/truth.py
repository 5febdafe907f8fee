"""Photos with known truth: what the two truth formats say, in one form, and a room file for any of them.

Beside the sample rooms' ``<stem>.truth.json`` a plain ``<stem>.json`` is read (keys image_size, cards, surfaces with
kind, polygons and colours in ``Lab_D65_2`` and ``Y_D65_2``, lighting, tone).
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

Outlines = list[list[list[float]]]

_MATERIAL_OF_KIND = {"speck": "stone", "vein": "stone", "boards": "timber", "cabinet": "paint"}
_PICTURES = (".jpg", ".jpeg", ".heic", ".png")


@dataclass(frozen=True, slots=True)
class TrueColour:
    """``lab`` CIELAB D65/2, ``lrv`` 100 Y of it, ``share`` 0..1 of the outlined area."""

    share: float
    lab: tuple[float, float, float]
    lrv: float


@dataclass(frozen=True, slots=True)
class TrueSurface:
    """``colours`` largest share first."""

    name: str
    material: str
    outlines: Outlines
    colours: tuple[TrueColour, ...]


@dataclass(frozen=True, slots=True)
class TruePhoto:
    """``cards`` as (kind, reflectance, outline, surface); ``lights`` are CIE names; ``plain`` means no tone curve."""

    path: Path
    cards: tuple[tuple[str, float, list[list[float]], str | None], ...]
    surfaces: tuple[TrueSurface, ...]
    lights: tuple[str, ...]
    plain: bool

    @property
    def daylight(self) -> bool:
        """True where only phases of daylight fall into the picture."""
        return all(light.startswith("D") for light in self.lights)

    def layout(self, surface: str) -> str:
        """Return what lies on ``surface``: "three cards", "grey card", or "elsewhere"."""
        kinds = {kind for kind, _, _, on in self.cards if on == surface}
        if len(kinds) > 2:
            return "three cards"
        return "grey card" if kinds else "elsewhere"


def truths_in(folder: Path) -> list[TruePhoto]:
    """Return every photo with truth in ``folder``, by name."""
    return [read_truth(path) for path in sorted(folder.glob("*.json")) if _picture_of(path) is not None]


def read_truth(path: Path) -> TruePhoto:
    """Return the truth file at ``path``."""
    raw = json.loads(path.read_text(encoding="utf-8"))
    picture = _picture_of(path)
    assert picture is not None, f"no picture beside {path}"
    return TruePhoto(
        path=picture,
        cards=tuple((c["kind"], c["Y"], c.get("polygon") or c["outline"], c.get("on")) for c in raw["cards"]),
        surfaces=tuple(_surface(s) for s in raw["surfaces"]),
        lights=_lights(raw),
        plain=_is_plain(raw),
    )


def room_text(truth: TruePhoto) -> str:
    """Return a room file with this one photo, its cards and its surfaces."""
    lines = ["[room]", f'name = "{truth.path.stem}"', "[[photos]]", f"file = {json.dumps(str(truth.path.resolve()))}"]
    for kind, reflectance, outline, on in truth.cards:
        lines += ["[[photos.references]]", f'kind = "{kind}"', f"reflectance = {reflectance}", f"outline = {outline}"]
        lines += [f'on = "{on}"'] if on in {s.name for s in truth.surfaces} else []
    for surface in truth.surfaces:
        lines += ["[[photos.surfaces]]", f'name = "{surface.name}"', f'material = "{surface.material}"']
        lines += [f"outlines = {surface.outlines}"]
    return "\n".join(lines)


def truth_of_room(photos: Sequence[TruePhoto]) -> dict[str, TrueSurface]:
    """Return each surface's truth over several photos: from the one with a card on it that shows most, else any."""
    found: dict[str, TrueSurface] = {}
    for photo in sorted(photos, key=lambda p: len(p.surfaces)):
        for surface in photo.surfaces:
            if photo.layout(surface.name) != "elsewhere":
                found.setdefault(surface.name, surface)
    for photo in photos:
        for surface in photo.surfaces:
            found.setdefault(surface.name, surface)
    return found


def _picture_of(path: Path) -> Path | None:
    stem = path.name.removesuffix(".json").removesuffix(".truth")
    return next((p for suffix in _PICTURES if (p := path.with_name(stem + suffix)).exists()), None)


def _surface(raw: dict[str, Any]) -> TrueSurface:
    material = raw.get("material") or _MATERIAL_OF_KIND.get(raw["kind"], raw["kind"])
    colours = [
        TrueColour(c["share"], tuple(c.get("lab") or c["Lab_D65_2"]), c["lrv"] if "lrv" in c else c["Y_D65_2"])
        for c in raw["colours"]
    ]
    outlines = raw.get("outlines") or raw["polygons"]
    return TrueSurface(raw["name"], material, outlines, tuple(sorted(colours, key=lambda c: -c.share)))


def _lights(raw: dict[str, Any]) -> tuple[str, ...]:
    if "light" in raw:
        return tuple(light["illuminant"] for light in raw["light"])
    return tuple(light["spd"] for light in raw["lighting"]["illuminants"])


def _is_plain(raw: dict[str, Any]) -> bool:
    tone = raw.get("tone")
    if isinstance(tone, dict):
        return bool(tone["strength"] == 0)
    if isinstance(tone, str):
        return "S curve" not in tone
    return bool(raw["oracle"]["tone_k"] == 0)
