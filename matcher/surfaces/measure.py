"""Measure a whole room: every photo calibrated, every surface read wherever it is outlined, readings combined."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import nullcontext
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from matcher.calibration.cast import Cast
from matcher.calibration.odd_card import odd_cards
from matcher.calibration.paint_chip import Paints
from matcher.calibration.photo_calibration import PhotoCalibration
from matcher.colorimetry.spaces import Floats
from matcher.errors import CardError, Problem, SurfaceError
from matcher.photo.decoded import Finding, Level, Photo
from matcher.recall import Recall
from matcher.room.contents import OutlinedSurface, PhotoEntry, RoomFile
from matcher.room.measured import measured
from matcher.surfaces.beside_chips import ChipEvidence, chip_evidence
from matcher.surfaces.card_noise import noise_left
from matcher.surfaces.combining import combine
from matcher.surfaces.contradiction import Contradiction, contradictions
from matcher.surfaces.instrument import InstrumentReading, instrument_surface, with_instrument
from matcher.surfaces.reading import SurfaceReading, read_surface
from matcher.surfaces.seen_in_readings import seen_in_readings
from matcher.surfaces.shots import Brought, Opening, Outline, Progress, Shot, calibrated, opened, shot_of
from matcher.surfaces.surface import Surface
from matcher.surfaces.two_lights import colour_drift, mixed_light, with_drift_doubt
from matcher.surfaces.unread import Unread
from matcher.surfaces.upright_front import light_fall
from matcher.surfaces.without_card import without_card

# Threads that wait for workers, which decode and check photos aside. Reading surfaces side by side was tried: it is
# many small steps that hold the interpreter's lock, and was slower.
_WORKERS = 2
_PLENTY = 1000  # readings of one room
_HEAD_START_S = 0.05  # for handing photos over, which takes a hundredth of that unless others are under way

Covered = Mapping[str, Sequence[Outline]]
_NOTHING_COVERED: Covered = MappingProxyType({})


@dataclass(frozen=True, slots=True, eq=False)
class PhotoMeasurement:
    """One photo of the room and what its cards tell, or a guess for surfaces without a card (None without either).

    ``cards`` outline all that lies before what is measured or repainted: references, and chips that tell nothing yet.
    ``findings`` come beside those of ``photo``: its fitness and what its cards tell.
    """

    photo_entry: PhotoEntry
    photo: Photo
    cards: tuple[Outline, ...]
    calibration: PhotoCalibration | None
    findings: tuple[Finding, ...]

    @property
    def cast(self) -> Cast | None:
        """The cast the cards show."""
        return self.calibration.cast if self.calibration else None

    @property
    def camera_sd(self) -> tuple[float, float] | None:
        """What the camera leaves open; None where nothing was measured."""
        return self.calibration.camera_sd if self.calibration else None

    @property
    def full_size(self) -> tuple[int, int]:
        """Width and height of the upright full-size picture."""
        return self.photo.full_size

    @property
    def tone_known(self) -> bool:
        """Whether no camera's tone curve lies between the light and the file."""
        return self.photo.colour_space.tone_known

    @property
    def decoding(self) -> tuple[Finding, ...]:
        """What decoding noticed."""
        return self.photo.findings


@dataclass(frozen=True, slots=True, eq=False)
class RoomMeasurement:
    """``surfaces`` in the order they first appear in the room file; ``instruments`` what instruments said of some;
    ``contradictions`` the surfaces that two photos show quite differently; ``unread`` those that nothing could read;
    ``lost`` what is wrong with cards, and in single photos with surfaces that others could read.
    """

    surfaces: tuple[Surface, ...]
    photos: tuple[PhotoMeasurement, ...]
    instruments: tuple[InstrumentReading, ...] = ()
    contradictions: tuple[Contradiction, ...] = ()
    unread: tuple[Unread, ...] = ()
    lost: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Survey:
    """What could be measured of a room, and why the rest could not; the ``problems`` of cards come first."""

    measurement: RoomMeasurement
    card_problems: tuple[Problem, ...]
    surface_problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class Memories:
    """What a program that measures the same room again and again keeps: decoded photos are large, readings small.

    A photo that is not remembered is ``brought`` to its path for as long as it is decoded.
    """

    photos: Recall
    readings: Recall
    brought: Brought = nullcontext


