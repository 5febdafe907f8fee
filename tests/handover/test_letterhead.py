"""The mark on a letterhead: read within limits, refused in one clear message, drawn small."""

from __future__ import annotations

import io
import random
import struct
import zlib
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from typer.testing import CliRunner

from matcher.cli.app import app
from matcher.errors import RequestError
from matcher.handover.client import client_pdf
from matcher.handover.contents import Contents, Letterhead
from matcher.handover.mark import MOST_BYTES, read_mark
from matcher.service.handover import letterhead_of
from matcher.settings import Settings
from tests.fuzz.mutations import damaged
from tests.handover import pdf


def picture(size: tuple[int, int] = (1800, 600), kind: str = "PNG") -> bytes:
    drawn = Image.new("RGBA", size, (0, 0, 0, 0))
    drawn.paste((200, 30, 60, 255), (0, 0, size[0] // 2, size[1]))
    stream = io.BytesIO()
    (drawn if kind == "PNG" else drawn.convert("RGB")).save(stream, kind)
    return stream.getvalue()


def stated(width: int, height: int) -> bytes:
    """Return the start of a PNG that says how large it is (PNG specification, 11.2.2), and nothing more."""
    head = b"IHDR" + struct.pack(">IIBBBBB", width, height, 8, 6, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + struct.pack(">I", 13) + head + struct.pack(">I", zlib.crc32(head))


REFUSED = {
    "ten megabytes": (picture() + bytes(10_000_000), "more than the 2 MB"),
    "text": (b"Example Colour Practice", "no picture that can be read"),
    "many pixels": (stated(60_000, 60_000) + bytes(100), "60000 x 60000 pixels"),
    "cut off": (picture()[:300], "damaged"),
    "a page that draws": (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "no picture that can be read"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_is_no_mark_is_refused_and_nothing_is_written(
    name: str, tmp_path: Path, room_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    data, said = REFUSED[name]
    (tmp_path / "mark.png").write_bytes(data)
    (tmp_path / "givens.toml").write_text('letterhead_mark = "mark.png"\n', encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    with pytest.raises(RequestError) as refused:
        CliRunner().invoke(app, ["handover", str(room_path), "--out", "out", "--json", "-q"], catch_exceptions=False)
    (problem,) = refused.value.problems
    assert "mark.png" in str(problem)
    assert said in str(problem)
    assert not (tmp_path / "out").exists()


def test_a_damaged_mark_is_read_or_refused(tmp_path: Path) -> None:
    """A few of many: the decoder runs in a worker, and whatever it meets ends in a picture or in one message."""
    sound = picture((64, 32))
    for seed in range(30):
        (tmp_path / "mark.png").write_bytes(damaged(random.Random(seed), sound))
        try:
            ended = read_mark(tmp_path / "mark.png").width > 0
        except RequestError as refused:
            ended = len(refused.problems) == 1
        assert ended


def test_a_mark_is_kept_small_and_see_through(tmp_path: Path) -> None:
    (tmp_path / "mark.png").write_bytes(picture())
    mark = read_mark(tmp_path / "mark.png")
    shown = Image.open(io.BytesIO(mark.data))
    assert (mark.width, mark.height) == shown.size == (960, 320)
    assert shown.mode == "RGBA"
    assert shown.getpixel((900, 100)) == (0, 0, 0, 0)
    assert len(mark.data) < MOST_BYTES / 100


@pytest.mark.parametrize("kind", ["JPEG", "WEBP"])
def test_other_pictures_serve_as_a_mark(kind: str, tmp_path: Path) -> None:
    (tmp_path / "mark").write_bytes(picture((300, 100), kind))
    assert read_mark(tmp_path / "mark").width == 300


def test_the_letterhead_stands_on_every_page(plain: Contents, tmp_path: Path) -> None:
    (tmp_path / "mark.png").write_bytes(picture())
    settings = Settings(
        letterhead_name="Example & Daughter",
        letterhead_contact=("1 Example Lane", "post@colour.example"),
        letterhead_mark=tmp_path / "mark.png",
        letterhead_date=date(2026, 3, 1),
    )
    file = client_pdf(replace(plain, letterhead=letterhead_of(settings))).pdf
    for page in pdf.texts(file):
        assert all(
            text in page for text in ("Example & Daughter", "1 Example Lane", "post@colour.example", "1 March 2026")
        )
    red = (pdf.rendered(file, 0)[:100].reshape(-1, 3) == np.array([200, 30, 60])).all(axis=1)
    assert red.sum() > 500, "the mark is drawn in the head"
    assert "The mark of Example & Daughter" not in pdf.texts(file)[0]


def test_no_day_is_printed_unless_it_is_asked_for(plain: Contents) -> None:
    assert letterhead_of(Settings()).day is None
    assert letterhead_of(Settings(letterhead_date="today")).day == date.today()
    undated = pdf.texts(client_pdf(replace(plain, letterhead=Letterhead("Practice"))).pdf)
    assert not any(str(date.today().year) in page for page in undated)
