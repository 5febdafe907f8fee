"""A strip of paint chips, outlined as one, split into its chips for a person to correct."""

from __future__ import annotations

from collections.abc import Sequence

from matcher.errors import Problem, RequestError
from matcher.service.choices import CHIPS_OF_STRIP

Outline = list[tuple[float, float]]


def chips_of_strip(outline: Sequence[tuple[float, float]], count: int) -> list[Outline]:
    """Return an outline inside each of ``count`` chips that share the strip's longer side evenly, in full-size pixels,
    from one end to the other.

    Raises :class:`matcher.errors.RequestError` for an outline that is no strip's, or a count that no strip has.
    """
    from matcher.calibration.strip import OF_CHIP, strip_fault, strip_fields

    fewest, most = CHIPS_OF_STRIP
    if not fewest <= count <= most:
        raise RequestError(Problem("strip", f"{count} chips", f"A strip has {fewest} to {most} chips."))
    fault = strip_fault(outline)
    if fault:
        raise RequestError(Problem("strip", fault, "Outline the whole strip by its four corners."))
    return [list(chip) for chip in strip_fields(outline, count, OF_CHIP)]
