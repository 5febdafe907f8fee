"""What an instrument says of a surface, alone and beside photos of it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest

from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import lab_to_xyz, xyz_to_lab
from matcher.report.doubt import de00_sd
from matcher.report.warnings import measurement_warnings
from matcher.room.contents import MeasuredColour
from matcher.room.measured import Measured
from matcher.room.reading import read_room
from matcher.surfaces.combining import make_surface
from matcher.surfaces.instrument import with_instrument
from matcher.surfaces.measure import measure_room
from matcher.surfaces.surface import Cause, Surface, SurfaceColour

SAMPLE = Path(__file__).parents[2] / "sample_photos" / "kitchen" / "kitchen_daylight.toml"


def photographed(*colours: tuple[list[float], float], sd: float = 4.0) -> Surface:
    """A surface of (lab, share) colours as a photo reads them: sure of the hue, not of the lightness."""
    covariance = np.diag([sd, sd / 4, sd / 4]) ** 2
    causes: dict[Cause, np.ndarray[Any, Any]] = {"level": 0.75 * covariance, "texture": 0.25 * covariance}
    made = tuple(SurfaceColour(np.array(lab), covariance, share, "field", causes) for lab, share in colours)
    return make_surface("floor", "tile", made, visibility=0.4, source="photo", has_own_card=False)


def instrument(*colours: tuple[tuple[float, float, float], float], sd: float = 0.5) -> Measured:
    return Measured("floor", "tile", tuple(MeasuredColour(share=share, lab=lab) for lab, share in colours), sd, ())


def test_instrument_readings_pass_through(room_path: Path) -> None:
    """Lab, share and sd of the room file, untouched: the doubt of result.json is the file's sd."""
    worktop, floor = measure_room(read_room(room_path)).surfaces
    assert worktop.source == floor.source == "instrument"
    np.testing.assert_array_equal([c.lab for c in worktop.colours], [[86.0, 0.0, 1.0], [64.0, -0.5, -2.0]])
    assert [c.share for c in worktop.colours] == [0.8, 0.2]
    np.testing.assert_array_equal(floor.colours[0].lab, [55.0, 14.0, 28.0])
    for colour, sd in ((floor.colours[0], 1.0), *((one, 0.5) for one in worktop.colours)):
        assert float(de00_sd(colour.lab, colour.covariance)) == pytest.approx(sd, rel=0.02)
    assert worktop.visibility + floor.visibility == pytest.approx(1.0)


def test_the_instrument_rules_the_main_colour_and_the_photo_the_shares() -> None:
    found, said = with_instrument(
        photographed(([60.0, 4, 8], 0.7), ([85.0, 1, 5], 0.3)), instrument(((64.0, 5.0, 9.0), 1))
    )
    assert found.source == "photo and instrument"
    assert float(delta_e_2000(found.colours[0].lab, [64, 5, 9])) < 0.5
    assert float(de00_sd(found.colours[0].lab, found.colours[0].covariance)) <= 0.5
    assert [colour.share for colour in found.colours] == [0.7, 0.3]
    assert found.visibility == 0.4
    assert not said.contradicts


def test_what_is_known_of_the_light_is_carried_to_the_second_colour() -> None:
    """A photo that is a fifth too dark (in linear light) is so in every colour of the surface."""
    true = np.array([[60.0, 4.0, 8.0], [85.0, 1.0, 5.0]])
    dark = xyz_to_lab(0.8 * lab_to_xyz(true))
    photo = photographed((dark[0].tolist(), 0.7), (dark[1].tolist(), 0.3))
    main: tuple[float, float, float] = (60.0, 4.0, 8.0)
    found, _ = with_instrument(photo, instrument((main, 1.0)))
    before, after = delta_e_2000(dark[1], true[1]), delta_e_2000(found.colours[1].lab, true[1])
    assert after < 0.5 * before
    assert found.colours[1].covariance[0, 0] < photo.colours[1].covariance[0, 0]
    assert np.linalg.eigvalsh(found.colours[1].covariance).min() > 0


