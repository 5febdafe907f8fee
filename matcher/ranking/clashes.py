"""Pairings that will fight: which surface, of which kind, how badly, and how sure that is."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.harmony.tint import tint
from matcher.ranking import weights
from matcher.ranking.givens import Givens
from matcher.ranking.judge import Accord, accord, clash_severity, merge_severity
from matcher.ranking.paint_columns import Paints
from matcher.ranking.shortlist import Clash, ClashKind
from matcher.ranking.stability import Drawn

FloatArray = NDArray[np.floating[Any]]
Rows = NDArray[np.intp]

_MERGE_STEP = sum(weights.SEPARATION) / 2


def cause_of(judged: Accord, at: tuple[int, int]) -> str:
    """What takes most off the agreement of one pair: "undertone", "near-miss white" or "cleanness"."""
    parts = {
        "undertone": -float(judged.agreement[at]),
        "near-miss white": weights.NEAR_MISS_WHITE * float(judged.near_miss[at]),
        "cleanness": weights.CLEANNESS * float(judged.cleanness[at]),
    }
    return max(parts, key=lambda name: parts[name])


def _probabilities(lab: FloatArray, rows: Rows, columns: Rows, drawn: Drawn) -> FloatArray:
    """Share of the draws in which the pair (row, column) is past the threshold of a clash."""
    fixed = tint(drawn.lab[:, columns])
    return np.asarray((accord(tint(lab[rows].astype(np.float32)), fixed).total <= weights.CLASH_FROM).mean(axis=0))


def colour_clashes(paints: Paints, judged: Accord, givens: Givens, drawn: Drawn) -> list[list[Clash]]:
    """For each of n paints its undertone and warm-cool clashes, one a surface: with its worst colour."""
    lab, severity = paints.lab, np.asarray(clash_severity(judged.total) * givens.seen)
    found: list[list[Clash]] = [[] for _ in lab]
    worst_rows: list[int] = []
    worst_columns: list[int] = []
    for columns in map(givens.columns, range(len(givens.surfaces))):
        column = severity[:, columns].argmax(axis=1) + columns.start
        rows = np.flatnonzero(severity[np.arange(len(lab)), column] >= weights.LEAST_SEVERITY)
        worst_rows += rows.tolist()
        worst_columns += column[rows].tolist()
    if not worst_rows:
        return found
    chance = _probabilities(lab, np.array(worst_rows), np.array(worst_columns), drawn).tolist()
    paint_warmth = paints.warmth.tolist()
    for row, column, probability in zip(worst_rows, worst_columns, chance, strict=True):
        cause = cause_of(judged, (row, column))
        one, other = paint_warmth[row], float(givens.warmth[column])
        opposed = one * other < 0 and min(abs(one), abs(other)) > weights.WARM_FROM
        kind: ClashKind = "warm-cool" if cause == "undertone" and opposed else "undertone"
        found[row].append(_clash(givens, row, column, kind, cause, severity, judged, probability, (one, other)))
    return found


def _clash(
    givens: Givens,
    row: int,
    column: int,
    kind: ClashKind,
    cause: str,
    severity: FloatArray,
    judged: Accord,
    probability: float,
    both_warmth: tuple[float, float],
) -> Clash:
    place = int(givens.surface[column])
    colour = givens.undertones[column]
    values: tuple[tuple[str, float | str], ...] = (
        ("cause", cause),
        ("agreement", float(judged.total[row, column])),
        ("surface_family", givens.called[column]),
        ("surface_lean", givens.lean_words[column]),
        ("surface_hue_deg", colour.hue_deg),
        ("surface_chroma", colour.chroma),
        ("paint_warmth", both_warmth[0]),
        ("surface_warmth", both_warmth[1]),
        ("part", givens.parts[column]),
    )
    if column != givens.starts[place]:
        # Of two fields or boards only the share tells which is meant.
        values += (("share", float(givens.share[column])),)
    return Clash(givens.surfaces[place].name, kind, float(severity[row, column]), probability, values)


def _meant_distance(step: FloatArray) -> float:
    return float(abs(step[0]) + 0.5 * math.hypot(step[1], step[2]))


def nearer_step(lab: FloatArray, givens: Givens, place: int) -> FloatArray:
    """Paint minus surface (3,), from the surface's mean or its main colour, whichever is nearer."""
    steps = (lab - givens.surface_lab[place], lab - givens.lab[givens.starts[place]])
    return min(steps, key=_meant_distance)


def lightness_clashes(role: str, lab: FloatArray, separation: FloatArray, givens: Givens) -> list[list[Clash]]:
    """For each of n paints the surfaces it merges with without matching them, where the role asks for a step."""
    found: list[list[Clash]] = [[] for _ in lab]
    if weights.EXPECTATIONS[role].separation == 0:
        return found
    for row, place in zip(*np.nonzero(separation < weights.MERGES_BELOW), strict=True):
        surface = givens.surfaces[place]
        step = nearer_step(lab[row], givens, int(place))
        distance = _meant_distance(step)
        # Linearised: the step's doubt is that of the surface's lightness and half that of its chroma.
        variance = surface.covariance[0, 0] + 0.25 * (surface.covariance[1, 1] + surface.covariance[2, 2]) / 2
        doubt = math.sqrt(max(float(variance), 1e-6))
        probability = 0.5 * (1 + math.erf((_MERGE_STEP - distance) / (doubt * math.sqrt(2))))
        severity = float(merge_severity(separation[row, place]) * givens.surface_seen[place])
        if severity >= weights.LEAST_SEVERITY:
            values = (("lightness_step", float(step[0])), ("chromatic_step", math.hypot(step[1], step[2])))
            found[row].append(Clash(surface.name, "lightness", severity, probability, values))
    return found
