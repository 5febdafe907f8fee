"""Paint chips through the whole job: room file and deck in, measured surfaces and what is said of the chips out.

The picture is drawn from measured spectra through a real camera (tests/calibration/spectral_camera.py).
"""

from __future__ import annotations

import json
import re
from pathlib import Path

import cv2
import pytest
from typer.testing import CliRunner

from matcher import service
from matcher.cli.app import app
from matcher.errors import RequestError, RoomFileError
from matcher.room.reading import read_room
from tests.calibration.spectral_camera import spectra, true_lab
from tests.surfaces.test_beside_chips import OUTLINE, near, shoot, some_muted

SURFACE = int(some_muted(4)[1])


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A room of one worktop with a grey card and three chips, and a deck of those and others."""
    folder = tmp_path_factory.mktemp("chips")
    shot = shoot(SURFACE, near(SURFACE, 3))
    cv2.imwrite(str(folder / "worktop.png"), shot.photo.pixels[..., ::-1])
    lines = ['[room]\nname = "Chips"\n[[photos]]\nfile = "worktop.png"\n']
    for reference in shot.references:
        said = f'paint = "{reference.paint}"' if reference.paint else f"reflectance = {reference.reflectance}"
        outline = [list(map(float, point)) for point in reference.outline]
        lines.append(f'[[photos.references]]\nkind = "{reference.kind}"\n{said}\noutline = {outline}\non = "worktop"\n')
    outline = [list(map(float, point)) for point in OUTLINE]
    lines.append(f'[[photos.surfaces]]\nname = "worktop"\nmaterial = "stone"\noutline = {outline}\n')
    (folder / "room.toml").write_text("".join(lines), encoding="utf-8")
    rows = [f"{index},Made up {index},{lab[0]},{lab[1]},{lab[2]}" for index, lab in enumerate(true_lab(spectra("all")))]
    (folder / "deck.csv").write_text("\n".join(["code,name,L,a,b", *rows]), encoding="utf-8")
    return folder


def test_the_comparison_stands_among_the_checks(folder: Path) -> None:
    run = CliRunner().invoke(
        app, ["surface", str(folder / "room.toml"), "--deck", str(folder / "deck.csv"), "--json", "-q"]
    )
    assert run.exit_code == 0, run.output
    result = json.loads(run.stdout)
    (check,) = [each for each in result["photos"][0]["checks"] if each["check"] == "nearest chip"]
    assert check["level"] == "ok"
    assert check["message"].startswith("worktop: of the chips lying here ")
    assert result["surfaces"][0]["own_card"]


def test_the_whole_job_takes_the_colours_from_the_deck_that_is_ranked(folder: Path) -> None:
    ranked = service.rank(folder / "room.toml", deck_path=folder / "deck.csv", top=3)
    measured = ranked.result["surfaces"][0]["lab"]
    truth = true_lab(spectra("all"))[SURFACE]
    assert max(abs(a - b) for a, b in zip(measured, truth, strict=True)) < 4
    asked = [each for each in ranked.advise()["actions"] if each["kind"] == "paint chips"]
    assert not asked  # they lie there


def test_a_chip_that_states_its_colour_is_measured_by_it_and_what_the_deck_says_is_told(folder: Path) -> None:
    """Another edition of the deck: the chips' codes are other colours there, one is gone."""
    before = service.surfaces(folder / "room.toml", deck_path=folder / "deck.csv")
    text, rows = (folder / "room.toml").read_text("utf-8"), (folder / "deck.csv").read_text("utf-8").splitlines()
    for code, *_, a, b in (row.split(",") for row in rows):
        lightness = rows[int(code) + 1].split(",")[2] if code.isdecimal() else ""
        text = text.replace(f'paint = "{code}"\n', f'paint = "{code}"\nlab = [{lightness}, {a}, {b}]\n')
    codes = re.findall(r'paint = "(\d+)"', text)
    assert len(re.findall(r"^lab = ", text, flags=re.MULTILINE)) == len(codes) == 3
    other = [row for row in rows if not row.startswith(f"{codes[0]},")]
    for code in codes[1:]:
        place = next(place for place, row in enumerate(other) if row.startswith(f"{code},"))
        lightness = float(other[place].split(",")[2])
        other[place] = ",".join([code, "Moved", str(lightness - 4), *other[place].split(",")[3:]])
    (folder / "stated.toml").write_text(text, "utf-8")
    (folder / "other.csv").write_text("\n".join(other), "utf-8")
    ranked = service.rank(folder / "stated.toml", deck_path=folder / "other.csv", top=1).result
    assert [surface["colours"] for surface in ranked["surfaces"]] == [each["colours"] for each in before["surfaces"]]
    told = [each for each in ranked["photos"][0]["checks"] if each["check"] == "chip of another edition"]
    assert [each["message"].split(":")[0] for each in told] == codes[1:]
    assert all(each["values"]["de00"] > 2 for each in told)
    assert f"{codes[1]} and {codes[2]} were measured with the colours of another edition" in ranked["warnings"][0]


def test_codes_that_the_deck_does_not_have_are_named_in_one_go(folder: Path) -> None:
    """The invented deck has other codes."""
    with pytest.raises(RequestError) as caught:
        service.surfaces(folder / "room.toml")
    assert [problem.where for problem in caught.value.problems] == [
        f"photos[0].references[{index}].paint" for index in (1, 2, 3)
    ]


@pytest.mark.parametrize(
    ("reference", "where", "what"),
    [
        ('kind = "paint chip"', "photos[0].references[0].paint", "is missing"),
        ('kind = "paint chip"\npaint = "A"\nreflectance = 0.5', "photos[0].references[0]", "take out reflectance"),
        ('kind = "grey card"\nreflectance = 0.18\npaint = "A"', "photos[0].references[0]", "a grey card has none"),
        ('kind = "grey card"\nreflectance = 0.18\nlab = [50, 0, 0]', "photos[0].references[0]", "a grey card has none"),
        ('kind = "paint chip"\npaint = "A"\nlab = [50, 0]', "photos[0].references[0].lab", "too few numbers"),
        ('kind = "paint chip"\npaint = 7', "photos[0].references[0].paint", "not text"),
    ],
)
def test_what_a_chip_needs_is_said(folder: Path, reference: str, where: str, what: str) -> None:
    text = f"""[room]
name = "Chips"
[[photos]]
file = "worktop.png"
[[photos.references]]
{reference}
outline = [[40, 40], [90, 40], [90, 90], [40, 90]]
[[photos.surfaces]]
name = "worktop"
material = "stone"
outline = [[5, 5], [290, 5], [290, 290], [5, 290]]
"""
    path = folder / "wrong.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(RoomFileError) as caught:
        read_room(path)
    (problem,) = caught.value.problems
    assert problem.where == where
    assert what in f"{problem.what} {problem.remedy}"