def test_the_causes_of_the_doubt_that_is_left_sum_to_it() -> None:
    photo = photographed(([60.0, 4, 8], 0.7), ([85.0, 1, 5], 0.3))
    found, _ = with_instrument(photo, instrument(((64.0, 5.0, 9.0), 1)))
    for colour in found.colours:
        assert set(colour.causes) == {"level", "texture", "instrument"}
        np.testing.assert_allclose(sum(colour.causes.values()), colour.covariance, atol=1e-6)
    main = found.colours[0]
    assert np.trace(main.causes["instrument"]) > 0.8 * np.trace(main.covariance)


def test_two_that_contradict_each_other_are_said() -> None:
    """Mahalanobis, by hand: 20 L* against a sigma of 4 is five sigmas; 6 L* is one and a half."""
    photo = photographed(([60.0, 4.0, 8.0], 1.0))
    assert with_instrument(photo, instrument(((80.0, 4.0, 8.0), 1.0)))[1].contradicts
    near = with_instrument(photo, instrument(((66.0, 4.0, 8.0), 1.0)))[1]
    assert not near.contradicts
    assert near.apart == pytest.approx(float(delta_e_2000([60, 4, 8], [66, 4, 8])))


def test_an_instrument_that_gives_all_colours_knows_the_surface() -> None:
    whole = instrument(((64.0, 5.0, 9.0), 0.6), ((30.0, 1.0, 2.0), 0.4))
    found, _ = with_instrument(photographed(([60.0, 4, 8], 1.0)), whole)
    np.testing.assert_array_equal([c.lab for c in found.colours], [[64, 5, 9], [30, 1, 2]])
    assert [c.share for c in found.colours] == [0.6, 0.4]
    assert found.visibility == 0.4


def test_a_reading_without_doubt_breaks_nothing() -> None:
    found, _ = with_instrument(photographed(([60.0, 4, 8], 1.0)), instrument(((64.0, 5.0, 9.0), 1.0), sd=0.0))
    np.testing.assert_allclose(found.colours[0].lab, [64, 5, 9], atol=0.01)


def _sample(tmp_path: Path, reading: str) -> Path:
    text = SAMPLE.read_text(encoding="utf-8").replace('file = "', f'file = "{SAMPLE.parent}/')
    path = tmp_path / "room.toml"
    path.write_text(f'{text}\n[[surfaces]]\nname = "floor"\nmaterial = "timber"\n{reading}\n', encoding="utf-8")
    return path


def test_a_photographed_room_with_one_surface_measured(tmp_path: Path) -> None:
    """The sample kitchen: its floor as photographed and a reading near it; then one far off, which is said."""
    plain = measure_room(read_room(SAMPLE))
    (before,) = [s for s in plain.surfaces if s.name == "floor"]
    lab = [round(float(part), 1) for part in before.colours[0].lab + np.array([1.0, 0.5, 0.5])]
    room = measure_room(read_room(_sample(tmp_path, f"lab = {lab}")))
    (after,) = [s for s in room.surfaces if s.name == "floor"]
    assert float(delta_e_2000(after.colours[0].lab, lab)) < 0.5
    assert after.visibility == before.visibility
    assert [c.share for c in after.colours] == [c.share for c in before.colours]
    assert [s.name for s in room.surfaces] == [s.name for s in plain.surfaces]
    assert not any("instrument" in warning for warning in measurement_warnings(room))
    wrong = measure_room(read_room(_sample(tmp_path, "lab = [92.0, -3.0, -12.0]")))
    (said,) = [text for text in measurement_warnings(wrong) if "instrument and the photos" in text]
    assert said.startswith("Floor: the instrument and the photos differ by a large step")


def test_what_a_file_leaves_open_is_said_with_the_result(tmp_path: Path) -> None:
    (tmp_path / "floor.txt").write_text("55 14 28", encoding="utf-8")
    room = measure_room(read_room(_sample(tmp_path, 'file = "floor.txt"')))
    said = [text for text in measurement_warnings(room) if text.startswith("Floor: ")]
    assert any("D65 was assumed" in text for text in said)
