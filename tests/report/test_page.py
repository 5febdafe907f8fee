"""The page: well-formed, self-contained, readable for everyone."""

from __future__ import annotations

import re
from copy import deepcopy
from html.parser import HTMLParser
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest

from matcher.quantities.cautions import House
from matcher.report.light_entry import drawn_hexes
from matcher.report.page import render_page
from matcher.room.reading import read_room
from matcher.service import load_deck
from matcher.service.room_light import scheme_light
from matcher.surfaces.measure import measure_room

# Elements that have no end tag (HTML Living Standard, 13.1.2), and the SVG ones written self-closing.
VOID = {"meta", "br", "img", "link", "hr", "input"}


class Reader(HTMLParser):
    """Collects what is open, what is said, and every reference to something outside the page."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.ids: set[str] = set()
        self.links: list[str] = []
        self.unnamed_images: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = dict(attrs)
        if tag not in VOID:
            self.open.append(tag)
        if "id" in found:
            assert found["id"] not in self.ids, "an id stands twice"
            self.ids.add(found["id"] or "")
        self.links += [value or "" for name, value in attrs if name in ("href", "src", "xlink:href")]
        if found.get("role") == "img" and not found.get("aria-label"):
            self.unnamed_images.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in VOID:
            self.open.pop()

    def handle_endtag(self, tag: str) -> None:
        assert self.open, f"</{tag}> closes nothing"
        assert self.open.pop() == tag


@pytest.fixture(scope="module")
def page(result: dict[str, object], advice: dict[str, object]) -> str:
    return render_page(result, advice, [], deck=load_deck(None), invented=True)


def read(page: str) -> Reader:
    reader = Reader()
    reader.feed(page)
    reader.close()
    return reader


def test_every_element_is_closed_and_every_picture_is_named(page: str) -> None:
    reader = read(page)
    assert reader.open == []
    assert reader.unnamed_images == []
    assert '<html lang="en">' in page


def test_it_needs_no_network(page: str) -> None:
    reader = read(page)
    for link in reader.links:
        assert link.startswith(("#", "data:")), link
        assert not link.startswith("#") or link[1:] in reader.ids
    assert "<script" not in page
    assert "url(" not in page
    assert "@import" not in page


def test_names_from_the_room_file_are_text_not_markup(page: str) -> None:
    assert "Test &lt;kitchen&gt; &amp; scullery" in page
    assert "<kitchen>" not in page


@pytest.mark.parametrize("words", ["never dry-sand", "Open windows", "ladder", "Switch the circuit off", "AS 1428.1",
                                   "sample board", "1978", "1992", "invented", "Local codes"])  # fmt: skip
def test_the_cautions_are_there(page: str, words: str) -> None:
    assert words in page


def test_cautions_go_by_the_house(result: dict[str, object], advice: dict[str, object]) -> None:
    old, new = (
        render_page(result, advice, [], deck=load_deck(None), house=House("GB", built)) for built in (1931, 2010)
    )
    assert "This house was built in 1931." in old
    assert "SI 2005/2773" in old
    assert "Old paint may hold lead" not in new
    assert "Switch the circuit off" in new


def test_contrast_for_people_with_low_vision_names_its_rules(page: str) -> None:
    assert re.search(r"<strong>Walls and trim</strong><span>(Stand out enough|Too )", page)
    assert "DIN 32975" in page
    assert "Local code and a licensed professional decide" in page
    assert "compliant" not in page


def test_numbers_below_zero_have_a_minus_sign(page: str) -> None:
    said = re.sub(r"<[^>]*>", " ", page[page.index("<body>") :])
    assert "\u2212" in said
    assert not re.search(r"(?<![\w.])-\d", said)


def test_a_real_result_is_not_called_invented(result: dict[str, object], advice: dict[str, object]) -> None:
    assert "are rendered" not in render_page(result, advice, [], deck=load_deck(None))


def luminance(colour: str) -> float:
    """WCAG 2.2, relative luminance."""
    full = colour if len(colour) == 7 else "#" + "".join(2 * digit for digit in colour[1:])
    parts = [int(full[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize(("text", "ground"), [("ink", "paper"), ("soft", "paper"), ("ink", "ground")])
def test_text_contrast_wcag_2_2_sc_1_4_3(text: str, ground: str) -> None:
    css = (files("matcher.report") / "templates" / "page.css").read_text(encoding="utf-8")
    colours = dict(re.findall(r"--(\w+): (#[0-9a-f]{3,6})", css))
    light, dark = sorted((luminance(colours[text]), luminance(colours[ground])), reverse=True)
    assert (light + 0.05) / (dark + 0.05) >= 4.5


def test_on_paper_cards_stay_whole_and_sections_run_on() -> None:
    """A section kept whole, or on a page of its own, leaves the page before it half empty; so do a screen's lengths."""
    css = (files("matcher.report") / "templates" / "page.css").read_text(encoding="utf-8")
    rules = re.findall(r"([^{}]+){([^{}]*)}", re.sub(r"/\*.*?\*/", "", css[css.index("@media print") :])[13:])
    kept = {one.strip() for names, what in rules if "break-inside: avoid" in what for one in names.split(",")}
    assert {".surface", ".paint", ".check", "figure"} <= kept
    assert not kept & {"section", ".surfaces", ".paints", ".cautions", ".levels", "main"}
    assert "break-before" not in css
    assert "page-break" not in css
    # Every other length is in rem.
    assert any(names.strip().endswith("html") and re.search(r"font-size: [\d.]+pt", what) for names, what in rules)


