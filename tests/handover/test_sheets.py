"""The client's document and the painter's schedule as PDFium reads and draws them.

typst refuses to write what fails its check of PDF/UA-1 (ISO 14289-1), so every PDF here has passed that; colours are
compared by coloraide's CIEDE2000.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from coloraide import Color

from matcher.handover.client import client_pdf
from matcher.handover.contents import Contents, Letterhead, RoomPictures
from matcher.handover.schedule import schedule_pdf
from tests.fuzz.mutations import wild_text
from tests.handover import pdf
from tests.handover.conftest import drawn_pictures
from tests.report.test_plain_words import SCALES

# ISO 216 A4 and ANSI/ASME Y14.1 A, in points of 1/72 inch.
A4, LETTER = (595, 842), (612, 792)
TITLES = ["The scheme", "Why these", "Light through the day", "Sample boards", "Before anyone paints"]


@pytest.fixture(scope="module")
def client(full: Contents) -> bytes:
    return client_pdf(full).pdf


def test_a_room_with_everything_fills_six_pages_and_loses_nothing(full: Contents, client: bytes) -> None:
    pages = pdf.texts(client)
    assert len(pages) == 6
    for page, title in zip(pages[1:], TITLES, strict=True):
        assert title in page
    for role, paint in full.roles.items():
        assert paint["name"] in pages[1]
        assert paint["code"] in pages[1]
        assert role in " ".join(pages).lower()
    for found in full.turned_down:
        assert f"{found.name}, {found.code}." in pages[2]
    for number, page in enumerate(pages, start=1):
        assert f"{number} of 6" in page
    assert "long-suffering family\N{HORIZONTAL ELLIPSIS}" in pages[0], "too long a name is cut at a word"


@pytest.mark.parametrize(("paper", "size"), [("a4", A4), ("us-letter", LETTER)])
def test_both_papers_hold_all_of_it(full: Contents, paper: str, size: tuple[int, int]) -> None:
    there = replace(full, paper=paper)
    assert pdf.sizes(client_pdf(there).pdf) == [size] * 6
    schedule = schedule_pdf(there).pdf
    assert pdf.sizes(schedule) == [size]
    (text,) = pdf.texts(schedule)
    assert all(row["code"] in text and row["surface"].split()[0] in text for row in full.schedule["rows"])
    assert all(step["text"] in text for step in full.schedule["order"])
    assert "Finished on" in text


@pytest.mark.parametrize("shape", [(600, 900), (1600, 700), (900, 890)], ids=["upright", "wide", "square"])
def test_pictures_of_any_shape_leave_six_pages(full: Contents, shape: tuple[int, int]) -> None:
    assert len(pdf.sizes(client_pdf(replace(full, pictures=drawn_pictures(*shape))).pdf)) == 6


def test_what_is_not_known_is_left_out(plain: Contents) -> None:
    unlit = replace(plain, light=None, samples=(), turned_down=())
    pages = pdf.texts(client_pdf(unlit).pdf)
    assert len(pages) == 3
    assert "Test <kitchen> & scullery" in pages[0]
    assert "Why these" in pages[1]
    assert "Before anyone paints" in pages[2]
    said = " ".join(pages)
    assert not any(title in said for title in ("Light through", "Sample boards", "turned down", "Next", "As it is"))


def test_what_stays_in_its_old_paint_in_the_picture_is_said(full: Contents) -> None:
    page = pdf.texts(client_pdf(full).pdf)[0]
    assert "The cabinets are shown as they are now" in page
    assert "The trim and ceiling are not painted" in page
    only = replace(full, pictures=RoomPictures(full.pictures.as_it_is, unmeasured=("walls",)))
    page = pdf.texts(client_pdf(only).pdf)[0]
    assert "Repainted" not in page
    assert "The walls are shown as they are now" in page


def test_swatches_are_their_paints_when_another_program_draws_them(full: Contents, client: bytes) -> None:
    """Every paint and every colour that stays covers a patch of page 2 within dE00 0.5 of it."""
    pixels, counts = np.unique(pdf.rendered(client, 1).reshape(-1, 3), axis=0, return_counts=True)
    drawn = pixels[counts >= 150]
    wanted = {paint["code"]: full.labs[paint["code"]] for paint in full.roles.values()}
    wanted |= {f"{one['name']} {place}": tuple(colour["lab"]) for one in full.stays
               for place, colour in enumerate(one["colours"])}  # fmt: skip
    assert len(wanted) >= 14
    for name, lab in wanted.items():
        paint = Color("lab-d65", lab)
        near = min(paint.delta_e(Color("srgb", (rgb / 255).tolist()), method="2000") for rgb in drawn)
        assert near <= 0.5, name


def test_it_is_tagged_with_embedded_fonts_and_words_for_every_figure(full: Contents, client: bytes) -> None:
    for file in (client, schedule_pdf(full).pdf):
        assert pdf.is_tagged(file)
        fonts = pdf.fonts(file)
        assert fonts
        assert all(fonts.values()), fonts
        assert {re.sub(r"^[A-Z]{6}\+", "", name) for name in fonts} <= {
            "Newsreader-Regular", "SourceSans3-Regular", "SourceSans3-SemiBold",
        }  # fmt: skip
        figures = pdf.alternatives(file)
        assert figures
        assert all(figures)
    assert full.roles["walls"]["name"] in " ".join(pdf.alternatives(client))


def test_names_are_never_read_as_markup(plain: Contents) -> None:
    name = '#panic("x") *b* _i_ $x$ <a> = ~ @ref \\ // `c` [d] {e}'
    file = client_pdf(replace(plain, result={**plain.result, "room": {"name": name}}))
    assert name.replace(" ", "") in pdf.texts(file.pdf)[0].replace(" ", "")


def test_a_letter_that_no_font_has_becomes_a_question_mark(plain: Contents) -> None:
    letter = "\U00010600"  # Linear A, in no font of a usual machine
    file = client_pdf(replace(plain, result={**plain.result, "room": {"name": f"K{letter}che\u0007\n2"}}))
    assert file.missing == (letter,)
    assert "K?che 2" in pdf.texts(file.pdf)[0]


def test_whatever_things_are_called_there_is_a_sheet(plain: Contents) -> None:
    """Names as they come out of broken files: sheets are made of all of them, within six pages."""
    for seed in range(5):
        rng = random.Random(seed)
        names = {code: wild_text(rng, "Alder Row kitchen") for code in plain.names}
        roles = {role: {**paint, "name": names[paint["code"]]} for role, paint in plain.roles.items()}
        stays = tuple({**surface, "name": wild_text(rng, surface["name"])} for surface in plain.stays)
        result = {
            **plain.result,
            "room": {"name": wild_text(rng, "Kitchen")},
            "scheme": {**plain.result["scheme"], "roles": roles},
        }
        wild = replace(plain, result=result, names=names, stays=stays, light=None, turned_down=())
        assert 3 <= len(pdf.sizes(client_pdf(wild).pdf)) <= 6
        assert pdf.sizes(schedule_pdf(wild).pdf) == [A4]


def test_greek_and_cyrillic_need_no_font_of_the_machine(plain: Contents) -> None:
    file = client_pdf(replace(plain, result={**plain.result, "room": {"name": "Κουζίνα Кухня Łódź"}}))
    assert file.missing == ()
    assert "Κουζίνα Кухня Łódź" in pdf.texts(file.pdf)[0]
    assert all(pdf.fonts(file.pdf).values())


def test_the_same_contents_give_the_same_bytes_and_no_date(full: Contents, client: bytes) -> None:
    assert client_pdf(full).pdf == client
    assert b"D:19700101" in client
    dated = client_pdf(replace(full, letterhead=Letterhead("Practice", day=date(2026, 3, 21)))).pdf
    assert b"D:20260321" in dated
    assert "21 March 2026" in pdf.texts(dated)[0]
    assert len(client) < 3_000_000


def test_a_householder_reads_no_laboratory_words(client: bytes, elsewhere: Callable[[str], Contents]) -> None:
    from tests.report.test_plain_words import TYPED, typed

    for file in [client, *(client_pdf(elsewhere(typed(name))).pdf for name in TYPED)]:
        for page in pdf.texts(file):
            assert not (found := SCALES.search(page)), f"{found}: {page}"


def test_the_code_is_the_biggest_word_of_its_row(full: Contents) -> None:
    import pypdfium2
    from pypdfium2 import raw

    document = pypdfium2.PdfDocument(schedule_pdf(full).pdf)
    page = document[0]
    lines = page.get_textpage()
    heights = {}
    for found in page.get_objects(filter=[raw.FPDF_PAGEOBJ_TEXT]):
        left, bottom, right, top = found.get_bounds()
        text = lines.get_text_bounded(left, bottom, right, top).strip()
        heights[text] = max(heights.get(text, 0.0), top - bottom)
    codes = [row["code"] for row in full.schedule["rows"]]
    others = [height for text, height in heights.items() if text in {row["name"] for row in full.schedule["rows"]}]
    assert others
    assert all(heights[code] > 1.2 * max(others) for code in codes)
