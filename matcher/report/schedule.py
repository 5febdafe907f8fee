"""The painter's schedule: what is bought and done for every surface, as plain data and in words."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from matcher.colorimetry.spaces import lab_to_hex
from matcher.paints.deck import Deck
from matcher.quantities.build import WASTE
from matcher.quantities.order import PREPARED_ROLES, Step
from matcher.quantities.quantity import Coats, Job, Purchase, Quantity, Range, Sheen, Tins
from matcher.quantities.sheen import words_for
from matcher.quantities.units import System
from matcher.report.amounts import area_text, paint_text, rate_text, tins_text
from matcher.report.numbers import filled, rounded
from matcher.report.sentences import (
    COATS,
    COATS_BEYOND,
    COATS_MANY,
    COATS_RANGE,
    LITRES_BASIS,
    NO_SIZE,
    NOT_PAINTED,
    ORDER_OF_WORK,
    PREPARATION,
    PRIMER_BASIS,
    SCHEDULE_NOTES,
    SHARED_TIN,
    SHEEN,
    SHEEN_BASIS,
    SHEEN_CALLED,
    SHEEN_UP_TO,
    SURFACES,
    TIN_FIRST,
    WHOLE_ROOM,
)
from matcher.report.trade_words import count_word, listed, lowered, sentence_case

Json = dict[str, Any]
# From here on a tinted primer is worth its coat (common practice, no source).
_SLOW_COATS = 4
_COLUMNS = (
    "surface", "code", "name", "sheen", "coats", "area", "quantity", "tins", "order of work", "preparation", "notes",
)  # fmt: skip


def quantity_entry(quantity: Quantity, deck: Deck) -> Json:
    """Return one entry of ``quantities``: litres to the millilitre, what is needed rounded up."""
    job = quantity.job
    return {
        "role": job.role,
        "code": deck.codes[job.paint],
        "area_m2": rounded(quantity.area.m2, 2),
        "coats": job.coats.likely,
        "litres": _litres(quantity.litres),
        "tins": _tins(quantity.tins),
        "coats_range": [job.coats.low, job.coats.high],
        "ground": job.coats.ground,
        "contrast_ratio": rounded(job.coats.ratio, 3),
        "m2_per_litre": [rounded(job.spreading.low, 2), rounded(job.spreading.high, 2)],
        "spreading_from": job.spreading.source,
        "primer_litres": _litres(quantity.primer),
        "openings_m2": rounded(quantity.area.openings, 2),
        "area_from": quantity.area.how,
        "sheen": _sheen(job.sheen),
    }


def purchase_entry(purchase: Purchase, deck: Deck) -> Json:
    """Return the tins of one paint for every role that it is for."""
    return {
        "code": deck.codes[purchase.paint],
        "roles": list(purchase.roles),
        "litres": _litres(purchase.litres),
        "tins": _tins(purchase.tins),
    }


def _litres(litres: Range) -> list[float]:
    return [math.floor(litres[0] * 1000) / 1000, math.ceil(litres[1] * 1000 - 1e-6) / 1000]


def _tins(tins: Sequence[Tins]) -> list[Json]:
    return [{"litres": rounded(tin.litres, 3), "count": tin.count} for tin in tins]


def _sheen(sheen: Sheen) -> Json:
    return {"gloss_60": list(sheen.wanted), "paint_gloss_60": sheen.paint, "fits": sheen.fits}


def schedule_rows(
    jobs: Sequence[Job],
    quantities: Mapping[str, Quantity],
    bought: Sequence[Purchase],
    deck: Deck,
    system: System,
) -> list[Json]:
    """Return a row a surface: numbers, and each of them as it is printed; ``quantities`` by role, where known."""
    rows = []
    for job in jobs:
        quantity, purchase = quantities.get(job.role), next((one for one in bought if job.role in one.roles), None)
        first = purchase is None or purchase.roles[0] == job.role
        rows.append(
            {
                "role": job.role,
                "surface": SURFACES[job.role],
                "area_m2": None if quantity is None else rounded(quantity.area.m2, 2),
                "area": NO_SIZE if quantity is None else area_text(quantity.area.m2, system),
                "code": deck.codes[job.paint],
                "name": deck.names[job.paint],
                "hex": lab_to_hex(deck.lab[job.paint]),
                "sheen": _sheen(job.sheen),
                "sheen_text": sheen_text(job.sheen),
                "coats": job.coats.likely,
                "coats_range": [job.coats.low, job.coats.high],
                "coats_text": _coats_text(job.coats),
                "litres": None if quantity is None else _litres(quantity.litres),
                "litres_text": "" if quantity is None else paint_text(quantity.litres, system),
                "tins": _tins(purchase.tins) if purchase is not None and first else [],
                "tins_text": _tins_text(purchase, system, first=first),
                "notes": list(_notes(job, quantity, jobs)),
            }
        )
    return rows


def _tins_text(purchase: Purchase | None, system: System, *, first: bool) -> str:
    if purchase is None:
        return ""
    if first:
        return tins_text(purchase.tins, system)
    return SHARED_TIN.format(surface=lowered(SURFACES[purchase.roles[0]]))


def sheen_text(sheen: Sheen) -> str:
    """Return the gloss units a role wants, and what a shop may call them.

    >>> sheen_text(Sheen((20.0, 60.0), None))
    '20 to 60 gloss units at 60° (eggshell, satin or semi-gloss)'
    """
    low, high = sheen.wanted
    units = filled(SHEEN if low else SHEEN_UP_TO, {"low": low, "high": high})
    return SHEEN_CALLED.format(units=units, words=listed(words_for(sheen.wanted), "or"))


def _coats_text(coats: Coats) -> str:
    if coats.low == coats.high:
        return str(coats.likely)
    template = COATS_BEYOND if coats.beyond else COATS_RANGE
    return template.format(likely=coats.likely, low=coats.low, high=coats.high)


def _notes(job: Job, quantity: Quantity | None, jobs: Sequence[Job]) -> Iterator[str]:
    kinds = {
        "sheen-differs": not job.sheen.fits,
        "sheen-unknown": job.sheen.paint is None,
        "tinted-primer": job.coats.likely >= _SLOW_COATS or job.coats.beyond,
        "ground-assumed": job.coats.ground == "assumed" and job.coats.low != job.coats.high,
        "accent-in-walls": job.role == "accent" and quantity is not None and any(one.role == "walls" for one in jobs),
    }
    for kind, applies in kinds.items():
        if applies:
            yield sentence_case(filled(SCHEDULE_NOTES[kind], {"paint": job.sheen.paint or 0.0}))


def order_entries(steps: Sequence[Step]) -> list[Json]:
    """Return the order of work, first to last."""
    return [
        {
            "kind": step.kind,
            **({"role": step.role, "coats": step.coats} if step.role else {}),
            "text": ORDER_OF_WORK[step.kind].format(surface=SURFACES.get(step.role, ""), coats=_coats_word(step.coats)),
        }
        for step in steps
    ]


def _coats_word(coats: int | None) -> str:
    return COATS.get(coats) or COATS_MANY.format(count=count_word(coats or 0))


def preparation_entries(kinds: Sequence[str]) -> list[Json]:
    """Return what is prepared: ``where`` and what to do there."""
    return [{"kind": kind, "where": PREPARATION[kind][0], "text": PREPARATION[kind][1]} for kind in kinds]


def csv_rows(painters: Mapping[str, Any]) -> list[dict[str, str]]:
    """Return a schedule (see :func:`matcher.service.quantities.schedule_of`) as rows of text, the whole room last."""
    order, prepared = painters["order"], painters["preparation"]
    steps = {step["role"]: f"{number}. {step['text']}" for number, step in enumerate(order, start=1) if "role" in step}
    rows = [
        {
            "surface": row["surface"],
            "code": row["code"],
            "name": row["name"],
            "sheen": row["sheen_text"],
            "coats": row["coats_text"],
            "area": row["area"],
            "quantity": row["litres_text"],
            "tins": row["tins_text"],
            "order of work": steps[row["role"]],
            "preparation": _prepared(one for one in prepared if row["role"] in PREPARED_ROLES.get(one["kind"], ())),
            "notes": _joined(f"{note}." for note in row["notes"]),
        }
        for row in painters["rows"]
    ]
    whole = {
        "surface": WHOLE_ROOM,
        "order of work": _joined(f"{number}. {step['text']}" for number, step in enumerate(order, start=1)),
        "preparation": _prepared(one for one in prepared if one["kind"] not in PREPARED_ROLES),
        "notes": _joined(painters["footnotes"]),
    }
    return [*rows, {column: whole.get(column, "") for column in _COLUMNS}]


def _prepared(entries: Iterable[Json]) -> str:
    return _joined(f"{one['where']}: {one['text']}" for one in entries)


def _joined(texts: Iterable[str]) -> str:
    return " ".join(texts)


def footnotes(quantities: Sequence[Quantity], stays: Sequence[str], system: System) -> list[str]:
    """Return what the figures rest on, how much primer, how to order a sheen, and what is not painted."""
    amounts = "Litres" if system == "metric" else "Gallons and quarts"
    notes = []
    for source, template in LITRES_BASIS.items():
        used = [one.job.spreading for one in quantities if one.job.spreading.source == source]
        if used:
            rates = rate_text((min(one.low for one in used), max(one.high for one in used)), system)
            notes.append(filled(template, {"amounts": amounts, "rates": rates, "waste": WASTE}))
    if quantities:
        primer = (sum(one.primer[0] for one in quantities), sum(one.primer[1] for one in quantities))
        notes += [TIN_FIRST, PRIMER_BASIS.format(amount=paint_text(primer, system))]
    notes.append(SHEEN_BASIS)
    return [*notes, *([NOT_PAINTED.format(names=listed(stays))] if stays else [])]
