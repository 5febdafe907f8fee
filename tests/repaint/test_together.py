"""Several roles in one picture: against a scene whose truth is computed, and against one role after the other."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from matcher.calibration.photo_calibration import calibrate
from matcher.colorimetry.spaces import Floats, srgb_decode
from matcher.repaint import bounce
from matcher.repaint.apply import apply
from matcher.repaint.doubt import picture_doubt
from matcher.repaint.prepare import Prepared, prepare
from matcher.repaint.together import apply_together
from matcher.room.contents import Area, MeasuredSurface, Reference, RoomFile
from matcher.room.measured import measured as read_measured
from matcher.service.repainting import prepare_repaint, repaint_prepared, repaint_together
from matcher.surfaces.instrument import instrument_surface
from matcher.surfaces.measure import RoomMeasurement, measure_room
from tests.benchmarks.repainting import SAMPLES, Pair, room_of
from tests.repaint import scene
from tests.repaint.scene import CARD, HOLE, IN_THE_HOLE, PANEL, photo, picture
from tests.repaint.test_painting import BEYOND, ROUNDING, WELL_INSIDE, depth, srgb_of

OLD, NEW, NEW_INSIDE = (60.0, -8.0, 10.0), (80.0, 2.0, 12.0), (45.0, 8.0, -14.0)
LUMINANCE = (0.2126, 0.7152, 0.0722)  # IEC 61966-2-1
NAVY, SAGE = (38.0, -4.0, -16.0), (62.0, -7.0, 13.0)


def ready(pixels: NDArray[Any], role: Any, outline: Any, holes: Any, old: scene.Lab) -> Prepared:
    """Return one panel of the scene, its paint read by an instrument."""
    shot = photo(pixels)
    calibration = calibrate(shot, [Reference(kind="grey card", reflectance=0.18, outline=tuple(CARD))], "scene")
    read = MeasuredSurface(name=role, material="paint", lab=tuple(old))
    surface, _ = instrument_surface(read_measured(read, None), 1.0)
    area = Area(role=role, outlines=(tuple(outline),), holes=tuple(tuple(hole) for hole in holes))
    return prepare(shot, calibration, [area], measured={role: surface})


@pytest.fixture(scope="module")
def panels() -> tuple[Prepared, Prepared]:
    """The panel round the hole, and what shows in the hole, which is painted too."""
    pixels = picture(OLD)
    return ready(pixels, "cabinets", PANEL, [HOLE], OLD), ready(pixels, "door", HOLE, [], IN_THE_HOLE)


def test_two_paints_that_meet_take_the_new_reflectances_edges_and_all(
    panels: tuple[Prepared, Prepared], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Truth: the scene with both in their new paint, light times reflectance, edges mixed as areas."""
    monkeypatch.setattr(bounce, "_OF_PICTURE", 0.0)
    monkeypatch.setattr("matcher.repaint.sheen._SATIN_BY_DAY", 0.0)
    pixels = picture(OLD)
    outer, inner = ready(pixels, "cabinets", PANEL, [HOLE], OLD), ready(pixels, "door", HOLE, [], IN_THE_HOLE)
    after = apply_together([(outer, NEW), (inner, NEW_INSIDE)]) / 255
    monkeypatch.setattr(scene, "IN_THE_HOLE", NEW_INSIDE)
    true = srgb_of(scene.linear(NEW))
    well_in_the_hole = depth(HOLE) > 4
    assert np.abs(after - true)[WELL_INSIDE | well_in_the_hole].max() < 4 * ROUNDING
    # Along the edge between the two a pixel holds some of both.
    edge = np.abs(depth(HOLE)) < 2
    assert np.abs(after - true)[edge].mean() < 4 * ROUNDING
    one_alone = apply(outer, NEW) / 255
    assert np.abs(one_alone - true)[edge].mean() > 2 * np.abs(after - true)[edge].mean()


def test_the_order_of_the_roles_does_not_matter(panels: tuple[Prepared, Prepared]) -> None:
    outer, inner = panels
    there = apply_together([(outer, NEW), (inner, NEW_INSIDE)])
    back = apply_together([(inner, NEW_INSIDE), (outer, NEW)])
    assert np.array_equal(there, back)


