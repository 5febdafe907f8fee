"""What a template is compiled to is kept as Python keeps its own (PEP 3147, PEP 304), and never outlives its source."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from jinja2 import Environment, FileSystemLoader

from matcher.handover import page
from matcher.handover.template_bytecode import TemplateBytecode


def _rendered(folder: Path) -> str:
    environment = Environment(
        loader=FileSystemLoader(folder), bytecode_cache=TemplateBytecode(folder), optimized=False, autoescape=True
    )
    return environment.get_template("page.txt").render(name="a")


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    monkeypatch.setattr(sys, "pycache_prefix", None)
    (tmp_path / "page.txt").write_text("one {{ name }}")
    return tmp_path


def test_what_was_kept_is_used_and_says_the_same(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert _rendered(folder) == "one a"
    assert len(list((folder / "__pycache__").iterdir())) == 1

    def compile_again(*_: object, **__: object) -> str:
        raise AssertionError("compiled again")

    monkeypatch.setattr(Environment, "_generate", compile_again)
    assert _rendered(folder) == "one a"


def test_another_source_is_compiled_anew(folder: Path) -> None:
    _rendered(folder)
    (folder / "page.txt").write_text("two {{ name }}")
    assert _rendered(folder) == "two a"


@pytest.mark.parametrize("kept", [b"", b"short", b"\0" * 200])
def test_what_is_spoilt_is_compiled_anew(folder: Path, kept: bytes) -> None:
    _rendered(folder)
    (file,) = (folder / "__pycache__").iterdir()
    for spoilt in (kept, file.read_bytes()[:40]):
        file.write_bytes(spoilt)
        assert _rendered(folder) == "one a"


def test_nothing_is_kept_where_python_keeps_nothing(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    assert _rendered(folder) == "one a"
    assert not (folder / "__pycache__").exists()


def test_the_page_is_compiled_once() -> None:
    """Its own templates are kept where the package lies, if that can be written to."""
    kept = page._environment().bytecode_cache
    assert isinstance(kept, TemplateBytecode)
