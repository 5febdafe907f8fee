"""Why a paint is, or is not, a good choice: measured facts, worded elsewhere.

Each kind, whether it speaks for (+) or against (-), what ``surfaces`` holds, and the names of its values. Hues are
CIELAB h_ab in degrees; families are Munsell hue families spelled out; LRV steps are paint minus the other, in points.
A quiet partner is a green that calms a warm timber; a near-miss white and the given are two whites that nearly match; a
cleaner paint makes a given of its own hue look dirty, or rivals it; a given accepts where it is nearly neutral itself;
relative harmony is that of Ou & Luo 2006 against a grey as light as the paint. Beside a ``surface_hue_deg`` stand
``surface_lean``, the trade word that is decided for the surface as a whole, and ``visibility``, that of the paint's
tint (1: just visible). A role that is repainted lets a given stay where its old paint, as measured, fought it
(matcher/scheme/repainted.py).

=================== = ======== =====================================================================================
kind                  surfaces values
=================== = ======== =====================================================================================
undertone-agrees    + given    family, hue_deg, chroma, surface_family, surface_hue_deg, surface_chroma, part, agreement
undertone-opposes   - given    family, hue_deg, chroma, surface_family, surface_hue_deg, surface_chroma, part, agreement
quiet-partner       + given    family, hue_deg, chroma, surface_family, surface_hue_deg, surface_chroma, part, agreement
near-miss-white     - given    family, surface_family, part, lrv_step
cleaner-than-given  - given    chroma, surface_chroma, part
rivals-given        - given    chroma, surface_chroma, part
deliberate-contrast + given    chroma, surface_chroma, hue_step_deg, lightness_step
given-accepts       + given    surface_visibility, family, hue_deg, chroma
neutral-paint       + none     visibility
lighter-than-given  + given    lrv_step
darker-than-given   + given    lrv_step
merges-with-given   - given    lrv_step, chromatic_step
harmony-above-grey  + none     relative_harmony
harmony-below-grey  - none     relative_harmony
unfit-for-role      - none     role, lrv, chroma, fit
warms-north-light   + none     warmth, away_side
cold-in-north-light - none     warmth, cost, away_side
dull-in-north-light - none     lrv, cost, away_side
hot-in-sun          - none     chroma, cost
glare-in-sun        - none     lrv, cost
yellow-under-lamp   - none     chroma, cost, lamps_k
cold-under-lamp     - none     warmth, cost, lamps_k
changes-with-light  - none     keeps
wish-warmth-met     + none     wish, warmth
wish-warmth-missed  - none     wish, warmth
wish-lrv-met        + none     lrv, low, high
wish-lrv-missed     - none     lrv, low, high
neighbour-fits      + role     fit, lrv_step
neighbour-fights    - role     fit, lrv_step
lets-given-stay     + given    role, old_clash, clash
=================== = ======== =====================================================================================
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.lrv import lrv
from matcher.harmony.agreement import deliberate_contrast
from matcher.harmony.undertone import Undertone, undertones
from matcher.ranking import weights
from matcher.ranking.clashes import cause_of, nearer_step
from matcher.ranking.givens import Givens
from matcher.ranking.judge import Accord, accord
from matcher.ranking.paint_columns import Paints
from matcher.ranking.question import Question
from matcher.ranking.score import Standing
from matcher.ranking.shortlist import Reason

FloatArray = NDArray[np.floating[Any]]
Rows = NDArray[np.intp]
Value = float | str

_OF_LIGHTNESS = ("lighter-than-given", "darker-than-given")


@dataclass(frozen=True, slots=True, eq=False)
class Evidence:
    """All that is known of n listed paints: ``accord`` and ``contrast`` beside each of K colours (n, K),
    ``relative_harmony`` (n,), and ``steps`` (n, S), 0..1, how far that from each surface reads as meant.
    """

    question: Question
    by_itself: Standing
    paints: Paints
    undertones: tuple[Undertone, ...]
    accord: Accord
    contrast: FloatArray
    relative_harmony: FloatArray
    steps: FloatArray

    @property
    def givens(self) -> Givens:
        """The surfaces that stay."""
        return self.question.givens

    @property
    def role(self) -> str:
        """The role that is asked for."""
        return self.by_itself.role


def evidence_of(question: Question, by_itself: Standing, rows: Rows) -> Evidence:
    """Return what is known of some rows of the question's paints, which are ``by_itself`` what they are in a role."""
    paints, givens = question.paints.take(rows), question.givens
    tints = paints.tint.at((slice(None), None))
    judged = [one.rows(rows) for one in question.judged]
    return Evidence(
        question=question,
        by_itself=by_itself,
        paints=paints,
        undertones=undertones(paints.lab),
        accord=accord(tints, givens.tint),
        contrast=deliberate_contrast(tints, givens.tint),
        relative_harmony=givens.among([one.harmony for one in judged], weights.WORST_HARMONY)[:, 0],
        steps=np.concatenate([one.step for one in judged], axis=1),
    )


