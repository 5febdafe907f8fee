"""Every command in README.md and DEVELOPERS.md is run, or held against its usage where running it takes more.

What stands as code in a sentence is a command, an option, a term or a value by its first letters; one that is none of
what is known here is a failure, so that nothing is told to be typed that nobody has tried.
"""

from __future__ import annotations

import ast
import json
import re
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from matcher.cli.app import app
from tests.documents.commands import BY_HAND, ELSEWHERE
from tests.documents.files import write_files
from tests.documents.reading import ROOT, SPANS, Span, sources, text_of
from tests.documents.usage import commands_of

GIVENS = sorted({span.text for span in SPANS if span.text.startswith("givens ")} - ELSEWHERE.keys())
MODULES = sorted({span.text for span in SPANS if span.text.startswith("python -m ")})
# Placeholders of the tables, and what stands for them; `FILE` by the command it is of.
VALUES = {
    "ROOM.toml": "room.toml", "DECK": "deck.csv", "DIR": "out", "N": "3",
    "CODE": "demo-3", "A": "demo-1", "B": "demo-2",
    "L": "61.5", "a": "-1", "b": "4", "#rrggbb": "#8a7f6c", "WHAT": "#c0b090", "ROLE": "walls", "NAME": "Ada",
    "YYYY-MM-DD": "2026-03-21", "NEW": "new.csv", "OLD": "deck.csv", "ADDRESS": "ADDRESS",
}  # fmt: skip
FILES = {"repaint": "walls.png", "paint": "drawn.svg", "deck": "deck.csv", "backup": "all.zip", "restore": "kept.zip",
         "photo": "photo.png", "user": "word.txt"}  # fmt: skip
# Commands that end only when they are stopped, or take what a single test may not: who runs them.
RUN_BY = {
    "serve": "tests/ui/givens_server.py::serve_givens",
    "demo": "tests/cli/test_demo.py::test_demo_writes_a_page_that_says_it_is_invented",
    # With --scheduler.
    "deck update": "tests/service/test_edition.py::test_a_cluster_says_what_one_process_says",
}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the files lie that the commands name."""
    place = tmp_path_factory.mktemp("documented")
    write_files(place)
    return place


def run(*words: str, typed: str | None = None) -> str:
    done = CliRunner().invoke(app, list(words), catch_exceptions=False, input=typed)
    assert done.exit_code == 0, f"{' '.join(words)}: {done.output}"
    return done.stdout


@cache
def command_names() -> dict[str, Any]:
    """The commands of the program by their words."""
    import typer

    root: Any = typer.main.get_command(app)
    found: dict[str, Any] = {}
    for name, command in root.commands.items():
        inner = getattr(command, "commands", None)
        found |= {name: command} if inner is None else {f"{name} {one}": each for one, each in inner.items()}
    return found


def command_of(text: str) -> str | None:
    """The command that a line of usage begins with, as far as it names one."""
    words = text.split()
    return next((name for name in (" ".join(words[:2]), words[0]) if name in command_names()), None)


@pytest.mark.parametrize("usage", GIVENS)
def test_every_command_runs_as_it_is_written(
    usage: str, folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(folder)
    usage = usage.removeprefix("givens ")
    name = command_of(usage)
    if name is None or usage == name:
        # Of the program itself, or only spoken of.
        assert run(*usage.split(), *(["--help"] if name else []))
        return
    file = FILES.get(name.split()[0], "")
    for number, command in enumerate(commands_of(usage, {**VALUES, "FILE": file})):
        options = {word for word in command if word.startswith("--")}
        if name in ("serve", "demo") or "--scheduler" in options:
            parse(name, command)
            continue
        # A store of its own for what adds to it; otherwise one that is there.
        fresh = tmp_path / f"store-{number}"
        monkeypatch.setenv("GIVENS_FOLDER", str(fresh if name in ("user add", "restore") else folder / "store"))
        # What would ask for it is told it.
        typed = "a passphrase of several words\n" * 2 if name == "user add" else None
        said = run(*command, "-q", typed=typed)
        if "--json" in options:
            json.loads(said)
        if name == "backup":
            (folder / file).unlink()


def parse(name: str, words: list[str]) -> None:
    """Have a command's own parser read its words, and nothing done: ``RUN_BY`` says which test does it."""
    assert name in RUN_BY
    command_names()[name].make_context(name, words[len(name.split()) :])


@pytest.mark.parametrize("usage", MODULES)
def test_every_module_is_called_as_its_docstring_says(usage: str) -> None:
    module, _, arguments = usage.removeprefix("python -m ").partition(" ")
    path = ROOT / f"{module.replace('.', '/')}.py"
    source = path.read_text(encoding="utf-8")
    assert module in BY_HAND, f"{module}: say in BY_HAND why no test runs it, or which one does"
    assert 'if __name__ == "__main__":' in source
    described = ast.get_docstring(ast.parse(source)) or ""
    said = re.search(rf"python -m {re.escape(module)}(?P<more> [A-Z\[][^`\n]*?)?(?=``|$)", described, re.MULTILINE)
    assert said is not None, f"{module}: its docstring does not say how it is called"
    assert not arguments or (said["more"] or "").strip() == arguments, f"{module}: {said['more']} in its docstring"


def test_every_module_that_is_run_by_hand_is_told_of() -> None:
    told = {usage.split()[2] for usage in MODULES}
    there = {
        str(path.relative_to(ROOT).with_suffix("")).replace("/", ".")
        for folder in ("benchmarks", "soak", "fuzz")
        for path in (ROOT / "tests" / folder).glob("*.py")
        if "__main__" in path.read_text(encoding="utf-8")
    }
    # The process that the soak kills is started by it alone.
    assert there - {"tests.soak.hands"} == told == set(BY_HAND)


@pytest.mark.parametrize("named", sorted({*ELSEWHERE.values(), *BY_HAND.values(), *RUN_BY.values()}))
def test_who_runs_the_others_is_there(named: str) -> None:
    if "::" in named:
        path, _, name = named.partition("::")
        assert re.search(rf"^def {name}\(", (ROOT / path).read_text(encoding="utf-8"), re.MULTILINE), named


def test_readings_that_may_be_typed_are_understood() -> None:
    from matcher.instrument.reading import understand

    lines = text_of("DEVELOPERS.md").splitlines()
    (told,) = (number for number, line in enumerate(lines, start=1) if line.startswith("- values with letters"))
    examples = [span.text for span in SPANS if span.document == "DEVELOPERS.md" and span.line == told]
    assert len(examples) > 3
    for text in examples:
        assert len(understand(text).readings) == 1, text


@pytest.mark.parametrize("span", [span for span in SPANS if " " in span.text], ids=lambda span: span.text[:30])
def test_what_stands_as_code_is_known(span: Span) -> None:
    text = span.text
    if text.startswith(("givens ", "python -m ")) or text in ELSEWHERE:
        return
    if text.startswith("--"):
        options = {option for command in command_names().values() for each in command.params for option in each.opts}
        assert text.split()[0] in options
    elif command_of(text):
        name = command_of(text) or ""
        offered = {option for each in command_names()[name].params for option in each.opts}
        assert {word for word in text.split() if word.startswith("--")} <= offered
    elif " = " in text:
        assert tomllib.loads(text)
    elif re.match(r"[a-z]+(?=[ -]|$)", text):
        # A term: the program says it in just these words.
        assert f'"{text}"' in sources(), f"{span.document}, line {span.line}: {text} is no command and no term"
    else:
        assert re.match(r"[A-Z(\[{0-9]", text), f"{span.document}, line {span.line}: what is {text}?"