def measure_room(
    room: RoomFile, *, progress: Progress | None = None, paints: Callable[[], Paints] | None = None
) -> RoomMeasurement:
    """Measure the surfaces of a room; ``paints``, what the deck says of the room's paint chips, is called once, while
    the photos decode on another processor.

    One that cannot be read keeps no other from being read: it is named under ``unread``. Raises :class:`PhotoError`,
    and :class:`CardError` or :class:`SurfaceError` with all problems at once where no surface at all could be read.
    """
    survey = survey_room(room, progress=progress, paints=paints)
    if survey.measurement.surfaces:
        return survey.measurement
    if survey.card_problems:
        raise CardError.of(survey.card_problems)
    if survey.surface_problems:
        raise SurfaceError.of(survey.surface_problems)
    return survey.measurement


def survey_room(
    room: RoomFile,
    *,
    memories: Memories | None = None,
    progress: Progress | None = None,
    paints: Callable[[], Paints] | None = None,
    covered: Covered = _NOTHING_COVERED,
) -> Survey:
    """Measure what can be measured; raises :class:`PhotoError`, and whatever bringing a photo raises.

    ``covered`` are outlines, by photo, of what lies on the surfaces beside the references: no surface is read there.
    ``memories`` of earlier surveys save what has not changed since; a photo's file is taken never to change.
    """
    memories = memories or Memories(Recall(len(room.photos)), Recall(_PLENTY))
    with ThreadPoolExecutor(_WORKERS) as pool:
        openings = [
            (entry, opened(room, entry, pool, memories.photos, memories.brought, progress)) for entry in room.photos
        ]
        known = _known(paints, openings) if paints else {}
        shots = [shot_of(entry, covered.get(entry.file, ()), opening) for entry, opening in openings]
        guessed = without_card(room)
        calibrations, card_problems = calibrated(shots, guessed, memories.readings, known)
        read: list[tuple[str, SurfaceReading]] = []
        problems: dict[tuple[str, str], tuple[Problem, ...]] = {}
        dark: dict[tuple[str, str], tuple[Problem, ...]] = {}
        photos: list[PhotoMeasurement] = []
        for shot, calibration, amiss in zip(shots, calibrations, card_problems, strict=True):
            if calibration is None:
                photos.append(_unmeasured(shot))
                dark |= _without_light(shot, amiss)
                continue
            chips = chip_evidence(calibration, shot.photo.colour_space) if calibration.chips else None
            found, failed = _read_surfaces(shot, calibration, chips, guessed, memories.readings)
            drift = colour_drift(found)
            seen = (*mixed_light(drift), *seen_in_readings(found), *(chips.findings if chips else ()))
            read += [(shot.entry.file, reading) for reading in with_drift_doubt(found, drift)]
            photos.append(_measured(shot, calibration, seen, memories.readings))
            for name, several in failed.items():
                problems[shot.entry.file, name] = several
    surfaces, instruments = _surfaces(room, [reading for _, reading in read])
    # Where an instrument read a surface, a photo that shows too little of it is no loss.
    by_instrument = {surface.name for surface in room.surfaces}
    missed = {place: several for place, several in problems.items() if place[1] not in by_instrument}
    found_names = {surface.name for surface in surfaces}
    unread = tuple(
        Unread(name, file, problem)
        for (file, name), several in {**dark, **missed}.items()
        if name not in found_names
        for problem in several[:1]
    )
    of_cards = tuple(problem for several in card_problems for problem in several)
    elsewhere = [problem for (_, name), several in missed.items() if name in found_names for problem in several]
    measurement = RoomMeasurement(
        surfaces, tuple(photos), instruments, contradictions(read), unread, (*of_cards, *elsewhere)
    )
    unreadable = tuple(problem for several in missed.values() for problem in several)
    return Survey(measurement, of_cards, unreadable)


def _known(paints: Callable[[], Paints], openings: Sequence[tuple[PhotoEntry, Opening]]) -> Paints:
    """Return what the deck says, read while photos decode: a thread that hands one over would wait for the lock of the
    interpreter, which reading a deck hardly lets go.
    """
    for _, opening in openings[:_WORKERS]:
        opening.begun.wait(_HEAD_START_S)
    return paints()


def _unmeasured(shot: Shot) -> PhotoMeasurement:
    level: Level = "warn" if shot.entry.surfaces else "note"
    missing = Finding("no usable card", level) if shot.entry.references else Finding("no card", level)
    findings = (*shot.checking.result(), *shot.disbelieved, missing)
    return PhotoMeasurement(shot.entry, shot.photo, shot.cards, None, findings)


