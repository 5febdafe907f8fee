"""``givens handover``: what it writes, what it prints, and that it writes all of it or nothing."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from matcher.cli.app import app
from matcher.errors import RequestError

NAMES = ["client.pdf", "schedule.pdf", "schedule.csv", "swatches.csv", "swatches.css", "swatches.gpl"]


@pytest.fixture(autouse=True)
def empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Start where no settings lie."""
    monkeypatch.chdir(tmp_path)


def test_the_command_says_what_it_wrote(tmp_path: Path, room_path: Path) -> None:
    out = tmp_path / "out"
    arguments = ["handover", str(room_path), "--out", str(out), "--json", "-q"]
    result = json.loads(CliRunner().invoke(app, arguments, catch_exceptions=False).stdout)
    assert sorted(result) == ["cautions", "files", "quantities", "samples"]
    assert result["files"] == [str(out / name) for name in NAMES]
    assert all(Path(file).stat().st_size > 100 for file in result["files"])
    assert 2 <= len(result["samples"]) <= 3
    assert all(sample["code"] and sample["why"] for sample in result["samples"])
    assert result["cautions"][0]["kind"] == "lead"
    assert {path.name for path in out.iterdir()} == set(NAMES)


def test_where_one_file_cannot_be_written_none_is(tmp_path: Path, room_path: Path) -> None:
    (tmp_path / "out" / "schedule.csv").mkdir(parents=True)
    with pytest.raises(RequestError, match="is a folder, where a file has to be written"):
        CliRunner().invoke(app, ["handover", str(room_path), "--out", "out", "-q"], catch_exceptions=False)
    assert [path.name for path in (tmp_path / "out").iterdir()] == ["schedule.csv"]


def test_a_folder_has_to_be_named(room_path: Path) -> None:
    done = CliRunner().invoke(app, ["handover", str(room_path)])
    assert done.exit_code == 2
    assert "--out" in done.output
