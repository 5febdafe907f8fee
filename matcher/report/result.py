"""result.json: the whole answer as one dictionary (format ``givens-result/1``)."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from itertools import islice
from typing import TYPE_CHECKING, Any

import numpy as np

from matcher.colorimetry.lrv import lrv
from matcher.colorimetry.spaces import lab_to_hex, labs_to_hex
from matcher.description.colour import ColourDescription, describe_colours
from matcher.description.lean_word import lean_words
from matcher.errors import Problem
from matcher.paints.deck import Deck
from matcher.photo.decoded import Finding
from matcher.ranking.called import undertone_certainty
from matcher.ranking.shortlist import Candidate, Clash, Reason, Shortlist
from matcher.report.colour_entry import undertone_entry
from matcher.report.doubt import de00_sd, lrv_sd, spread_hexes
from matcher.report.nearest_chip_entry import nearest_chip_entries
from matcher.report.numbers import rounded, rounded_lab
from matcher.report.trade_words import listed
from matcher.report.wording import (
    clash_sentence,
    companion_sentence,
    finding_sentence,
    leans_as,
    note_sentence,
    reason_sentence,
    trade_sentence,
    trim_sentence,
    wish_phrase,
)
from matcher.scheme.scheme import (
    Alternative,
    AskedFor,
    GivenUp,
    OtherRoom,
    RolePaint,
    Scheme,
    SchemeCheck,
    TrimStep,
)
from matcher.surfaces.surface import Surface, SurfaceColour

if TYPE_CHECKING:
    from matcher.surfaces.told import PhotoTold, RoomTold
    from matcher.surfaces.unread import Unread

FORMAT = "givens-result/1"
_ABOUT_ROLES = (
    "neighbour-fits",
    "neighbour-fights",
    "companion-lighter",
    "companion-darker",
    "companion-partner",
)  # facts about the paint of another role, not about a surface


def measurement_entry(room_name: str, measurement: RoomTold, warnings: Sequence[str]) -> dict[str, Any]:
    """Return the part of the result that needs no deck: what ``givens surface`` prints."""
    return {
        "format": FORMAT,
        "room": {"name": room_name},
        "photos": [photo_entry(photo) for photo in measurement.photos],
        "surfaces": surface_entries(measurement),
        **({"unread": [_unread_entry(each) for each in measurement.unread]} if measurement.unread else {}),
        "warnings": list(warnings),
    }


def _unread_entry(unread: Unread) -> dict[str, str]:
    problem = unread.problem
    return {"name": unread.name, "photo": unread.photo, "reason": str(Problem("", problem.what, problem.remedy))}


def result_entry(
    room_name: str,
    measurement: RoomTold,
    *,
    deck: Deck,
    shortlists: Mapping[str, Shortlist],
    scheme: Scheme,
    warnings: Sequence[str],
) -> dict[str, Any]:
    """Return the whole result; equal inputs give an equal dictionary, key order included."""
    measured = measurement_entry(room_name, measurement, warnings)
    notes = {role: [note_sentence(note) for note in found.notes] for role, found in shortlists.items() if found.notes}
    return {
        "format": measured["format"],
        "room": measured["room"],
        "deck": {"name": deck.name, "size": len(deck), "sha256": deck.sha256},
        "photos": measured["photos"],
        "surfaces": measured["surfaces"],
        **({"unread": measured["unread"]} if "unread" in measured else {}),
        "shortlists": {role: shortlist_entries(shortlist, deck) for role, shortlist in shortlists.items()},
        **({"notes": notes} if notes else {}),
        "scheme": scheme_entry(scheme, deck),
        "warnings": measured["warnings"],
    }


def check_entry(finding: Finding) -> dict[str, Any]:
    """Return one line of ``checks``; ``values``, where there are any, are the numbers behind its sentence."""
    values = _rounded_values(finding.values)
    return {
        "check": finding.check,
        "level": finding.level,
        "message": finding_sentence(finding),
        **({"values": values} if values else {}),
    }


def photo_entry(photo: PhotoTold) -> dict[str, Any]:
    """Return one entry of ``photos``; ``cast`` is null where no card could be read."""
    cast = photo.cast
    return {
        "file": photo.photo_entry.file,
        "size": list(photo.full_size),
        "cast": None
        if cast is None
        else {
            "gains": [rounded(gain, 4) for gain in cast.gains],
            "angle_deg": rounded(cast.angle_deg, 2),
            "residual_de00": rounded(cast.residual_de00, 2),
        },
        "checks": [check_entry(finding) for finding in photo.findings],
    }


def surface_entries(measurement: RoomTold) -> list[dict[str, Any]]:
    """Return the entries of ``surfaces``."""
    surfaces = measurement.surfaces
    if not surfaces:
        return []
    chips = nearest_chip_entries(measurement.photos)
    # All colours at once: describing one takes nearly as long as describing twenty.
    parts = [part for surface in surfaces for part in surface.colours]
    lab, covariance = np.array([part.lab for part in parts]), np.array([part.covariance for part in parts])
    doubts = de00_sd(lab, covariance).tolist(), undertone_certainty(lab, covariance).tolist()
    described = describe_colours(lab)
    words = lean_words([colour.undertone for colour in described], [len(surface.colours) for surface in surfaces])
    entries = map(_part_entry, parts, described, words, *doubts, spread_hexes(lab, covariance))
    return [
        _surface_entry(surface, list(islice(entries, len(surface.colours))), chips.get(surface.name, []))
        for surface in surfaces
    ]


def _surface_entry(surface: Surface, colours: list[dict[str, Any]], chips: list[dict[str, Any]]) -> dict[str, Any]:
    return {
        "name": surface.name,
        "material": surface.material,
        **({"source": surface.source} if "instrument" in surface.source else {}),
        "lrv": rounded(float(lrv(surface.lab)), 1),
        "lrv_sd": rounded(lrv_sd(surface.lab, surface.covariance), 2),
        "lab": rounded_lab(surface.lab),
        "own_card": surface.has_own_card,
        **({"nearest_chips": chips} if chips else {}),
        "colours": colours,
    }


def _part_entry(
    part: SurfaceColour, described: ColourDescription, word: str, doubt: float, certainty: float, spread: list[str]
) -> dict[str, Any]:
    return {
        "share": rounded(part.share, 3),
        "lab": rounded_lab(part.lab),
        "lrv": rounded(described.lrv, 1),
        "hex": described.hex,
        "de00_sd": rounded(doubt, 2),
        "part": part.part,
        "designation": described.designation,
        "undertone": undertone_entry(described.undertone),
        "warmth": rounded(described.warmth, 3),
        "undertone_certainty": rounded(certainty, 3),
        "leans": leans_as(described.undertone, word, certainty),
        "spread": spread,
    }


def shortlist_entries(shortlist: Shortlist, deck: Deck) -> list[dict[str, Any]]:
    """Return the entries of a shortlist; reasons come heaviest first, very close alternatives last."""
    hexes = labs_to_hex(deck.lab[[candidate.paint for candidate in shortlist.candidates]])
    return [
        _candidate_entry(candidate, text, deck) for candidate, text in zip(shortlist.candidates, hexes, strict=True)
    ]


def _candidate_entry(candidate: Candidate, hex_text: str, deck: Deck) -> dict[str, Any]:
    row = candidate.paint
    terms = candidate.terms
    reasons = list(candidate.reasons)
    if candidate.stands_for:
        codes = ", ".join(deck.codes[other] for other in candidate.stands_for)
        reasons.append(Reason("stands-for", True, (("codes", codes),), (), 0.0))
    return {
        "rank": candidate.rank,
        "code": deck.codes[row],
        "name": deck.names[row],
        "lab": rounded_lab(deck.lab[row]),
        "hex": hex_text,
        "lrv": rounded(deck.lrv[row], 1),
        "score": rounded(candidate.score, 4),
        "terms": {
            "harmony": rounded(terms.harmony, 4),
            "undertone": rounded(terms.undertone, 4),
            "contrast": rounded(terms.contrast, 4),
            "light": rounded(terms.light, 4),
            "wishes": rounded(terms.wishes, 4),
        },
        "clashes": [clash_entry(clash) for clash in candidate.clashes],
        "reasons": [reason_sentence(reason) for reason in reasons],
        "facts": [fact_entry(reason) for reason in reasons],
        "stability": rounded(candidate.stability, 3),
        "tied_with": [deck.codes[other] for other in candidate.tied_with],
        **({"added_for": "direction"} if candidate.for_direction else {}),
    }


def fact_entry(reason: Reason, *, role: bool = False) -> dict[str, Any]:
    """Return one entry of ``facts``: the numbers behind a sentence of ``reasons``; ``role`` where it is about one."""
    about = "role" if role or reason.kind in _ABOUT_ROLES else "surface"
    return {
        "kind": reason.kind,
        **({about: listed(reason.surfaces)} if reason.surfaces else {}),
        "favours": reason.favours,
        "values": _rounded_values(reason.values),
    }


def _rounded_values(values: Iterable[tuple[str, float | str]]) -> dict[str, float | str]:
    return {name: value if isinstance(value, str) else rounded(float(value), 3) for name, value in values}


def clash_entry(clash: Clash) -> dict[str, Any]:
    """Return one entry of ``clashes``."""
    return {
        "surface": clash.surface,
        "kind": clash.kind,
        "severity": rounded(clash.severity, 3),
        "message": clash_sentence(clash),
        "probability": rounded(clash.probability, 3),
    }


def scheme_entry(scheme: Scheme, deck: Deck) -> dict[str, Any]:
    """Return the ``scheme`` object; ``pinned`` holds the roles whose paint was chosen beforehand, if any were.

    Keys without content are left out: a scheme without trim has no ladder, a room that sees no other no ``rooms``.
    """
    pinned = [chosen.role for chosen in scheme.roles if chosen.pinned]
    return {
        "roles": {chosen.role: _role_entry(chosen, deck) for chosen in scheme.roles},
        "score": rounded(scheme.score, 4),
        "optimal": scheme.optimal,
        **({"pinned": pinned} if pinned else {}),
        "checks": [scheme_check_entry(check) for check in scheme.checks],
        "alternatives": [_alternative_entry(alternative, deck) for alternative in scheme.alternatives],
        **_companion_entries(scheme, deck),
        **({"trim_ladder": _trim_entries(scheme, deck)} if scheme.trim_ladder else {}),
        **({"wishes": _wishes_entry(scheme.given_up)} if scheme.given_up else {}),
        **({"rooms": [_room_entry(room, deck) for room in scheme.rooms]} if scheme.rooms else {}),
    }


def scheme_check_entry(check: SchemeCheck) -> dict[str, Any]:
    """Return one entry of a scheme's ``checks``."""
    return {
        "rule": check.rule,
        "roles": list(check.roles),
        "value": rounded(check.value, 2),
        "passes": check.passes,
    }


