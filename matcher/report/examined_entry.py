"""One paint examined as a JSON object: the number behind every claim of the page and the picture."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import lab_to_hex, labs_to_hex
from matcher.description.examined import STARK_WHITE, Examined
from matcher.ranking.meeting import Meeting
from matcher.report.numbers import rounded, rounded_lab


def examined_entry(found: Examined, view: Mapping[str, Any], meetings: Sequence[Meeting] = ()) -> dict[str, Any]:
    """Return the object under ``examined`` of ``paint describe``; ``view`` holds the sentences."""
    strip, white = found.strip, STARK_WHITE
    return {
        "headline": view["headline"],
        "depth": found.depth,
        "reach": {
            "goes": found.reach.goes,
            "why": list(found.reach.why),
            "walls_from_lrv": rounded(found.reach.asks, 1),
        },
        "grey": {"word": found.greyness.word, "munsell_chroma": rounded(found.greyness.chroma, 2)},
        "lean": {
            "told": found.lean.kind,
            "words": [word for word in (found.lean.word, found.lean.other) if word],
            "certainty": rounded(found.lean.certainty, 3),
        },
        "stark_white": {
            "lab": rounded_lab(white),
            "hex": lab_to_hex(white),
            "de00": rounded(float(delta_e_2000(found.colour.lab, white)), 2),
        },
        "true_grey": {
            "lab": rounded_lab(found.true_grey),
            "hex": lab_to_hex(found.true_grey),
            "de00": rounded(found.grey_de00, 2),
        },
        "strip": {
            "end": strip.end,
            "visibility": rounded(strip.seen, 2),
            "lightness_step": rounded(strip.lightness_step, 2),
            "steps": [
                {"lab": rounded_lab(step), "hex": text}
                for step, text in zip(strip.steps, labs_to_hex(strip.steps) if len(strip.steps) else (), strict=True)
            ],
        },
        "screen": {"within_srgb": found.on_screen, "de00": rounded(found.screen_de00, 2)},
        "beside": [meeting_entry(meeting) for meeting in meetings],
    }


def meeting_entry(meeting: Meeting) -> dict[str, Any]:
    """Return what a paint and a surface do to each other; ``lrv_step`` is the paint's LRV minus the surface's."""
    return {
        "surface": meeting.surface,
        "lab": rounded_lab(meeting.part.lab),
        "kind": meeting.kind,
        "agreement": rounded(meeting.agreement, 3),
        "hue_step_deg": rounded(meeting.hue_step, 1),
        "lrv_step": rounded(meeting.lrv_step, 1),
        "de00": rounded(meeting.de00, 2),
        "soft_edge": meeting.soft_edge,
    }
