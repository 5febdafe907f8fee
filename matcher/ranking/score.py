"""The score of a paint in a role, 0..1: one formula, for surfaces as measured and as drawn."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.harmony.agreement import saturation
from matcher.harmony.ramp import smoothstep
from matcher.ranking import weights
from matcher.ranking.judge import Judged, worst_clash
from matcher.ranking.light import LightCost, light_cost
from matcher.ranking.neighbours import pair_fit, related
from matcher.ranking.paint_columns import Paints
from matcher.ranking.parts import in_parts
from matcher.ranking.question import Preferences, Question

FloatArray = NDArray[np.floating[Any]]
Rows = NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class Standing:
    """What a paint is in a role whatever stands in the room, (N,) each, 0..1: its ``fit`` and what the score
    ``counted`` of it; ``beside`` the fit with each role already chosen; ``light`` and ``wishes`` are terms, and
    the light is how well it ``keeps`` its character less ``light_cost``, what practice takes off.
    """

    role: str
    fit: FloatArray
    counted: FloatArray
    beside: Mapping[str, FloatArray]
    light: FloatArray
    keeps: FloatArray
    wishes: FloatArray
    light_cost: LightCost

    def take(self, rows: Rows) -> Standing:
        """The same for some of the paints."""
        beside = {other: fit[rows] for other, fit in self.beside.items()}
        return Standing(
            self.role, self.fit[rows], self.counted[rows], beside,
            self.light[rows], self.keeps[rows], self.wishes[rows], self.light_cost.take(rows),
        )  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class Scores:
    """The terms of a score that the surfaces enter, how badly the paint clashes, and the ``score`` that all terms make,
    (N, draws ...), 0..1; ``by_itself`` what each paint is in the role without them, its ``light`` and ``wishes`` too.
    """

    harmony: FloatArray
    undertone: FloatArray
    contrast: FloatArray
    clash: FloatArray
    score: FloatArray
    by_itself: Standing


def score(question: Question, role: str) -> Scores:
    """Score every paint in a role beside the surfaces as measured: (N,) each."""
    return in_parts(len(question.paints.lrv), lambda part: _score(question, role, part))


def score_alone(question: Question, role: str) -> FloatArray:
    """Return the score alone of :func:`score`, (N,)."""
    return in_parts(len(question.paints.lrv), lambda part: _score(question, role, part).score)


def _score(question: Question, role: str, part: slice) -> Scores:
    judged = [one.rows(part) for one in question.judged]
    found = scored(standing(question, role, part), judged, question)
    return Scores(
        harmony=found.harmony[:, 0],
        undertone=found.undertone[:, 0],
        contrast=found.contrast[:, 0],
        clash=found.clash[:, 0],
        score=found.score[:, 0],
        by_itself=found.by_itself,
    )


def standing(question: Question, role: str, rows: Rows | slice | None = None) -> Standing:
    """Return what every paint of the question, or each of some ``rows``, is in a role by itself."""
    paints, setting = question.paints if rows is None else question.paints.take(rows), question.setting
    fit, counted = role_fit(role, paints, setting.wishes)
    fits = {
        other: pair_fit(role, paints.lab, other, lab)
        for other, lab in sorted(question.beside(role).items())
        if related(role, other)
    }
    cost = light_cost(setting.light, paints.lab, paints.lrv, paints.warmth, large=role in ("walls", "ceiling"))
    keeps = question.keeps if rows is None else question.keeps[rows]
    return Standing(role, fit, counted, fits, cost.term() * keeps, keeps, wish_term(role, paints, setting.wishes), cost)


def scored(by_itself: Standing, judged: Sequence[Judged], question: Question) -> Scores:
    """Score paints beside surfaces; ``judged`` holds every surface, in the order of the givens.

    Surfaces may be drawn along different axes: what they come to is broadcast.
    """
    role, givens = by_itself.role, question.givens
    ahead = (-1, *[1] * (judged[0].step.ndim - 1))
    fit, counted, light, wishes = (
        one.reshape(ahead) for one in (by_itself.fit, by_itself.counted, by_itself.light, by_itself.wishes)
    )
    beside = np.mean(list(by_itself.beside.values()), axis=0).reshape(ahead) if by_itself.beside else 1.0
    share = weights.EXPECTATIONS[role].separation
    # Single-precision weights may sum to a hair above one.
    apart = np.minimum(givens.among([one.step for one in judged], weights.WORST_SURFACE), 1.0)
    harmony = harmony_term(givens.among([one.harmony for one in judged], weights.WORST_HARMONY))
    undertone = undertone_term(givens.among([one.undertone for one in judged], weights.WORST_SURFACE))
    contrast = np.asarray(fit * (1 - share + share * apart) * beside)
    clash = worst_clash(role, judged, givens)
    shares = weights.TERM_WEIGHTS[role]
    total = (
        shares.harmony * harmony
        + shares.undertone * undertone
        + shares.contrast * contrast
        + shares.light * light
        + shares.wishes * wishes
    )
    used = counted * (1 - weights.NEIGHBOUR_SHARE * (1 - beside))
    suited = weights.UNFIT_SHARE + (1 - weights.UNFIT_SHARE) * used
    # What is flagged costs what the flag says.
    whole = np.asarray(total * suited * (1 - weights.CLASH_COST * clash))
    return Scores(harmony, undertone, contrast, clash, whole, by_itself)


def role_fit(role: str, paints: Paints, wishes: Preferences) -> tuple[FloatArray, FloatArray]:
    """How far each paint is what the role asks for, by lightness and chroma alone, 0..1, and what the score counts.

    A client who names an LRV for the walls wants that and not what walls usually are.
    """
    expected = weights.EXPECTATIONS[role]
    asked = wishes.lrv_range if role == "walls" else None
    lightness = expected.lrv
    if asked is not None:
        lightness = (asked[0] - weights.LRV_MISSED_BY, *asked, asked[1] + weights.LRV_MISSED_BY)
    lightness_fit = _plateau(paints.lrv, paints.lrv, lightness)
    # A dark colour needs less chroma to be one, a pale one more: a bottle green of C* 13 is no grey, a mint is hardly
    # more.
    coloured = saturation(paints.tint)
    strong = paints.chroma / white_chroma(paints) if role in weights.WHITES else paints.chroma
    chroma_fit = _plateau(coloured, strong, expected.chroma)
    if role == "accent":
        chroma_fit = np.maximum(chroma_fit, smoothstep(paints.lrv, *weights.ACCENT_DARK_LRV))
    loud = smoothstep(paints.chroma, *weights.LOUD_CHROMA)
    least = expected.least_fit - (expected.least_fit - expected.least_loud) * loud
    fit = lightness_fit * chroma_fit
    if asked is not None:
        return fit, np.asarray(lightness_fit * (least + (1 - least) * chroma_fit))
    return fit, np.asarray(least + (1 - least) * fit)


def white_chroma(paints: Paints) -> FloatArray:
    """Return (N,) how much chroma a white of each paint's hue may carry."""
    hue_deg = np.degrees(np.arctan2(paints.lab[:, 2], paints.lab[:, 1])) % 360
    return np.asarray(np.interp(hue_deg, weights.WHITE_HUE_DEG, weights.WHITE_CHROMA))


