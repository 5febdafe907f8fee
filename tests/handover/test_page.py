"""The page: the client's document and the appendix; well-formed, self-contained, readable for everyone."""

from __future__ import annotations

import re
from copy import deepcopy
from dataclasses import replace
from html import unescape
from html.parser import HTMLParser
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest

from matcher import service
from matcher.handover.client_pages import client_pages
from matcher.handover.contents import Contents, PictureFile, RoomPictures, Site
from matcher.handover.page import data_uri, laid, render_page
from matcher.handover.rejected import rejected
from matcher.handover.workshop import workshop
from matcher.quantities.cautions import House, cautions_for
from matcher.report.light_entry import drawn_hexes
from matcher.report.picture import Picture
from matcher.room.reading import read_room
from matcher.service import load_deck
from matcher.service.asking import question_of
from matcher.service.room_light import scheme_light
from matcher.surfaces.measure import measure_room
from tests.report.test_plain_words import SCALES

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
def advice(ranked: service.Ranked) -> dict[str, Any]:
    return ranked.advise()


@pytest.fixture(scope="module")
def result(plain: Contents) -> dict[str, Any]:
    return dict(plain.result)


@pytest.fixture(scope="module")
def page(plain: Contents, advice: dict[str, Any]) -> str:
    return whole(replace(plain, invented=True), advice)


def whole(contents: Contents, advice: dict[str, Any], **options: Any) -> str:
    """Return the page with its appendix."""
    return render_page(contents, workshop(contents, advice, [], deck=load_deck(None), **options))


def parts(page: str) -> tuple[str, str]:
    """Return the client's part and the appendix."""
    client, found, appendix = page.partition('<aside id="appendix"')
    assert found
    return client, appendix


def said(html: str) -> str:
    """Return what is read, without tags, letters written out, names of pictures with it."""
    body = html[html.index("<body>") :]
    named = " ".join(re.findall(r'aria-label="([^"]*)"', body))
    return " ".join(unescape(f"{re.sub(r'<[^>]*>', ' ', body)} {named}").split())


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


def texts_of(value: Any) -> list[str]:
    """Return every text in the data of a page, but colours, files and what kind of page it is."""
    if isinstance(value, str):
        return [] if value.startswith("#") or value.endswith(".jpg") else [value]
    if isinstance(value, dict):
        return [text for key, each in value.items() if key != "kind" or "hour" in str(value) for text in texts_of(each)]
    return [text for each in value for text in texts_of(each)] if isinstance(value, (list, tuple)) else []


def test_it_is_the_client_document_in_its_order(full: Contents, plain: Contents) -> None:
    """Whatever the PDF says, the page says, in the same order of sections and of what stands in them."""
    for contents in (full, plain):
        html = render_page(contents)
        reader = read(html)
        assert reader.open == []
        assert reader.unnamed_images == []
        pages = client_pages(contents, most_staying=None)
        kinds = [page["kind"] for page in pages]
        assert re.findall(r'<section id="(\w+)"', html) == kinds
        assert kinds == [kind for kind in ("room", "scheme", "why", "light", "boards", "last") if kind in kinds]
        text = said(html)
        for page in pages:
            wanted = [" ".join(each.split()) for each in texts_of(page) if "{" not in each and each != page.get("alt")]
            missing = [each for each in wanted if each and each not in text and each not in page["kind"]]
            assert not missing
        ordered = [page["title"] for page in pages[1:]]
        places = [html.index(f"<h2>{title}</h2>") for title in ordered]
        assert places == sorted(places)


def test_the_appendix_can_be_left_out(plain: Contents, page: str) -> None:
    client = render_page(replace(plain, invented=True))
    assert "appendix" not in client
    assert "In numbers" not in client
    assert len(client) < 0.6 * len(page)
    assert said(client).removesuffix(" ")[:200] in said(page)
    links = re.findall(r'href="#(\w+)"', client)
    assert links == [kind for kind in ("room", "scheme", "why", "light", "boards", "last") if f'id="{kind}"' in client]


def test_the_clients_part_carries_no_scales(full: Contents, page: str) -> None:
    for html in (render_page(full), parts(page)[0] + "</body>"):
        codes = re.compile("|".join(map(re.escape, load_deck(None).codes)))
        # Where on the earth a house was taken to stand is no scale of colour.
        text = codes.sub("", said(html)).replace("50 degrees north", "")
        assert not (found := SCALES.search(text)), found