def _companion_entries(scheme: Scheme, deck: Deck) -> dict[str, Any]:
    """``companions`` by kind a code; ``companion_reasons`` and ``companion_facts`` by kind why."""
    if not scheme.companions:
        return {}
    return {
        "companions": {one.kind: deck.codes[one.paint] for one in scheme.companions},
        "companion_reasons": {one.kind: companion_sentence(one.fact) for one in scheme.companions},
        "companion_facts": {one.kind: fact_entry(one.fact) for one in scheme.companions},
    }


def _trim_entries(scheme: Scheme, deck: Deck) -> list[dict[str, Any]]:
    roles = {chosen.role for chosen in scheme.roles}
    return [_trim_entry(step, deck, roles) for step in scheme.trim_ladder]


def _trim_entry(step: TrimStep, deck: Deck, roles: Collection[str]) -> dict[str, Any]:
    return {
        "step": step.step,
        "code": deck.codes[step.paint],
        "with": {name: verdict for name, verdict, _ in step.beside},
        "reasons": [trim_sentence(fact) for _, _, fact in step.beside],
        "facts": [fact_entry(fact, role=name in roles) for name, _, fact in step.beside],
    }


def _wishes_entry(given: GivenUp) -> dict[str, Any]:
    return {
        "fight": [_wish_entry(wish) for wish in given.fight],
        "given_up": [_wish_entry(wish) for wish in given.dropped],
    }


