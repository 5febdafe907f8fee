"""The photos of a room: decoded, looked over for their fitness, calibrated alone or with the room's other photos."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Executor, Future
from contextlib import AbstractContextManager
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from threading import Event

import numpy as np

from matcher.calibration.no_card import calibrate_without_card
from matcher.calibration.paint_chip import Paints
from matcher.calibration.photo_calibration import PhotoCalibration, calibrate, with_believed_curve
from matcher.calibration.tone_curve import ToneCurve, same_camera_curve
from matcher.errors import CardError, Problem
from matcher.photo.decoded import Finding, Photo
from matcher.photo.reading import read_and_check
from matcher.recall import Recall
from matcher.room.contents import PhotoEntry, RoomFile
from matcher.surfaces.lying_on import with_believed_cards

Progress = Callable[[str], None]
Brought = Callable[[Path], AbstractContextManager[object]]
Outline = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, eq=False)
class Shot:
    """A decoded photo whose fitness is being checked meanwhile; ``entry`` has no card ``on`` what it does not lie on,
    and ``disbelieved`` names those that were said to. ``cards`` outline whatever lies before the surfaces: its
    references, and chips that tell nothing yet.
    """

    entry: PhotoEntry
    disbelieved: tuple[Finding, ...]
    cards: tuple[Outline, ...]
    photo: Photo
    checking: Future[tuple[Finding, ...]]


@dataclass(frozen=True, slots=True, eq=False)
class Opening:
    """A photo on its way: decoded first, then looked over for its fitness; ``begun`` when a worker has it in hand."""

    begun: Event
    decoding: Future[Photo]
    checking: Future[tuple[Finding, ...]]


def opened(
    room: RoomFile, entry: PhotoEntry, pool: Executor, recall: Recall, brought: Brought, progress: Progress | None
) -> Opening:
    """Have the photo brought to its path, decoded and checked, while a thread of ``pool`` waits for it."""
    if progress:
        progress(f"Reading {entry.file}")
    path = room.path_of(entry)
    opening = recall.of(path, lambda: _opening(path, pool, brought))
    # A busy machine may take too long over it once.
    opening.checking.add_done_callback(lambda done: recall.forget(path) if done.exception() else None)
    return opening


def _opening(path: Path, pool: Executor, brought: Brought) -> Opening:
    begun, decoding = Event(), Future[Photo]()

    def read() -> tuple[Finding, ...]:
        with brought(path):
            return read_and_check(path, begun.set, decoding.set_result)

    checking = pool.submit(read)

    def tell(done: Future[tuple[Finding, ...]]) -> None:
        error = done.exception()
        if error is not None and not decoding.done():
            decoding.set_exception(error)
        begun.set()

    checking.add_done_callback(tell)
    return Opening(begun, decoding, checking)


def shot_of(entry: PhotoEntry, covered: Sequence[Outline], opening: Opening) -> Shot:
    """Wait for the photo; its fitness is being checked meanwhile. ``covered`` is what lies there beside references."""
    photo = opening.decoding.result()
    believed, findings = with_believed_cards(entry)
    cards = (*(reference.outline for reference in believed.references), *covered)
    return Shot(believed, findings, cards, photo, opening.checking)


def calibrated(
    shots: Sequence[Shot], guessed: frozenset[str], recall: Recall, paints: Paints
) -> tuple[list[PhotoCalibration | None], list[tuple[Problem, ...]]]:
    """Calibrate every photo with a reference, and by a guess those without one that show a surface of ``guessed``.

    ``paints`` is what the deck says of the room's paint chips. The second list holds what is wrong with the references
    of each photo that could not be calibrated.
    """
    found: list[PhotoCalibration | None] = []
    problems: list[tuple[Problem, ...]] = [()] * len(shots)
    for index, shot in enumerate(shots):
        try:
            found.append(_own_calibration(shot, recall, paints))
        except CardError as error:
            found.append(None)
            problems[index] = error.problems
    curves = [c.curve for c in found if c is not None and c.curve.evidence]
    believed = same_camera_curve(curves) if curves else None
    for index, shot in enumerate(shots):
        try:
            found[index] = _completed(shot, found[index], believed, guessed, recall)
        except CardError as error:
            problems[index] = error.problems
    return found, problems


def _completed(
    shot: Shot, own: PhotoCalibration | None, believed: ToneCurve | None, guessed: frozenset[str], recall: Recall
) -> PhotoCalibration | None:
    """Return what the photo's own cards tell under the curve ``believed`` from the room's other photos, where it has no
    evidence of its own; without a reference a guess, where some surface needs it.
    """
    lent = (tuple(believed.strength), tuple(believed.covariance.ravel())) if believed is not None else None
    if own is None:
        if shot.entry.references or guessed.isdisjoint(surface.name for surface in shot.entry.surfaces):
            return None
        return recall.of(
            ("guessed light", shot.photo.path, lent),
            partial(calibrate_without_card, shot.photo, shot.entry.file, believed=believed),
        )
    if believed is None or own.curve.evidence:
        return own
    return recall.of(
        ("lent curve", own, lent),
        partial(with_believed_curve, own, shot.photo.colour_space, believed),
    )


def _own_calibration(shot: Shot, recall: Recall, paints: Paints) -> PhotoCalibration | None:
    references = shot.entry.references
    if not references:
        return None
    paints = {**paints, **{code: np.array(lab) for code, lab in shot.entry.chip_labs.items()}}
    # The same code is another colour in another deck.
    chips = tuple(tuple(paints.get(str(each.paint), ())) for each in references if each.kind == "paint chip")
    return recall.of(
        ("calibration", shot.photo.path, references, chips),
        lambda: calibrate(shot.photo, references, shot.entry.file, paints=paints),
    )