def test_the_appendix_holds_what_the_consultant_works_with(plain: Contents, page: str) -> None:
    client, appendix = parts(page)
    for word in ("CIELAB", "How it scored", "For people with low vision", "SHA-256", "Cautions in full"):
        assert word in appendix
        assert word not in client[client.index("<body>") :]
    for paints in plain.result["shortlists"].values():
        for paint in paints:
            assert f"{paint['code']}, LRV" in appendix


def test_paints_turned_down_are_listed_by_role_with_what_they_clash_with(
    ranked: service.Ranked, plain: Contents, advice: dict[str, Any]
) -> None:
    question = question_of(ranked.room, ranked.measurement, ranked.deck)
    found = rejected(question, ranked.deck)
    assert set(found) == set(plain.result["shortlists"])
    listed = [paint for paints in found.values() for paint in paints]
    assert listed
    assert all(max(clash["severity"] for clash in paint["clashes"]) >= 0.33 for paint in listed)
    assert not {paint["code"] for paint in found["walls"]} & {plain.roles["walls"]["code"]}
    _, appendix = parts(whole(plain, advice, rejected=found))
    for paint in listed:
        assert f"{paint['code']}, LRV {paint['lrv']:.0f}, scored {paint['score']:.2f}" in appendix


def test_the_rooms_picture_stands_in_the_page_once(full: Contents, advice: dict[str, Any]) -> None:
    picture = full.pictures.as_it_is
    assert picture is not None
    drawn = Picture("a.jpg", True, data_uri(picture.data), 1800, 1200, 20.0, (), ("1,1 9,1 9,9",))
    html = render_page(full, workshop(full, advice, [drawn], deck=load_deck(None)))
    assert html.count("data:image/jpeg") == 2
    assert '<use href="#as-it-is" transform="scale(2.0)"/>' in html
    alone = replace(full, pictures=RoomPictures())
    assert render_page(alone, workshop(alone, advice, [drawn], deck=load_deck(None))).count("data:image/jpeg") == 1


def test_more_things_stay_than_a_sheet_has_room_for(full: Contents) -> None:
    stays = (*full.stays, {**full.stays[0], "name": "ninth thing"})
    nine = replace(full, stays=stays, light=None)
    assert "ninth thing" in said(render_page(nine))
    assert "full report" not in render_page(nine)


def test_bands_cover_each_other_to_the_far_corner() -> None:
    """Shares that do not sum to one are taken as they stand to each other."""
    two = [{"hex": "#111111", "share": 0.5}, {"hex": "#222222", "share": 0.3}]
    assert [each["x"] for each in laid(([{"hex": "#333333", "share": 1}], 1), (two, 1))] == [0, 55.556, 83.333]


def test_the_mark_is_inside_the_page(plain: Contents) -> None:
    png = b"\x89PNG\r\n" + bytes(9)
    head = replace(plain.letterhead, mark=PictureFile(png, 4, 2), contact=("1 Lane & Yard",))
    html = render_page(replace(plain, letterhead=head))
    assert "data:image/png;base64," in html
    assert "1 Lane &amp; Yard" in html
    assert "Example Colour Practice" in html


@pytest.mark.parametrize("words", ["never dry-sand", "Open windows", "ladder", "Switch the circuit off", "AS 1428.1",
                                   "sample board", "1978", "1992", "invented", "Local codes"])  # fmt: skip
def test_the_cautions_are_there(page: str, words: str) -> None:
    assert words in page


def test_cautions_go_by_the_house(plain: Contents, advice: dict[str, Any]) -> None:
    old, new = (whole(replace(plain, cautions=cautions_for(House("GB", built))), advice) for built in (1931, 2010))
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


def test_a_real_result_is_not_called_invented(plain: Contents, advice: dict[str, Any]) -> None:
    page = whole(plain, advice)
    assert "are rendered" not in page
    assert "Invented" not in page


def styles(name: str) -> str:
    return (files("matcher.handover") / "templates" / name).read_text(encoding="utf-8")


