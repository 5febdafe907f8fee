"""Which actions are still to be done, by what the room's photos and readings already hold."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from matcher.advice.advice import ActionKind
from matcher.calibration.correction import unknown_camera_sd
from matcher.surfaces.surface import Surface
from matcher.surfaces.told import PhotoTold

_TRIO = {"grey card", "white card", "black card"}
_WHOLE_SCALE = {"grey scale", "chart 24"}
# Assumption: less of a gain than a tenth is not worth waiting for the day.
_LESS = 0.9


def possible_actions(surface: Surface, photos: Sequence[PhotoTold]) -> Iterator[ActionKind]:
    """Yield what could still be done at a surface; nothing where an instrument has read it."""
    if surface.source != "photo":
        return
    kinds = [_kinds_on(surface.name, photo) for photo in photos if _shows(photo, surface.name)]
    yield "second photo" if surface.has_own_card else "grey card"
    if not any(kind >= _TRIO or kind & _WHOLE_SCALE for kind in kinds):
        yield "three cards"
    if not any("paint chip" in kind for kind in kinds):
        yield "paint chips"
    if any(_by_lamp(photo) for photo in photos if _shows(photo, surface.name)):
        yield "daylight"
    if not any("chart 24" in kind for kind in kinds):
        yield "chart"
    yield "instrument"


def _shows(photo: PhotoTold, name: str) -> bool:
    return photo.camera_sd is not None and any(outlined.name == name for outlined in photo.photo_entry.surfaces)


def _kinds_on(name: str, photo: PhotoTold) -> set[str]:
    return {reference.kind for reference in photo.photo_entry.references if reference.on == name}


def _by_lamp(photo: PhotoTold) -> bool:
    """Tell whether daylight would leave less between camera and eye, or would be one light in place of several."""
    assert photo.camera_sd is not None
    less = unknown_camera_sd(0.0)[0] < _LESS * photo.camera_sd[0]
    return less or any(finding.check == "mixed light" and finding.level == "warn" for finding in photo.findings)
