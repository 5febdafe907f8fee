"""Do the references of one place agree with each other, and stand in the order of what they reflect?"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import numpy as np

from matcher.calibration.curve_evidence import places
from matcher.calibration.patch import BLACK_REFLECTANCE, Patch
from matcher.colorimetry.spaces import Floats
from matcher.errors import Problem
from matcher.photo.decoded import Finding

# Assumptions. A card that reflects this many times more than its neighbour cannot be that much darker in one light;
# cards of equal reflectance side by side agree within the level, and all cards of a place in colour (logarithms).
_CLEARLY_LIGHTER, _CLEARLY_DARKER = 1.5, 0.8
_SAME_REFLECTANCE = 1.04
_LEVEL_APART, _COLOUR_APART = 0.2, 0.15


def out_of_order(patches: Sequence[Patch], table: Floats, where: Sequence[str]) -> list[Problem]:
    """Return a problem for each pair that lies the other way round in the photo than it reflects."""
    level = [float(p.linear(table).mean()) for p in patches]
    problems = []
    for group in places(patches):
        for i, j in combinations(group, 2):
            light, dark = (i, j) if patches[i].reflectance > patches[j].reflectance else (j, i)
            apart = patches[light].reflectance > _CLEARLY_LIGHTER * patches[dark].reflectance
            if apart and where[light] != where[dark] and level[light] < _CLEARLY_DARKER * level[dark]:
                problems.append(
                    Problem(where[light],
                            f"it is said to reflect {patches[light].reflectance:g} but is darker in the photo than"
                            f" {where[dark].split(': ')[-1]} beside it, said to reflect {patches[dark].reflectance:g}",
                            "Give each outline its own card's kind and reflectance, or lay both in the same light")
                )  # fmt: skip
    return problems


def disagreements(patches: Sequence[Patch], table: Floats) -> tuple[Finding, ...]:
    """Return what usable patches of one place contradict each other in, at most one finding of a kind a place."""
    found = []
    for group in places(patches):
        members = [patches[i] for i in group]
        level = max((_level_apart(a, b, table) for a, b in combinations(members, 2)), default=0.0)
        if level > _LEVEL_APART:
            found.append(
                Finding("cards contradict", "warn", (("share", round(float(np.expm1(level)), 3)),), _name(members))
            )
        grey = [p for p in members if p.reflectance > BLACK_REFLECTANCE and not p.colour_sd]
        colour = max((_colour_apart(a, b, table) for a, b in combinations(grey, 2)), default=0.0)
        if colour > _COLOUR_APART:
            found.append(
                Finding("card not grey", "warn", (("share", round(float(np.expm1(colour)), 3)),), _name(members))
            )
    return tuple(found)


def _level_apart(a: Patch, b: Patch, table: Floats) -> float:
    if max(a.reflectance, b.reflectance) > _SAME_REFLECTANCE * min(a.reflectance, b.reflectance):
        return 0.0
    return abs(float(np.log(a.linear(table).mean() / b.linear(table).mean())))


def _colour_apart(a: Patch, b: Patch, table: Floats) -> float:
    logs = [np.log(np.maximum(p.linear(table), 1e-5) / p.reflected(np.eye(3))) for p in (a, b)]
    balance = [log - log[1] for log in logs]
    return float(np.abs(balance[0] - balance[1]).max())


def _name(members: Sequence[Patch]) -> str:
    return members[0].on or " and ".join(dict.fromkeys(p.kind for p in members))
