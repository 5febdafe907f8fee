"""Every fenced block of README.md and DEVELOPERS.md is run: a kind that nothing here runs is a failure."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tomllib
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.documents.commands import ELSEWHERE
from tests.documents.files import DECK
from tests.documents.reading import BLOCKS, DOCUMENTS, ROOT, Block
from tests.test_architecture import LAYERS

# Blocks that another test runs as they stand, in their order in the document: the test's file, and what in it reads
# them.
RUN_BY: dict[tuple[str, str], tuple[tuple[str, str], ...]] = {
    ("DEVELOPERS.md", "nginx"): (("tests/ui/test_proxy.py", "front"),),
    # Both in one configuration.
    ("README.md", "nginx"): (("tests/ui/several_servers.py", "_nginx_blocks"),) * 2,
    ("README.md", "ini"): (("tests/ui/unit_files.py", "units"),) * 3,
}


def run_sh(block: Block, folder: Path) -> None:
    """Lines of commands, each of which tests/documents/commands.py knows: what it is, or why it is not run here."""
    for line in block.text.strip().splitlines():
        for command in line.split(" && "):
            assert command in ELSEWHERE, f"{command}: run it, or say in ELSEWHERE who does"


def run_python(block: Block, folder: Path) -> None:
    """As written, in a process of its own, beside the files that it names."""
    room = '[room]\nname = "Hall"\n[[surfaces]]\nname = "floor"\nmaterial = "timber"\nlab = [55.0, 14.0, 28.0]\n'
    (folder / "room.toml").write_text(room, encoding="utf-8")
    (folder / "deck.csv").write_text(DECK, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", block.text],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        check=False,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr


def run_toml(block: Block, folder: Path) -> None:
    """A room file, or what `givens.toml` may hold: by the models that read them."""
    from matcher.room.contents import RoomFile
    from matcher.settings import Settings

    # The ellipsis stands for further entries.
    content = tomllib.loads(block.text.replace("; or colours = [{share = 0.7, lab = [55, 16, 30]}, …]", ""))
    if "room" in content:
        room = RoomFile.model_validate(content)
        assert room.photos[0].references[0].on == room.photos[0].surfaces[0].name
    else:
        settings = Settings(**{**content, "folder": folder / "data"})
        assert settings.model_dump(include=set(content), mode="json").keys() == content.keys()


def run_text(block: Block, folder: Path) -> None:
    """The order of imports, left to right, as the test of the architecture walks it."""
    written = [
        {name.strip().replace("/", ".") for name in layer.split(",")} for layer in block.text.strip().split("<-")
    ]
    assert written == [{name.removeprefix("matcher.") for name in layer} for layer in LAYERS]


RUNNERS: dict[str, Callable[[Block, Path], None]] = {
    "sh": run_sh,
    "python": run_python,
    "toml": run_toml,
    "text": run_text,
}


@pytest.mark.parametrize("block", BLOCKS, ids=lambda block: f"{block.document}-{block.line}-{block.kind}")
def test_every_block_runs(block: Block, tmp_path: Path) -> None:
    if (block.document, block.kind) not in RUN_BY:
        assert block.kind in RUNNERS, f"{block.document}, line {block.line}: nothing runs a block of {block.kind!r}"
        RUNNERS[block.kind](block, tmp_path)


@pytest.mark.parametrize(("place", "tests"), RUN_BY.items(), ids=lambda each: "-".join(map(str, each))[:40])
def test_what_another_test_runs_is_run_there(place: tuple[str, str], tests: tuple[tuple[str, str], ...]) -> None:
    """As many blocks as there are tests of them: one that is added to the document needs one more."""
    document, kind = place
    assert document in DOCUMENTS
    assert len([block for block in BLOCKS if (block.document, block.kind) == place]) == len(tests)
    for path, name in tests:
        source = (ROOT / path).read_text(encoding="utf-8")
        assert re.search(rf"^def {name}\(", source, re.MULTILINE), f"{path} has no {name}"
        assert document in source
        assert f"```{kind}" in source
