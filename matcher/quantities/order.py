"""In which order a painter works, and what is prepared before: common practice, no source.

=============  ===============================================================
step           when
=============  ===============================================================
test-lead      the house may hold lead paint: first, and the rest waits for it
clear-mask     always
wash           always
fill-sand      always; fill-sand-wet where lead is possible
prime          always
paint          once for each role, ceilings before walls, woodwork last
unmask         always
=============  ===============================================================

=============  ===============================================================
preparation    when
=============  ===============================================================
grease         kitchens
mould          bathrooms and other damp rooms
damp           always
key-gloss      woodwork or cabinets are painted
sealant        kitchens, bathrooms
air            always
keep           always
=============  ===============================================================
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

# From the top down, woodwork last.
PAINT_ORDER = ("ceiling", "walls", "accent", "trim", "door", "cabinets", "island")
_WOOD = ("trim", "door", "cabinets", "island")
_KITCHENS = ("kitchen",)
_DAMP_ROOMS = ("bath", "shower", "laundry", "utility", "toilet", "cloakroom")


# Which surfaces a preparation is for; what stands in no row is for the whole room.
PREPARED_ROLES: dict[str, tuple[str, ...]] = {
    "grease": ("walls", "accent", "cabinets"),
    "mould": ("ceiling", "walls", "accent"),
    "damp": ("walls", "accent"),
    "sealant": ("walls", "accent"),
    "key-gloss": _WOOD,
}


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do; a ``paint`` step names its ``role`` and ``coats``, None where their number is not known."""

    kind: str
    role: str = ""
    coats: int | None = None


def order_of_work(coats: Mapping[str, int | None], *, lead_possible: bool) -> tuple[Step, ...]:
    """Return the steps for the roles that are painted, with their coats where known."""
    before = ("clear-mask", "wash", "fill-sand-wet" if lead_possible else "fill-sand", "prime")
    painted = [Step("paint", role, coats[role]) for role in PAINT_ORDER if role in coats]
    first = (Step("test-lead"),) if lead_possible else ()
    return (*first, *map(Step, before), *painted, Step("unmask"))


def preparation(roles: Mapping[str, object], room_kind: str | None) -> tuple[str, ...]:
    """Return the kinds of preparation for a room of this kind and the roles painted in it."""
    kind = (room_kind or "").casefold()
    kitchen, wet = (any(word in kind for word in words) for words in (_KITCHENS, _DAMP_ROOMS))
    wanted = (
        ("grease", kitchen),
        ("mould", wet),
        ("damp", True),
        ("key-gloss", any(role in _WOOD for role in roles)),
        ("sealant", kitchen or wet),
        ("air", True),
        ("keep", True),
    )
    return tuple(name for name, applies in wanted if applies)
