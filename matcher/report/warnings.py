"""What the consultant should do before trusting the numbers: cards to lay, doubts to know."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import PurePath
from typing import TYPE_CHECKING, Any

from matcher.colorimetry.lrv import lrv
from matcher.report.doubt import NINETY_PERCENT, lrv_sd
from matcher.report.numbers import plus_minus, printed, rounded
from matcher.report.result import scheme_check_entry
from matcher.report.sentences import MEASURED_AGAIN
from matcher.report.trade_words import colour_step_phrase, listed, sentence_case
from matcher.report.wording import (
    choices_fight_sentence,
    finding_sentence,
    given_up_sentence,
    remark_sentence,
)
from matcher.scheme.scheme import Scheme
from matcher.surfaces.surface import Surface

if TYPE_CHECKING:
    from matcher.surfaces.contradiction import Contradiction
    from matcher.surfaces.instrument import InstrumentReading
    from matcher.surfaces.told import PhotoTold, RoomTold

# One of these alone gives the whole tone curve.
_WHOLE_SCALE = {"grey scale", "chart 24"}
# Findings that the sentences about cards already say, with what to do.
_SAID_ELSEWHERE = {"tone curve unknown", "tone curve borrowed"}
# Rules for people with low vision: a scheme may miss some and be right for its client.
_ADVISORY = "contrast-"
_TRIO = ("grey card", "white card", "black card")


def measurement_warnings(measurement: RoomTold) -> list[str]:
    """Return the sentences: surfaces in the order of the room file, then cards, then what was seen in the photos."""
    found = [_lay_a_card(surface) for surface in measurement.surfaces if _lacks_card(surface)]
    found += _missing_cards(measurement.photos)
    for reading in measurement.instruments:
        found += _instrument_warnings(reading)
    found += [_contradiction(each) for each in measurement.contradictions]
    found += [
        f"{_file(photo)}: {finding_sentence(finding)}."
        for photo in measurement.photos
        for finding in (*photo.decoding, *photo.findings)
        if finding.level in ("warn", "fail") and finding.check not in _SAID_ELSEWHERE
    ]
    return found


def moved_warnings(moved: Sequence[Mapping[str, Any]]) -> list[str]:
    """Return what this version measures otherwise than the version before it did, from the same photos and marks."""
    return [
        MEASURED_AGAIN.format(surface=sentence_case(each["surface"]), step=colour_step_phrase(each["de00"]))
        for each in moved
    ]


def lost_warnings(measurement: RoomTold) -> list[str]:
    """Return what could not be used although every surface named there was read, or is named under ``unread``."""
    return [f"{str(problem).removesuffix('.')}." for problem in measurement.lost]


def going_warnings(names: Sequence[str]) -> list[str]:
    """Return what to know about surfaces that were measured and are to be painted."""
    return [f"The {name} are to be painted, so no paint was asked to suit what they are now." for name in names]


def scheme_warnings(scheme: Scheme) -> list[str]:
    """Return what to know of wishes that fight, and of paints chosen beforehand that do."""
    found = [given_up_sentence(scheme.given_up)] if scheme.given_up is not None else []
    pinned = {chosen.role for chosen in scheme.roles if chosen.pinned}
    return found + [
        choices_fight_sentence(scheme_check_entry(check))
        for check in scheme.checks
        if not check.passes and set(check.roles) <= pinned and not check.rule.startswith(_ADVISORY)
    ]


def unseen_warnings(files: Sequence[str]) -> list[str]:
    """Return that the rooms seen from this one were not looked at."""
    return [f"The scheme was chosen without the rooms seen from this one: {listed(files)}."] if files else []


def _instrument_warnings(reading: InstrumentReading) -> list[str]:
    found = [
        f"{sentence_case(reading.name)}: {remark_sentence(remark)}."
        for remark in reading.remarks
        if remark.kind != "averaged"
    ]
    if reading.contradicts:
        found.append(
            f"{sentence_case(reading.name)}: the instrument and the photos differ by "
            f"{colour_step_phrase(reading.apart or 0.0)}, more than their doubts allow. The instrument was believed. "
            f"Read the main colour again, on the spot that is outlined; check the instrument's light and the cards in "
            f"the photos."
        )
    return found


def _contradiction(found: Contradiction) -> str:
    first, second = (PurePath(file).name for file in found.photos)
    return (
        f"{sentence_case(found.name)}: {first} and {second} contradict each other: they differ by "
        f"{colour_step_phrase(found.apart)}. What is given "
        f"lies between them, with a doubt that spans both. Check that the outlines lie on the same thing and "
        f"the cards are what they are marked as, then take out the photo that is wrong or take it again."
    )


def _lacks_card(surface: Surface) -> bool:
    return surface.source == "photo" and not surface.has_own_card


def _lay_a_card(surface: Surface) -> str:
    # Both as they are printed beside the surface.
    level = printed(rounded(float(lrv(surface.lab)), 1))
    half_width = plus_minus(NINETY_PERCENT * rounded(lrv_sd(surface.lab, surface.covariance), 2))
    low, high = max(level - half_width, 0), min(level + half_width, 100)
    return (
        f"Lay a grey card flat on the {surface.name} and photograph it close up: without one the light there is "
        f"inferred, and its LRV is only known to lie between {low:.0f} and {high:.0f}."
    )


def _missing_cards(photos: Sequence[PhotoTold]) -> list[str]:
    """Return one sentence for all photos that lack the same cards."""
    lacking: dict[tuple[str, ...], list[str]] = {}
    for photo in photos:
        kinds = {reference.kind for reference in photo.photo_entry.references}
        missing = tuple(kind for kind in _TRIO if kind not in kinds)
        if kinds and missing and not kinds & _WHOLE_SCALE and not photo.tone_known:
            lacking.setdefault(missing, []).append(_file(photo))
    borrowed = any(finding.check == "tone curve" for photo in photos for finding in photo.findings)
    instead = "taken from the room's other photos, as from one camera" if borrowed else "assumed"
    return [
        f"No {' and no '.join(missing)} in {listed(files)}: white, grey and black side by side would show the "
        f"camera's tone curve. There it is {instead}."
        for missing, files in lacking.items()
    ]


def _file(photo: PhotoTold) -> str:
    return PurePath(photo.photo_entry.file).name
