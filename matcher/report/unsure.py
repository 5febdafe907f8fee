"""Why a measured surface is not known well, and what to do about it: found from its doubt's causes and its cards."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import PurePath
from typing import TYPE_CHECKING

from matcher.advice.left_over import left_over
from matcher.advice.possible import possible_actions
from matcher.report.doubt import NINETY_PERCENT, lrv_sd
from matcher.report.numbers import rounded
from matcher.report.sentences import UNSURE, UNSURE_DO
from matcher.report.trade_words import FAIRLY_SURE_WITHIN, listed, sentence_case

if TYPE_CHECKING:
    from matcher.advice.advice import ActionKind
    from matcher.surfaces.surface import Surface
    from matcher.surfaces.told import PhotoTold, RoomTold

_TRIO = {"grey card", "white card", "black card"}
# Chips need codes, and a chart or an instrument has to be bought: not what is asked first.
_AT_HAND: tuple[ActionKind, ...] = ("grey card", "three cards", "second photo", "daylight")
# Assumption: less than three tenths off the variance is not worth the way to the room.
_WORTH = 0.7


@dataclass(frozen=True, slots=True)
class Unsure:
    """``kind`` says why (the keys of ``UNSURE``), ``action`` what to do (those of ``UNSURE_DO``; None for what needs
    no photo); ``photos`` are the files meant.
    """

    surface: str
    kind: str
    action: str | None
    photos: tuple[str, ...] = ()


def why_unsure(surface: Surface, measurement: RoomTold) -> Unsure | None:
    """Return why ``surface`` is not known well; None where it is, by half the 90 % interval of its LRV."""
    if NINETY_PERCENT * rounded(lrv_sd(surface.lab, surface.covariance), 2) <= FAIRLY_SURE_WITHIN:
        return None
    shown = [photo for photo in measurement.photos if _shows(photo, surface.name)]
    for found in measurement.contradictions:
        if found.name == surface.name:
            return Unsure(surface.name, "contradiction", None, tuple(PurePath(file).name for file in found.photos))
    unsaid = tuple(PurePath(photo.photo_entry.file).name for photo in shown if _cards_on(photo, None))
    if surface.source == "photo" and not surface.has_own_card and unsaid:
        return Unsure(surface.name, "cards not said", None, unsaid)
    return Unsure(surface.name, _cause(surface, shown), _remedy(surface, measurement))


def unsure_sentence(unsure: Unsure) -> str:
    """Return why and what to do, in one sentence, or two where something has to be done."""
    values = {"surface": unsure.surface, "photos": listed(unsure.photos) if unsure.photos else ""}
    do = UNSURE_DO.get(unsure.kind if unsure.action is None else unsure.action, "")
    return " ".join(f"{sentence_case(text.format(**values))}." for text in (UNSURE[unsure.kind], do) if text)


def _cause(surface: Surface, shown: list[PhotoTold]) -> str:
    """Return what most of the doubt of the main colour's lightness comes from."""
    if surface.source == "photo" and not surface.has_own_card:
        return "no card"
    causes = {cause: float(part[0, 0]) for cause, part in surface.colours[0].causes.items()}
    largest = max(causes, key=lambda cause: causes[cause], default="other")
    if largest == "tone curve" and any(_cards_on(photo, surface.name) >= _TRIO for photo in shown):
        return "tone curve, three cards"
    return largest if largest in UNSURE else "other"


def _remedy(surface: Surface, measurement: RoomTold) -> str | None:
    """Return the first thing at hand that leaves clearly less of the doubt, else what leaves least."""
    main = surface.colours[0]
    possible = list(possible_actions(surface, measurement.photos))
    most = _WORTH * float(main.covariance[0, 0])
    for action in _AT_HAND:
        if action in possible and float(left_over(main, action, surface)[0, 0]) < most:
            return action
    return "instrument" if "instrument" in possible else None


def _shows(photo: PhotoTold, name: str) -> bool:
    return any(outlined.name == name for outlined in photo.photo_entry.surfaces)


def _cards_on(photo: PhotoTold, on: str | None) -> set[str]:
    return {each.kind for each in photo.photo_entry.references if each.on == on and each.kind != "paint chip"}
