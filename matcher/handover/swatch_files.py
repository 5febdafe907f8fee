"""The colours of a scheme for other programs: CSV (RFC 4180), CSS custom properties, and a GIMP palette."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass

from matcher.handover.contents import Contents
from matcher.report.csv_text import plain_cell

# GIMP reads a palette line by line; some readers refuse lines of more than 100 letters (Pillow's GimpPaletteFile).
_LINE, _PALETTE_COLUMNS = 90, 8
_HEADER = ("kind", "used_for", "code", "name", "hex", "L", "a", "b", "share")
_UNSAFE = re.compile(r"[^a-z0-9]+")


@dataclass(frozen=True, slots=True)
class Swatch:
    """A paint, ``used_for`` its roles, or one of the colours of a thing that stays, with its ``share`` of it."""

    kind: str
    used_for: tuple[str, ...]
    code: str
    name: str
    hex: str
    lab: tuple[float, float, float]
    share: float | None = None

    @property
    def title(self) -> str:
        """What the swatch is called where there is one line for it."""
        return f"{self.code} {self.name}".strip() if self.kind == "paint" else self.name


def swatches_of(contents: Contents) -> list[Swatch]:
    """Return each paint of the scheme once, in the order of its roles, then the colours of what stays."""
    return [*_paints(contents), *_surfaces(contents)]


def swatches_csv(swatches: list[Swatch]) -> str:
    """Return the table; ``L``, ``a`` and ``b`` are CIELAB D65, 2 degree observer, ``hex`` is sRGB."""
    stream = io.StringIO(newline="")
    writer = csv.writer(stream)
    writer.writerow(_HEADER)
    for swatch in swatches:
        writer.writerow(
            [
                swatch.kind,
                " | ".join(map(plain_cell, swatch.used_for)),
                plain_cell(swatch.code),
                plain_cell(swatch.name),
                swatch.hex,
                *(f"{value:.2f}" for value in swatch.lab),
                "" if swatch.share is None else f"{swatch.share:.3f}",
            ]
        )
    return stream.getvalue()


def swatches_css(swatches: list[Swatch]) -> str:
    """Return a style sheet of custom properties, one a role and one a colour that stays (CSS Custom Properties 1)."""
    lines = [":root {"]
    used: set[str] = set()
    for swatch in swatches:
        for use in swatch.used_for:
            stem = _UNSAFE.sub("-", use.casefold()).strip("-") or "colour"
            name, number = stem if swatch.kind == "paint" else f"{stem}-stays", 2
            while name in used:
                name, number = f"{stem}-{number}" if swatch.kind == "paint" else f"{stem}-stays-{number}", number + 1
            used.add(name)
            lines.append(f"  --{name}: {swatch.hex}; /* {_comment(swatch.title)} */")
    return "\n".join([*lines, "}", ""])


def swatches_gpl(swatches: list[Swatch], room: str) -> str:
    """Return a GIMP palette (developer.gimp.org, "GIMP palette format"): magic line, Name, Columns, then R G B name."""
    head = ["GIMP Palette", f"Name: {_line(room)}", f"Columns: {min(len(swatches), _PALETTE_COLUMNS)}", "#"]
    rows = [f"{_red_green_blue(swatch.hex)}\t{_line(swatch.title)}" for swatch in swatches]
    return "\n".join([*head, *rows, ""])


def _paints(contents: Contents) -> Iterator[Swatch]:
    roles: dict[str, list[str]] = {}
    for role, paint in contents.roles.items():
        roles.setdefault(paint["code"], []).append(role)
    for code, used_for in roles.items():
        paint = contents.roles[used_for[0]]
        yield Swatch("paint", tuple(used_for), code, paint["name"], paint["hex"], contents.labs[code])


def _surfaces(contents: Contents) -> Iterator[Swatch]:
    for surface in contents.stays:
        for colour in surface["colours"]:
            name = surface["name"] if len(surface["colours"]) == 1 else f"{surface['name']} {colour['part']}"
            lightness, a, b = colour["lab"]
            yield Swatch("stays", (surface["name"],), "", name, colour["hex"], (lightness, a, b), colour["share"])


def _red_green_blue(hex_text: str) -> str:
    return " ".join(f"{value:3d}" for value in bytes.fromhex(hex_text[1:]))


def _line(text: str) -> str:
    return " ".join("".join(letter if letter.isprintable() else " " for letter in text).split())[:_LINE]


def _comment(text: str) -> str:
    return _line(text).replace("*/", "* /").replace("\\", "/")
