"""What a brief says in a line: the house, the sizes, the wishes that are kept; for a fold that is closed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator

Json = dict[str, Any]

# More phrases than that are counted (assumption: a line of a narrow column).
_MOST_SAID = 2
_NO_LEAST, _NO_MOST = 0.0, 100.0


def house_line(document: Json) -> str:
    """Return the country, the year of the house and the day that its light is shown for; "" where nothing is said.

    >>> house_line({"room": {"name": "x", "country": "GB", "built": 1931}})
    'Britain (UK), built 1931'
    """
    from matcher.report.sentences import BRIEF_BUILT, BRIEF_DAY
    from matcher.room.country import countries

    said = document.get("room", {})
    parts = (
        countries().get(said.get("country"), ""),
        BRIEF_BUILT.format(year=said["built"]) if "built" in said else "",
        BRIEF_DAY.format(day=said["date"]) if "date" in said else "",
    )
    return ", ".join(filter(None, parts))


def sizes_line(document: Json) -> str:
    """Return the measures of the room, and what beside has a size of its own.

    >>> sizes_line({"sizes": {"units": "feet", "length": 14, "trim": 60, "cabinets": 80}})
    '14 ft, trim and cabinets'
    """
    from matcher.report.sentences import BRIEF_BY
    from matcher.report.trade_words import listed

    sizes = document.get("sizes", {})
    unit = "ft" if sizes.get("units") == "feet" else "m"
    box = BRIEF_BY.join(f"{sizes[key]:g}" for key in ("length", "width", "height") if key in sizes)
    roles = [role for role in ("walls", "trim", "ceiling", "cabinets", "island", "accent", "door") if role in sizes]
    return ", ".join(filter(None, (f"{box} {unit}" if box else "", listed(roles) if roles else "")))


def wishes_line(document: Json) -> str:
    """Return the first of the wishes that are kept, and how many more there are; "" where there are none.

    >>> wishes_line({"wishes": {"most_paints": 2, "avoid_families": ["red"], "lrv_of": {"trim": [80, 100]}}})
    'no pink paint; the trim at an LRV from 80 to 100; 1 more'
    """
    from matcher.report.sentences import BRIEF_MORE

    phrases = list(_phrases(document.get("wishes", {})))
    left = len(phrases) - _MOST_SAID
    return "; ".join([*phrases[:_MOST_SAID], *([BRIEF_MORE.format(count=left)] if left > 0 else [])])


def _phrases(wishes: Json) -> Iterator[str]:
    from matcher.report.sentences import BRIEF_AVOID
    from matcher.report.wording import wish_phrase
    from matcher.scheme.scheme import AskedFor

    roles = tuple(wishes.get("roles") or ("walls", "trim"))
    if wishes.get("avoid"):
        yield BRIEF_AVOID.format(count=len(wishes["avoid"]))
    for family in wishes.get("avoid_families", ()):
        yield wish_phrase(AskedFor("avoid-family", roles, (("family", family),)))
    for role, (low, high) in wishes.get("lrv_of", {}).items():
        yield wish_phrase(AskedFor("lrv", (role,), (("low", low), ("high", high))))
    for pair in wishes.get("contrast", ()):
        limits = ("least", pair.get("at_least", _NO_LEAST)), ("most", pair.get("at_most", _NO_MOST))
        yield wish_phrase(AskedFor("contrast", tuple(pair["between"]), limits))
    if "most_paints" in wishes:
        yield wish_phrase(AskedFor("most-paints", roles, (("most", float(wishes["most_paints"])),)))
    if wishes.get("one_trim"):
        yield wish_phrase(AskedFor("one-trim", roles, ()))
