"""Files, keys and functions that README.md and DEVELOPERS.md name are there."""

from __future__ import annotations

import re
from functools import cache

from tests.documents.reading import ROOT, SPANS, sources

_FILE = re.compile(r"[\w./-]+\.(?:py|js|typ|j2|csv|toml|md)")
_OURS = ("matcher/", "ui/", "tests/", "sample_photos/", ".ci/")
# What the program writes or is given where the user says, and what the tests write.
_WRITTEN = {"/etc/givens/givens.toml", "givens.toml", "room.toml", "schedule.csv", "swatches.csv", "tests/ui/screens"}
# What other programs are told by: PostgreSQL's client library, those that reach a bucket, systemd, mutmut.
_OTHERS = {"PGPASSWORD", "AWS_ACCESS_KEY_ID", "AWS_SECRET_ACCESS_KEY", "ReadWritePaths", "StateDirectory", "mutants"}
NAMES = sorted({span.text for span in SPANS if re.fullmatch(r"[A-Za-z_][\w.]*(?:\(\))?", span.text)})
PATHS = sorted({span.text for span in SPANS if _FILE.fullmatch(span.text) or span.text.startswith(_OURS)})


@cache
def own_text() -> str:
    """All text of the project that is no document."""
    more = [path.read_text(encoding="utf-8") for path in sorted((ROOT / "tests").rglob("*.py"))]
    return "\n".join([sources(), (ROOT / "pyproject.toml").read_text(encoding="utf-8"), *more])


@cache
def file_names() -> set[str]:
    return {path.name for package in ("matcher", "ui", "tests") for path in (ROOT / package).rglob("*")}


def test_paths_are_there() -> None:
    there = {path for path in PATHS for base in (ROOT, ROOT / "matcher") if (base / path).exists()}
    missing = [path for path in PATHS if path not in {*there, *_WRITTEN, *file_names()}]
    assert missing == []


def test_names_stand_in_the_source() -> None:
    words = set(re.findall(r"[A-Za-z_]\w*", own_text()))
    missing = [
        name
        for name in NAMES
        if name not in _OTHERS and not set(re.findall(r"[A-Za-z_]\w*", name)) <= words and name not in file_names()
    ]
    assert missing == []