def reasons_for(evidence: Evidence) -> list[tuple[Reason, ...]]:
    """The reasons of each paint, strongest first."""
    surface_lrv = lrv(evidence.givens.surface_lab)
    everyone: list[list[Reason]] = []
    for row in range(len(evidence.paints.lrv)):
        found = [
            *_beside_givens(evidence, row, surface_lrv),
            *_of_itself(evidence, row),
            *_in_the_light(evidence, row),
            *_wished(evidence, row),
            *_beside_neighbours(evidence, row),
        ]
        found.sort(key=lambda reason: -reason.weight)
        everyone.append(found)
    common = _common_to_all(everyone)
    return [
        tuple([reason for reason in found if (reason.kind, reason.surfaces) not in common][: weights.MOST_REASONS])
        for found in everyone
    ]


def _common_to_all(everyone: list[list[Reason]]) -> set[tuple[str, tuple[str, ...]]]:
    """What of lightness holds of every paint of a list: no reason to choose one of them."""
    if len(everyone) < 2:
        return set()
    kinds = [{(r.kind, r.surfaces) for r in found if r.kind in _OF_LIGHTNESS} for found in everyone]
    return set.intersection(*kinds)


def _reason(kind: str, favours: bool, weight: float, surfaces: tuple[str, ...] = (), /, **values: Value) -> Reason:
    return Reason(kind, favours, tuple(values.items()), surfaces, min(max(float(weight), 0.0), 1.0))


def _beside_givens(evidence: Evidence, row: int, surface_lrv: FloatArray) -> Iterator[Reason]:
    givens = evidence.givens
    main = int(np.argmax(givens.visibility))
    for place, surface in enumerate(givens.surfaces):
        seen = weights.SEEN_ANYHOW + (1 - weights.SEEN_ANYHOW) * float(givens.visibility[place])
        yield from _undertone_beside(evidence, row, place, seen)
        step = float(evidence.paints.lrv[row] - surface_lrv[place])
        name = (surface.name,)
        if (
            float(evidence.steps[row, place]) < weights.MERGES_BELOW
            and weights.EXPECTATIONS[evidence.role].separation > 0
        ):
            apart = nearer_step(evidence.paints.lab[row], givens, place)
            yield _reason(
                "merges-with-given",
                False,
                weights.SPEAKS["merges-with-given"] * seen,
                name,
                lrv_step=step,
                chromatic_step=math.hypot(apart[1], apart[2]),
            )
        elif place == main or len(givens.surfaces) <= 2:
            kind = "lighter-than-given" if step >= 0 else "darker-than-given"
            yield _reason(kind, True, weights.SPEAKS["lightness"] * seen, name, lrv_step=step)


def _speaks(agreement: float) -> float:
    """How strongly an agreement of undertones, or with its sign turned a fight, speaks."""
    return weights.SPEAKS["undertone"] + weights.SPEAKS_BY_AGREEMENT * agreement


