"""Results are written whole or not at all, and hold no number that JSON lacks."""

from __future__ import annotations

import errno
import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from itertools import count
from pathlib import Path

import pytest

from matcher.errors import RequestError
from matcher.report.numbers import rounded
from matcher.report.output import list_to_json, to_json, write_folder
from matcher.service.room_file import Answer, write


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


def contents(folder: Path) -> dict[str, str]:
    return {path.name: path.read_text(encoding="utf-8") for path in folder.iterdir()}


def test_a_run_that_is_killed_leaves_files_of_one_run_only(tmp_path: Path) -> None:
    """A hundred times or more, at a random moment: files of two runs lay there 99 times, result.json and page in 27."""
    script = Path(__file__).with_name("killed_while_writing.py")
    times, seed, enough, seconds = 100, 1, 10, 120
    numbers = (str(number) for number in (times, seed, enough, seconds))
    arguments = [sys.executable, str(script), str(tmp_path / "out"), *numbers]
    root = Path(__file__).parents[2]
    done = subprocess.run(
        arguments, cwd=root, env={**os.environ, "PYTHONPATH": str(root)}, capture_output=True, text=True, check=True
    )
    outcome = json.loads(done.stdout)
    assert outcome["mixed"] == outcome["broken"] == outcome["left over"] == 0
    assert outcome["whole"] + outcome["none"] == outcome["kills"] >= times
    assert min(outcome["finished"], outcome["midway"]) >= enough, f"{seconds} s were too few to tell: {outcome}"


@pytest.mark.parametrize("there", [False, True])
def test_whichever_move_fails_the_folder_is_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, there: bool
) -> None:
    folder, rename = tmp_path / "out", os.rename
    if there:
        write_folder(folder, {"a.json": "old", "b.html": "old", "c.jpg": "old"})
        (folder / "own.txt").write_text("mine", encoding="utf-8")
    before = contents(folder) if there else {}
    failed = 0
    for last in range(20):
        moves = count()

        def full(source: Path, target: Path, last: int = last, moves: Iterator[int] = moves) -> None:
            if next(moves) == last:
                raise OSError(errno.ENOSPC, "No space left on device")
            rename(source, target)

        monkeypatch.setattr(os, "rename", full)
        said = ""
        try:
            write_folder(folder, {"a.json": "new", "b.html": "new", "d.jpg": "new"}, stale=["c.jpg"])
        except RequestError as error:
            said = str(error)
        monkeypatch.undo()
        if not said:
            break
        failed += 1
        assert "cannot be written here (No space left on device)" in said
        assert (contents(folder) if folder.exists() else {}) == before
    assert failed == (6 if there else 1)
    own = {"own.txt": "mine"} if there else {}
    assert contents(folder) == {"a.json": "new", "b.html": "new", "d.jpg": "new", **own}


def test_what_the_dead_left_is_cleared_away_and_what_they_had_moved_goes_with_it(tmp_path: Path) -> None:
    write_folder(tmp_path, {"a.json": "old"})
    dead = subprocess.Popen([sys.executable, "-c", ""])
    dead.wait()
    for process in (dead.pid, os.getpid()):
        left = tmp_path / f".givens-{process}-abcdefgh"
        (left / "new").mkdir(parents=True)
        (left / "new" / "a.json").write_text("half a run", encoding="utf-8")
        (left / "names.json").write_text(f'["a.json", "of {process}.jpg", "../x", ".."]', encoding="utf-8")
        (tmp_path / f"of {process}.jpg").write_text("half a run", encoding="utf-8")
    (tmp_path / ".givens-notes").mkdir()
    write_folder(tmp_path, {"a.json": "new", "b.html": "new"})
    # The living may still be at it; of others nothing is touched.
    mine = {f".givens-{os.getpid()}-abcdefgh", f"of {os.getpid()}.jpg", ".givens-notes"}
    assert {path.name for path in tmp_path.iterdir()} == {"a.json", "b.html", *mine}


