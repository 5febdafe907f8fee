"""What a repainted picture does not show, or shows less surely."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from matcher.photo.decoded import Finding
from matcher.repaint.doubt import PictureDoubt
from matcher.repaint.prepare import Prepared

# Change of the light on other surfaces when all walls of a room are painted: rendered rooms, before and after, most of
# their surfaces. Ceilings change most, in the sample rooms by up to two fifths.
LIGHT_ELSEWHERE = (0.06, 0.22)
# Assumptions: shares of the area worth a word, and how far beyond white counts as beyond.
_WORTH_SAYING = 0.02
_BEYOND = 1.01


def repaint_findings(
    prepared: Prepared, painted: NDArray[np.float32], doubt: PictureDoubt, new_lrv: float
) -> tuple[Finding, ...]:
    """Return the findings about a photo ``prepared``, the linear RGB (N, 3) ``painted`` on it, unclipped, and what is
    in ``doubt`` of a paint of ``new_lrv``.
    """
    found = []
    darker, brighter = round(1 - doubt.darker, 2), round(doubt.brighter - 1, 2)
    if prepared.old.measured:
        found.append(Finding("picture brightness", "note", (("darker", darker), ("brighter", brighter))))
    else:
        darkest, lightest = round(doubt.old_low), round(doubt.old_high)
        found.append(
            Finding(
                "old paint unmeasured",
                "warn",
                (
                    ("role", prepared.role),
                    ("low", darkest),
                    ("high", lightest),
                    ("darker", darker),
                    ("brighter", brighter),
                ),
            )
        )
        if doubt.old_low <= new_lrv <= doubt.old_high:
            found.append(Finding("lighter or darker unknown", "warn", (("role", prepared.role),)))
    if prepared.role == "walls":
        low, high = LIGHT_ELSEWHERE
        found.append(Finding("light elsewhere", "note", (("low", low), ("high", high))))
    if prepared.burnt_out > _WORTH_SAYING:
        found.append(Finding("burnt-out paint", "warn", (("share", round(prepared.burnt_out, 3)),)))
    beyond = float(((painted > _BEYOND) | (painted < 1 - _BEYOND)).any(axis=1).mean()) if len(painted) else 0.0
    if beyond > _WORTH_SAYING:
        found.append(Finding("beyond the picture", "note", (("share", round(beyond, 3)),)))
    return tuple(found)
