"""Whatever a user gets wrong: one clear message on stderr, exit 1 or 2, nothing on stdout, no traceback, no file."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pytest
from PIL import Image

from matcher import service
from matcher.cli.app import main

Run = Callable[..., "Done"]


class Done(NamedTuple):
    """What came of a command."""

    code: int
    stdout: str
    stderr: str


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """Run ``givens`` in this process, from an empty folder, through the function that the console script calls."""
    monkeypatch.chdir(tmp_path)

    def givens(*arguments: str) -> Done:
        monkeypatch.setattr(sys, "argv", ["givens", *arguments])
        with pytest.raises(SystemExit) as left:
            main()
        code = left.value.code
        return Done(code if isinstance(code, int) else 0, *capsys.readouterr())

    return givens


def assert_refused(done: Done, code: int, *words: str) -> None:
    assert done.code == code, done.stderr
    assert done.stdout == ""
    assert "Traceback" not in done.stderr
    for word in words:
        assert word in done.stderr


USAGE = {
    "no such command": ("paints",),
    "no room file": ("shortlist",),
    "negative top": ("shortlist", "room.toml", "--top", "-1"),
    "top that is no number": ("shortlist", "room.toml", "--top", "many"),
    "unknown option": ("surface", "room.toml", "--fast"),
    "describe nothing": ("paint", "describe"),
    "describe two things": ("paint", "describe", "demo-1", "--hex", "#ffffff"),
    "lab with two numbers": ("paint", "describe", "--lab", "50", "2"),
    "lab with a word": ("paint", "describe", "--lab", "50", "2", "red"),
    "compare one": ("paint", "compare", "demo-1"),
}


@pytest.mark.parametrize("arguments", USAGE.values(), ids=USAGE.keys())
def test_wrong_usage_exits_2(run: Run, arguments: tuple[str, ...]) -> None:
    assert_refused(run(*arguments), 2, "Error: ")


DEMO = str(Path(service.__file__).parents[1] / "paints" / "data" / "demo_deck.csv")
REQUESTS = {
    "unknown code": (("paint", "describe", "demo-999"), "no code 'demo-999'"),
    "code in other letters": (("paint", "describe", "DEMO-1"), "Did you mean demo-1?"),
    "unknown codes, all named": (("paint", "compare", "aaa", "bbb"), "'bbb'"),
    "near an unknown code": (("paint", "near", "aaa"), "'aaa'"),
    "a map that is no drawing": (("paint", "near", "demo-1", "--out", "map.pdf"), ".svg or .png"),
    "a map where no file can be": (("paint", "near", "demo-1", "--out", "/proc/none/map.svg"), "cannot be written"),
    "a second deck that is missing": (("paint", "near", "demo-1", "--deck", DEMO, "--deck", "none.csv"), "none.csv"),
    "one deck twice": (("paint", "compare", "demo-1", "demo-2", "--deck", DEMO, "--deck", DEMO), "is the same deck"),
    "near beside a missing room": (("paint", "near", "demo-1", "--room", "none.toml"), "none.toml"),
    "impossible lab": (("paint", "describe", "--lab", "120", "0", "0"), "L goes from 0 to 100"),
    "lab of nan": (("paint", "describe", "--lab", "nan", "0", "0"), "no surface colour"),
    "impossible hex": (("paint", "describe", "--hex", "#12"), "six hex digits"),
    "unknown lamp": (("paint", "describe", "demo-1", "--lights", "A,moon"), "'moon'"),
    "missing room file": (("shortlist", "none.toml"), "none.toml"),
    "missing deck": (("deck", "check", "none.csv"), "none.csv"),
    "missing photo": (("photo", "check", "none.jpg"), "none.jpg"),
}


@pytest.mark.parametrize(("arguments", "words"), REQUESTS.values(), ids=REQUESTS.keys())
def test_what_does_not_exist_exits_1(run: Run, arguments: tuple[str, ...], words: str) -> None:
    assert_refused(run(*arguments), 1, words)
    assert_refused(run(*arguments, "--json"), 1, words)


DECKS = {
    "empty": (b"", "is empty"),
    "header only": (b"code,name,hex\n", "no paint"),
    "nan": (b"code,name,L,a,b\nA,One,50,nan,0\nB,Two,60,0,0\n", "row 2"),
    "two codes alike": (b"code,name,hex\nA,One,#ffffff\nA,Two,#eeeeee\n", "row 3"),
    "hex that is none": (b"code,name,hex\nA,One,#fffffg\n", "#fffffg"),
    "latin-1": ("code,name,hex\nA,Gr\xe9s,#ffffff\n".encode("latin-1"), "UTF-8"),
    "lrv that disagrees": (b"code,name,hex,lrv\nA,One,#ffffff,20\n", "lrv"),
    "no colour column": (b"code,name\nA,One\n", "hex"),
}


@pytest.mark.parametrize(("content", "words"), DECKS.values(), ids=DECKS.keys())
def test_bad_decks_are_refused(run: Run, tmp_path: Path, content: bytes, words: str) -> None:
    (tmp_path / "deck.csv").write_bytes(content)
    assert_refused(run("deck", "check", "deck.csv"), 1, words)


def in_a_process(*arguments: str | bytes, folder: Path, **options: Any) -> subprocess.CompletedProcess[bytes]:
    """Run ``givens`` as a program of its own, with real streams."""
    code = "from matcher.cli.app import main; main()"
    environment = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])}
    command = [sys.executable, "-c", code, *arguments]
    return subprocess.run(command, cwd=folder, env=environment, check=False, stderr=subprocess.PIPE, **options)


@pytest.mark.skipif(sys.platform != "linux", reason="file names are text there")
def test_a_deck_whose_name_is_no_text_is_read(tmp_path: Path) -> None:
    name = b"F\xe4cher.csv"
    Path(os.fsdecode(bytes(tmp_path) + b"/" + name)).write_text("code,name,hex\nA,One,#ffffff\n", encoding="utf-8")
    done = in_a_process("deck", "check", name, "--json", folder=tmp_path, stdout=subprocess.PIPE)
    assert (done.returncode, done.stderr) == (0, b"")
    assert json.loads(done.stdout.decode("utf-8"))["name"] == "F?cher"


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
def test_a_full_disk_under_stdout_is_said_in_words(tmp_path: Path) -> None:
    with Path("/dev/full").open("wb") as full:
        done = in_a_process("paint", "describe", "--hex", "#808080", folder=tmp_path, stdout=full)
    assert done.returncode == 1
    assert b"No space left" in done.stderr
    assert b"Traceback" not in done.stderr


def png_bomb() -> bytes:
    """A PNG header that claims 60,000 x 60,000 pixels, with next to no data (ISO/IEC 15948, 11.2.2)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return len(data).to_bytes(4, "big") + kind + data + zlib.crc32(kind + data).to_bytes(4, "big")

    size = (60_000).to_bytes(4, "big")
    header = size + size + bytes([8, 2, 0, 0, 0])
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", zlib.compress(b"\0")) + chunk(b"IEND", b"")