def test_pixels_of_neither_stay_and_pixels_of_one_are_as_painted_alone(panels: tuple[Prepared, Prepared]) -> None:
    outer, inner = panels
    both = apply_together([(outer, NEW), (inner, NEW_INSIDE)])
    of_outer, of_inner = (np.zeros(both.shape[:2], bool) for _ in range(2))
    of_outer.reshape(-1)[outer.index] = True
    of_inner.reshape(-1)[inner.index] = True
    neither = ~(of_outer | of_inner)
    assert neither[BEYOND & (depth(HOLE) < 0)].all()
    assert np.array_equal(both[neither], outer.pixels[neither])
    assert np.array_equal(both[of_outer & ~of_inner], apply(outer, NEW)[of_outer & ~of_inner])
    assert np.array_equal(both[of_inner & ~of_outer], apply(inner, NEW_INSIDE)[of_inner & ~of_outer])
    assert np.array_equal(apply_together([(outer, NEW)]), apply(outer, NEW))


def test_what_is_drawn_on_top_of_a_larger_area_is_what_is_seen(panels: tuple[Prepared, Prepared]) -> None:
    """Nobody cuts the trim out of the walls: outlined over them, it is trim there and nothing else."""
    outer, inner = panels
    over = ready(picture(OLD), "cabinets", PANEL, [], OLD)
    well_in_the_hole = depth(HOLE) > 4
    together = apply_together([(over, NEW), (inner, NEW_INSIDE)])
    assert np.abs(together.astype(int) - apply(inner, NEW_INSIDE))[well_in_the_hole].max() <= 1
    assert np.abs(together.astype(int) - apply(outer, NEW))[WELL_INSIDE].max() <= 3


@pytest.fixture(scope="module")
def sitting() -> tuple[RoomFile, RoomMeasurement]:
    """The rendered sitting room, its walls and its cabinets both read by an instrument."""
    path = SAMPLES / "sitting" / "repainting" / "pairs_day.truth.json"
    old = {"walls": (83.5, 0.2, 9.5), "cabinets": (70.0, -3.0, 7.0)}
    room = room_of(Pair(path, path, "walls", old["walls"], old["walls"]), old_known=True)
    cabinets = MeasuredSurface(name="cabinets", material="paint", lab=old["cabinets"])
    entry = room.photos[0]
    kept = tuple(surface for surface in entry.surfaces if surface.name not in old)
    photos = (entry.model_copy(update={"surfaces": kept}),)
    room = room.model_copy(update={"photos": photos, "surfaces": (*room.surfaces, cabinets)})
    return room, measure_room(room)


def test_painting_together_is_painting_one_after_the_other_within_what_is_stated(
    sitting: tuple[RoomFile, RoomMeasurement],
) -> None:
    """One after the other: the second role is prepared on the picture that has the first one's new paint."""
    _, measurement = sitting
    walls, cabinets = (prepare_repaint(measurement, role) for role in ("walls", "cabinets"))
    together = apply_together([(walls, NAVY), (cabinets, SAGE)])
    (shot,) = measurement.photos
    repainted = replace(shot.photo, pixels=apply(walls, NAVY))
    later = replace(measurement, photos=(replace(shot, photo=repainted),))
    after = apply(prepare_repaint(later, "cabinets"), SAGE)
    doubt = picture_doubt(cabinets, SAGE)
    inside = np.zeros(after.shape[:2], bool)
    inside.reshape(-1)[cabinets.index[cabinets.share > 0.99]] = True
    ratio = brightness(after, inside) / brightness(together, inside)
    assert doubt.darker < ratio < doubt.brighter
    # Far closer, in fact: what is left is the rounding to file values in between and the edges that both share.
    assert ratio == pytest.approx(1, abs=0.02)
    apart = np.abs(after.astype(int) - together.astype(int))
    assert np.median(apart[inside]) <= 1
    neither = np.ones(after.shape[:2], bool)
    for prepared in (walls, cabinets):
        neither.reshape(-1)[prepared.index] = False
    assert np.array_equal(together[neither], shot.photo.pixels[neither])


def test_of_each_role_is_said_what_is_said_of_it_alone(sitting: tuple[RoomFile, RoomMeasurement]) -> None:
    _, measurement = sitting
    walls, cabinets = (prepare_repaint(measurement, role, longest_side=400) for role in ("walls", "cabinets"))
    done = repaint_together([(walls, NAVY), (cabinets, SAGE)])
    alone = [repaint_prepared(walls, NAVY), repaint_prepared(cabinets, SAGE)]
    assert done.result["painted"] == [
        {key: value for key, value in one.result.items() if key != "size"} for one in alone
    ]
    assert done.result["size"] == alone[0].result["size"]
    assert repaint_together([(walls, NAVY)]).picture == alone[0].picture


def brightness(values: NDArray[Any], where: NDArray[np.bool_]) -> float:
    """Return the median luminance on the screen of file values (H, W, 3) at a mask (H, W)."""
    light: Floats = srgb_decode(values[where] / 255)
    return float(np.median(light @ LUMINANCE))
