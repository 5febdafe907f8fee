"""A choice made or taken back on the scheme, as a change of the draft: nothing else of it changes, and undoing one is
putting the old draft's parts back.
"""

from __future__ import annotations

import copy
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

Json = dict[str, Any]

# Where a companion of the walls goes, the first of them that is painted or else the first of all: a lighter one makes
# up for little light, so it takes the walls' place; a darker one an island or a door; a partner is seen in small areas.
# Common practice, no source.
_PLACES = {
    "lighter": ("walls",),
    "darker": ("island", "cabinets", "door"),
    "partner": ("accent", "door", "island", "cabinets"),
}
# What of a draft choices are kept in.
_TABLES = ("pins", "wishes")


def place_of(companion: str, roles: Sequence[str]) -> str:
    """Return the role that a ``companion`` (lighter, darker, partner) is taken for, of a room whose ``roles`` are
    painted; one that is not among them is painted then too.

    >>> place_of("darker", ["walls", "door"]), place_of("partner", ["walls"])
    ('door', 'accent')
    """
    places = _PLACES[companion]
    return next((place for place in places if place in roles), places[0])


def with_paint(document: Json, role: str, code: str) -> Json:
    """Return the draft with a paint chosen for a role, which is painted then, and no longer one to avoid."""
    changed = _copied(document)
    roles = changed["wishes"].setdefault("roles", ["walls", "trim"])
    if role not in roles:
        roles.append(role)
    changed["pins"][role] = code
    _not_in(changed["wishes"], "avoid", code)
    return changed


def with_paints(document: Json, codes: Mapping[str, str]) -> Json:
    """Return the draft with these paints chosen by role and no others, none of them one to avoid."""
    changed = {**_copied(document), "pins": dict(codes)}
    for code in codes.values():
        _not_in(changed["wishes"], "avoid", code)
    return changed


def without_choice(document: Json, role: str) -> Json:
    """Return the draft with nothing chosen for a role."""
    changed = _copied(document)
    changed["pins"].pop(role, None)
    return changed


def without_paint(document: Json, code: str) -> Json:
    """Return the draft with a paint that is not to be used, nor chosen for any role."""
    changed = _copied(document)
    changed["pins"] = {role: chosen for role, chosen in changed["pins"].items() if chosen != code}
    avoided = changed["wishes"].setdefault("avoid", [])
    if code not in avoided:
        avoided.append(code)
    return changed


def without_wish(document: Json, wish: Json) -> Json:
    """Return the draft without a wish, as the scheme's ``wishes`` tell it (:mod:`matcher.report.result`)."""
    kind, roles = wish["kind"], wish["roles"]
    changed = _copied(document)
    wishes: Json = changed["wishes"]
    if kind == "pin":
        for role in roles:
            changed["pins"].pop(role, None)
    elif kind == "avoid-family":
        _not_in(wishes, "avoid_families", wish["values"]["family"])
    elif kind == "lrv":
        wishes["lrv_of"] = {role: asked for role, asked in wishes.get("lrv_of", {}).items() if role not in roles}
    elif kind == "contrast":
        wishes["contrast"] = [one for one in wishes.get("contrast", ()) if set(one["between"]) != set(roles)]
    else:
        wishes.pop({"avoid": "avoid", "most-paints": "most_paints", "one-trim": "one_trim"}[kind], None)
    for key in ("lrv_of", "contrast"):
        if key in wishes and not wishes[key]:
            del wishes[key]
    return changed


def choices_of(document: Json) -> Json:
    """Return the parts of a draft that choices are kept in, to put back with :func:`with_choices`."""
    return {table: copy.deepcopy(document.get(table, {})) for table in _TABLES}


def with_choices(document: Json, choices: Json) -> Json:
    """Return the draft with the choices of :func:`choices_of`."""
    return {**document, **copy.deepcopy(choices)}


def _copied(document: Json) -> Json:
    return {**document, **choices_of(document)}


def _not_in(wishes: Json, key: str, value: str) -> None:
    kept = [one for one in wishes.get(key, ()) if one != value]
    if kept:
        wishes[key] = kept
    else:
        wishes.pop(key, None)