def _plateau(rising: FloatArray, falling: FloatArray, corners: tuple[float, float, float, float]) -> FloatArray:
    return np.asarray(smoothstep(rising, corners[0], corners[1]) * smoothstep(falling, corners[3], corners[2]))


def wish_term(role: str, paints: Paints, wishes: Preferences) -> FloatArray:
    """1 where every wish is met; a neutral half meets a wish for warm or cool."""
    term: FloatArray = np.ones(len(paints.lrv))
    if wishes.warmth in ("warm", "cool"):
        towards = paints.warmth if wishes.warmth == "warm" else -paints.warmth
        term = smoothstep(towards, -0.6, 0.6)
    if role == "walls" and wishes.lrv_range is not None:
        low, high = wishes.lrv_range
        outside = np.maximum(np.maximum(low - paints.lrv, paints.lrv - high), 0)
        term = term * np.maximum(1 - outside / weights.LRV_MISSED_BY, 0)
    return np.asarray(term)


def undertone_term(total: FloatArray) -> FloatArray:
    """From agreement (-0.75..0.6) to 0..1."""
    return np.asarray(np.clip(0.5 + weights.AGREEMENT_SLOPE * total, 0, 1))


def harmony_term(relative: FloatArray) -> FloatArray:
    """From relative harmony (about -0.8..0.5) to 0..1, 0.5 for a plain grey."""
    return np.asarray(0.5 + 0.5 * np.tanh(relative / weights.HARMONY_SPREAD))
