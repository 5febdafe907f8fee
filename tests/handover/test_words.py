"""Every fact that a ranking can state has a client's sentence or is left out on purpose; the smaller words hold."""

from __future__ import annotations

import doctest
from dataclasses import replace
from types import ModuleType

import pytest

from matcher.handover import (
    fill,
    light_hours,
    naming,
    schedule,
    sheen,
    sheet,
    words,
)
from matcher.handover.contents import Contents
from matcher.handover.last_page import last_page, untold
from matcher.handover.light_hours import light_hours as hours_of
from matcher.handover.reasons import beside_surface, for_role, lightness_sentence
from matcher.handover.why_page import why_page
from matcher.quantities.cautions import House, cautions_for
from matcher.report.cautions import KINDS
from matcher.report.sentences import REASONS

# What a client is not told: how a score came about, what a number of LRV says (lightness is worded from both LRVs), and
# what is no reason for one paint.
UNSAID = {
    "lighter-than-given", "darker-than-given", "harmony-above-grey", "harmony-below-grey", "unfit-for-role",
    "warms-north-light", "wish-warmth-met", "wish-lrv-met", "neighbour-fits", "stands-for",
}  # fmt: skip


def test_every_kind_of_reason_is_told_or_left_out_on_purpose() -> None:
    told = {*words.FOR, *words.AGAINST}
    assert set(REASONS) == told | UNSAID
    assert not told & UNSAID
    assert set(words.FOR_A_ROLE) <= set(words.FOR)


def test_every_caution_has_its_place() -> None:
    assert set(KINDS) == {*words.CLIENT_CAUTIONS, "lead", "lead-authority"}


@pytest.mark.parametrize(
    "module", [fill, light_hours, naming, schedule, sheen, sheet], ids=lambda module: module.__name__
)
def test_docstring_examples(module: ModuleType) -> None:
    result = doctest.testmod(module)
    assert result.attempted > 0
    assert result.failed == 0


def test_each_thing_that_stays_has_its_sentence_with_every_paint(full: Contents, plain: Contents) -> None:
    for contents in (full, plain):
        for paint in contents.roles.values():
            for surface in contents.stays:
                word, text = beside_surface(paint, surface)
                assert word
                assert text.endswith(".")
                assert "{" not in text
                if word == words.MIND_WORD:
                    assert "Mind: " in text
            assert "{" not in for_role(paint, contents.roles, pinned=False)


def surface(lrv: float, sd: float = 0.5, name: str = "shelf", material: str = "stone") -> dict[str, object]:
    return {"name": name, "material": material, "lrv": lrv, "lrv_sd": sd}


@pytest.mark.parametrize(
    ("step", "given", "said"),
    [
        (2.9, surface(50), "as light as each other"),
        (-7.0, surface(50), "a step darker than the shelf"),
        (12.0, surface(50, material="tile", name="tile"), "clearly lighter, so the tile still shows as a pattern"),
        (40.0, surface(14, name="cabinets", material="paint"), "well clear of the dark cabinets: they look crisp"),
        (40.0, surface(14, name="hearth"), "well clear of the dark hearth, which looks crisp"),
        (40.0, surface(26, name="oak floor", material="timber"), "much lighter than the oak floor"),
        (-60.0, surface(80), "much darker than the shelf"),
        (12.0, surface(50, sd=9.0), "do not tell for certain"),
    ],
)
def test_lightness_is_said_by_its_step_and_no_surer_than_it_is(
    step: float, given: dict[str, object], said: str
) -> None:
    """The steps are those of the table of wordings: under 3, to 8, to 25 and above, in points of LRV."""
    assert said in lightness_sentence(step, given)


def test_lead_comes_first_and_is_framed_unless_the_house_is_new(plain: Contents) -> None:
    framed = last_page(plain)["framed"]
    assert framed["title"] == "Old paint may hold lead"
    new = replace(plain, cautions=cautions_for(House("GB", 2015)))
    assert last_page(new)["framed"] is None
    assert last_page(new)["lede_first"].startswith("Local rules")


def test_what_could_not_be_told_is_said(plain: Contents) -> None:
    rough = {**plain.stays[0], "lrv_sd": 9.0, "own_card": False}
    unread = [{"name": "sill", "photo": "a.jpg", "reason": "dark"}]
    guessed = [{"file": "rooms/a.jpg", "checks": [{"check": "light guessed"}]}]
    result = {**plain.result, "unread": unread, "photos": guessed}
    titles = [said.title for said in untold(replace(plain, stays=(rough,), result=result))]
    assert titles == ["The light.", "The worktop, exactly.", "The sill.", "Sheen."]


def test_a_step_of_the_ladder_of_whites_is_named_and_one_that_looked_amiss_is_shown(full: Contents) -> None:
    """In the form of the contract, with the reasons of each step beside it."""
    trim, island = full.roles["trim"]["code"], full.roles["island"]["code"]
    tile = "tile behind the cooker and the sink"
    ladder = [
        {"step": "stark", "code": trim, "with": {"walls": "contrasts"}, "reasons": ["clearly lighter than the walls"]},
        {"step": "creamy", "code": island, "with": {"walls": "sits", tile: "yellows"},
         "reasons": ["sits with the walls", f"looks yellowed beside the {tile}"]},
    ]  # fmt: skip
    scheme = {**full.result["scheme"], "trim_ladder": ladder}
    page = why_page(replace(full, result={**full.result, "scheme": scheme}))
    assert page is not None
    assert any("the stark one" in other["text"] for other in page["others"])
    assert len(page["turned_down"]) == 2
    assert page["turned_down"][-1]["text"] == f"As the creamy white of the trim it looks yellowed beside the {tile}."


def test_hours_are_shown_where_the_sun_is_on_the_window(full: Contents) -> None:
    light, main = full.light, full.roles["walls"]
    assert light is not None
    entry = next(each for each in light["colours"] if each.get("code") == main["code"])
    shown = hours_of(light, [entry], full.labs[main["code"]], "beige")
    assert [hour.title for hour in shown][-1] == "Lamps"
    assert 3 <= len(shown) <= 5
    assert all(hour.text.endswith(".") and "{" not in hour.text for hour in shown)
    sunny = [hour["hour"] for hour in light["hours"] if hour["kind"] == "sun and sky"]
    assert not sunny or any(hour.kind == words.LIGHT_KINDS["sun and sky"] for hour in shown)
