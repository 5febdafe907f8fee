"""The sentences themselves, by kind. Filled in by matcher/report/wording.py; nothing else may word a fact.

``{given}`` is the surface with its part ("the worktop's vein"), ``{surface}`` the surface or role alone; other fields
are the values of the fact.
"""

from __future__ import annotations

_HUES = "(hue {hue_deg:.0f}° against {surface_hue_deg:.0f}°)"

# Kinds: the table in matcher/ranking/reasons.py.
REASONS = {
    "undertone-agrees": "leans {paint_lean} like {given} " + _HUES,
    "undertone-opposes": "leans {paint_lean} while {given} leans {surface_lean} " + _HUES,
    "quiet-partner": "a quiet partner: its {paint_lean} calms the {surface_lean} of {given} " + _HUES,
    "near-miss-white": "nearly the white of {given} but not it ({lrv_step:+.0f} LRV): it will look like a failed match",
    "cleaner-than-given": "cleaner than {given} in the same hue (chroma {chroma:.0f} against {surface_chroma:.0f}), "
    "which makes it look dull",
    "deliberate-contrast": "a clear contrast to {surface} that reads as meant ({hue_step_deg:.0f}° of hue apart)",
    "given-accepts": "{surface} is nearly neutral and takes a {family} undertone",
    "neutral-paint": "leans nowhere that shows (tint {visibility:.1f} of the least visible)",
    "lighter-than-given": "{lrv_step:.0f} LRV lighter than {surface}",
    "darker-than-given": "{lrv_drop:.0f} LRV darker than {surface}",
    "merges-with-given": "close to {surface} without matching it ({lrv_step:+.0f} LRV): their edge goes flat",
    "harmony-above-grey": "in harmony with what stays, more than a grey as light would be ({relative_harmony:+.2f})",
    "harmony-below-grey": "less in harmony with what stays than a grey as light would be ({relative_harmony:.2f})",
    "unfit-for-role": "unusual for {role} at LRV {lrv:.0f} and chroma {chroma:.0f}",
    "warms-north-light": "warm enough for light from the side away from the sun ({warmth:+.2f} on the warmth scale)",
    "cold-in-north-light": "may look cold in light from the side away from the sun ({warmth:+.2f} on the warmth scale)",
    "dull-in-north-light": "may look dull in light from the side away from the sun at LRV {lrv:.0f}",
    "hot-in-sun": "may look hot in a sunny room at chroma {chroma:.0f}",
    "glare-in-sun": "may glare in a sunny room at LRV {lrv:.0f}",
    "yellow-under-lamp": "turns yellower under the room's lamps{lamps} at chroma {chroma:.0f}",
    "cold-under-lamp": "may look cold under the room's lamps{lamps} ({warmth:+.2f} on the warmth scale)",
    "wish-warmth-met": "{wish}, as wished ({warmth:+.2f} on the warmth scale)",
    "wish-warmth-missed": "not {wish}, as was wished ({warmth:+.2f} on the warmth scale)",
    "wish-lrv-met": "LRV {lrv:.0f}, inside the wished {low:.0f} to {high:.0f}",
    "wish-lrv-missed": "LRV {lrv:.0f}, outside the wished {low:.0f} to {high:.0f}",
    "neighbour-fits": "sits well with the paint chosen for {surface} ({lrv_step:+.0f} LRV)",
    "neighbour-fights": "fights the paint chosen for {surface} ({lrv_step:+.0f} LRV)",
}

# By kind and, for the colour clashes, by cause: matcher/ranking/clashes.py.
CLASHES = {
    "warm-cool undertone": "one is warm and the other cool (warmth {paint_warmth:+.2f} against {surface_warmth:+.2f}); "
    "the {surface} leans {surface_lean}",
    "undertone undertone": "the undertones fight: the {surface} leans {surface_lean} "
    "(hue {surface_hue_deg:.0f}°) and this paint does not",
    "undertone near-miss white": "two whites that nearly match: beside the {surface} one of them will look dirty",
    "undertone cleanness": "this paint is so clean beside the {surface} that it makes it look dull",
    "lightness": "{lightness_step:+.0f} in lightness from the {surface} and not the same colour: "
    "the edge between them goes flat",
}

CHECKS: dict[str, str] = {}
FINDINGS: dict[str, dict[str, str]] = {
    "colour profile": {"any": "colours are read as {name} ({source})"},
    "transparency dropped": {"any": "transparency was ignored"},
    "first frame used": {"any": "the file holds {frames} pictures; the first was used"},
    "16 bits kept": {"any": "16 bits a channel are used as they are"},
}
ROLES = {
    "walls": "Walls",
    "trim": "Trim",
    "ceiling": "Ceiling",
    "cabinets": "Cabinets",
    "island": "Island",
    "accent": "Accent",
    "door": "Door",
}
ALTERNATIVES = {"lighter": "A lighter scheme", "warmer": "A warmer scheme", "quieter": "A quieter scheme"}
LOOKALIKES = {
    "nearest": "Nearest",
    "same_lrv_warmer": "Same LRV, warmer",
    "same_lrv_cooler": "Same LRV, cooler",
    "lighter": "A step lighter",
    "darker": "A step darker",
    "greener_darker": "Greener and darker",
}
