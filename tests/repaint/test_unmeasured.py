"""An old paint that nothing measured: what is claimed of it and of the picture, held against rendered rooms.

Truth: the rooms of sample_photos, whose paints and repainted pictures are known (sample_photos/README.md). No card lies
on a painted area here and no surface is outlined on one.
"""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from matcher.colorimetry.lrv import lrv
from matcher.colorimetry.spaces import Floats, srgb_decode
from matcher.repaint.apply import apply
from matcher.repaint.doubt import picture_doubt
from matcher.repaint.prepare import Prepared
from matcher.room.contents import RoomFile
from matcher.service.repainting import prepare_repaint
from matcher.surfaces.measure import RoomMeasurement, measure_room
from tests.benchmarks.repainting import SAMPLES, Pair, pairs_in, room_of, truth_of

PICTURES = [
    "kitchen/whole_led",
    "sitting/whole_evening",
    "sitting/repainting/pairs_day",
    "sitting/repainting/pairs_day_navy_walls",
]
AREAS = [(picture, role) for picture in PICTURES for role in ("walls", "cabinets")]
LUMINANCE = (0.2126, 0.7152, 0.0722)  # IEC 61966-2-1


@cache
def measured(picture: str) -> RoomMeasurement:
    """Return the room of one picture, nothing of what is painted outlined as a surface."""
    path = SAMPLES / f"{picture}.truth.json"
    zero = (0.0, 0.0, 0.0)
    room = room_of(Pair(path, path, "", zero, zero), old_known=False)
    painted = {area.role for area in room.photos[0].areas}
    (entry,) = room.photos
    kept = tuple(surface for surface in entry.surfaces if surface.name not in painted)
    photo = entry.model_copy(update={"surfaces": kept})
    return measure_room(RoomFile.model_copy(room, update={"photos": (photo,)}))


@cache
def ready(picture: str, role: str) -> Prepared:
    return prepare_repaint(measured(picture), role)


def true_lrv(picture: str, role: str) -> float:
    raw = json.loads(Path(SAMPLES / f"{picture}.truth.json").read_text(encoding="utf-8"))
    return float(lrv(next(area["lab"] for area in raw["areas"] if area["role"] == role)))


def brightness(picture: Floats, where: Floats) -> float:
    """Return the median luminance on the screen of a picture (H, W, 3) at a mask (H, W)."""
    return float(np.median(srgb_decode(picture[where] / 255) @ LUMINANCE))


def test_the_stated_range_of_an_unmeasured_paint_holds_the_truth_nine_times_in_ten() -> None:
    held = []
    for picture, role in AREAS:
        prepared = ready(picture, role)
        assert not prepared.old.measured
        doubt = picture_doubt(prepared, (60.0, 0.0, 0.0))
        held.append(doubt.old_low < true_lrv(picture, role) < doubt.old_high)
        # Wide it is, but no shrug: from the blackest to the whitest paint it would be a factor of 46.
        assert doubt.old_high / doubt.old_low < 15
    assert sum(held) >= 7


def test_a_lighter_paint_comes_out_lighter_or_it_is_said_that_this_is_not_known() -> None:
    """By the lamp the walls of LRV 65 were once taken for 86, so that a paint of LRV 80 made them darker."""
    prepared = ready("kitchen/whole_led", "walls")
    paint = (91.7, 0.0, 4.0)
    where = np.zeros(prepared.pixels.shape[:2], bool)
    where.reshape(-1)[prepared.index[prepared.share > 0.99]] = True
    factor = brightness(apply(prepared, paint), where) / brightness(prepared.pixels, where)
    assert 1.05 < factor < 3
    assert float(lrv(paint)) < picture_doubt(prepared, paint).old_high
    light = (97.5, 0.0, 1.0)
    assert float(lrv(light)) > picture_doubt(prepared, light).old_high


@pytest.mark.parametrize("old_known", [True, False], ids=["read", "unread"])
@pytest.mark.parametrize("pair", [p for p in pairs_in(SAMPLES) if p.before.stem.startswith("pairs")], ids=str)
def test_the_room_truly_repainted_lies_within_what_is_stated_of_the_picture(pair: Pair, old_known: bool) -> None:
    prepared = prepare_repaint(measure_room(room_of(pair, old_known=old_known)), pair.role)
    truth, doubt = truth_of(pair), picture_doubt(prepared, pair.new)
    off = brightness(truth.after, truth.area) / brightness(apply(prepared, pair.new), truth.area)
    assert doubt.darker < off < doubt.brighter
    # What is measured is claimed more narrowly, and neither claims everything.
    assert doubt.brighter / doubt.darker < (3 if old_known else 20)


def test_nothing_is_claimed_of_a_curve_in_a_file_that_has_none() -> None:
    """What the photo's tone curve leaves open is part of the doubt, and the old paint's own level another."""
    prepared = ready("sitting/repainting/pairs_day", "walls")
    new = (38.0, -4.0, -16.0)

    def width(changed: Prepared) -> float:
        doubt = picture_doubt(changed, new)
        return doubt.brighter / doubt.darker

    known = replace(prepared, curve=replace(prepared.curve, covariance=0 * prepared.curve.covariance))
    vague = replace(prepared, curve=replace(prepared.curve, covariance=9 * prepared.curve.covariance))
    surer = replace(prepared, old=replace(prepared.old, other_sd=0.02))
    assert width(known) < width(prepared) < width(vague)
    assert width(surer) < width(prepared) / 1.5
