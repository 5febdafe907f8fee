"""From surfaces and a deck to a ranked shortlist for a role.

The surfaces and the paints are judged against each other once (:func:`prepare`); every role reads from that.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.errors import Problem, RequestError
from matcher.harmony.agreement import deliberate_contrast
from matcher.harmony.undertone import Undertone, families, undertones
from matcher.paints.deck import Deck
from matcher.ranking import weights
from matcher.ranking.clashes import colour_clashes, lightness_clashes
from matcher.ranking.diversity import apart_from, best_of_another_family, first_far, representatives, stands_for, varied
from matcher.ranking.drawn_scores import Undrawn, drawn_scores, judge_surfaces
from matcher.ranking.givens import Givens, gather
from matcher.ranking.light import RoomLight, room_light
from matcher.ranking.model import Candidate, Clash, Shortlist, Terms
from matcher.ranking.pairs import Pairs, judge_pairs
from matcher.ranking.reasons import Evidence, reasons_for
from matcher.ranking.stability import Drawn, draw_surfaces, staying, tied
from matcher.ranking.terms import (
    Paints,
    TermTable,
    Wishes,
    paints_of,
    term_table,
)
from matcher.surfaces.model import Surface

FloatArray = NDArray[np.floating[Any]]
Rows = NDArray[np.intp]

# Candidates that compete for a place when the surfaces are drawn anew: this many times the list's length (assumption:
# from further down a paint does not climb into the list within the measurement's doubt).
_RIVALS = 4


@dataclass(frozen=True, slots=True, eq=False)
class Prepared:
    """A room and a deck judged against each other, for all roles."""

    givens: Givens
    paints: Paints
    pairs: Pairs

    def narrowed(self, rows: Rows) -> Prepared:
        """The same room with some rows of the deck."""
        return Prepared(self.givens, self.paints.take(rows), self.pairs.take(rows))


@dataclass(frozen=True, slots=True, eq=False)
class Setting:
    """What the room and the client add to a role.

    Its light, wishes and the paints already chosen (role to lab (3,)).
    """

    light: RoomLight
    wishes: Wishes
    neighbours: Mapping[str, FloatArray]
    lamps_k: float | None


def prepare(surfaces: Sequence[Surface], deck: Deck, *, paints: Paints | None = None) -> Prepared:
    """Judge every paint beside every colour of every surface; ``paints`` are those of the deck, where at hand."""
    givens = gather(surfaces)
    ready = paints_of(deck) if paints is None else paints
    return Prepared(givens, ready, judge_pairs(ready.lab, ready.tint, givens))


def setting(
    *,
    warmth: str = "either",
    lrv_range: tuple[float, float] | None = None,
    neighbours: Mapping[str, FloatArray] | None = None,
    facing: str | None = None,
    latitude: float | None = None,
    lamps_k: float | None = None,
) -> Setting:
    """Gather what a role is judged by beside the surfaces."""
    chosen = {role: np.asarray(lab, dtype=np.float64) for role, lab in (neighbours or {}).items()}
    return Setting(room_light(facing, latitude, lamps_k), Wishes(warmth, lrv_range), chosen, lamps_k)


def score_role(role: str, prepared: Prepared, asked: Setting) -> TermTable:
    """Every paint's terms and score in one role. Raises RequestError for an unknown role."""
    if role not in weights.ROLES:
        raise RequestError(Problem(f"role {role!r}", "is none we know", f"Use one of: {', '.join(weights.ROLES)}"))
    neighbours = {other: lab for other, lab in asked.neighbours.items() if other != role}
    return term_table(
        role, prepared.paints, prepared.pairs,
        light=asked.light, wishes=asked.wishes, neighbours=neighbours,
    )  # fmt: skip


def rank_role(
    role: str,
    surfaces: Sequence[Surface],
    deck: Deck,
    *,
    warmth: str = "either",
    lrv_range: tuple[float, float] | None = None,
    neighbours: Mapping[str, FloatArray] | None = None,
    facing: str | None = None,
    latitude: float | None = None,
    lamps_k: float | None = None,
    top: int = 8,
    draws: int = 64,
    seed: int = 0,
    prepared: Prepared | None = None,
) -> Shortlist:
    """The best paints of ``deck`` for ``role``, best first.

    ``neighbours``: CIELAB (3,) of paints already chosen for other roles. ``top`` = 0 lists every paint (near-identical
    ones are then not folded into one). ``draws`` surfaces are drawn from their covariance for stability and for how
    sure a clash is. ``prepared`` saves judging the pairs again when several roles are ranked. The same inputs give the
    same list. Raises RequestError for an unknown role, ValueError without a surface or for an unknown compass point.
    """
    ready = prepare(surfaces, deck) if prepared is None else prepared
    asked = setting(
        warmth=warmth, lrv_range=lrv_range, neighbours=neighbours, facing=facing, latitude=latitude, lamps_k=lamps_k
    )
    table = score_role(role, ready, asked)
    lab = ready.paints.lab
    # Stable: equal scores keep the deck's order.
    order = np.argsort(-table.score, kind="stable")
    drawn = draw_surfaces(ready.givens, draws, seed)
    if top == 0:
        every: list[int] = order.tolist()
        chosen = _Chosen(every, {}, np.ones(len(every)), list(range(len(every))), best_of_another_family(lab, order))
    else:
        chosen = _choose(role, ready, table, order, drawn, top)
    return Shortlist(role, _candidates(role, ready, asked, table, drawn, chosen))


