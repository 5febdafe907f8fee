"""From a question to a ranked shortlist for one of its roles."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.harmony.undertone import families
from matcher.ranking import weights
from matcher.ranking.clashes import colour_clashes, lightness_clashes
from matcher.ranking.diversity import first_of_sides, representatives, stands_for, varied
from matcher.ranking.givens import Givens
from matcher.ranking.judge import clashes_beside, judge, worth_a_line
from matcher.ranking.limits import allowed_paints
from matcher.ranking.question import Question
from matcher.ranking.reasons import Evidence, evidence_of, reasons_for
from matcher.ranking.score import Scores, Standing, score, scored
from matcher.ranking.shortlist import Candidate, Clash, Reason, Shortlist, Terms
from matcher.ranking.stability import Drawn, draw_surfaces, leading, staying, tied

FloatArray = NDArray[np.floating[Any]]
Rows = NDArray[np.intp]

# Candidates that compete for a place when the surfaces are drawn anew: this many times the list's length. Where
# surfaces are as doubtful as without a card, five times as many change how sure a place is by 0.03 at the most; with
# half as many it was 0.16 (four typed rooms of tests/scheme, demo deck).
_RIVALS = 8
DRAWS = 64
_LISTED = 8  # paints in a list where no other number is asked for
_NEARLY = 400  # paints looked at for other directions (assumption: further down none is a good match)


def rank(question: Question, role: str, *, top: int = _LISTED, draws: int = DRAWS, seed: int = 0) -> Shortlist:
    """The best paints for ``role``, best first: those that clash with nothing, and others only where these run out.

    ``top`` = 0 lists every paint by its score alone (near-identical ones are then not folded into one). ``draws``
    surfaces are drawn from their covariance for stability and for how sure a clash is. The same inputs give the same
    list.
    """
    found = score(question, role)
    # Stable: equal scores keep the deck's order.
    order = np.argsort(-found.score, kind="stable")
    if top > 0:
        order = _not_ruled_out(question, role, order)
    drawn = draw_surfaces(question.givens, draws, seed)
    if top == 0:
        every: list[int] = order.tolist()
        chosen = _Chosen(every, {}, np.ones(len(every)), list(range(len(every))), frozenset())
    else:
        chosen = _choose(question, role, found, order, drawn, top)
    return Shortlist(role, _candidates(question, role, found, drawn, chosen), _notes(question, found))


@dataclass(frozen=True, slots=True)
class FirstChoice:
    """The ``paint`` (row in the deck) that heads a shortlist, and its ``score``."""

    paint: int
    score: float


def first_choice(question: Question, role: str, *, found: Scores | None = None) -> FirstChoice:
    """Return what :func:`rank` puts first, at a fraction of its cost; ``found`` as the role was scored, where at hand.

    While there are enough paints that clash with nothing, the best of them heads the list, whatever follows.
    """
    found = score(question, role) if found is None else found
    order = _not_ruled_out(question, role, np.argsort(-found.score, kind="stable"))
    peaceful = order[found.clash[order] == 0]
    if len(representatives(question.paints.lab, peaceful, _LISTED)) == _LISTED:
        return FirstChoice(int(peaceful[0]), float(found.score[peaceful[0]]))
    best = rank(question, role).candidates[0]
    return FirstChoice(best.paint, best.score)


def clashing(question: Question, role: str, *, severity: float, most: int) -> tuple[Candidate, ...]:
    """Up to ``most`` paints fit for ``role`` that clash with something by ``severity`` (0..1) or more: those that would
    score best did they not, best first.
    """
    found = score(question, role)
    rows = np.flatnonzero((found.clash >= severity) & (found.by_itself.fit >= weights.FIT_ENOUGH))
    otherwise = found.score[rows] / (1 - weights.CLASH_COST * found.clash[rows])
    listed: list[int] = rows[np.argsort(-otherwise, kind="stable")][:most].tolist()
    if not listed:
        return ()
    drawn = draw_surfaces(question.givens, DRAWS, 0)
    alone = _Chosen(listed, {}, np.ones(len(listed)), list(range(len(listed))), frozenset())
    return _candidates(question, role, found, drawn, alone)


def _not_ruled_out(question: Question, role: str, order: Rows) -> Rows:
    """The rows that the client's limits leave for a role; all of them where none is left, as the scheme then says."""
    left = order[allowed_paints(question.setting.limits, question.paints, role)[order]]
    return left if len(left) else order


@dataclass(frozen=True, slots=True, eq=False)
class _Chosen:
    """``rows`` to list, best first, the rows each stands for, how ``stable`` each is, the place of the first of its
    group of ties, and the rows listed ``for_direction``.
    """

    rows: list[int]
    alike: Mapping[int, tuple[int, ...]]
    stable: FloatArray
    group: list[int]
    for_direction: frozenset[int]

    def tied_with(self, place: int) -> tuple[int, ...]:
        """The other rows of its group."""
        return tuple(
            row for other, row in enumerate(self.rows) if self.group[other] == self.group[place] and other != place
        )


