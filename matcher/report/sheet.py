"""What a drawing is laid out as, before a writer makes a file of it: rectangles of one colour, and lines of text."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Face = Literal["serif", "sans", "bold"]
INK, SOFT = "#1b1b1b", "#555555"


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle filled with the sRGB colour ``fill``, all in whole units; ``name`` says whose colour it is.

    One that is ``empty`` marks a place that nothing stands at: of it only the edge is drawn, in ``fill``.
    """

    x: int
    y: int
    width: int
    height: int
    fill: str
    name: str = ""
    empty: bool = False


@dataclass(frozen=True, slots=True)
class Line:
    """One line of text: where its base line starts or, with ``end``, ends; ``size`` in units. ``lead`` is how it
    begins, in bold.
    """

    x: int
    y: int
    text: str
    size: int
    face: Face = "sans"
    fill: str = INK
    end: bool = False
    lead: str = ""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A drawing of ``width`` by ``height`` units; later boxes lie on earlier ones. ``alt`` says what it shows."""

    width: int
    height: int
    boxes: tuple[Box, ...]
    lines: tuple[Line, ...]
    alt: str

    def wordless(self) -> Sheet:
        """The same drawing without its text."""
        return Sheet(self.width, self.height, self.boxes, (), self.alt)
