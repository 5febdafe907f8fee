"""Cautions by country and year: what each country's own authority says, and what stays where nobody knows."""

from __future__ import annotations

import re

import pytest

from matcher.quantities import cautions
from matcher.quantities.cautions import House, cautions_for, lead_cautions
from matcher.report.cautions import KINDS, caution_entry, caution_words


# The US: 40 CFR 745.80 ff (housing built before 1978). Canada: "little concern ... built and painted in 1991 or later"
# (Health Canada). New Zealand: "in the 1980s or earlier" (WorkSafe). Australia: 0.1 % since 1997 (SA Health). The UK:
# the ban of 1992.
@pytest.mark.parametrize(
    ("country", "last_on", "first_off"),
    [("US", 1977, 1978), ("GB", 1991, 1992), ("CA", 1990, 1991), ("NZ", 1989, 1990), ("AU", 1997, 1998)],
)
def test_lead_goes_only_by_the_countrys_own_year(country: str, last_on: int, first_off: int) -> None:
    (on,) = lead_cautions(House(country, last_on))
    assert on.kind == "lead"
    assert on.source
    assert f"built in {last_on}" in caution_words(on).text
    assert lead_cautions(House(country, first_off)) == ()
    # Not known, it stays.
    (unknown,) = lead_cautions(House(country, None))
    assert "The year of this house is not known" in caution_words(unknown).text


@pytest.mark.parametrize("country", ["DE", "FR", "IE", "JP", "BR"])
def test_elsewhere_it_stays_and_the_countrys_authority_is_asked(country: str) -> None:
    for built in (None, 1930, 2020):
        (caution,) = lead_cautions(House(country, built))
        assert caution.kind == "lead-authority"
        said = caution_words(caution).text
        assert "your country's own authority" in said
        assert "Have it tested first" in said
    assert "before 1949" in caution_words(lead_cautions(House("FR"))[0]).text


def test_a_house_of_which_nothing_is_known_is_told_of_both() -> None:
    first = cautions_for(House())[0]
    assert first.kind == "lead"
    assert "1978" in caution_words(first).text
    assert "1992" in caution_words(first).text


def test_what_us_firms_may_disturb_uncertified() -> None:
    """40 CFR 745.83: minor repair is 6 square feet a room inside and 20 outside."""
    said = caution_words(lead_cautions(House("US", 1950))[0]).text
    assert "40 CFR 745" in said
    assert "up to 6 square feet in a room or 20 outdoors" in said


@pytest.mark.parametrize("house", [House(), House("US", 1950), House("GB", 1931), House("DE", 1990), House("NZ", 2005)])
def test_every_house_is_told_the_rest_and_who_decides(house: House) -> None:
    kinds = [caution.kind for caution in cautions_for(house)]
    assert {"samples", "screen", "air", "ladders", "electrics", "low-vision"} <= set(kinds)
    assert sum(kind in ("label", "voc-label") for kind in kinds) == 1
    texts = {kind: caution_words(caution).text for kind, caution in zip(kinds, cautions_for(house), strict=True)}
    assert "licensed electrician" in texts["electrics"]
    assert "Local codes decide" in texts["low-vision"]
    if kinds[0].startswith("lead"):
        assert re.search("[Ll]ocal rules", texts[kinds[0]])
        assert "licensed practice" in texts[kinds[0]]


@pytest.mark.parametrize(("country", "quoted"), [("DE", True), ("GB", True), ("US", False), ("NO", False)])
def test_limits_are_quoted_where_they_are_law(country: str, quoted: bool) -> None:
    """Directive 2004/42/CE, annex II A, phase II, as Germany's ChemVOCFarbV prints it: 30, 100, 130 and 300 g/L."""
    (label,) = [one for one in cautions_for(House(country)) if one.kind in ("label", "voc-label")]
    numbers = re.findall(r"\d+(?=\s?g/L)", caution_words(label).text)
    assert [int(number) for number in numbers] == ([30, 100, 130, 300] if quoted else [])


def test_every_kind_of_the_table_has_words_and_the_other_way_round() -> None:
    kinds = set(re.findall(r"^([a-z-]+)  +\S", cautions.__doc__ or "", re.MULTILINE)) - {"kind"}
    assert kinds == set(KINDS)


def test_plain_data_carry_the_numbers_and_their_source() -> None:
    entry = caution_entry(lead_cautions(House("GB", 1931))[0])
    assert entry["values"] == {"built": 1931.0, "country": "GB", "before": 1992.0}
    assert "1992" in entry["source"]
    assert entry["title"] == "Old paint may hold lead"
