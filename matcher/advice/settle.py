"""What would settle it: which measurement takes most off the regret to be expected of today's choice of paints.

A doubt costs only where it may turn the choice. Each action splits the doubt into what it would tell (outer draws) and
what it would leave (inner draws). One set of random numbers serves all actions.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from matcher.advice.advice import ACTIONS, BY_PHOTO, WORTH_ASKING, Action, Advice, RoleDoubt
from matcher.advice.left_over import left_over
from matcher.advice.possible import possible_actions
from matcher.advice.value import value_of_knowing
from matcher.colorimetry.normal import even_normals
from matcher.colorimetry.symmetric_root import symmetric_root
from matcher.ranking import weights
from matcher.ranking.givens import Givens
from matcher.ranking.judge import Judged, judge, judge_surface
from matcher.ranking.paint_columns import Paints
from matcher.ranking.question import Question
from matcher.ranking.score import Standing, score, scored, standing
from matcher.ranking.spread import within_lightness
from matcher.ranking.stability import Drawn, draw_surfaces
from matcher.surfaces.surface import FloatArray
from matcher.surfaces.told import PhotoTold

Rows = NDArray[np.intp]

_OUTER, _INNER = 24, 16
# Which paints may come out best at all: of the best by the measured colours, those that are among the best in one of a
# few draws. Assumptions, checked with the whole deck and more draws in tests/advice/test_settle.py.
_HOPEFUL, _SCOUTS, _OF_EACH = 250, 24, 1
# Of the actions that gain nearly as much as the best, this share of it, the least troublesome is named. Assumption.
_NEARLY = 0.8


def what_would_settle(question: Question, photos: Sequence[PhotoTold], *, seed: int = 0) -> Advice:
    """Return what to measure next for the choice of the question's open roles (none: nothing is to settle).

    The same inputs give the same advice.
    """
    givens, roles = question.givens, question.open_roles
    rows = _rivals(question, seed)
    rivals = _Rivals.of(question, rows)
    judged = _judge(rivals.paints, givens, draw_surfaces(givens, _OUTER * _INNER, seed))
    worth = {role: rivals.worth(role, judged) for role in roles}
    doubts = tuple(_role_doubt(role, one) for role, one in worth.items())
    # What is best in no draw and not on average has no say.
    kept = np.unique([0, *(row for one in worth.values() for row in (*one.argmax(axis=0), one.mean(axis=1).argmax()))])
    rivals, judged = _Rivals.of(question, rows[kept]), tuple(one.rows(kept) for one in judged)
    regret = _over_roles({doubt.role: doubt.regret for doubt in doubts})
    normal = _normals(len(givens.surfaces), seed)
    beside = _undisturbed(rivals.paints, givens, normal[1])
    actions = []
    for place, surface in enumerate(givens.surfaces):
        # The most telling first: what it would not be worth asking for, no lesser action on this surface is.
        for kind in reversed(tuple(possible_actions(surface, photos))):
            left = np.stack([left_over(colour, kind, surface) for colour in givens.colours[givens.columns(place)]])
            gain, change = _gain(rivals, givens, beside, (place, left), normal)
            main = givens.columns(place).start
            actions.append(
                Action(
                    kind=kind, surface=surface.name, gain=min(gain, regret), regret=max(regret - gain, 0.0),
                    change=change, lab=givens.lab[main], covariance=givens.covariance[main], afterwards=left[0],
                )
            )  # fmt: skip
            if kind == "instrument" and gain < WORTH_ASKING:
                break
    actions.sort(key=lambda a: (-a.gain, ACTIONS.index(a.kind), a.surface))
    return Advice(
        actions=(*actions, _sample_board(regret)),
        regret=regret,
        roles=doubts,
        best=_to_name(actions),
        photo=_to_name([action for action in actions if action.kind in BY_PHOTO]),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Rivals:
    """The paints that may come out best, and what each is in an open role by itself."""

    question: Question
    paints: Paints
    by_itself: Mapping[str, Standing]

    @classmethod
    def of(cls, question: Question, rows: Rows) -> _Rivals:
        by_itself = {role: standing(question, role, rows) for role in question.open_roles}
        return cls(question, question.paints.take(rows), by_itself)

    def worth(self, role: str, judged: Sequence[Judged]) -> FloatArray:
        """(M, ...): the scores in a role."""
        return scored(self.by_itself[role], judged, self.question).score


def _rivals(question: Question, seed: int) -> Rows:
    hopeful = [np.argsort(-score(question, role).score, kind="stable")[:_HOPEFUL] for role in question.open_roles]
    rows = np.unique(np.concatenate([*hopeful, np.zeros(1, dtype=np.intp)]))
    pool = _Rivals.of(question, rows)
    judged = _judge(pool.paints, question.givens, draw_surfaces(question.givens, _SCOUTS, seed + 1))
    kept = {0}
    for role in question.open_roles:
        worth = pool.worth(role, judged)
        kept |= set(np.argpartition(-worth, min(_OF_EACH, len(worth)) - 1, axis=0)[:_OF_EACH].ravel().tolist())
    return rows[sorted(kept)]


def _judge(paints: Paints, givens: Givens, drawn: Drawn) -> tuple[Judged, ...]:
    return judge(paints, givens, drawn.lab, drawn.surface_lab)


def _role_doubt(role: str, worth: FloatArray) -> RoleDoubt:
    """What knowing everything would be worth: nothing is open after any outcome."""
    return RoleDoubt(role, *value_of_knowing(worth[:, :, None]))


def _over_roles(values: Mapping[str, float]) -> float:
    """The mean over roles, each by how much it counts in a scheme."""
    total = sum(weights.ROLE_WEIGHTS[role] for role in values)
    return sum(weights.ROLE_WEIGHTS[role] * value for role, value in values.items()) / total if total else 0.0


def _normals(surfaces: int, seed: int) -> tuple[FloatArray, FloatArray]:
    """Outer (R, S, 3) and inner (J, S, 3) normal numbers, shifted at random for each surface."""
    shift = np.random.default_rng(seed + 2).random((2, surfaces, 3))
    return even_normals(_OUTER, shift[0]), even_normals(_INNER, shift[1])


def _gain(
    rivals: _Rivals,
    givens: Givens,
    beside: Sequence[Judged],
    action: tuple[int, FloatArray],
    normal: tuple[FloatArray, FloatArray],
) -> tuple[float, float]:
    """What an action takes off the regret to be expected, and how probable it is that it changes a choice.

    ``action`` is the number of its surface and what it leaves there, (k, 3, 3).
    """
    place, left = action
    drawn = judge_surface(rivals.paints, givens, place, *_measured_and_left(givens, place, left, normal))
    judged = [drawn.shaped(_OUTER, _INNER) if other == place else one for other, one in enumerate(beside)]
    gains, kept = {}, 1.0
    for role in rivals.by_itself:
        worth = rivals.worth(role, judged)
        gains[role], change = value_of_knowing(worth)
        kept *= 1 - change
    return _over_roles(gains), 1 - kept


def _undisturbed(paints: Paints, givens: Givens, inner: FloatArray) -> list[Judged]:
    """Every surface as it may truly be while nothing more is told of it, by the inner draws."""
    nothing = np.zeros((1, len(givens.surfaces), 3))
    return [
        judge_surface(
            paints,
            givens,
            place,
            *_measured_and_left(givens, place, givens.covariance[givens.columns(place)], (nothing, inner)),
        ).shaped(1, len(inner))
        for place in range(len(givens.surfaces))
    ]


def _measured_and_left(
    givens: Givens, place: int, left: FloatArray, normal: tuple[FloatArray, FloatArray]
) -> tuple[FloatArray, FloatArray]:
    """Colours (R * J, k, 3) of one surface and their mean (R * J, 3): what is told varies slowest."""
    columns = givens.columns(place)
    outer, inner = (one[:, place] for one in normal)
    measured = np.einsum("kij,dj->dki", symmetric_root(givens.covariance[columns] - left), outer)
    still = np.einsum("kij,dj->dki", symmetric_root(left), inner)
    moved = (measured[:, None] + still[None]).reshape(-1, *measured.shape[1:])
    mean = np.einsum("k,dki->di", givens.share[columns], moved)
    return within_lightness(givens.lab[columns] + moved), within_lightness(givens.surface_lab[place] + mean)


def _to_name(actions: Sequence[Action]) -> Action | None:
    """Of actions, best first, those that gain nearly as much as the best: of these the least troublesome."""
    if not actions or actions[0].gain < WORTH_ASKING:
        return None
    near = [action for action in actions if action.gain >= _NEARLY * actions[0].gain]
    return min(near, key=lambda action: ACTIONS.index(action.kind))


def _sample_board(regret: float) -> Action:
    """It tells nothing of the surfaces, but the paint itself is seen beside them: the end of every choice."""
    nothing = np.zeros((3, 3))
    return Action("sample board", "", 0.0, regret, 0.0, np.zeros(3), nothing, nothing)
