"""A room's measurement as text, to be kept: JSON that gives back the very numbers, or nothing.

Python writes a float as the shortest text that reads back as the same one, so nothing is lost. Photos' entries are not
written: they come from the room again. What was written by hand, by another version or only in part is not read.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, get_args

import numpy as np

from matcher.calibration.cast import Cast
from matcher.errors import Problem
from matcher.instrument.understood import Remark
from matcher.photo.decoded import Finding, Level
from matcher.room.contents import PhotoEntry
from matcher.surfaces.contradiction import Contradiction
from matcher.surfaces.instrument import InstrumentReading
from matcher.surfaces.surface import Cause, FloatArray, Surface, SurfaceColour
from matcher.surfaces.told import PhotoTold, SurveyTold
from matcher.surfaces.unread import Unread

Json = dict[str, Any]
Values = tuple[tuple[str, float | str], ...]
# Raised by whoever changes what is written here.
FORMAT = "givens-measurement/1"


class NotKeptError(ValueError):
    """The text is no measurement that this version wrote of these photos."""


@dataclass(frozen=True, slots=True, eq=False)
class KeptPhoto:
    """What a photo told (:class:`matcher.surfaces.told.PhotoTold`), without the photo."""

    photo_entry: PhotoEntry
    full_size: tuple[int, int]
    tone_known: bool
    decoding: tuple[Finding, ...]
    findings: tuple[Finding, ...]
    cast: Cast | None
    camera_sd: tuple[float, float] | None


@dataclass(frozen=True, slots=True, eq=False)
class KeptMeasurement:
    """A room measured before, as :class:`matcher.surfaces.measure.RoomMeasurement`."""

    surfaces: tuple[Surface, ...]
    photos: tuple[KeptPhoto, ...]
    instruments: tuple[InstrumentReading, ...]
    contradictions: tuple[Contradiction, ...]
    unread: tuple[Unread, ...]
    lost: tuple[Problem, ...]


@dataclass(frozen=True, slots=True, eq=False)
class KeptSurvey:
    """What could be measured before, and why the rest could not."""

    measurement: KeptMeasurement
    card_problems: tuple[Problem, ...]
    surface_problems: tuple[Problem, ...]


def without_photos(survey: SurveyTold) -> KeptSurvey:
    """Return a survey of now as it would be read again: all but the pixels."""
    found = survey.measurement
    photos = tuple(
        KeptPhoto(
            photo_entry=photo.photo_entry,
            full_size=photo.full_size,
            tone_known=photo.tone_known,
            decoding=photo.decoding,
            findings=photo.findings,
            cast=photo.cast,
            camera_sd=photo.camera_sd,
        )
        for photo in found.photos
    )
    measurement = KeptMeasurement(
        found.surfaces, photos, found.instruments, found.contradictions, found.unread, found.lost
    )
    return KeptSurvey(measurement, survey.card_problems, survey.surface_problems)


def write_survey(survey: SurveyTold) -> str:
    """Return the text of a survey; ValueError for a number that is none."""
    found = survey.measurement
    return json.dumps(
        {
            "format": FORMAT,
            "surfaces": [_surface_out(surface) for surface in found.surfaces],
            "photos": [_photo_out(photo) for photo in found.photos],
            "instruments": [
                {
                    "name": each.name,
                    "lab": [float(value) for value in each.lab],
                    "sd": float(each.sd),
                    "apart": each.apart,
                    "contradicts": each.contradicts,
                    "remarks": [[remark.kind, _values_out(remark.values)] for remark in each.remarks],
                }
                for each in found.instruments
            ],
            "contradictions": [[each.name, list(each.photos), float(each.apart)] for each in found.contradictions],
            "unread": [[each.name, each.photo, _problem_out(each.problem)] for each in found.unread],
            "lost": [_problem_out(problem) for problem in found.lost],
            "card_problems": [_problem_out(problem) for problem in survey.card_problems],
            "surface_problems": [_problem_out(problem) for problem in survey.surface_problems],
        },
        allow_nan=False,
        separators=(",", ":"),
    )


def read_survey(text: str, photos: Sequence[PhotoEntry]) -> KeptSurvey:
    """Return the survey of a room with these ``photos``; raises NotKeptError for anything but what was written."""
    try:
        kept = json.loads(text)
        if kept["format"] != FORMAT or [photo["file"] for photo in kept["photos"]] != [each.file for each in photos]:
            raise NotKeptError("is of other photos, or of another version")
        measurement = KeptMeasurement(
            surfaces=tuple(_surface_in(each) for each in kept["surfaces"]),
            photos=tuple(_photo_in(each, entry) for each, entry in zip(kept["photos"], photos, strict=True)),
            instruments=tuple(_instrument_in(each) for each in kept["instruments"]),
            contradictions=tuple(
                Contradiction(_text(name), (_text(first), _text(second)), _number(apart))
                for name, (first, second), apart in kept["contradictions"]
            ),
            unread=tuple(
                Unread(_text(name), _text(photo), _problem_in(problem)) for name, photo, problem in kept["unread"]
            ),
            lost=tuple(_problem_in(problem) for problem in kept["lost"]),
        )
        return KeptSurvey(
            measurement,
            tuple(_problem_in(problem) for problem in kept["card_problems"]),
            tuple(_problem_in(problem) for problem in kept["surface_problems"]),
        )
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise NotKeptError(f"cannot be read ({error})") from error


def read_surfaces(text: str) -> tuple[Surface, ...]:
    """Return the surfaces of a kept survey alone, which is all that ranking needs; raises NotKeptError."""
    try:
        kept = json.loads(text)
        if kept["format"] != FORMAT:
            raise NotKeptError("is of another version")
        return tuple(_surface_in(each) for each in kept["surfaces"])
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise NotKeptError(f"cannot be read ({error})") from error


def _surface_out(surface: Surface) -> Json:
    return {
        "name": surface.name,
        "material": surface.material,
        "lab": _array_out(surface.lab),
        "covariance": _array_out(surface.covariance),
        "visibility": float(surface.visibility),
        "source": surface.source,
        "has_own_card": bool(surface.has_own_card),
        "colours": [
            {
                "lab": _array_out(colour.lab),
                "covariance": _array_out(colour.covariance),
                "share": float(colour.share),
                "part": colour.part,
                "causes": {cause: _array_out(part) for cause, part in colour.causes.items()},
            }
            for colour in surface.colours
        ],
    }


def _surface_in(kept: Json) -> Surface:
    return Surface(
        name=_text(kept["name"]),
        material=_text(kept["material"]),
        colours=tuple(
            SurfaceColour(
                lab=_array_in(colour["lab"], 3),
                covariance=_array_in(colour["covariance"], 3, 3),
                share=_number(colour["share"]),
                part=_text(colour["part"]),
                causes=_causes_in(colour["causes"]),
            )
            for colour in kept["colours"]
        ),
        lab=_array_in(kept["lab"], 3),
        covariance=_array_in(kept["covariance"], 3, 3),
        visibility=_number(kept["visibility"]),
        source=_text(kept["source"]),
        has_own_card=_flag(kept["has_own_card"]),
    )


def _causes_in(kept: Mapping[str, Any]) -> dict[Cause, FloatArray]:
    known: dict[str, Cause] = {cause: cause for cause in get_args(Cause)}
    return {known[cause]: _array_in(part, 3, 3) for cause, part in kept.items()}


def _photo_out(photo: PhotoTold) -> Json:
    cast = photo.cast
    return {
        "file": photo.photo_entry.file,
        "full_size": [int(side) for side in photo.full_size],
        "tone_known": bool(photo.tone_known),
        "decoding": [_finding_out(finding) for finding in photo.decoding],
        "findings": [_finding_out(finding) for finding in photo.findings],
        "cast": None if cast is None else [_array_out(cast.gains), float(cast.angle_deg), float(cast.residual_de00)],
        "camera_sd": None if photo.camera_sd is None else [float(value) for value in photo.camera_sd],
    }


def _photo_in(kept: Json, entry: PhotoEntry) -> KeptPhoto:
    width, height = kept["full_size"]
    cast = kept["cast"]
    camera_sd = kept["camera_sd"]
    return KeptPhoto(
        photo_entry=entry,
        full_size=(int(_number(width)), int(_number(height))),
        tone_known=_flag(kept["tone_known"]),
        decoding=tuple(_finding_in(finding) for finding in kept["decoding"]),
        findings=tuple(_finding_in(finding) for finding in kept["findings"]),
        cast=None if cast is None else Cast(_array_in(cast[0], 3), _number(cast[1]), _number(cast[2])),
        camera_sd=None if camera_sd is None else (_number(camera_sd[0]), _number(camera_sd[1])),
    )


def _instrument_in(kept: Json) -> InstrumentReading:
    lightness, a, b = kept["lab"]
    return InstrumentReading(
        name=_text(kept["name"]),
        lab=(_number(lightness), _number(a), _number(b)),
        sd=_number(kept["sd"]),
        apart=None if kept["apart"] is None else _number(kept["apart"]),
        contradicts=_flag(kept["contradicts"]),
        remarks=tuple(Remark(_text(kind), _values_in(values)) for kind, values in kept["remarks"]),
    )


def _finding_out(finding: Finding) -> list[Any]:
    return [finding.check, finding.level, _values_out(finding.values), finding.subject]


def _finding_in(kept: Sequence[Any]) -> Finding:
    check, level, values, subject = kept
    known: dict[str, Level] = {each: each for each in get_args(Level)}
    return Finding(_text(check), known[level], _values_in(values), _text(subject))


def _problem_out(problem: Problem) -> list[str]:
    return [problem.where, problem.what, problem.remedy]


def _problem_in(kept: Sequence[Any]) -> Problem:
    where, what, remedy = kept
    return Problem(_text(where), _text(what), _text(remedy))


def _values_out(values: Values) -> list[list[Any]]:
    return [[name, value if isinstance(value, str | int) else float(value)] for name, value in values]


def _values_in(kept: Sequence[Any]) -> Values:
    return tuple((_text(name), value if isinstance(value, str) else _number(value)) for name, value in kept)


def _array_out(array: FloatArray) -> Any:
    if array.dtype != np.float64:
        raise TypeError(f"numbers of a measurement are float64, not {array.dtype}")
    return array.tolist()


def _array_in(kept: Any, *shape: int) -> FloatArray:
    array = np.array(kept, dtype=np.float64)
    if array.shape != shape or not np.isfinite(array).all():
        raise NotKeptError(f"has an array of shape {array.shape} in place of {shape}")
    return array


def _text(kept: Any) -> str:
    if not isinstance(kept, str):
        raise NotKeptError("has something else in place of a text")
    return kept


def _number(kept: Any) -> float:
    """Return a number as it was written: a whole one stays whole."""
    if isinstance(kept, bool) or not isinstance(kept, int | float):
        raise NotKeptError("has something else in place of a number")
    return kept


def _flag(kept: Any) -> bool:
    if not isinstance(kept, bool):
        raise NotKeptError("has something else in place of true or false")
    return kept