def test_a_whole_set_stays_whose_run_died_while_it_cleared_up(tmp_path: Path) -> None:
    write_folder(tmp_path, {"a.json": "whole", "b.html": "whole"})
    dead = subprocess.Popen([sys.executable, "-c", ""])
    dead.wait()
    left = tmp_path / f".givens-{dead.pid}-abcdefgh"
    (left / "new").mkdir(parents=True)
    (left / "names.json").write_text('["a.json", "b.html"]', encoding="utf-8")
    write_folder(tmp_path, {"walls.jpg": "one picture"})
    assert {path.name for path in tmp_path.iterdir()} == {"a.json", "b.html", "walls.jpg", left.name}
    write_folder(tmp_path, {"c.json": "another", "d.html": "another"})
    assert set(contents(tmp_path)) == {"a.json", "b.html", "walls.jpg", "c.json", "d.html"}


def test_links_are_replaced_and_what_they_lead_to_stays(tmp_path: Path) -> None:
    (tmp_path / "elsewhere").write_text("kept", encoding="utf-8")
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "a.json").symlink_to(tmp_path / "elsewhere")
    (tmp_path / "out" / "b.html").symlink_to(tmp_path / "nowhere")
    write_folder(tmp_path / "out", {"a.json": "new", "b.html": "new"})
    assert contents(tmp_path / "out") == {"a.json": "new", "b.html": "new"}
    assert not (tmp_path / "out" / "a.json").is_symlink()
    assert (tmp_path / "elsewhere").read_text(encoding="utf-8") == "kept"


def test_a_new_folder_has_the_usual_rights(tmp_path: Path) -> None:
    (tmp_path / "usual").mkdir()
    write_folder(tmp_path / "out" / "deep", {"a.json": "{}"})
    assert (tmp_path / "out" / "deep").stat().st_mode == (tmp_path / "usual").stat().st_mode


def result(photos: object) -> Answer:
    content = {"format": "givens-result/1", "photos": photos}
    names = [f"preview-{Path(photo['file']).stem}.jpg" for photo in photos] if isinstance(photos, list) else []
    return Answer(content, json.dumps(content), {}, "<p>", dict.fromkeys(names, b"jpg"))


def test_previews_that_only_the_earlier_result_had_go_with_it(tmp_path: Path) -> None:
    write(result([{"file": "sub/a.jpg"}, {"file": "b.jpg"}]), tmp_path)
    for own in ("preview-mine.jpg", "notes.txt"):
        (tmp_path / own).write_text("mine", encoding="utf-8")
    write(result([{"file": "b.jpg"}]), tmp_path)
    others = {"preview-mine.jpg", "notes.txt"}
    assert set(contents(tmp_path)) == {"result.json", "report.html", "preview-b.jpg", *others}


@pytest.mark.parametrize("former", ["", "{", "[]", "[" * 100_000, '{"format": "givens-result/1", "photos": 3}',
    '{"format": "givens-result/1", "photos": [3, {"file": 4}, {"file": "/"}, {"file": "\\u0000"}, {"file": ".."}]}',
    '{"format": "other", "photos": [{"file": "mine.jpg"}]}'])  # fmt: skip
def test_a_result_that_is_none_takes_nothing_with_it(tmp_path: Path, former: str) -> None:
    (tmp_path / "result.json").write_text(former, encoding="utf-8")
    (tmp_path / "preview-mine.jpg").write_text("mine", encoding="utf-8")
    write(result([]), tmp_path)
    assert set(contents(tmp_path)) == {"result.json", "report.html", "preview-mine.jpg"}


def test_a_list_is_written_entry_by_entry_as_it_is_written_whole() -> None:
    entry = {"code": "A", "lab": [1.0, 2.0], "lights": {"A": {"lab": [3.0]}}}
    for content in ([], [entry], [entry, {}, []]):
        assert "".join(list_to_json(content)) == to_json(content)
