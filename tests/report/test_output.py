"""Results are written whole or not at all, and hold no number that JSON lacks."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest

from matcher.errors import RequestError
from matcher.report.numbers import rounded
from matcher.report.output import to_json, write_folder


def test_all_files_are_written_and_nothing_else_is_left(tmp_path: Path) -> None:
    paths = write_folder(tmp_path / "out", {"a.json": "{}", "b.html": "<p>"})
    assert [path.read_text(encoding="utf-8") for path in paths] == ["{}", "<p>"]
    assert sorted(path.name for path in tmp_path.rglob("*")) == ["a.json", "b.html", "out"]


def test_a_failing_write_leaves_nothing(tmp_path: Path) -> None:
    with pytest.raises(UnicodeEncodeError):
        write_folder(tmp_path / "out", {"a.json": "{}", "b.html": "\ud800"})
    assert list(tmp_path.iterdir()) == []


def test_an_old_result_stays_when_the_new_one_fails(tmp_path: Path) -> None:
    write_folder(tmp_path / "out", {"a.json": "old"})
    with pytest.raises(UnicodeEncodeError):
        write_folder(tmp_path / "out", {"a.json": "new", "b.html": "\ud800"})
    assert (tmp_path / "out" / "a.json").read_text(encoding="utf-8") == "old"


def test_a_folder_that_is_a_file_is_refused_in_words(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("in the way", encoding="utf-8")
    with pytest.raises(RequestError, match="cannot be written here"):
        write_folder(tmp_path / "out", {"a.json": "{}"})
    assert (tmp_path / "out").read_text(encoding="utf-8") == "in the way"


def test_a_folder_in_the_way_of_one_file_is_refused_before_any_is_written(tmp_path: Path) -> None:
    (tmp_path / "out" / "b.html").mkdir(parents=True)
    with pytest.raises(RequestError, match=r"b\.html: is a folder"):
        write_folder(tmp_path / "out", {"a.json": "{}", "b.html": "<p>"})
    assert [path.name for path in (tmp_path / "out").iterdir()] == ["b.html"]


@pytest.mark.skipif(not Path("/dev/shm").is_dir(), reason="no second disk to write to")
def test_a_folder_that_is_a_disk_of_its_own_is_written(tmp_path: Path) -> None:
    with tempfile.TemporaryDirectory(dir="/dev/shm") as name:
        (tmp_path / "out").symlink_to(name)
        (path,) = write_folder(tmp_path / "out", {"a.json": "{}"})
        assert path.read_text(encoding="utf-8") == "{}"


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_no_result_holds_a_number_that_is_none(value: float) -> None:
    with pytest.raises(ValueError, match="a result holds"):
        rounded(value, 2)
    with pytest.raises(ValueError, match="JSON compliant"):
        to_json({"value": value})


def test_there_is_no_negative_zero() -> None:
    assert str(rounded(-0.001, 2)) == "0.0"
