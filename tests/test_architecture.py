"""Imports run one way, siblings do not meet, and each heavy library has one home."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]

# Each layer may import from the layers before it, never from its own siblings or from a later one.
LAYERS = (
    {"matcher.errors"},
    {"matcher.bounded_toml"},
    {
        "matcher.opening",
        "matcher.settings",
        "matcher.raw_header",
        "matcher.structure",
        "matcher.workers",
        "matcher.recall",
    },
    {"matcher.colorimetry"},
    {"matcher.exchange"},
    {"matcher.instrument"},
    {"matcher.room", "matcher.photo", "matcher.paints", "matcher.harmony"},
    {"matcher.calibration", "matcher.description", "matcher.outlining", "matcher.store", "matcher.light"},
    {"matcher.surfaces"},
    {"matcher.ranking", "matcher.repaint"},
    {"matcher.scheme", "matcher.advice", "matcher.quantities"},
    {"matcher.report"},
    {"matcher.handover"},
    {"matcher.service"},
    {"matcher.demo"},
    {"matcher.cli", "ui"},
)
LEVEL = {part: level for level, layer in enumerate(LAYERS) for part in layer}

HOMES = {
    "colour": {"matcher.colorimetry"},
    "cv2": {"matcher.photo", "matcher.calibration", "matcher.outlining", "matcher.surfaces", "matcher.repaint"},
    "skimage": {"matcher.outlining"},
    "sqlalchemy": {"matcher.store"},
    "pydantic_settings": {"matcher.settings"},
    "streamlit": {"ui"},
    "typer": {"matcher.cli"},
    "jinja2": {"matcher.handover"},
    "pydantic": {"matcher.room", "matcher.settings"},
    "tomli_w": {"matcher.room"},
    "pillow_heif": {"matcher.photo", "matcher.room"},
    "typst": {"matcher.handover"},
    "rawpy": {"matcher.photo", "matcher.raw_header"},
    "dask": {"matcher.service"},
    "pyarrow": {"matcher.paints"},
    "distributed": {"matcher.service"},
    "fsspec": {"matcher.store"},
    "ephem": {"matcher.light"},
}
# description feeds report, and the comparison of a surface with chips lying on it: the rest of the flow does without.
# The screens call use cases and nothing deeper.
UI_MAY_IMPORT = {"matcher.errors", "matcher.settings", "matcher.service", "matcher.demo"}
DESCRIPTION_MAY_IMPORT = {"matcher.errors", "matcher.colorimetry", "matcher.harmony", "matcher.paints"}


def part_of(module: str) -> str:
    """Return the package or module of the layout that ``module`` belongs to."""
    return "ui" if module.split(".")[0] == "ui" else ".".join(module.split(".")[:2])


def modules() -> Iterator[tuple[str, Path]]:
    for top in ("matcher", "ui"):
        for path in sorted((ROOT / top).rglob("*.py")):
            yield ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__"), path


@cache
def looked_at(path: Path) -> tuple[ast.AST, ...]:
    """Return what the rules are about in a module: imports, handlers and calls. Each file is parsed once."""
    wanted = (ast.Import, ast.ImportFrom, ast.ExceptHandler, ast.Call)
    return tuple(node for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))) if isinstance(node, wanted))


@cache
def imports_of(path: Path) -> tuple[str, ...]:
    """Return what a module imports, also inside functions and under TYPE_CHECKING; ``from a import b`` gives a.b."""
    found: list[str] = []
    for node in looked_at(path):
        if isinstance(node, ast.Import):
            found += [name.name for name in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: import by full name"
            found += [f"{node.module}.{name.name}" for name in node.names]
    return tuple(found)


MODULES = [pytest.param(name, path, id=name) for name, path in modules() if name != "matcher"]


@pytest.mark.parametrize(("name", "path"), MODULES)
def test_imports_flow_one_way(name: str, path: Path) -> None:
    here = part_of(name)
    for imported in imports_of(path):
        there = part_of(imported)
        if there in LEVEL and there != here:
            assert LEVEL[there] < LEVEL[here], f"{name} imports {imported}"
        if here == "ui" and there in LEVEL and there != here:
            assert there in UI_MAY_IMPORT, f"{name} imports {imported}"
        if here == "matcher.description" and there in LEVEL and there != here:
            assert there in DESCRIPTION_MAY_IMPORT, f"{name} imports {imported}"


@pytest.mark.parametrize(("name", "path"), MODULES)
def test_heavy_libraries_have_one_home(name: str, path: Path) -> None:
    for imported in imports_of(path):
        homes = HOMES.get(imported.split(".")[0])
        assert homes is None or part_of(name) in homes, f"{name} imports {imported}"


@pytest.mark.parametrize(("name", "path"), MODULES)
def test_only_the_cli_prints_and_nothing_catches_everything(name: str, path: Path) -> None:
    for node in looked_at(path):
        if isinstance(node, ast.ExceptHandler):
            caught = ast.unparse(node.type) if node.type else ""
            assert caught not in ("", "Exception", "BaseException"), f"{name} catches everything"
        is_print = isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "print"
        # Scripts that make data files sit in data folders and are run by hand.
        assert not is_print or "data" in path.parts or part_of(name) == "matcher.cli", f"{name} prints"


# Parts of a declared library that come as distributions of their own and are always there with it.
COMPANIONS = {"pydantic_core": "pydantic", "markupsafe": "jinja2", "pyarrow": "streamlit"}


def declared(*extras: str) -> set[str]:
    """Return the distributions that pyproject.toml asks for, in lower case."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = [
        *project["dependencies"],
        *(entry for extra in extras for entry in project["optional-dependencies"][extra]),
    ]
    return {re.split(r"[<>=!~\[ ;]", entry)[0].lower().replace("_", "-") for entry in wanted}


@cache
def _distributions() -> Mapping[str, list[str]]:
    """Return which distributions each module comes from: every file of every one is looked at."""
    return packages_distributions()


@pytest.mark.parametrize(
    ("folders", "extras"), [(("matcher", "ui"), ("cluster",)), (("tests",), ("dev",))], ids=["package", "tests"]
)
def test_every_library_imported_is_declared(folders: tuple[str, ...], extras: tuple[str, ...]) -> None:
    """A library that only happens to be installed here would be missing on a user's machine."""
    homes, wanted = _distributions(), declared(*extras)

    def is_declared(top: str) -> bool:
        names = {name.lower().replace("_", "-") for name in homes.get(top, [top])}
        return bool((names | {COMPANIONS.get(top, top)}) & wanted)

    undeclared = {
        (str(path.relative_to(ROOT)), top)
        for folder in folders
        for path in (ROOT / folder).rglob("*.py")
        for top in {imported.split(".")[0] for imported in imports_of(path)}
        if top not in sys.stdlib_module_names and top not in {"matcher", "ui", "tests"} and not is_declared(top)
    }
    assert undeclared == set()


def test_every_part_is_in_the_layout() -> None:
    assert {part_of(name) for name, _ in modules()} - {"matcher"} == set(LEVEL)


def test_help_imports_nothing_heavy() -> None:
    """``givens --help`` has to answer at once, so it may load none of these."""
    code = (
        "import sys; import matcher.cli.app; "
        "print(sorted({name.split('.')[0] for name in sys.modules} & "
        "{'numpy', 'cv2', 'sklearn', 'colour', 'streamlit', 'pydantic', 'jinja2', 'PIL', 'scipy', 'rich', "
        "'sqlalchemy', 'typst', 'dask', 'distributed', 'fsspec'}))"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
