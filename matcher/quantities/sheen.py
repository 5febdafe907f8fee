"""Sheen in gloss units at 60 degrees (ISO 2813), because the words of the shop are no measure.

=====  ==================  =========================================================
level  gloss at 60 deg     the word that is used for it
=====  ==================  =========================================================
G1     5 at most           matt, flat
G2     10 at most          velvet
G3     10 to 25            eggshell
G4     20 to 35            satin
G5     35 to 70            semi-gloss
G6     70 to 85            gloss
G7     above 85            high gloss
=====  ==================  =========================================================

That is the table of the Master Painters Institute (its gloss and sheen standards), which asks for a second angle as
well and was made because one word stands for different sheens from maker to maker; its own ranges overlap. EN 13300
sorts by 60 degrees only what is glossy (60 and more); below it asks for the value at 85 degrees.
"""

from __future__ import annotations

from matcher.quantities.quantity import Range, Sheen

_LEVELS: tuple[tuple[str, Range], ...] = (
    ("matt", (0.0, 5.0)),
    ("velvet", (0.0, 10.0)),
    ("eggshell", (10.0, 25.0)),
    ("satin", (20.0, 35.0)),
    ("semi-gloss", (35.0, 70.0)),
    ("gloss", (70.0, 85.0)),
    ("high gloss", (85.0, float("inf"))),
)
_GLOSSY_60 = 60.0
_MID_SHEEN_85, _DEAD_MATT_85 = 10.0, 5.0

# Trade habit, no source: ceilings as dull as there is, walls dull; woodwork is wiped and has more, and so have walls
# that are wiped.
_WANTED: dict[str, Range] = {
    "ceiling": (0.0, 5.0),
    "walls": (0.0, 10.0),
    "accent": (0.0, 10.0),
    "trim": (25.0, 60.0),
    "door": (25.0, 60.0),
    "cabinets": (25.0, 60.0),
    "island": (25.0, 60.0),
}
_WIPED_WALLS: Range = (5.0, 25.0)
_WIPED_ROOMS = ("kitchen", "bath", "shower", "hall", "stair", "utility", "laundry", "toilet", "cloakroom")


def sheen_for(role: str, room_kind: str | None, paint: float | None) -> Sheen:
    """Return the sheen a role wants in a room of this kind, beside the gloss units of its paint, None where unknown."""
    kind = (room_kind or "").casefold()
    wiped = role in ("walls", "accent") and any(word in kind for word in _WIPED_ROOMS)
    return Sheen(_WIPED_WALLS if wiped else _WANTED[role], paint)


def words_for(wanted: Range) -> tuple[str, ...]:
    """Return every word of the shop that may stand for gloss units within a range.

    >>> words_for((22.0, 24.0))
    ('eggshell', 'satin')
    """
    low, high = wanted
    return tuple(word for word, (least, most) in _LEVELS if least < high and low < most)


def en_13300(at_60: float, at_85: float | None = None) -> str | None:
    """Return the class of EN 13300, None where it needs a value at 85 degrees that is not there.

    >>> en_13300(70), en_13300(8), en_13300(8, 12), en_13300(2, 7), en_13300(1, 3)
    ('glossy', None, 'mid sheen', 'matt', 'dead matt')
    """
    if at_60 >= _GLOSSY_60:
        return "glossy"
    if at_85 is None:
        return None
    if at_85 >= _MID_SHEEN_85:
        return "mid sheen"
    return "dead matt" if at_85 < _DEAD_MATT_85 else "matt"