def encoded(kind: str, mode: str, size: tuple[int, int]) -> bytes:
    noise = np.random.default_rng(1).integers(0, 255, (size[1], size[0], len(mode)), dtype=np.uint8)
    stream = io.BytesIO()
    Image.fromarray(noise.squeeze(), mode=None if mode != "CMYK" else "CMYK").save(stream, kind)
    return stream.getvalue()


PHOTOS: dict[str, Callable[[], bytes]] = {
    "text.jpg": lambda: b"this is not a picture\n" * 100,
    "empty.jpg": lambda: b"",
    "truncated.jpg": lambda: encoded("JPEG", "RGB", (400, 300))[:4000],
    "pixel.png": lambda: encoded("PNG", "RGB", (1, 1)),
    "bomb.png": png_bomb,
    "cmyk.jpg": lambda: encoded("JPEG", "CMYK", (400, 300)),
}


@pytest.mark.parametrize("name", PHOTOS)
def test_files_that_are_no_photo_are_refused(run: Run, tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_bytes(PHOTOS[name]())
    assert_refused(run("photo", "check", name), 1, name)


SPOILED = {
    "not toml": (('name = "Test', "name = Test"), "room.toml"),
    "unknown key": (('facing = "N"', 'facign = "N"'), "facign"),
    "unknown role": (('"door"]', '"floor"]'), "roles"),
    "impossible lab": (("[55.0, 14.0, 28.0]", "[155.0, 14.0, 28.0]"), "155"),
    "shares beyond 1": (("share = 0.8", "share = 0.9"), "add up"),
    "unknown compass point": (('facing = "N"', 'facing = "UP"'), "facing"),
    "no surface": (("[[surfaces]]", "[[nothing]]"), "nothing"),
    "missing photo": (("[[surfaces]]", '[[photos]]\nfile = "none.jpg"\n[[surfaces]]'), "none.jpg"),
    "pin of an unknown code": (("[[surfaces]]", '[pins]\ntrim = "aaa"\n[[surfaces]]'), "'aaa'"),
}


@pytest.mark.parametrize(("change", "words"), SPOILED.values(), ids=SPOILED.keys())
def test_bad_room_files_are_refused_and_nothing_is_written(
    run: Run, tmp_path: Path, room_text: str, change: tuple[str, str], words: str
) -> None:
    (tmp_path / "room.toml").write_text(room_text.replace(*change, 1), encoding="utf-8")
    assert_refused(run("shortlist", "room.toml", "--out", "out", "-q"), 1, words)
    assert [path.name for path in tmp_path.iterdir()] == ["room.toml"]


def test_all_mistakes_of_a_room_file_are_said_in_one_go(run: Run, tmp_path: Path, room_text: str) -> None:
    text = room_text.replace('facing = "N"', 'facing = "UP"').replace("lamps_k = 2700", "lamps_k = 1")
    (tmp_path / "room.toml").write_text(text, encoding="utf-8")
    assert_refused(run("surface", "room.toml", "-q"), 1, "facing", "lamps_k")


OUTLINES = {
    "two points": ("[[10, 10], [200, 200]]", "outline"),
    "outside the photo": ("[[10, 10], [900, 10], [900, 200], [10, 200]]", "outline"),
    "crossing itself": ("[[10, 10], [200, 200], [200, 10], [10, 200]]", "outline"),
}


@pytest.mark.parametrize(("outline", "words"), OUTLINES.values(), ids=OUTLINES.keys())
def test_impossible_outlines_are_refused(run: Run, tmp_path: Path, room_text: str, outline: str, words: str) -> None:
    (tmp_path / "photo.png").write_bytes(encoded("PNG", "RGB", (400, 300)))
    entry = (
        f'[[photos]]\nfile = "photo.png"\n[[photos.surfaces]]\nname = "wall"\nmaterial = "tile"\noutline = {outline}\n'
    )
    (tmp_path / "room.toml").write_text(room_text + entry, encoding="utf-8")
    assert_refused(run("surface", "room.toml", "-q"), 1, words, "photos[0].surfaces[0]")


def test_a_folder_that_cannot_be_written_is_said_in_words(run: Run, tmp_path: Path, room_text: str) -> None:
    (tmp_path / "room.toml").write_text(room_text, encoding="utf-8")
    (tmp_path / "out").write_text("in the way", encoding="utf-8")
    assert_refused(run("shortlist", "room.toml", "--out", "out", "-q"), 1, "cannot be written here")


def room_with_card(card: tuple[int, int, int], surface: tuple[int, int, int], folder: Path) -> Path:
    """Write a photo of an even card beside a surface, with some noise, and its room file; above 255 burns out."""
    noise = np.random.default_rng(3).normal(0, 3, (600, 800, 3))
    picture = np.empty((600, 800, 3))
    picture[:, :400], picture[:, 400:] = card, surface
    pixels = np.clip(np.rint(picture + noise), 0, 255).astype(np.uint8)
    Image.fromarray(pixels).save(folder / "photo.png")
    path = folder / "room.toml"
    path.write_text(
        '[room]\nname = "Test"\n[[photos]]\nfile = "photo.png"\n[[photos.references]]\nkind = "grey card"\n'
        "reflectance = 0.18\noutline = [[60, 60], [340, 60], [340, 540], [60, 540]]\n[[photos.surfaces]]\n"
        'name = "worktop"\nmaterial = "stone"\noutline = [[460, 60], [740, 60], [740, 540], [460, 540]]\n',
        encoding="utf-8",
    )
    return path


GREY, STONE = (118, 118, 118), (180, 170, 150)


def test_a_plain_grey_card_is_accepted(tmp_path: Path) -> None:
    """The pictures below differ from this one in the one thing they are refused for."""
    result = service.surfaces(room_with_card(GREY, STONE, tmp_path))
    assert [surface["name"] for surface in result["surfaces"]] == ["worktop"]


@pytest.mark.parametrize("on", ["", 'on = "worktop"\n'], ids=["card anywhere", "card on the surface"])
def test_a_surface_outlined_on_its_card_is_refused(run: Run, tmp_path: Path, on: str) -> None:
    path = room_with_card(GREY, STONE, tmp_path)
    surface, card = "[[460, 60], [740, 60], [740, 540], [460, 540]]", "[[60, 60], [340, 60], [340, 540], [60, 540]]"
    text = path.read_text(encoding="utf-8").replace("[[photos.surfaces]]", f"{on}[[photos.surfaces]]")
    path.write_text(text.replace(surface, card), encoding="utf-8")
    assert_refused(run("surface", "room.toml", "-q"), 1, "worktop: only 0 pixels", "the outlines of cards cover it")


@pytest.mark.parametrize(
    ("card", "surface", "words"),
    [((400, 400, 400), STONE, "clipped"), ((200, 40, 30), STONE, "neutral"), (GREY, (400, 400, 400), "worktop")],
    ids=["card burnt out", "card that is red", "surface burnt out"],
)
def test_cards_and_surfaces_that_cannot_be_read_are_refused(
    run: Run, tmp_path: Path, card: tuple[int, int, int], surface: tuple[int, int, int], words: str
) -> None:
    room_with_card(card, surface, tmp_path)
    before = sorted(tmp_path.iterdir())
    assert_refused(run("shortlist", "room.toml", "--out", "out", "-q"), 1, words, "photo.png")
    assert sorted(tmp_path.iterdir()) == before
