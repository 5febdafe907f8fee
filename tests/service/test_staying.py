"""Old paint that is to go is measured for the picture of the room; nothing need suit it. Common practice, no source."""

from __future__ import annotations

from pathlib import Path

from matcher import service

ROOM = """
[room]
name = "x"
[wishes]
roles = ["walls", "cabinets"]
[[surfaces]]
name = "floor"
material = "timber"
lab = [55.0, 14.0, 28.0]
"""
OLD = """
[[surfaces]]
name = "{name}"
material = "paint"
lab = [60.0, 30.0, -20.0]
"""


def test_old_paint_of_a_role_to_be_painted_changes_no_shortlist(tmp_path: Path) -> None:
    path = tmp_path / "room.toml"
    path.write_text(ROOM)
    before = service.rank(path).result
    path.write_text(ROOM + OLD.format(name="Cabinets"))
    after = service.rank(path).result
    assert after["shortlists"] == before["shortlists"]
    assert [surface["name"] for surface in after["surfaces"]] == ["floor", "Cabinets"]
    assert any("Cabinets are to be painted" in warning for warning in after["warnings"])


def test_the_report_says_that_it_goes(tmp_path: Path) -> None:
    path = tmp_path / "room.toml"
    path.write_text(ROOM + OLD.format(name="cabinets"))
    page = service.shortlist(path).page
    assert page.count("To be painted; measured as it is now.") == 1
    assert "What stays in this room: floor." in page


def test_paint_that_stays_counts(tmp_path: Path) -> None:
    path = tmp_path / "room.toml"
    path.write_text(ROOM)
    before = service.rank(path).result
    path.write_text(ROOM + OLD.format(name="dresser"))
    assert service.rank(path).result["shortlists"] != before["shortlists"]


def test_with_nothing_else_measured_it_is_all_there_is(tmp_path: Path) -> None:
    path = tmp_path / "room.toml"
    path.write_text(ROOM.partition("[[surfaces]]")[0] + OLD.format(name="walls"))
    assert service.rank(path).result["shortlists"]["walls"]
