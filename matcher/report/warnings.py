"""What the consultant should do before trusting the numbers: cards to lay, doubts to know."""

from __future__ import annotations

from pathlib import PurePath
from typing import TYPE_CHECKING

from matcher.colorimetry.lrv import lrv
from matcher.report.doubt import NINETY_PERCENT, lrv_sd
from matcher.report.trade_words import listed
from matcher.report.wording import finding_sentence
from matcher.surfaces.model import Surface

if TYPE_CHECKING:
    from matcher.surfaces.measure import PhotoMeasurement, RoomMeasurement

# One of these alone gives the whole tone curve.
_WHOLE_SCALE = {"grey scale", "chart 24"}
_TRIO = ("grey card", "white card", "black card")


def measurement_warnings(measurement: RoomMeasurement) -> list[str]:
    """Return the sentences, surfaces first, in the order of the room file."""
    found = [_lay_a_card(surface) for surface in measurement.surfaces if _lacks_card(surface)]
    found += [text for photo in measurement.photos if (text := _missing_cards(photo))]
    found += [
        f"{PurePath(photo.photo_entry.file).name}: {finding_sentence(finding)}."
        for photo in measurement.photos
        for finding in (*photo.photo.findings, *photo.findings)
        if finding.level in ("warn", "fail")
    ]
    return list(dict.fromkeys(found))


def _lacks_card(surface: Surface) -> bool:
    return surface.source == "photo" and not surface.has_own_card


def _lay_a_card(surface: Surface) -> str:
    half_width = NINETY_PERCENT * lrv_sd(surface.lab, surface.covariance)
    return (
        f"Lay a grey card flat on the {surface.name} and photograph it close up: without one the light there is "
        f"inferred, and its LRV is {float(lrv(surface.lab)):.0f} ± {half_width:.0f}."
    )


def _missing_cards(photo: PhotoMeasurement) -> str:
    kinds = {reference.kind for reference in photo.photo_entry.references}
    missing = [kind for kind in _TRIO if kind not in kinds]
    if not kinds or kinds & _WHOLE_SCALE or not missing:
        return ""
    return (
        f"{photo.photo_entry.file} has no {listed(missing)}: white, grey and black side by side would settle the "
        "camera's tone curve, which is assumed here."
    )
