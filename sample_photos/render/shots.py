"""The pictures: which room, view, cards and lights, and how the camera developed each."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Shot:
    """One picture. lights: (group, CIE illuminant, weight at the median); balance: 1 = right for its light."""

    name: str
    view: str
    cards: str
    lights: tuple[tuple[str, str, float], ...]
    balance: float = 0.9
    tone: float = 0.0  # strength of the S curve; 0 = sRGB curve only
    pivot: float = 0.45
    exposure: float = 1.0
    file: str = "jpg"  # jpg, jpg6 (EXIF orientation 6), heic (Display P3)
    sets: tuple[str, ...] = ()
    smooth: bool = False  # traced with few paths: smooth the light within each material
    like: str = ""  # take the exposure of that picture, for a before and after
    paints: dict[str, tuple[float, float, float]] = field(default_factory=dict)  # CIELAB by role, for the room's own

    @property
    def room(self) -> str:
        """Room's module."""
        return self.name.split(".")[0]


DAY = (("window", "D65", 1.0),)
OVERCAST = (("window", "D75", 1.0),)
LED = (("ceiling", "LED-B1", 1.0),)

# One phone a set, so one curve a set: the kitchen by day in the plain encoding, the others with the S that phones add.
LAMP_TONE, PENDANT_TONE, SITTING_TONE = 0.6, 0.5, 0.55

SHOTS = [
    Shot("kitchen.whole.day", "whole", "whole:one", DAY, 0.95, exposure=1.3, sets=("daylight",)),
    Shot(
        "kitchen.worktop.day",
        "worktop far",
        "worktop far:one",
        DAY,
        0.9,
        smooth=True,
        exposure=1.55,
        sets=("daylight",),
    ),
    Shot("kitchen.floor.day", "floor", "floor:trio", DAY, 0.95, exposure=0.88, file="jpg6", sets=("daylight",)),
    Shot("kitchen.tile.day", "tile aside", "tile aside:one", DAY, 0.9, smooth=True, exposure=1.95, sets=("daylight",)),
    Shot("kitchen.cabinets.day", "cabinets", "cabinets:trio", DAY, 0.9, sets=("daylight",)),
    Shot("kitchen.whole.led", "whole", "whole:trio", LED, 0.55, exposure=0.8, tone=LAMP_TONE, sets=("lamp",)),
    Shot("kitchen.worktop.led", "worktop", "worktop:trio", LED, 0.6, tone=LAMP_TONE, sets=("lamp",)),
    Shot("kitchen.floor.led", "floor", "floor:one", LED, 0.5, tone=LAMP_TONE, sets=("lamp",)),
    Shot("kitchen.tile.led", "tile", "tile:trio", LED, 0.6, exposure=1.3, tone=LAMP_TONE, sets=("lamp",)),
    Shot("kitchen.cabinets.led", "cabinets", "cabinets:one", LED, 0.5, tone=LAMP_TONE, sets=("lamp",)),
    Shot(
        "kitchen.corner.mixed",
        "corner",
        "corner:trio",
        (("window", "D65", 0.5), ("ceiling", "LED-B3", 0.5)),
        0.6,
        sets=("mixed",),
    ),
    Shot(
        "kitchen.pendant.a",
        "pendant",
        "pendant:trio",
        (("pendant", "A", 1.0),),
        0.6,
        exposure=0.66,
        tone=PENDANT_TONE,
        sets=("pendant",),
    ),
    Shot(
        "sitting.whole.day",
        "whole",
        "whole:trio",
        OVERCAST,
        0.9,
        exposure=1.08,
        tone=SITTING_TONE,
        sets=("daylight",),
    ),
    Shot("sitting.hearth.day", "hearth", "hearth:one", OVERCAST, 0.85, tone=SITTING_TONE, sets=("daylight",)),
    Shot(
        "sitting.brick.day",
        "brick",
        "brick:trio",
        OVERCAST,
        0.9,
        exposure=0.62,
        tone=SITTING_TONE,
        sets=("daylight",),
    ),
    Shot(
        "sitting.floor.day",
        "floor",
        "floor:trio",
        OVERCAST,
        0.9,
        exposure=0.72,
        file="heic",
        tone=SITTING_TONE,
        sets=("daylight",),
    ),
    Shot("sitting.tile.day", "tile", "tile:one", OVERCAST, 0.85, exposure=0.72, tone=SITTING_TONE, sets=("daylight",)),
    Shot(
        "sitting.whole.evening",
        "whole",
        "whole:one",
        (("window", "D75", 0.55), ("lamp shade", "LED-B1", 0.45)),
        0.6,
        exposure=0.9,
        tone=SITTING_TONE,
        sets=("evening",),
    ),
    Shot(
        "kitchen.after.day",
        "whole",
        "whole:one",
        DAY,
        0.95,
        like="kitchen.whole.day",
        paints={"cabinets": (63.0, -7.0, 13.0)},
    ),
]
