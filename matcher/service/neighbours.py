"""What stands round a paint, ready to show: its neighbours with words, what a room does to it, its partners, the map.

Each claim stands beside the numbers that carry it. Nothing here changes a ranking.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.service.decks import find_among, label, load_decks

if TYPE_CHECKING:
    from matcher.colorimetry.spaces import Floats
    from matcher.description.push import Beside
    from matcher.paints.deck import Deck
    from matcher.report.plots import Drawing
    from matcher.report.sheet import Sheet
    from matcher.service.desk import Desk
    from matcher.service.records import StoredRoom
    from matcher.surfaces.surface import Surface

Json = dict[str, Any]

# Colours of a surface with at least this share are what a partner may not fight (assumption: a vein counts, a fleck
# does not).
_COUNTS_FROM = 0.1
_MAP_KINDS = (".svg", ".png")


@dataclass(frozen=True, slots=True, eq=False)
class Middle:
    """What the neighbours are sought of: a colour ``lab`` (3,), its LRV, what it is called; ``deck`` the number of the
    deck and ``row`` the row there, None for a colour that is no paint.
    """

    lab: Floats
    lrv: float
    code: str = ""
    name: str = ""
    deck: int = 0
    row: int | None = None

    def row_in(self, deck: int) -> int | None:
        """Its row in the deck of that number, None where it is not from there."""
        return self.row if deck == self.deck else None


def neighbours(
    *,
    code: str | None = None,
    lab: Sequence[float] | None = None,
    hex_text: str | None = None,
    same_lrv: bool = False,
    deck_path: Path | None = None,
    other_decks: Sequence[Path] = (),
    room_path: Path | None = None,
) -> Json:
    """Return what stands round a colour (:func:`around`), named as for :func:`matcher.service.paint.describe_paint`.

    ``room_path`` names a room whose surfaces do something to it. Raises a leaf of
    :class:`matcher.errors.GivensError` for anything the user can put right.
    """
    decks = load_decks(deck_path, other_decks)
    middle = _middle(decks, code, lab, hex_text)
    beside = () if room_path is None else room_beside(room_path, deck_path)
    return around(decks, middle, beside=beside, same_lrv=same_lrv)


def neighbours_in_room(desk: Desk, room: StoredRoom, code: str) -> Json:
    """Return what stands round a paint of the desk's deck, beside what stays in a stored room as far as it is measured.

    Raises :class:`matcher.errors.GivensError` for a broken draft or a code that the deck does not have.
    """
    from matcher.room.contents import Wishes
    from matcher.service.deck_in_use import deck_with
    from matcher.service.live import told_of

    decks = (deck_with(desk, [code]),)
    document = room.document
    roles = document.get("wishes", {}).get("roles") or Wishes().roles
    surfaces = told_of(desk, room).survey.measurement.surfaces
    beside = staying_beside(surfaces, {*roles, *document.get("pins", {})})
    return around(decks, _middle(decks, code, None, None), beside=beside)


def around(decks: Sequence[Deck], middle: Middle, *, beside: Sequence[Beside] = (), same_lrv: bool = False) -> Json:
    """Return what stands round ``middle`` in words and numbers.

    ``kinds``: its neighbours in the first deck by the kinds of the contract, best first, each ``code``, ``name``,
    ``lab``, ``lrv``, ``hex``, the step to it in numbers and as it ``says``; ``same_name`` likewise; ``other_decks``:
    both by the name of each other deck; ``map``: the neighbour at each place, or None; ``pushes``: what each surface
    ``beside`` does to its look, strongest first, and ``caution`` what to think of that; ``partners``, or why there is
    ``no_partner``; ``area``: what the size of a wall does.
    """
    from matcher.description.neighbour_map import neighbour_places
    from matcher.description.push import pushes
    from matcher.report.neighbour_entry import push_entry
    from matcher.report.sentences import AREA_EFFECT, AREA_SOURCE, NO_PUSH, PUSH_CAUTION

    first, *others = decks
    places = neighbour_places(first, middle.lab, middle.lrv, paint=middle.row_in(0))
    pushed = [push_entry(push) for push in pushes(middle.lab, beside)]
    claimed = any(push["claim"] for push in pushed)
    return {
        "paint": {"code": middle.code, "name": middle.name, **_look(middle.lab, middle.lrv)},
        **_in_deck(first, middle, 0, same_lrv),
        "other_decks": {
            deck.name: _in_deck(deck, middle, number, same_lrv) for number, deck in enumerate(others, start=1)
        },
        "map": {at: _entries(first, middle, [row])[0] if row is not None else None for at, row in places.items()},
        **_partners(first, middle, beside),
        "pushes": pushed,
        "no_push": NO_PUSH if beside and not claimed else "",
        "caution": PUSH_CAUTION if claimed else "",
        "area": {"says": AREA_EFFECT, "source": AREA_SOURCE},
    }


def near_json(found: Mapping[str, Any]) -> Json:
    """Return the result of :func:`around` as ``givens paint near --json`` prints it: the kinds of the contract with the
    codes of the first deck, then what is beyond it, with the numbers.
    """
    return {
        **_codes(found["kinds"]),
        "same_name": [paint["code"] for paint in found["same_name"]],
        "steps": _steps(found),
        "map": {place: paint and paint["code"] for place, paint in found["map"].items()},
        "partners": found["partners"],
        "no_partner": found["no_partner"],
        **({"pushes": found["pushes"]} if found["pushes"] else {}),
        **(
            {
                "other_decks": {
                    deck: {
                        **_codes(inside["kinds"]),
                        "same_name": [paint["code"] for paint in inside["same_name"]],
                        "steps": _steps(inside),
                    }
                    for deck, inside in found["other_decks"].items()
                }
            }
            if found["other_decks"]
            else {}
        ),
    }


def map_of(found: Mapping[str, Any]) -> Sheet:
    """Return the small map round a paint, of the result of :func:`around`."""
    from matcher.report.neighbour_map import MapSwatch, map_sheet

    it = found["paint"]
    places = {at: MapSwatch(paint["name"], paint["hex"]) if paint else None for at, paint in found["map"].items()}
    return map_sheet(MapSwatch(it["name"] or it["hex"], it["hex"]), places)


def map_drawing(found: Mapping[str, Any]) -> Drawing:
    """Return the small map as a drawing, to stand in a page."""
    from matcher.report.plots import Drawing
    from matcher.report.sheet_svg import svg_of

    sheet = map_of(found)
    return Drawing(svg_of(sheet), sheet.alt)


def nearest_around(found: Mapping[str, Any]) -> list[Json]:
    """Return the nearest of all in the result of :func:`around`, then the neighbours on the map, each once."""
    listed = [*found["kinds"]["nearest"][:1], *(paint for paint in found["map"].values() if paint)]
    return list({paint["code"]: paint for paint in listed}.values())


def check_map_file(path: Path) -> None:
    """Raise :class:`matcher.errors.RequestError` where a map cannot be written to a file of that name."""
    from matcher.errors import Problem, RequestError

    if path.suffix.lower() not in _MAP_KINDS:
        raise RequestError(Problem(str(path), "a map is written as SVG or PNG", "End its name in .svg or .png"))


def write_map(found: Mapping[str, Any], path: Path) -> Path:
    """Write the map as an SVG or a PNG file, by the suffix of ``path``, whole or not at all."""
    from matcher.report.output import write_folder
    from matcher.report.sheet_png import png_of
    from matcher.report.sheet_svg import svg_of

    check_map_file(path)
    sheet = map_of(found)
    data = png_of(sheet) if path.suffix.lower() == ".png" else svg_of(sheet)
    return write_folder(path.parent, {path.name: data})[0]


def room_beside(room_path: Path, deck_path: Path | None = None) -> tuple[Beside, ...]:
    """Measure a room and return what stays in it; the deck is asked for the colours of paint chips only."""
    from functools import partial

    from matcher.room.archive import unpacked
    from matcher.room.reading import read_room
    from matcher.service.chips import read_chip_colours
    from matcher.service.decoder import get_ready
    from matcher.surfaces.measure import measure_room

    get_ready()
    with unpacked(room_path) as path:
        room = read_room(path)
        measurement = measure_room(room, progress=lambda step: None, paints=partial(read_chip_colours, room, deck_path))
    return staying_beside(measurement.surfaces, {*room.wishes.roles, *room.pins})


def staying_beside(surfaces: Sequence[Surface], roles: set[str]) -> tuple[Beside, ...]:
    """Return those surfaces that stay; what is to be painted over does nothing to the paint."""
    import numpy as np

    from matcher.description.push import Beside
    from matcher.ranking.called import CALLED_FROM, undertone_certainty
    from matcher.ranking.question import staying

    if not surfaces:
        return ()
    kept = staying(surfaces, roles, lambda surface: surface.name)
    certain = undertone_certainty([one.lab for one in kept], [one.covariance for one in kept])
    return tuple(
        Beside(
            name=surface.name,
            lab=surface.lab,
            known=bool(sure >= CALLED_FROM),
            colours=np.array([colour.lab for colour in surface.colours if colour.share >= _COUNTS_FROM]).reshape(-1, 3),
        )
        for surface, sure in zip(kept, certain.tolist(), strict=True)
    )


def _middle(decks: Sequence[Deck], code: str | None, lab: Sequence[float] | None, hex_text: str | None) -> Middle:
    import numpy as np

    from matcher.colorimetry.lrv import lrv
    from matcher.description.asked import checked_lab, hex_colour

    if code is None:
        colour = np.asarray(checked_lab(lab) if lab is not None else hex_colour(hex_text or ""))
        return Middle(colour, float(lrv(colour)))
    place, row = find_among(decks, code)
    deck = decks[place]
    return Middle(
        np.asarray(deck.lab[row], dtype=float),
        float(deck.lrv[row]),
        code=label(decks, place, row),
        name=deck.names[row],
        deck=place,
        row=row,
    )


def _in_deck(deck: Deck, middle: Middle, number: int, same_lrv: bool) -> Json:
    """Return the neighbours by kind, and the paints of the same name, in one deck."""
    from dataclasses import asdict

    from matcher.description.lookalikes import around as rows_around
    from matcher.description.same_name import same_name

    own = middle.row_in(number)
    rows = asdict(rows_around(deck, middle.lab, middle.lrv, paint=own, same_lrv=same_lrv))
    return {
        "kinds": {kind: _entries(deck, middle, found) for kind, found in rows.items()},
        "same_name": _entries(deck, middle, same_name(deck, middle.name, paint=own)),
    }


def _partners(deck: Deck, middle: Middle, beside: Sequence[Beside]) -> Json:
    import numpy as np

    from matcher.description.partners import partners
    from matcher.harmony.undertone import undertone
    from matcher.report.neighbour_entry import partner_entry
    from matcher.report.neighbour_words import partner_numbers, partner_phrase
    from matcher.report.sentences import NO_PARTNER

    stays = np.concatenate([np.empty((0, 3)), *(surface.colours for surface in beside)])
    found = partners(deck, middle.lab, paint=middle.row_in(0), stays=stays)
    own = undertone(middle.lab)
    entries = [
        {
            **_named(deck, one.paint),
            **partner_entry(one),
            "says": partner_phrase(one, own, undertone(deck.lab[one.paint])),
            "numbers": partner_numbers(one),
        }
        for one in found.found
    ]
    return {"partners": entries, "no_partner": NO_PARTNER[found.without] if found.without else ""}


def _entries(deck: Deck, middle: Middle, rows: Sequence[int]) -> list[Json]:
    """Return paints of a deck as neighbours: who they are, and the step to each."""
    from matcher.description.step import steps
    from matcher.report.neighbour_entry import step_entry

    chosen = list(rows)
    found = steps(middle.lab, middle.lrv, deck.lab[chosen], deck.lrv[chosen])
    return [{**_named(deck, row), **step_entry(step)} for row, step in zip(chosen, found, strict=True)]


def _named(deck: Deck, row: int) -> Json:
    return {"code": deck.codes[row], "name": deck.names[row], **_look(deck.lab[row], float(deck.lrv[row]))}


def _look(lab: Floats, lrv: float) -> Json:
    from matcher.colorimetry.spaces import lab_to_hex
    from matcher.report.numbers import rounded, rounded_lab

    return {"lab": rounded_lab(lab), "lrv": rounded(lrv, 1), "hex": lab_to_hex(lab)}


def _codes(kinds: Mapping[str, Sequence[Mapping[str, Any]]]) -> dict[str, list[str]]:
    return {kind: [paint["code"] for paint in paints] for kind, paints in kinds.items()}


def _steps(found: Mapping[str, Any]) -> Json:
    """Return the step to every neighbour of a deck once, by code."""
    listed = [paint for paints in (*found["kinds"].values(), found["same_name"]) for paint in paints]
    listed += [paint for paint in found.get("map", {}).values() if paint]
    left_out = ("code", "name", "lab", "lrv", "hex")
    return {paint["code"]: {key: value for key, value in paint.items() if key not in left_out} for paint in listed}
