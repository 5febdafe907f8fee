"""The surfaces of a room as columns: every colour of every surface once, with what it counts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.description.lean_word import lean_words
from matcher.harmony.ramp import smoothstep
from matcher.harmony.tint import Tint, tint
from matcher.harmony.undertone import Undertone, undertones
from matcher.harmony.warmth import warmth
from matcher.ranking import weights
from matcher.ranking.called import CALLED_FROM, UNCALLED, undertone_certainty
from matcher.surfaces.surface import Surface, SurfaceColour

FloatArray = NDArray[np.floating[Any]]


@dataclass(frozen=True, slots=True, eq=False)
class Givens:
    """K colours of S surfaces. ``lab`` (K, 3); ``covariance`` (K, 3, 3); ``surface`` (K,) index of the surface,
    ascending; ``starts`` (S,) first colour of each; ``share`` and ``mean_weight`` (K,) sum to 1 within a surface;
    ``seen`` (K,) 0..1; ``visibility`` (S,) sums to 1; ``surface_seen`` (S,) 0..1; ``surface_lab`` (S, 3) the area
    means; ``undertones`` and ``parts`` of the K colours, ``called`` the family each is
    called by and ``lean_words`` its trade word, ``colours`` themselves.
    """

    surfaces: tuple[Surface, ...]
    lab: FloatArray
    covariance: FloatArray
    tint: Tint
    warmth: FloatArray
    surface: NDArray[np.intp]
    starts: NDArray[np.intp]
    share: FloatArray
    mean_weight: FloatArray
    seen: FloatArray
    visibility: FloatArray
    surface_seen: FloatArray
    surface_lab: FloatArray
    undertones: tuple[Undertone, ...]
    parts: tuple[str, ...]
    called: tuple[str, ...]
    lean_words: tuple[str, ...]
    colours: tuple[SurfaceColour, ...]

    def columns(self, place: int) -> slice:
        """The colours of surface number ``place`` among the K, its main colour first."""
        stops = [*self.starts[1:].tolist(), len(self.surface)]
        return slice(int(self.starts[place]), stops[place])

    def within(self, place: int, values: Sequence[FloatArray], worst_share: float) -> FloatArray:
        """The weighted mean of one array (...) for each colour of a surface, with the worst one counted beside it."""
        columns = self.columns(place)
        return _blended(values, self.mean_weight[columns].tolist(), self.seen[columns].tolist(), worst_share)

    def among(self, values: Sequence[FloatArray], worst_share: float) -> FloatArray:
        """The mean by visibility of one array (...) for each surface, with the worst surface counted beside it."""
        return _blended(values, self.visibility.tolist(), self.surface_seen.tolist(), worst_share)


def _blended(
    values: Sequence[FloatArray], weights: Sequence[float], seen: Sequence[float], worst_share: float
) -> FloatArray:
    """The weighted mean of arrays, with the one that falls farthest below it counted beside it."""
    mean = sum(weight * one for weight, one in zip(weights, values, strict=True))
    below = ((one - mean) * share for one, share in zip(values, seen, strict=True))
    return np.asarray(mean + worst_share * reduce(np.minimum, below))


def _visibility(surfaces: Sequence[Surface]) -> FloatArray:
    values = np.array([surface.visibility for surface in surfaces])
    total = values.sum()
    return values / total if total > 0 else np.full(len(values), 1 / len(values))


def gather(surfaces: Sequence[Surface]) -> Givens:
    """Lay out one or more surfaces, sorted by name and within one by share, so that their order cannot change a
    rounding; of equal shares the surface's first colour is its main one here too.

    Raises ValueError without any.
    """
    if not surfaces:
        raise ValueError("ranking needs at least one surface")
    ordered = tuple(sorted(surfaces, key=lambda surface: surface.name))
    colours = [
        (index, colour)
        for index, surface in enumerate(ordered)
        for colour in sorted(surface.colours, key=lambda colour: -colour.share)
    ]
    lab = np.array([colour.lab for _, colour in colours], dtype=np.float64)
    index = np.array([place for place, _ in colours], dtype=np.intp)
    starts = np.searchsorted(index, np.arange(len(ordered))).astype(np.intp)
    share = np.array([colour.share for _, colour in colours])
    share = share / np.add.reduceat(share, starts)[index]
    powered = share**weights.SHARE_POWER
    visible = _visibility(ordered)
    covariance = np.array([colour.covariance for _, colour in colours], dtype=np.float64)
    leans = undertones(lab)
    certain = (undertone_certainty(lab, covariance) >= CALLED_FROM).tolist()
    return Givens(
        surfaces=ordered,
        lab=lab,
        covariance=covariance,
        tint=tint(lab.astype(np.float32)),
        warmth=warmth(lab),
        surface=index,
        starts=starts,
        share=share,
        mean_weight=(powered / np.add.reduceat(powered, starts)[index]).astype(np.float32),
        seen=smoothstep(share, *weights.COLOUR_SEEN).astype(np.float32),
        visibility=visible.astype(np.float32),
        surface_seen=smoothstep(visible, *weights.SURFACE_SEEN).astype(np.float32),
        surface_lab=np.array([surface.lab for surface in ordered], dtype=np.float64),
        undertones=leans,
        parts=tuple(colour.part for _, colour in colours),
        called=tuple(lean.family if sure else UNCALLED for lean, sure in zip(leans, certain, strict=True)),
        lean_words=lean_words(leans, [len(surface.colours) for surface in ordered]),
        colours=tuple(colour for _, colour in colours),
    )