def _wish_entry(wish: AskedFor) -> dict[str, Any]:
    return {
        "kind": wish.kind,
        "roles": list(wish.roles),
        **({"room": wish.room} if wish.room else {}),
        # Which paint was chosen for a role stands in [pins].
        "values": _rounded_values((name, value) for name, value in wish.values if name != "paint"),
        "message": wish_phrase(wish),
    }


def _room_entry(room: OtherRoom, deck: Deck) -> dict[str, Any]:
    return {
        "file": room.file,
        "name": room.name,
        "through": room.through,
        "roles": {role: _paint_entry(row, deck) for role, row in room.roles.items()},
        **({"pinned": list(room.pinned)} if room.pinned else {}),
        "checks": [scheme_check_entry(check) for check in room.checks],
    }


def _paint_entry(row: int, deck: Deck) -> dict[str, Any]:
    return {
        "code": deck.codes[row],
        "name": deck.names[row],
        "hex": lab_to_hex(deck.lab[row]),
        "lrv": rounded(deck.lrv[row], 1),
    }


def _role_entry(chosen: RolePaint, deck: Deck) -> dict[str, Any]:
    return {
        **_paint_entry(chosen.paint, deck),
        "reasons": [reason_sentence(reason) for reason in chosen.reasons],
        "facts": [fact_entry(reason) for reason in chosen.reasons],
        **({"clashes": [clash_entry(clash) for clash in chosen.clashes]} if chosen.clashes else {}),
    }


def _alternative_entry(alternative: Alternative, deck: Deck) -> dict[str, Any]:
    return {
        "kind": alternative.kind,
        "roles": {chosen.role: {"code": deck.codes[chosen.paint]} for chosen in alternative.roles},
        "score": rounded(alternative.score, 4),
        "trade": trade_sentence(alternative.trade),
    }
