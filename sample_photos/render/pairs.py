"""Pictures of one room under one light that differ in one role's paint: pairs whose true repainting is known.

`python trace.py OUT --pairs` and `python develop.py OUT --pairs --out FOLDER` make them; they are not kept in the
repository. Any two pictures of a scene that differ in one role make two pairs, one each way.
"""

from __future__ import annotations

from dataclasses import replace

from shots import DAY, LAMP_TONE, LED, OVERCAST, SHOTS, SITTING_TONE, Shot

Paints = dict[str, tuple[float, float, float]]


def scene(first: Shot, others: dict[str, Paints]) -> list[Shot]:
    """The first picture and the same with other paints, developed with its exposure."""
    return [first, *(replace(first, name=f"{first.name}.{k}", like=first.name, paints=p) for k, p in others.items())]


EVENING = next(shot for shot in SHOTS if shot.name == "sitting.whole.evening").lights

PAIR_SHOTS = [
    # Plain curve, one grey card on the floor.
    *scene(
        Shot("kitchen.pairs.day", "whole", "whole:one", DAY, 0.95, exposure=0.95, smooth=True),
        {
            "pale_cabinets": {"cabinets": (88.0, 0.0, 5.0)},
            "black_cabinets": {"cabinets": (20.0, 1.0, -2.0)},
            "blue_walls": {"walls": (45.0, -8.0, -12.0)},
        },
    ),
    # Lamp, S curve, three cards on the tile.
    *scene(
        Shot("kitchen.pairs.lamp", "whole", "whole:trio", LED, 0.55, exposure=0.8, tone=LAMP_TONE, smooth=True),
        {
            "cream_cabinets": {"cabinets": (85.0, 1.0, 14.0)},
            "green_walls": {"walls": (62.0, -10.0, 8.0)},
        },
    ),
    # Overcast sky, S curve, three cards on the hearth.
    *scene(
        Shot("sitting.pairs.day", "whole", "whole:trio", OVERCAST, 0.9, exposure=1.0, tone=SITTING_TONE, smooth=True),
        {
            "navy_walls": {"walls": (38.0, -4.0, -16.0)},
            "red_cabinets": {"cabinets": (36.0, 22.0, 16.0)},
        },
    ),
    # Dusk and a table lamp at once, S curve, one grey card on the hearth.
    *scene(
        Shot("sitting.pairs.dusk", "whole", "whole:one", EVENING, 0.6, exposure=0.9, tone=SITTING_TONE, smooth=True),
        {"grey_walls": {"walls": (66.0, -1.0, -7.0)}},
    ),
]
