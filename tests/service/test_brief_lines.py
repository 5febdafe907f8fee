"""What a closed fold of the brief says."""

from __future__ import annotations

from matcher.service.brief_lines import house_line, sizes_line, wishes_line


def test_nothing_said_is_an_empty_line() -> None:
    for document in ({}, {"room": {"name": "x"}, "wishes": {"roles": ["walls"]}, "sizes": {"units": "feet"}}):
        assert house_line(document) == sizes_line(document) == wishes_line(document) == ""


def test_what_is_said_stands_in_one_line() -> None:
    assert house_line({"room": {"country": "US", "date": "2026-03-21"}}) == "United States, light of 2026-03-21"
    sizes = {"units": "metres", "length": 4.4, "width": 3.0, "height": 2.55, "walls": 30.0, "trim": 24.0}
    assert sizes_line({"sizes": sizes}) == "4.4 \u00d7 3 \u00d7 2.55 m, walls and trim"
    pair = {"between": ["walls", "trim"], "at_most": 3.0}
    wishes = {"avoid": ["demo-1", "demo-2"], "contrast": [pair], "most_paints": 1, "one_trim": True}
    assert wishes_line({"wishes": wishes}) == (
        "paints not to use: 2; walls and trim at most 3 points of LRV apart; 2 more"
    )