def luminance(colour: str) -> float:
    """WCAG 2.2, relative luminance."""
    full = colour if len(colour) == 7 else "#" + "".join(2 * digit for digit in colour[1:])
    parts = [int(full[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize(("text", "ground"), [("ink", "paper"), ("soft", "paper"), ("ink", "ground")])
def test_text_contrast_wcag_2_2_sc_1_4_3(text: str, ground: str) -> None:
    css = styles("page.css")
    colours = dict(re.findall(r"--(\w+): (#[0-9a-f]{3,6})", css))
    light, dark = sorted((luminance(colours[text]), luminance(colours[ground])), reverse=True)
    assert (light + 0.05) / (dark + 0.05) >= 4.5


def test_on_paper_cards_stay_whole_and_sections_run_on() -> None:
    """A section kept whole, or on a page of its own, leaves the page before it half empty; so do a screen's lengths."""
    both = [styles(name) for name in ("page.css", "workshop.css")]
    css = "".join(re.sub(r"/\*.*?\*/", "", each[each.index("@media print") :])[13:] for each in both)
    rules = re.findall(r"([^{}]+){([^{}]*)}", css)
    kept = {one.strip() for names, what in rules if "break-inside: avoid" in what for one in names.split(",")}
    assert {".surface", ".paint", ".check", "figure"} <= kept
    assert not kept & {"section", ".surfaces", ".paints", ".cautions", ".levels", "main"}
    # What can be left out begins a sheet of its own, and nothing else does.
    assert [names.strip() for names, what in rules if "break-before" in what] == ["#appendix"]
    assert all(each.count("break-before") <= 1 and "page-break" not in each for each in both)
    # Every other length is in rem.
    assert any(names.strip().endswith("html") and re.search(r"font-size: [\d.]+pt", what) for names, what in rules)


def test_swatches_stand_on_neutral_grey_of_lightness_74(page: str) -> None:
    assert "--ground: #b9b9b9" in page
    # coloraide, an independent library.
    from coloraide import Color

    lightness, a, b = Color("#b9b9b9").convert("lab-d65").coords()
    assert lightness == pytest.approx(75, abs=2)
    assert max(abs(a), abs(b)) < 0.1


def test_the_scheme_hides_no_doubt_about_the_paint_it_chose(plain: Contents, advice: dict[str, Any]) -> None:
    """A reason against in the last place and a clash known from the shortlist stand beside the scheme's paint."""
    doubted = deepcopy(dict(plain.result))
    role, chosen = next(iter(doubted["scheme"]["roles"].items()))
    chosen["reasons"] = [f"for it {place}" for place in range(9)] + ["the last word"]
    chosen["facts"] = [{"kind": "any", "favours": place < 9, "values": {}} for place in range(10)]
    chosen["clashes"] = [{"surface": "floor", "kind": "opposes", "message": "pulls the other way", "severity": 0.9}]
    shown = workshop(replace(plain, result=doubted), advice, [], deck=load_deck(None))
    page = render_page(plain, shown)
    scheme = page[page.index('id="checked"') : page.index(f'id="role-{role}"')]
    assert "The last word" in scheme
    assert "For it 8" not in scheme
    assert "Pulls the other way" in scheme


def test_the_light_of_the_room_is_drawn_for_each_paint_of_the_scheme(
    ranked: service.Ranked, plain: Contents, result: dict[str, Any], advice: dict[str, Any]
) -> None:
    room, deck, surfaces = ranked.room, ranked.deck, ranked.measurement.surfaces
    light = scheme_light(room, surfaces, deck, result["scheme"])
    assert light is not None
    page = whole(plain, advice, light=light)
    reader = read(page)
    assert not reader.open
    assert reader.unnamed_images == []
    section = page[page.index('<section id="hours">') :].partition("</section>")[0]
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
    assert '<section id="hours">' not in page
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


def test_each_paint_of_the_scheme_is_examined_once(
    plain: Contents, result: dict[str, Any], advice: dict[str, Any]
) -> None:
    """Its finding and its strip are in view, the rest is folded; fills are the deck's own colours, in SVG for print."""
    page = whole(plain, advice)
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
    same = replace(plain, result={**result, "scheme": {**result["scheme"], "roles": one}})
    page = render_page(plain, workshop(same, advice, [], deck=load_deck(None)))
    section = page[page.index("Which way each leans") : page.index("Checked together")]
    assert section.count("<article>") == 1


def test_a_room_without_sun_asks_for_a_lighter_paint(plain: Contents, advice: dict[str, Any]) -> None:
    """The LRV from which four walls are said to carry a paint moves with the window."""
    sites = (Site(), Site("N", 55.0), Site("S", 55.0))
    pages = [whole(replace(plain, site=site), advice) for site in sites]
    assert ["LRV 45 up" in pages[0], "LRV 55 up" in pages[1], "LRV 35 up" in pages[2]] == [True, True, True]
