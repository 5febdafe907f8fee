"""What has to be minded before painting, by the country and the year of the house: kinds, values and sources.

=================  ===========================================================================================
kind               values
=================  ===========================================================================================
lead               country, before (year), built; in the US minor_inside_ft2, minor_outside_ft2; none of a house
                   of which nothing is known but built
lead-authority     country, built; in France report_before (year): what the paint may hold, its own authority says
samples            none
screen             none
air                none
voc-label          limits in grams a litre, ready to use: matt_walls, glossy_walls, trim_water, trim_solvent
label              none; where no limit is quoted
ladders            none
electrics          none
low-vision         none
=================  ===========================================================================================

Lead comes first and stays on where the year is not known. It goes only for a house built when, by the country's own
authority, its paint holds none to speak of; elsewhere nobody here can say, and it stays.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

Value = float | str
Values = tuple[tuple[str, Value], ...]


class House(NamedTuple):
    """Where a house stands, by ISO 3166-1, and when it was built; None where nobody said."""

    country: str | None = None
    built: int | None = None


@dataclass(frozen=True, slots=True)
class Caution:
    """``kind`` picks the words, ``values`` are the numbers in them, ``source`` where they were read."""

    kind: str
    values: Values = ()
    source: str = ""


@dataclass(frozen=True, slots=True)
class LeadRule:
    """Homes built before this year count as painted with lead, by the country's own authority."""

    before: int
    source: str


LEAD_RULES = {
    "US": LeadRule(1978, "40 CFR 745, subpart E (Environmental Protection Agency)"),
    # The year of the ban; by Defra lead was common in paint for woodwork and metal until the mid-1960s.
    "GB": LeadRule(
        1992, "Environmental Protection (Controls on Injurious Substances) Regulations 1992; Defra's advice"
    ),
    # "Little concern in homes built and painted in 1991 or later."
    "CA": LeadRule(1991, "Health Canada, It's Your Health: lead-based paint"),
    # A tenth of a per cent at most since 1997; most at risk are homes built before 1970.
    "AU": LeadRule(1998, "Lead Alert, Commonwealth of Australia 2014; SA Health"),
    # "Built in the 1980s or earlier."
    "NZ": LeadRule(1990, "WorkSafe New Zealand, Managing lead-based paint"),
}
# France has lead reported when a home of before 1949 is sold or let, which does not clear a later one.
_REPORT_BEFORE = {"FR": (1949, "Code de la santé publique, constat de risque d'exposition au plomb")}

# 40 CFR 745.82 and 745.83: what a firm may disturb uncertified, square feet in a room and outdoors.
_US_MINOR_FT2 = (6.0, 20.0)

# Directive 2004/42/CE, annex II A, limits since 2010; read as Germany enacted it (ChemVOCFarbV, annex II).
_VOC_LIMITS: Values = (("matt_walls", 30.0), ("glossy_walls", 100.0), ("trim_water", 130.0), ("trim_solvent", 300.0))
_EU_SOURCE = "Directive 2004/42/CE, annex II A"
_GB_SOURCE = "SI 2005/2773, which enacts Directive 2004/42/CE"
# The 27 members.
# fmt: off
_EU = frozenset((
    "AT", "BE", "BG", "CY", "CZ", "DE", "DK", "EE", "ES", "FI", "FR", "GR", "HR", "HU", "IE", "IT", "LT", "LU", "LV",
    "MT", "NL", "PL", "PT", "RO", "SE", "SI", "SK",
))
# fmt: on


def cautions_for(house: House) -> tuple[Caution, ...]:
    """Return the cautions for a house, lead first."""
    return (
        *lead_cautions(house),
        Caution("samples"),
        Caution("screen"),
        Caution("air"),
        _label(house.country),
        Caution("ladders"),
        Caution("electrics"),
        Caution("low-vision"),
    )


def lead_cautions(house: House) -> tuple[Caution, ...]:
    """Return the caution on old lead paint, or none for a house that is new enough by its country's authority."""
    country, built = house
    said: Values = () if built is None else (("built", float(built)),)
    if country is None:
        return (Caution("lead", said, f"{LEAD_RULES['US'].source}; {LEAD_RULES['GB'].source}"),)
    rule = LEAD_RULES.get(country)
    if rule is None:
        report = _REPORT_BEFORE.get(country)
        values = (*said, ("country", country), *((("report_before", float(report[0])),) if report else ()))
        return (Caution("lead-authority", values, report[1] if report else ""),)
    if built is not None and built >= rule.before:
        return ()
    values = (*said, ("country", country), ("before", float(rule.before)))
    if country == "US":
        values = (*values, ("minor_inside_ft2", _US_MINOR_FT2[0]), ("minor_outside_ft2", _US_MINOR_FT2[1]))
    return (Caution("lead", values, rule.source),)


def _label(country: str | None) -> Caution:
    if country == "GB":
        return Caution("voc-label", _VOC_LIMITS, _GB_SOURCE)
    return Caution("voc-label", _VOC_LIMITS, _EU_SOURCE) if country in _EU else Caution("label")
