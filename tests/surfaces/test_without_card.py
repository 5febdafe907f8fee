"""A room or a photo without cards: read by a guess where there is nothing better, and left aside where there is."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from matcher import service
from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.lrv import lrv
from matcher.errors import CardError, SurfaceError
from matcher.report.doubt import NINETY_PERCENT, lrv_sd
from matcher.report.output import to_json
from matcher.report.result import photo_entry
from matcher.report.warnings import measurement_warnings
from matcher.surfaces.measure import RoomMeasurement
from tests.calibration.scenes import Scene
from tests.surfaces.test_measure import BOTH, HEAD, TILE, WALL, entry, measured, pixels, two_surfaces


def furnished(*, cards: bool) -> Scene:
    """Tile and wall under a warm light, a strip of white trim and a dark floor below."""
    scene = two_surfaces()
    scene.paint((0, 230, 400, 250), (92.0, 0.0, 2.0))
    scene.paint((0, 250, 400, 300), (42.0, 8.0, 20.0))
    if not cards:
        for card, lab in zip(scene.cards, (TILE, WALL), strict=True):
            (left, top), _, (right, bottom), _ = card.outline
            scene.paint((int(left), int(top), int(right), int(bottom)), lab)
        scene.cards.clear()
    return scene


def shapes(names: str) -> dict[str, tuple[str, list[list[int]]]]:
    upper = {name: (material, [[x, min(y, 226)] for x, y in outline]) for name, (material, outline) in BOTH.items()}
    return {name: upper[name] for name in names.split()}


def save(folder: Path, name: str, *, cards: bool, names: str) -> str:
    scene = furnished(cards=cards)
    Image.fromarray(pixels(scene)).save(folder / name)
    return entry(scene, name, shapes(names))


def checks(measurement: RoomMeasurement, index: int) -> dict[str, str]:
    return {finding.check: finding.level for finding in measurement.photos[index].findings}


def test_a_room_without_any_card_is_read_with_a_wide_doubt(tmp_path: Path) -> None:
    """Truth: the colours the picture is drawn with. A 90 % interval of LRV that holds it, and no narrow one."""
    bare = measured(tmp_path, save(tmp_path, "bare.png", cards=False, names="tile wall"))
    carded = measured(tmp_path, save(tmp_path, "carded.png", cards=True, names="tile wall"))
    assert [s.name for s in bare.surfaces] == ["tile", "wall"]
    for found, with_card, truth in zip(bare.surfaces, carded.surfaces, (TILE, WALL), strict=True):
        main = found.colours[0]
        doubt = lrv_sd(main.lab, main.covariance)
        assert not found.has_own_card
        assert abs(float(lrv(main.lab)) - float(lrv(np.array(truth)))) < NINETY_PERCENT * doubt
        # Not twice as wide: that nothing is lighter than white paint bounds either from above. A card alone leaves the
        # tone curve as open as none does, so this is about the rest.
        without_curve, with_card_without = (
            lrv_sd(c.lab, c.covariance - c.causes["tone curve"]) for c in (main, with_card.colours[0])
        )
        assert without_curve > 1.5 * with_card_without
        np.testing.assert_allclose(sum(main.causes.values()), main.covariance, rtol=1e-9, atol=1e-9)


def test_the_doubt_of_a_guess_covers_either_side_of_a_near_neutral(tmp_path: Path) -> None:
    """A grey of C* 4 cannot be told from its opposite: nine draws in ten do not lie on one side of neutral."""
    scene = furnished(cards=False)
    scene.paint((204, 2, 398, 226), (75.0, 2.0, 3.5))
    Image.fromarray(pixels(scene)).save(tmp_path / "grey.png")
    (wall,) = measured(tmp_path, entry(scene, "grey.png", shapes("wall"))).surfaces
    along = np.array([2.0, 3.5]) / np.hypot(2.0, 3.5)
    sd = float(np.sqrt(along @ wall.colours[0].covariance[1:, 1:] @ along))
    assert NINETY_PERCENT * sd > np.hypot(2.0, 3.5)


def test_it_is_said_and_what_to_do(tmp_path: Path) -> None:
    measurement = measured(tmp_path, save(tmp_path, "bare.png", cards=False, names="tile"))
    assert checks(measurement, 0)["light guessed by white"] == "warn"
    assert photo_entry(measurement.photos[0])["cast"] is None
    (said,) = (w for w in measurement_warnings(measurement) if w.startswith("bare.png: No neutral card"))
    for word in ("guessed", "leans cannot be told", "lay a grey card", "white paper"):
        assert word in said
    assert any(w.startswith("Lay a grey card flat on the tile") for w in measurement_warnings(measurement))


def test_what_a_card_tells_elsewhere_is_not_touched_by_a_photo_without_one(tmp_path: Path) -> None:
    carded = save(tmp_path, "carded.png", cards=True, names="tile wall")
    alone = measured(tmp_path, carded)
    both = measured(tmp_path, carded + save(tmp_path, "bare.png", cards=False, names="tile wall"))
    assert checks(both, 1)["no card"] == "warn"
    assert both.photos[1].calibration is None
    for first, second in zip(alone.surfaces, both.surfaces, strict=True):
        np.testing.assert_array_equal(first.lab, second.lab)
        np.testing.assert_array_equal(first.covariance, second.covariance)


def test_only_what_no_card_stands_by_is_guessed(tmp_path: Path) -> None:
    text = save(tmp_path, "carded.png", cards=True, names="tile")
    alone = measured(tmp_path, text).surfaces[0]
    both = measured(tmp_path, text + save(tmp_path, "bare.png", cards=False, names="tile wall"))
    tile, wall = both.surfaces
    np.testing.assert_array_equal(tile.colours[0].lab, alone.colours[0].lab)
    assert lrv_sd(wall.lab, wall.covariance) > 3 * lrv_sd(tile.lab, tile.covariance)
    assert float(delta_e_2000(wall.lab, np.array(WALL))) < 25


def test_an_instrument_s_word_is_not_mixed_with_a_guess(tmp_path: Path) -> None:
    read = '[[surfaces]]\nname = "wall"\nmaterial = "paint"\nlab = [82.0, 1.5, 11.0]\nsd = 0.5\n'
    measurement = measured(tmp_path, save(tmp_path, "bare.png", cards=False, names="wall") + read)
    assert checks(measurement, 0)["no card"] == "warn"
    assert measurement.surfaces[0].source == "instrument"


def test_references_that_are_given_and_useless_stay_an_error(tmp_path: Path) -> None:
    """A guess behind the back of someone who laid a card would hide that the card is marked wrongly."""
    scene = furnished(cards=True)
    picture = pixels(scene)
    picture[120:170, 80:130] = (40, 140, 60)
    Image.fromarray(picture).save(tmp_path / "green.png")
    del scene.cards[1]
    with pytest.raises(CardError, match="not neutral"):
        measured(tmp_path, entry(scene, "green.png", shapes("tile wall")))


def test_too_few_pixels_are_still_refused(tmp_path: Path) -> None:
    scene = furnished(cards=False)
    Image.fromarray(pixels(scene)).save(tmp_path / "bare.png")
    with pytest.raises(SurfaceError, match="speck"):
        measured(tmp_path, entry(scene, "bare.png", {"speck": ("tile", [[5, 5], [9, 5], [9, 9], [5, 9]])}))


def test_a_black_photo_without_a_card_is_refused_once(tmp_path: Path) -> None:
    Image.fromarray(np.zeros((300, 400, 3), np.uint8)).save(tmp_path / "black.png")
    scene = furnished(cards=False)
    with pytest.raises(CardError) as caught:
        measured(tmp_path, entry(scene, "black.png", shapes("tile wall")))
    assert len(caught.value.problems) == 1


def test_a_shortlist_comes_of_a_room_without_any_card(tmp_path: Path) -> None:
    path = tmp_path / "room.toml"
    path.write_text(HEAD + save(tmp_path, "bare.png", cards=False, names="tile wall"), encoding="utf-8")
    result = service.surfaces(path)
    assert to_json(result) == to_json(service.surfaces(path))
    done = service.shortlist(path).result
    assert done["shortlists"]["walls"]
    assert any("guessed" in warning for warning in done["warnings"])
