"""``givens demo`` and ``givens photo check`` on the sample kitchen, whose photos are rendered."""

from __future__ import annotations

import json
from pathlib import Path

from typer.testing import CliRunner

from matcher.cli.app import app
from matcher.demo.location import demo_room
from tests.handover import pdf

KITCHEN = Path(__file__).parents[2] / "sample_photos" / "kitchen"


def test_demo_writes_a_page_that_says_it_is_invented(tmp_path: Path) -> None:
    done = CliRunner().invoke(app, ["demo", "--out", str(tmp_path / "out"), "-q"], catch_exceptions=False)
    assert done.exit_code == 0
    assert str(tmp_path / "out" / "report.html") in done.stdout
    page = (tmp_path / "out" / "report.html").read_text(encoding="utf-8")
    assert "None of these paints can be bought" in page
    # Five photos, each once though the client and the consultant are shown it, and the room repainted.
    assert page.count("data:image/jpeg;base64,") == 6
    assert "Repainted" in page[: page.index('id="appendix"')]
    result = json.loads((tmp_path / "out" / "result.json").read_text(encoding="utf-8"))
    assert [surface["name"] for surface in result["surfaces"]] == ["worktop", "floor", "tile", "cabinets", "walls"]
    assert {len(paints) for paints in result["shortlists"].values()} == {8}
    pages = pdf.texts((tmp_path / "out" / "client.pdf").read_bytes())
    assert len(pages) == 6
    assert all("No paint here can be bought" in page for page in pages)
    assert "Repainted" in pages[0]
    (schedule,) = pdf.texts((tmp_path / "out" / "schedule.pdf").read_bytes())
    for role in result["scheme"]["roles"].values():
        assert role["code"] in pages[1]
        assert role["code"] in schedule
    again = CliRunner().invoke(app, ["demo", "--out", str(tmp_path / "again"), "-q"], catch_exceptions=False)
    assert again.exit_code == 0
    assert {path.name: path.read_bytes() for path in (tmp_path / "out").iterdir()} == {
        path.name: path.read_bytes() for path in (tmp_path / "again").iterdir()
    }, "the same inputs give the same bytes"


def test_the_wheel_carries_what_the_demo_room_names() -> None:
    """pyproject.toml lists the files one by one: a photo added to the room file has to be added there."""
    with demo_room() as room:
        names = {
            room.name,
            *(line.split('"')[1] for line in room.read_text("utf-8").splitlines() if line.startswith("file")),
        }
    project = (KITCHEN.parents[1] / "pyproject.toml").read_text(encoding="utf-8")
    carried = {line.split('"')[1].rsplit("/", 1)[1] for line in project.splitlines() if "matcher/demo/kitchen" in line}
    assert carried == names


def test_photo_check_finds_the_photo_fit_and_proposes_cards() -> None:
    done = CliRunner().invoke(
        app, ["photo", "check", str(KITCHEN / "worktop_day.jpg"), "--json"], catch_exceptions=False
    )
    result = json.loads(done.stdout)
    assert {check["check"] for check in result["checks"]} >= {
        "size",
        "exposure",
        "clipping",
        "sharpness",
        "mixed light",
    }
    assert all(check["level"] != "fail" for check in result["checks"])
    assert result["cards"]
    width, height = result["size"]
    for card in result["cards"]:
        assert all(0 <= x <= width and 0 <= y <= height for x, y in card["outline"])
