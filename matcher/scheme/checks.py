"""What a consultant would measure on a finished scheme, each with its number.

=============================  =================  =================================================================
rule                           roles              value; passes when
=============================  =================  =================================================================
trim-lighter-than-walls        trim, walls        LRV points, trim minus walls; 10 or more, or the same paint
ceiling-lighter-than-walls     ceiling, walls     LRV points, ceiling minus walls; 0 or more
undertones-kin                 two roles          agreement -0.75..0.6 with near misses taken off; above -0.15
step-reads-as-meant            two roles          CIEDE2000; 5 or more, or below 1 (the same paint)
contrast-lrv-points            door, walls/trim   LRV points; 30 (BS 8300-2:2018 Annex B, Approved Document M)
contrast-percent               door, walls/trim   percent; 70 and the lighter LRV 45 (US advisory text)
contrast-bowman-sapolinski     door, walls/trim   percent; 30 (AS 1428.1 Appendix B)
contrast-michelson             door, walls/trim   ratio; 0.4 and the lighter LRV 50 (DIN 32975)
through-undertones-kin         walls of both      as undertones-kin, of two rooms seen from each other
through-step-as-meant          walls of both      as step-reads-as-meant, of two rooms seen from each other
through-one-trim               trim of both       CIEDE2000; below 1 (the same paint)
=============================  =================  =================================================================

The contrast rules are for people with low vision; they disagree with each other, and local codes and licensed practice
decide which applies. A scheme may fail them and still be a good scheme for the client.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.difference import delta_e_2000
from matcher.harmony.tint import tint
from matcher.harmony.visual_contrast import RULES as CONTRAST_RULES
from matcher.ranking import weights
from matcher.ranking.judge import accord
from matcher.ranking.neighbours import RULES as ROLE_RULES
from matcher.scheme.scheme import SchemeCheck

FloatArray = NDArray[np.floating[Any]]

# Assumption: a step between two paints that everyone sees from across a room; below the second they are one paint.
_MEANT_DE00, _SAME_DE00 = 5.0, 1.0
_STEPS = (("cabinets", "walls"), ("island", "cabinets"), ("accent", "walls"))
_STANDS_OUT = (("door", "walls"), ("door", "trim"))


def measure(lab: Mapping[str, FloatArray], lrv: Mapping[str, float]) -> tuple[SchemeCheck, ...]:
    """The checks of a scheme given as CIELAB (3,) and LRV by role."""
    lighter = (*_lighter(lab, lrv, "trim", weights.TRIM_LIFT[1]), *_lighter(lab, lrv, "ceiling", 0.0))
    return (*lighter, *_kin(lab), *_steps(lab), *_contrast(lrv))


def measure_through(lab: FloatArray, here: Mapping[str, int], there: Mapping[str, int]) -> tuple[SchemeCheck, ...]:
    """The checks of two rooms seen from each other, given as rows of the deck (``lab`` (N, 3)) by role."""
    return tuple(_through(lab, here, there))


def _through(lab: FloatArray, here: Mapping[str, int], there: Mapping[str, int]) -> Iterator[SchemeCheck]:
    if "walls" in here and "walls" in there:
        one, other = lab[here["walls"]], lab[there["walls"]]
        total = float(accord(tint(one), tint(other)).total)
        step = float(delta_e_2000(one, other))
        same = step < _SAME_DE00
        yield SchemeCheck("through-undertones-kin", ("walls", "walls"), total, same or total > weights.CLASH_FROM)
        yield SchemeCheck("through-step-as-meant", ("walls", "walls"), step, step >= _MEANT_DE00 or same)
    if "trim" in here and "trim" in there:
        step = float(delta_e_2000(lab[here["trim"]], lab[there["trim"]]))
        yield SchemeCheck("through-one-trim", ("trim", "trim"), step, step < _SAME_DE00)


def _lighter(lab: Mapping[str, FloatArray], lrv: Mapping[str, float], role: str, least: float) -> Iterator[SchemeCheck]:
    if role in lab and "walls" in lab:
        lift = lrv[role] - lrv["walls"]
        same = float(delta_e_2000(lab[role], lab["walls"])) < _SAME_DE00
        yield SchemeCheck(f"{role}-lighter-than-walls", (role, "walls"), lift, lift >= least or same)


def _kin(lab: Mapping[str, FloatArray]) -> Iterator[SchemeCheck]:
    for role, other in ROLE_RULES:
        if role in lab and other in lab:
            total = float(accord(tint(lab[role]), tint(lab[other])).total)
            yield SchemeCheck("undertones-kin", (role, other), total, total > weights.CLASH_FROM)


def _steps(lab: Mapping[str, FloatArray]) -> Iterator[SchemeCheck]:
    for role, other in _STEPS:
        if role in lab and other in lab:
            step = float(delta_e_2000(lab[role], lab[other]))
            yield SchemeCheck("step-reads-as-meant", (role, other), step, step >= _MEANT_DE00 or step < _SAME_DE00)


def _contrast(lrv: Mapping[str, float]) -> Iterator[SchemeCheck]:
    for role, other in _STANDS_OUT:
        if role in lrv and other in lrv:
            for rule in CONTRAST_RULES:
                value = float(rule.measure(lrv[role], lrv[other]))
                yield SchemeCheck(f"contrast-{rule.name}", (role, other), value, rule.passes(lrv[role], lrv[other]))