def test_swatches_stand_on_neutral_grey_of_lightness_74(page: str) -> None:
    assert "--ground: #b9b9b9" in page
    # coloraide, an independent library.
    from coloraide import Color

    lightness, a, b = Color("#b9b9b9").convert("lab-d65").coords()
    assert lightness == pytest.approx(75, abs=2)
    assert max(abs(a), abs(b)) < 0.1


def test_the_scheme_hides_no_doubt_about_the_paint_it_chose(result: dict[str, Any], advice: dict[str, Any]) -> None:
    """A reason against in the last place and a clash known from the shortlist stand beside the scheme's paint."""
    doubted = deepcopy(result)
    role, chosen = next(iter(doubted["scheme"]["roles"].items()))
    chosen["reasons"] = [f"for it {place}" for place in range(9)] + ["the last word"]
    chosen["facts"] = [{"kind": "any", "favours": place < 9, "values": {}} for place in range(10)]
    chosen["clashes"] = [{"surface": "floor", "kind": "opposes", "message": "pulls the other way", "severity": 0.9}]
    page = render_page(doubted, advice, [], deck=load_deck(None))
    scheme = page[page.index('id="scheme"') : page.index(f'id="role-{role}"')]
    assert "The last word" in scheme
    assert "For it 8" not in scheme
    assert "Pulls the other way" in scheme


def test_the_light_of_the_room_is_drawn_for_each_paint_of_the_scheme(
    result: dict[str, Any], advice: dict[str, Any], room_path: Path
) -> None:
    room, deck = read_room(room_path), load_deck(None)
    surfaces = measure_room(room).surfaces
    light = scheme_light(room, surfaces, deck, result["scheme"])
    assert light is not None
    page = render_page(result, advice, [], deck=deck, light=light, invented=True)
    reader = read(page)
    assert not reader.open
    assert reader.unnamed_images == []
    section = page[page.index('<section id="light">') :].partition("</section>")[0]
    chosen = {paint["code"] for paint in result["scheme"]["roles"].values()}
    assert {row["code"] for row in light["paints"]} == chosen
    # A strip of every hour and lamp for each, and one of the white card; what is drawn is what was reckoned.
    assert section.count("<rect") == len(light["columns"]) * (len(chosen) + 1)
    drawn = re.findall(r'fill="(#[0-9a-f]{6})"', section)
    assert drawn == [hex_ for row in light["paints"] for hex_ in row["hexes"]] + light["white"]
    for row in light["paints"]:
        assert row["line"] in section
    # Without laboratory words.
    assert not re.search(r"dE00|CIELAB|CAT16|chroma\b", section)


def test_a_room_that_says_nothing_of_its_light_has_no_such_section(room_text: str, tmp_path: Path, page: str) -> None:
    assert '<section id="light">' not in page
    path = tmp_path / "room.toml"
    path.write_text(room_text.replace('facing = "N"\n', "").replace("lamps_k = 2700\n", ""), encoding="utf-8")
    room = read_room(path)
    assert scheme_light(room, measure_room(room).surfaces, load_deck(None), {"roles": {}}) is None


def test_drawn_colours_go_down_with_the_light_but_stay_legible() -> None:
    grey = [76.0, 0.0, 0.0]
    found = [int(hex_[1:3], 16) for hex_ in drawn_hexes([grey] * 5, [0.0, 0.01, 0.1, 0.5, 1.0])]
    assert found == sorted(found)
    assert len(set(found)) == 5
    assert found[0] > 110
    # The lamp's own tint on a white card is within what sRGB shows: nothing is cut off.
    assert "ff" not in drawn_hexes([[100.0, 3.0, 6.0]], [1.0])[0]


def test_each_paint_of_the_scheme_is_examined_once(result: dict[str, Any], advice: dict[str, Any]) -> None:
    """Its finding and its strip are in view, the rest is folded; fills are the deck's own colours, in SVG for print."""
    page = render_page(result, advice, [], deck=load_deck(None))
    section = page[page.index("Which way each leans") : page.index("Checked together")]
    roles = result["scheme"]["roles"]
    codes = {paint["code"]: paint for paint in roles.values()}
    assert section.count("<article>") == len(codes)
    for paint in codes.values():
        # Three pairs, and the strip where there is one.
        assert section.count(f'<rect x="0" width="100" height="100" fill="{paint["hex"]}"/>') >= 3
    assert section.count("<details>") == 2 * len(codes)
    assert all(name in section for name in ("stark white", "true grey"))
    one = {role: next(iter(roles.values())) for role in roles}
    page = render_page({**result, "scheme": {**result["scheme"], "roles": one}}, advice, [], deck=load_deck(None))
    section = page[page.index("Which way each leans") : page.index("Checked together")]
    assert section.count("<article>") == 1


def test_a_room_without_sun_asks_for_a_lighter_paint(result: dict[str, Any], advice: dict[str, Any]) -> None:
    """The LRV from which four walls are said to carry a paint moves with the window."""
    pages = [render_page(result, advice, [], deck=load_deck(None), away_from_sun=away) for away in (None, 1.0, -1.0)]
    assert ["LRV 45 up" in pages[0], "LRV 55 up" in pages[1], "LRV 35 up" in pages[2]] == [True, True, True]
