"""The countries a house may stand in: the alpha-2 codes of ISO 3166-1 with their usual English names."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from importlib.resources import files

# What people write instead of the code; the names of the list are understood too.
_SLIPS = {"UK": "GB", "UNITED KINGDOM": "GB", "ENGLAND": "GB", "SCOTLAND": "GB", "WALES": "GB", "USA": "US"}


@cache
def countries() -> Mapping[str, str]:
    """Return the English name of every code."""
    text = (files("matcher.room") / "data" / "countries.tsv").read_text(encoding="utf-8")
    rows = [line.partition("\t") for line in text.splitlines() if not line.startswith("#")]
    return {code: name for code, _, name in rows}


def country_meant(text: str) -> str | None:
    """Return the code that a text which is none probably stands for.

    >>> country_meant("uk"), country_meant("Ireland"), country_meant("Atlantis")
    ('GB', 'IE', None)
    """
    asked = text.strip().upper()
    by_name = {name.upper(): code for code, name in countries().items()}
    found = _SLIPS.get(asked) or by_name.get(asked)
    return found or (asked if asked in countries() else None)