@dataclass(frozen=True, slots=True, eq=False)
class _Chosen:
    """``rows`` to list, best first, the rows each stands for, how ``stable`` each is, the place of the first of its
    group of ties, and the best row of ``another`` hue family.
    """

    rows: list[int]
    alike: Mapping[int, tuple[int, ...]]
    stable: FloatArray
    group: list[int]
    another: int | None

    def tied_with(self, place: int) -> tuple[int, ...]:
        """The other rows of its group."""
        return tuple(
            row for other, row in enumerate(self.rows) if self.group[other] == self.group[place] and other != place
        )


def _choose(role: str, ready: Prepared, table: TermTable, order: Rows, drawn: Drawn, top: int) -> _Chosen:
    lab = ready.paints.lab
    rivals = representatives(lab, order, _RIVALS * top)
    words = tuple(families(lab[rivals]))
    listed, other = varied(rivals, words, top), first_far(rivals, words)
    if other is None:
        # Further down than the rivals; one that a rival stands for is told with it and so no different answer.
        other = best_of_another_family(lab, np.concatenate([rivals[:1], apart_from(lab, order, rivals)]))
        rivals += [] if other is None else [other]
    if other is not None and other not in listed:
        listed = sorted([*listed[: max(top - 1, 1)], other], key=rivals.index)
    scores = _drawn_scores(role, ready, table, np.array(rivals), drawn)
    places = [rivals.index(row) for row in listed]
    return _Chosen(listed, stands_for(lab, order, listed), staying(scores, top)[places], tied(scores[places]), other)


def _drawn_scores(role: str, ready: Prepared, table: TermTable, rows: Rows, drawn: Drawn) -> FloatArray:
    """(M, draws) scores of some rows with surfaces drawn anew; what no surface colour enters stays."""
    paints, givens = ready.paints.take(rows), ready.givens
    judged = judge_surfaces(paints, givens, drawn.lab, drawn.surface_lab)
    return drawn_scores(Undrawn(role, table.take(rows), ready.pairs.apart[rows]), judged, givens)


def evidence_of(
    role: str, ready: Prepared, asked: Setting, *, table: TermTable, colours: tuple[Undertone, ...]
) -> Evidence:
    """What can be said in a role of the paints of ``ready`` (all of them: narrow it first), scored in ``table``."""
    pairs = ready.pairs
    return Evidence(
        role=role,
        paints=ready.paints,
        undertones=colours,
        judged=pairs.accord,
        relative_harmony=pairs.harmony,
        table=table,
        givens=ready.givens,
        contrast=deliberate_contrast(pairs.tint, ready.givens.tint),
        paint_hue_prime=pairs.tint.hue_deg[:, 0],
        paint_gate=pairs.tint.gate[:, 0],
        wishes=asked.wishes,
        neighbours={other: lab for other, lab in asked.neighbours.items() if other != role},
        away_from_sun=asked.light.away_from_sun,
        lamps_k=asked.lamps_k,
    )


def _candidates(
    role: str,
    ready: Prepared,
    asked: Setting,
    table: TermTable,
    drawn: Drawn,
    chosen: _Chosen,
) -> tuple[Candidate, ...]:
    rows = np.array(chosen.rows, dtype=np.intp)
    colours = undertones(ready.paints.lab[rows])
    evidence = evidence_of(role, ready.narrowed(rows), asked, table=table.take(rows), colours=colours)
    lab, cut = evidence.paints.lab, evidence.table
    by_colour = colour_clashes(evidence.paints, evidence.judged, ready.givens, drawn)
    by_lightness = lightness_clashes(role, lab, cut.separation, ready.givens)
    reasons = reasons_for(evidence)
    columns = (cut.harmony, cut.undertone, cut.contrast, cut.light, cut.wishes)
    terms = np.stack(columns, axis=1).astype(np.float64).tolist()
    return tuple(
        Candidate(
            rank=place + 1,
            paint=row,
            score=float(cut.score[place]),
            terms=Terms(*terms[place]),
            clashes=_worst_first([*by_colour[place], *by_lightness[place]]),
            reasons=reasons[place],
            stability=float(chosen.stable[place]),
            stands_for=chosen.alike.get(row, ()),
            different_family=row == chosen.another,
            tied_with=chosen.tied_with(place),
        )
        for place, row in enumerate(chosen.rows)
    )


def _worst_first(clashes: list[Clash]) -> tuple[Clash, ...]:
    return tuple(sorted(clashes, key=lambda clash: -clash.severity))
