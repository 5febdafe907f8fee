"""The ladder of trim whites: stark, clean, creamy, each the best of its kind in the deck, and what it does beside every
surface and every other paint of the scheme.

Common practice, no published source. The safest white has no tint that shows, so that it fights nothing; a clean one
has a little warmth; a creamy one is plainly warm and looks yellowed beside a whiter neighbour. Either a trim contrasts
enough to read as trim, or it is deliberately the same colour in another sheen.

============  ============================================================================================
verdict       when
============  ============================================================================================
sits          the same colour (HyAB 2 or less), or near it in kin undertones
contrasts     10 LRV points or more apart, and nothing fights
yellows       nearly the other's white, or fighting it, or a white 10 points and more below the other's: and the
              yellower of the two is the less white
looks dirty   the same, but the less white is greyer, pinker or darker
============  ============================================================================================

Each fact is a Reason about the surface or role. Its values: ``lrv_step`` (points, trim minus the other),
``yellow_step`` (CIELAB b*, the same way round), ``whiteness_step`` (CIE 15:2004, the same way round), ``near_miss``
and ``agreement`` (of matcher/ranking/judge.py), ``apart`` (HyAB) and ``sufferer``, "trim" or "other": which of the two
looks amiss.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.difference import hyab
from matcher.colorimetry.lrv import lrv
from matcher.colorimetry.whiteness import whiteness
from matcher.harmony.near_miss import claims_white
from matcher.harmony.tint import tint, visibility
from matcher.ranking import weights
from matcher.ranking.judge import accord
from matcher.ranking.limits import allowed_paints
from matcher.ranking.neighbours import pair_fit, related
from matcher.ranking.paint_columns import Paints
from matcher.ranking.question import Question
from matcher.ranking.shortlist import Reason
from matcher.scheme.scheme import Step, TrimStep, Verdict

FloatArray = NDArray[np.floating[Any]]
Mask = NDArray[np.bool_]
Told = tuple[Verdict, tuple[tuple[str, float | str], ...]]

# Whites by LRV and CIELAB chroma, warm ones by their hue angle too. Assumptions, as sorted on a fan of whites: what is
# called stark shows no tint (visibility below a half, as "neutral" everywhere here); b* of about 3 is a breath of
# warmth, from 4.5 a cream.
_STARK_LRV, _STARK_SEEN = 84.0, 0.5
_CLEAN_LRV, _CLEAN_CHROMA, _CLEAN_HUE_DEG = 80.0, (1.8, 4.5), (55.0, 112.0)
_CREAMY_LRV, _CREAMY_CHROMA, _CREAMY_HUE_DEG = 74.0, (4.5, 12.0), (65.0, 108.0)
# How much of a near miss (0..1) of two whites is seen as one of them yellowed or dirty, and from which step in b* it is
# yellowed. Assumptions.
_MISSED_FROM, _YELLOWER_BY = 0.35, 2.0
# How far both claim to be white (0..1, both together), so that the darker of them looks soiled. Assumption.
_BOTH_WHITE = 0.5
_BAD = ("looks dirty", "yellows")


def trim_ladder(question: Question, chosen: Mapping[str, int], scores: FloatArray) -> Iterator[TrimStep]:
    """The steps that the deck has, beside the surfaces that stay and the paints ``chosen`` (rows) for other roles;
    ``scores`` (N,) of the paints as trim, whatever is chosen.
    """
    paints = question.paints
    allowed = allowed_paints(question.setting.limits, paints, "trim")
    steps = {step: np.flatnonzero(kind & allowed) for step, kind in steps_of(paints).items()}
    whites = np.unique(np.concatenate(list(steps.values())))
    worth = weights.ROLE_WEIGHTS["trim"] * scores[whites]
    for role, row in chosen.items():
        if role != "trim" and related("trim", role):
            worth += weights.PAIR_WEIGHT * pair_fit("trim", paints.lab[whites], role, paints.lab[row])
    for step, rows in steps.items():
        if len(rows):
            row = int(rows[np.argmax(worth[np.searchsorted(whites, rows)])])
            yield TrimStep(step, row, tuple(_beside(question, paints.lab[row], float(paints.lrv[row]), chosen)))


def steps_of(paints: Paints) -> dict[Step, Mask]:
    """Tell of each paint (N,) whether it is a white of each step."""
    hue = np.degrees(np.arctan2(paints.lab[:, 2], paints.lab[:, 1])) % 360
    return {
        "stark": (paints.lrv >= _STARK_LRV)
        & (visibility(paints.lab) < _STARK_SEEN)
        & (paints.chroma < _CLEAN_CHROMA[0]),
        "clean": (paints.lrv >= _CLEAN_LRV) & _within(paints.chroma, _CLEAN_CHROMA) & _within(hue, _CLEAN_HUE_DEG),
        "creamy": (paints.lrv >= _CREAMY_LRV) & _within(paints.chroma, _CREAMY_CHROMA) & _within(hue, _CREAMY_HUE_DEG),
    }


def _within(values: FloatArray, limits: tuple[float, float]) -> Mask:
    return np.asarray((values >= limits[0]) & (values < limits[1]))


def _beside(
    question: Question, lab: FloatArray, own_lrv: float, chosen: Mapping[str, int]
) -> Iterator[tuple[str, Verdict, Reason]]:
    givens, paints = question.givens, question.paints
    told_of = verdicts_beside(lab, givens.lab, own_lrv - np.asarray(lrv(givens.lab)))
    for place, surface in enumerate(givens.surfaces):
        columns = range(len(givens.lab))[givens.columns(place)]
        seen = [column for column in columns if givens.seen[column] > 0] or [columns[0]]
        told = [told_of[column] for column in seen]
        # The main colour speaks for a surface, unless the trim goes amiss beside another that is seen.
        verdict, values = next((one for one in told if one[0] in _BAD), told[0])
        yield surface.name, verdict, _fact(verdict, values, surface.name)
    for role, row in chosen.items():
        if role != "trim":
            verdict, values = verdict_beside(lab, paints.lab[row], own_lrv - float(paints.lrv[row]))
            yield role, verdict, _fact(verdict, values, role)


def _fact(verdict: Verdict, values: tuple[tuple[str, float | str], ...], name: str) -> Reason:
    return Reason(f"trim-{verdict.replace(' ', '-')}", verdict not in _BAD, values, (name,), 1.0)


def verdict_beside(trim: FloatArray, other: FloatArray, lrv_step: float) -> Told:
    """What a trim (CIELAB) does beside another colour, and the numbers it rests on."""
    return verdicts_beside(trim, np.asarray(other)[None], np.asarray([lrv_step]))[0]


def verdicts_beside(trim: FloatArray, others: FloatArray, lrv_steps: FloatArray) -> list[Told]:
    """The same beside each of the ``others`` (N, 3), ``lrv_steps`` (N,) darker than the trim: all at once, as judging
    one takes as long as judging many.
    """
    trim, others = np.asarray(trim, dtype=np.float64), np.asarray(others, dtype=np.float64)
    one, two = tint(trim), tint(others)
    beside = accord(one, two)
    columns = (
        lrv_steps,
        trim[2] - others[:, 2],
        hyab(trim, others),
        whiteness(trim) - whiteness(others),
        beside.near_miss,
        beside.total,
        claims_white(one) * claims_white(two),
    )
    return [_told(*numbers) for numbers in zip(*(column.tolist() for column in columns), strict=True)]


def _told(
    lrv_step: float, yellow_step: float, apart: float, whiter: float, missed: float, total: float, both_white: float
) -> Told:
    sufferer = "trim" if whiter < 0 else "other"
    # A white that is clearly darker than its white neighbour is no contrast to it that anybody would mean.
    greyed = lrv_step <= -weights.TRIM_LIFT[1] and both_white >= _BOTH_WHITE
    verdict: Verdict
    if greyed or missed >= _MISSED_FROM or total <= weights.CLASH_FROM:
        # Beside a colour that is no white it is the white that looks amiss.
        sufferer = sufferer if greyed or missed >= _MISSED_FROM else "trim"
        yellower = yellow_step if sufferer == "trim" else -yellow_step
        verdict = "yellows" if yellower >= _YELLOWER_BY else "looks dirty"
    elif apart > weights.SAME_COLOUR and abs(lrv_step) >= weights.TRIM_LIFT[1]:
        verdict = "contrasts"
    else:
        verdict = "sits"
    return verdict, (
        ("lrv_step", lrv_step),
        ("yellow_step", yellow_step),
        ("whiteness_step", whiter),
        ("near_miss", missed),
        ("agreement", total),
        ("apart", apart),
        ("sufferer", sufferer),
    )
