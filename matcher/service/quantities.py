"""What a scheme takes to paint: quantities, the painter's schedule as plain data, and the schedule as CSV."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.service.room_file import Progress, rank, silent

if TYPE_CHECKING:
    from matcher.paints.deck import Deck
    from matcher.room.contents import RoomFile
    from matcher.surfaces.surface import Surface

Json = dict[str, Any]
SCHEDULE_FILE = "schedule.csv"


def schedule(room_path: Path, *, deck_path: Path | None = None, progress: Progress = silent) -> Json:
    """Return the painter's schedule of the scheme chosen for a room file.

    Raises a leaf of :class:`matcher.errors.GivensError` for anything the user can put right.
    """
    ranked = rank(room_path, deck_path=deck_path, top=1, progress=progress)
    codes = {role: paint["code"] for role, paint in ranked.result["scheme"]["roles"].items()}
    return schedule_of(ranked.room, codes, ranked.deck, ranked.measurement.surfaces)


def schedule_of(room: RoomFile, codes: Mapping[str, str], deck: Deck, surfaces: Sequence[Surface]) -> Json:
    """Return the schedule of the paints ``codes`` by role in a measured room.

    ``quantities`` has an entry for each role whose size the room file tells; ``rows`` one for every role;
    ``purchases`` the tins of each paint for all its roles; ``order``, ``preparation``, ``footnotes`` and ``stays``, the
    surfaces to be masked. Raises :class:`matcher.errors.RoomFileError` for sizes that contradict each other and
    :class:`matcher.errors.RequestError` for a code that the deck does not have.
    """
    from matcher.description.asked import find_paints
    from matcher.quantities.build import jobs_of, purchases, quantities_of
    from matcher.quantities.cautions import House, lead_cautions
    from matcher.quantities.order import order_of_work, preparation
    from matcher.quantities.units import system_of
    from matcher.ranking.question import staying
    from matcher.report.schedule import (
        footnotes,
        order_entries,
        preparation_entries,
        purchase_entry,
        quantity_entry,
        schedule_rows,
    )

    paints = dict(zip(codes, find_paints(deck, list(codes.values())), strict=True))
    house = House(room.room.country, room.room.built)
    system = system_of(house.country, room.sizes.units if room.sizes else None)
    grounds = {surface.name.casefold(): surface.lab for surface in surfaces}
    jobs = jobs_of(paints, deck, grounds=grounds, room_kind=room.room.kind)
    known = quantities_of(room.sizes, jobs, deck, system) if room.sizes else ()
    bought = purchases(known, deck, system)
    stays = [surface.name for surface in staying(surfaces, paints, lambda surface: surface.name)] if surfaces else []
    steps = order_of_work({job.role: job.coats.likely for job in jobs}, lead_possible=bool(lead_cautions(house)))
    return {
        "room": room.room.name,
        "system": system,
        "quantities": [quantity_entry(one, deck) for one in known],
        "rows": schedule_rows(jobs, {one.job.role: one for one in known}, bought, deck, system),
        "purchases": [purchase_entry(one, deck) for one in bought],
        "order": order_entries(steps),
        "preparation": preparation_entries(preparation(paints, room.room.kind)),
        "footnotes": footnotes(known, stays, system),
        "stays": stays,
    }


def cautions(room: RoomFile) -> list[Json]:
    """Return what has to be minded before painting, by country and year: kind, words, values, source."""
    from matcher.quantities.cautions import House, cautions_for
    from matcher.report.cautions import caution_entry

    return [caution_entry(caution) for caution in cautions_for(House(room.room.country, room.room.built))]


def low_vision(result: Json) -> list[Json]:
    """Return the pairs of a room's parts by every rule of contrast for people with low vision, as plain data.

    ``result`` is that of a room file; none of it is a verdict.
    """
    from matcher.report.low_vision import contrast_entries, contrasts_of

    return contrast_entries(contrasts_of(result))


def schedule_csv(painters: Mapping[str, Any]) -> str:
    """Return a schedule as CSV (RFC 4180): a row a surface, and a last one for what holds of the whole room."""
    import csv
    import io

    from matcher.report.csv_text import plain_cell
    from matcher.report.schedule import csv_rows

    out = io.StringIO()
    rows = csv_rows(painters)
    writer = csv.DictWriter(out, fieldnames=list(rows[0]))
    writer.writeheader()
    writer.writerows({column: plain_cell(text) for column, text in row.items()} for row in rows)
    return out.getvalue()