def _choose(question: Question, role: str, found: Scores, order: Rows, drawn: Drawn, top: int) -> _Chosen:
    lab = question.paints.lab
    peaceful = order[found.clash[order] == 0]
    rivals = representatives(lab, peaceful, _RIVALS * top)
    listed, shown = list[int](), set[int]()
    scores: FloatArray = np.zeros((0, len(drawn.lab)))
    if rivals:
        nearly = peaceful[found.score[peaceful] >= found.score[rivals[0]] - weights.ANOTHER_DIRECTION][:_NEARLY]
        white = _white_cabinets(question, role, nearly)
        rivals = list(dict.fromkeys([*rivals, *first_of_sides(lab, nearly, rivals), *white]))
        scores = _drawn_scores(question, found.by_itself, np.array(rivals), drawn)
        expected = [place for place, row in enumerate(rivals) if row in nearly]
        asked = [rivals.index(row) for row in white]
        own = found.score[rivals]
        better = leading(scores) & (own[:, None] - own > weights.SAME_STANDING)
        listed, shown = varied(rivals, tuple(families(lab[rivals])), better, expected, top, always=asked)
    if len(listed) < top:
        # Whatever is left clashes with something: the least bad of it, apart from what is listed already.
        rest = order[found.clash[order] > 0]
        filled = representatives(lab, np.concatenate([np.array(listed, dtype=np.intp), rest]), _RIVALS * top)
        more = [row for row in filled if row not in rivals]
        scores = np.concatenate(
            [scores, _drawn_scores(question, found.by_itself, np.array(more, dtype=np.intp), drawn)]
        )
        rivals = [*rivals, *more]
        listed = [*listed, *(row for row in filled if row not in listed)][:top]
    listed.sort(key=lambda row: (-found.score[row], row))
    places = [rivals.index(row) for row in listed]
    return _Chosen(
        listed, stands_for(lab, order, listed), staying(scores, top)[places], tied(scores[places]), frozenset(shown)
    )


def _white_cabinets(question: Question, role: str, nearly: Rows) -> list[int]:
    """The best white of the paints that are ``nearly`` as good as the first, for cabinets."""
    if role != "cabinets":
        return []
    white: list[int] = nearly[question.paints.lrv[nearly] >= weights.WHITE_CABINETS_LRV][:1].tolist()
    return white


def _drawn_scores(question: Question, by_itself: Standing, rows: Rows, drawn: Drawn) -> FloatArray:
    """(M, draws) scores of some rows with surfaces drawn anew; what no surface colour enters stays."""
    judged = judge(question.paints.take(rows), question.givens, drawn.lab, drawn.surface_lab)
    return scored(by_itself.take(rows), judged, question).score


def _candidates(question: Question, role: str, found: Scores, drawn: Drawn, chosen: _Chosen) -> tuple[Candidate, ...]:
    rows = np.array(chosen.rows, dtype=np.intp)
    evidence = evidence_of(question, found.by_itself.take(rows), rows)
    clashes = all_clashes(role, evidence, question.givens, drawn)
    reasons = reasons_for(evidence)
    columns = (found.harmony, found.undertone, found.contrast, found.by_itself.light, found.by_itself.wishes)
    terms = np.stack([column[rows] for column in columns], axis=1).astype(np.float64).tolist()
    return tuple(
        Candidate(
            rank=place + 1,
            paint=row,
            score=float(found.score[row]),
            terms=Terms(*terms[place]),
            clashes=clashes[place],
            reasons=reasons[place],
            stability=float(chosen.stable[place]),
            stands_for=chosen.alike.get(row, ()),
            for_direction=row in chosen.for_direction,
            tied_with=chosen.tied_with(place),
        )
        for place, row in enumerate(chosen.rows)
    )


def all_clashes(role: str, evidence: Evidence, givens: Givens, drawn: Drawn) -> list[tuple[Clash, ...]]:
    """The clashes of each paint in a role, worst first."""
    by_colour = colour_clashes(evidence.paints, evidence.accord, givens, drawn)
    by_lightness = lightness_clashes(role, evidence.paints.lab, evidence.steps, givens)
    return [
        tuple(sorted([*one, *other], key=lambda clash: -clash.severity))
        for one, other in zip(by_colour, by_lightness, strict=True)
    ]


def _notes(question: Question, found: Scores) -> tuple[Reason, ...]:
    """What has to be said first: that nothing fit for the role sits with a surface, with which two or with all."""
    rows = np.flatnonzero(found.by_itself.fit >= weights.FIT_ENOUGH)
    if not len(rows) or (found.clash[rows] == 0).any():
        return ()
    judged = [one.rows(rows) for one in question.judged]
    worst = worth_a_line(np.concatenate(list(clashes_beside(found.by_itself.role, judged, question.givens)), axis=1))
    names = [surface.name for surface in question.givens.surfaces]
    # As few as it takes: two pull apart where each by itself has paints that sit with it.
    for count in (1, 2, len(names)):
        least = {some: float(worst[:, some].max(axis=1).min()) for some in combinations(range(len(names)), count)}
        apart = max(least, key=least.__getitem__)
        if least[apart]:
            break
    return (Reason("nothing-sits", False, (("clash", least[apart]),), tuple(names[place] for place in apart), 1.0),)