def _undertone_beside(evidence: Evidence, row: int, place: int, seen: float) -> Iterator[Reason]:
    givens, judged = evidence.givens, evidence.accord
    columns = range(len(givens.lab))[givens.columns(place)]
    name = (givens.surfaces[place].name,)
    total = judged.total[row]
    worst = min(columns, key=lambda k: float(total[k]) * float(givens.seen[k]))
    best = max(columns, key=lambda k: float(total[k]) * float(givens.mean_weight[k]))
    if float(total[worst]) * float(givens.seen[worst]) <= weights.CLASH_FROM:
        yield _against(evidence, row, worst, name, seen)
    # A paint without a lean that shows has none to share: that it is neutral is a reason of its own.
    shows = float(evidence.paints.tint.gate[row]) >= weights.NEUTRAL_GATE
    offset = (float(evidence.paints.tint.hue_deg[row]) - float(givens.tint.hue_deg[best]) + 180) % 360 - 180
    if shows and float(total[best]) >= weights.KIN_FROM:
        # Between two undertones kin lie near in hue; only beside a warm real colour does agreement reach this far.
        kind = "quiet-partner" if offset > weights.QUIET_OFFSET_DEG else "undertone-agrees"
        yield _reason(kind, True, _speaks(float(total[best])) * seen, name, **_lean(evidence, row, best))
    contrast = float(evidence.contrast[row, best])
    if contrast > weights.DELIBERATE_FROM and abs(float(total[best])) < weights.KIN_FROM:
        yield _reason(
            "deliberate-contrast", True, weights.SPEAKS["deliberate-contrast"] * seen, name,
            chroma=float(evidence.paints.chroma[row]), surface_chroma=givens.undertones[best].chroma,
            hue_step_deg=abs(offset), lightness_step=float(evidence.paints.lab[row, 0] - givens.lab[best, 0]),
        )  # fmt: skip
    leaning = float(evidence.paints.tint.gate[row]) > weights.LEANING_GATE
    if leaning and all(float(givens.tint.gate[k]) < weights.NEUTRAL_GATE for k in columns):
        strongest = max(givens.undertones[k].visibility for k in columns)
        yield _reason(
            "given-accepts", True, weights.SPEAKS["given-accepts"] * seen, name,
            surface_visibility=strongest, family=evidence.undertones[row].family,
            hue_deg=evidence.undertones[row].hue_deg, chroma=evidence.undertones[row].chroma,
        )  # fmt: skip


def _lean(evidence: Evidence, row: int, column: int) -> dict[str, Value]:
    givens, paint = evidence.givens, evidence.undertones[row]
    fixed = givens.undertones[column]
    return {
        "family": paint.family,
        "hue_deg": paint.hue_deg,
        "chroma": paint.chroma,
        "visibility": paint.visibility,
        "surface_family": givens.called[column],
        "surface_lean": givens.lean_words[column],
        "surface_hue_deg": fixed.hue_deg,
        "surface_chroma": fixed.chroma,
        "part": givens.parts[column],
        "agreement": float(evidence.accord.total[row, column]),
    }


def _against(evidence: Evidence, row: int, column: int, name: tuple[str, ...], seen: float) -> Reason:
    givens, paint = evidence.givens, evidence.undertones[row]
    fixed, part = givens.undertones[column], givens.parts[column]
    weight = _speaks(-float(evidence.accord.total[row, column])) * seen
    cause = cause_of(evidence.accord, (row, column))
    if cause == "near-miss white":
        step = float(evidence.paints.lrv[row]) - float(lrv(givens.lab[column]))
        return _reason(
            "near-miss-white", False, weight, name,
            family=paint.family, surface_family=fixed.family, part=part, lrv_step=step,
        )  # fmt: skip
    if cause == "cleanness":
        kind = "cleaner-than-given" if paint.chroma > fixed.chroma else "rivals-given"
        return _reason(kind, False, weight, name, chroma=paint.chroma, surface_chroma=fixed.chroma, part=part)
    return _reason("undertone-opposes", False, weight, name, **_lean(evidence, row, column))