def _without_light(shot: Shot, amiss: Sequence[Problem]) -> dict[tuple[str, str], tuple[Problem, ...]]:
    """Return the problem that each surface of a photo has whose cards have ``amiss``."""
    return {
        (shot.entry.file, surface.name): (
            Problem(
                f"{shot.entry.file}: {surface.name}",
                f"no card in this photo can be used ({amiss[0].where.split(': ')[-1]}: {amiss[0].what})",
                amiss[0].remedy,
            ),
        )
        for surface in shot.entry.surfaces
        if amiss
    }


def _measured(shot: Shot, calibration: PhotoCalibration, seen: tuple[Finding, ...], recall: Recall) -> PhotoMeasurement:
    _, odd = recall.of(("odd cards", id(calibration)), lambda: (calibration, odd_cards(shot.photo, calibration)))
    findings = (*shot.checking.result(), *shot.disbelieved, *calibration.findings, *odd, *seen)
    return PhotoMeasurement(shot.entry, shot.photo, shot.cards, calibration, findings)


def _read_surfaces(
    shot: Shot,
    calibration: PhotoCalibration,
    chips: ChipEvidence | None,
    guessed: frozenset[str],
    recall: Recall,
) -> tuple[list[SurfaceReading], dict[str, tuple[Problem, ...]]]:
    """Return the readings of a photo, and what was wrong with each surface that gave none."""
    readings: list[SurfaceReading] = []
    problems: dict[str, tuple[Problem, ...]] = {}
    for surface in shot.entry.surfaces:
        if calibration.guessed and surface.name not in guessed:
            continue
        try:
            readings.append(_read(shot, calibration, surface, chips, recall))
        except SurfaceError as error:
            problems[surface.name] = error.problems
    return readings, problems


def _read(
    shot: Shot,
    calibration: PhotoCalibration,
    surface: OutlinedSurface,
    chips: ChipEvidence | None,
    recall: Recall,
) -> SurfaceReading:
    entry = shot.entry
    fall = light_fall(surface, entry.surfaces, calibration.lights, lamp=calibration.lamp)
    # The calibration is the recalled one where nothing about it changed, so that its identity stands for its content.
    key = ("surface", id(calibration), surface, entry.whole_room, shot.cards, fall)
    calibration_then, reading = recall.of(
        key,
        lambda: (
            calibration,
            read_surface(
                shot.photo,
                calibration,
                surface,
                cards=[np.asarray(card, dtype=float) for card in shot.cards],
                noise_left=_noise_left(shot, calibration, recall),
                whole_room=entry.whole_room,
                where=entry.file,
                chips=chips,
                fall=fall,
            ),
        ),
    )
    assert calibration_then is calibration
    return reading


def _noise_left(shot: Shot, calibration: PhotoCalibration, recall: Recall) -> Floats:
    references = shot.entry.references
    return recall.of(
        ("noise", shot.photo.path, references), lambda: noise_left(shot.photo, references, calibration.noise)
    )


def _surfaces(
    room: RoomFile, readings: Sequence[SurfaceReading]
) -> tuple[tuple[Surface, ...], tuple[InstrumentReading, ...]]:
    """Combine the readings of each surface and what instruments said; what neither could read is left out."""
    names = list(dict.fromkeys(s.name for p in room.photos for s in p.surfaces))
    unread = [n for n in names if not any(r.name == n for r in readings)]
    instruments = {m.name: measured(m, room.folder) for m in room.surfaces}
    weights = {name: _visible_area([r for r in readings if r.name == name]) for name in names if name not in unread}
    typical = float(np.median(list(weights.values()))) if weights else 1.0
    weights |= {name: typical for name in instruments if name not in weights}
    total = sum(weights.values())
    surfaces, by_instrument = [], []
    for name, weight in weights.items():
        own = [r for r in readings if r.name == name]
        if name not in instruments:
            surfaces.append(combine(own, weight / total))
            continue
        surface, reading = (
            with_instrument(combine(own, weight / total), instruments[name])
            if own
            else instrument_surface(instruments[name], weight / total)
        )
        surfaces.append(surface)
        by_instrument.append(reading)
    return tuple(surfaces), tuple(by_instrument)


def _visible_area(readings: Sequence[SurfaceReading]) -> float:
    """Return the part of the picture a surface takes: in the whole-room photo where it is outlined there."""
    whole = [r for r in readings if r.whole_room] or list(readings)
    return float(np.mean([r.area / r.photo_area for r in whole]))