def _of_itself(evidence: Evidence, row: int) -> Iterator[Reason]:
    if float(evidence.paints.tint.gate[row]) < weights.NEUTRAL_GATE:
        yield _reason(
            "neutral-paint", True, weights.SPEAKS["neutral-paint"], visibility=evidence.undertones[row].visibility
        )
    relative = float(evidence.relative_harmony[row])
    if abs(relative) >= weights.LEAST_HARMONY:
        kind = "harmony-above-grey" if relative > 0 else "harmony-below-grey"
        strength = weights.SPEAKS["harmony"] + weights.SPEAKS_BY_HARMONY * abs(relative)
        yield _reason(kind, relative > 0, strength, relative_harmony=relative)
    fit = float(evidence.by_itself.fit[row])
    if fit < weights.FIT_ENOUGH:
        paints = evidence.paints
        yield _reason(
            "unfit-for-role", False, 1 - fit,
            role=evidence.role, lrv=float(paints.lrv[row]), chroma=float(paints.chroma[row]), fit=fit,
        )  # fmt: skip


def _in_the_light(evidence: Evidence, row: int) -> Iterator[Reason]:
    cost, paints = evidence.by_itself.light_cost, evidence.paints
    warmth, brightness, chroma = float(paints.warmth[row]), float(paints.lrv[row]), float(paints.chroma[row])
    setting = evidence.question.setting
    # South of the equator the sun stands in the north.
    away = "north" if (setting.latitude is None or setting.latitude >= 0) else "south"
    lamps: dict[str, Value] = {} if setting.lamps_k is None else {"lamps_k": float(setting.lamps_k)}
    effects: tuple[tuple[str, FloatArray, dict[str, Value]], ...] = (
        ("cold-in-north-light", cost.cold, {"warmth": warmth, "away_side": away}),
        ("dull-in-north-light", cost.dull, {"lrv": brightness, "away_side": away}),
        ("hot-in-sun", cost.hot, {"chroma": chroma}),
        ("glare-in-sun", cost.glare, {"lrv": brightness}),
        ("yellow-under-lamp", cost.lamp_yellow, {"chroma": chroma, **lamps}),
        ("cold-under-lamp", cost.lamp_cold, {"warmth": warmth, **lamps}),
    )
    for kind, costs, values in effects:
        if float(costs[row]) >= weights.LEAST_COST:
            strength = weights.SPEAKS["light"] + float(costs[row])
            yield _reason(kind, False, strength, cost=float(costs[row]), **values)
    keeps = float(evidence.by_itself.keeps[row])
    if keeps < weights.CHANGES_BELOW:
        yield _reason("changes-with-light", False, weights.SPEAKS["light"] + 1 - keeps, keeps=keeps)
    if setting.light.away_from_sun > weights.SUNLESS_FROM and warmth > 2 * weights.WARM_FROM:
        yield _reason("warms-north-light", True, weights.SPEAKS["warms-north-light"], warmth=warmth, away_side=away)


def _wished(evidence: Evidence, row: int) -> Iterator[Reason]:
    wishes, paints = evidence.question.setting.wishes, evidence.paints
    warmth = float(paints.warmth[row])
    if wishes.warmth in ("warm", "cool"):
        met = (warmth if wishes.warmth == "warm" else -warmth) > weights.WARM_FROM
        kind = "wish-warmth-met" if met else "wish-warmth-missed"
        yield _reason(kind, met, weights.SPEAKS[kind], wish=wishes.warmth, warmth=warmth)
    if evidence.role == "walls" and wishes.lrv_range is not None:
        low, high = wishes.lrv_range
        met = low <= float(paints.lrv[row]) <= high
        kind = "wish-lrv-met" if met else "wish-lrv-missed"
        yield _reason(kind, met, weights.SPEAKS[kind], lrv=float(paints.lrv[row]), low=float(low), high=float(high))


def _beside_neighbours(evidence: Evidence, row: int) -> Iterator[Reason]:
    beside = evidence.question.beside(evidence.role)
    for other, fits in evidence.by_itself.beside.items():
        fit = float(fits[row])
        step = float(evidence.paints.lrv[row]) - float(lrv(beside[other]))
        if fit >= weights.NEIGHBOUR_FITS:
            yield _reason("neighbour-fits", True, weights.SPEAKS["neighbour-fits"], (other,), fit=fit, lrv_step=step)
        elif fit < weights.NEIGHBOUR_FIGHTS:
            strength = weights.SPEAKS["neighbour-fights"] + weights.SPEAKS_BY_MISFIT * fit
            yield _reason("neighbour-fights", False, strength, (other,), fit=fit, lrv_step=step)
