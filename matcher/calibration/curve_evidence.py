"""What neutral patches of several reflectances, side by side, say of the tone curve and of the light across them.

At one place the light is one level a channel with a gentle slope; patches of known reflectance under it must stand
in the ratio of their reflectances. What they depart from it is the curve's doing: one curve for the whole photo,
levels free at each place.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from matcher.calibration.patch import LEVELS, Patch
from matcher.calibration.tone_curve import linear_table, moved_strengths, tone_weights
from matcher.colorimetry.spaces import Floats
from matcher.photo.decoded import ColourSpace

# Assumptions: relative error of a patch's light that is not pixel noise: its own where it lies (gloss, tilt), and what
# it has wherever it lies (a card that is not quite the reflectance printed on it, a curve between the tones that is
# not quite the camera's); and what stray light in the lens adds on a black patch.
_PATCH_ERROR, _CARD_ERROR, _CHANNEL_ERROR = 0.015, 0.02, 0.04
CARD_SD = float(np.hypot(_CARD_ERROR, _CHANNEL_ERROR))
_STRAY_LIGHT = 0.002
_FREE_LEVEL = 10.0  # sigma of the logarithm of a place's level: as good as unknown
# Quantisation of the file value, as a one-sigma in file values after averaging over noisy pixels (assumption).
_QUANTUM = 0.3 / 255
_DISPLAY_GAMMA = 2.2
# Assumption: the light's slope seen inside the patches is known this well when carried from patch to patch.
_SLOPE_ERROR = 0.3
_NEIGHBOUR_EXTENTS = 3.0
_ONE_CARD = 0.02  # difference in the logarithm of reflectance below which patches may be one card
_SPENT = 2  # numbers of a curve that patches settle beyond what is believed of it (assumption)
_STEP = 1e-3
_RGB = np.eye(3)


def places(patches: Sequence[Patch]) -> list[list[int]]:
    """Group patch indices by place: the surface they lie on, or nearness where that is not said."""
    groups: dict[str, list[int]] = {}
    loose: list[list[int]] = []
    for index, patch in enumerate(patches):
        if patch.on is not None:
            groups.setdefault(patch.on, []).append(index)
            continue
        near = [g for g in loose if any(adjacent(patch, patches[i]) for i in g)]
        merged = [index, *(i for g in near for i in g)]
        loose = [g for g in loose if g not in near] + [sorted(merged)]
    return [*groups.values(), *loose]


def adjacent(a: Patch, b: Patch) -> bool:
    """Tell whether two patches lie so near each other that one light falls on both."""
    return bool(np.linalg.norm(a.centre - b.centre) < _NEIGHBOUR_EXTENTS * max(a.extent, b.extent))


def shared_slope(members: Sequence[Patch]) -> tuple[Floats, float]:
    """Return the slope (2,) of the logarithm of light at a place, from the inside of its patches, and its sigma."""
    weights = _slope_weights(members)
    slope = (weights[:, None] * np.stack([p.slope for p in members])).sum(axis=0) / weights.sum()
    return slope, float(np.hypot(weights.sum() ** -0.5, _SLOPE_ERROR * np.linalg.norm(slope)))


def _slope_weights(members: Sequence[Patch]) -> Floats:
    return np.array([1 / max(p.slope_sd, 1e-9) ** 2 for p in members])


class CurveEvidence:
    """``evidence`` counts the ratios between patches of one place.

    A place's free level and the doubt about its slope are covariance: what they could explain weighs nothing.
    """

    def __init__(self, groups: Sequence[Sequence[Patch]], space: ColourSpace) -> None:
        """Take the patches of each place, two or more of different reflectance."""
        self._space = space
        self._members = [patch for group in groups for patch in group]
        self._reflected = np.stack([p.reflected(_RGB) for p in self._members])
        self.evidence = len(self._members) - len(groups)
        self._carried = _carried_slopes(groups)
        self._tones = np.stack([_tone_weights(p) for p in self._members], axis=1)
        covariance = self._covariance(groups)
        self._whiten = np.linalg.inv(np.linalg.cholesky(covariance))
        # Cards of one reflectance as one: however often it was laid down, a card says one thing.
        self._pool = np.kron(_means(_one_card(self._members)), _RGB)
        self._whiten_pooled = np.linalg.inv(np.linalg.cholesky(self._pool @ covariance @ self._pool.T))

    def departure(self, strength: Floats) -> tuple[Floats, Floats]:
        """Return the whitened departure (patches * 3,) from one light a place under the curve of ``strength`` (5,), and
        its change with each strength (patches * 3, 5).
        """
        base, *moved = self._departures(moved_strengths(strength, _STEP))
        jacobian = np.stack([(other - base) / _STEP for other in moved], axis=1)
        return self._whiten @ base, self._whiten @ jacobian

    def excess(self, strength: Floats) -> float:
        """Return how much larger the patches' errors are under a curve than they should be, as squares: 1 or more."""
        (departure,) = self._departures(strength[None])
        own, pooled = self._whiten @ departure, self._whiten_pooled @ (self._pool @ departure)
        cards = len(pooled) // 3
        return max(
            1.0,
            float(own @ own) / max(1, 3 * self.evidence - _SPENT),
            float(pooled @ pooled) / max(1, 3 * (cards - 1) - _SPENT),
        )

    def _departures(self, strengths: Floats) -> Floats:
        """Return (T, patches * 3): the logarithm of the level each patch and channel claims under each curve."""
        tables = linear_table(strengths, self._space, LEVELS)
        linear = np.stack([p.linear(tables) for p in self._members], axis=1)
        levels = np.log(np.maximum(linear, 1e-6) / self._reflected)
        # Slopes are seen under the plain encoding; the curve stretches them as it does light.
        explained = np.exp(strengths @ self._tones) @ self._carried.T
        return np.asarray((levels - explained[..., None]).reshape(len(strengths), -1))

    def _covariance(self, groups: Sequence[Sequence[Patch]]) -> Floats:
        covariance = _block_diagonal([_place_covariance(group) for group in groups])
        return np.asarray(covariance + np.kron(_one_card(self._members), _CARD_ERROR**2 + _CHANNEL_ERROR**2 * _RGB))


def _one_card(members: Sequence[Patch]) -> Floats:
    """Return (patches, patches): 1 where two may be one card, laid down twice, 0 elsewhere."""
    reflectance = np.log([p.reflectance for p in members])
    return np.asarray(np.abs(reflectance[:, None] - reflectance) < _ONE_CARD, dtype=float)


def _means(one_card: Floats) -> Floats:
    """Return (cards, patches): the mean over the patches of each card."""
    cards = np.unique(one_card, axis=0)
    return np.asarray(cards / cards.sum(axis=1, keepdims=True))


def _place_covariance(members: Sequence[Patch]) -> Floats:
    centre = np.mean([p.centre for p in members], axis=0)
    offsets = np.repeat([p.centre - centre for p in members], 3, axis=0)
    _, slope_sd = shared_slope(members)
    error = np.concatenate([_relative_error(p) for p in members])
    levels = np.tile(np.eye(3), (len(members), 1))
    printed = np.kron(np.diag([p.level_sd**2 for p in members]), np.ones((3, 3)))
    return np.asarray(
        np.diag(error**2) + printed + _FREE_LEVEL**2 * levels @ levels.T + slope_sd**2 * offsets @ offsets.T
    )


def _carried_slopes(groups: Sequence[Sequence[Patch]]) -> Floats:
    """Return (patches, patches): what the slope inside each patch (columns) explains at each patch of its place."""
    carried = []
    for members in groups:
        weights = _slope_weights(members)
        centre = np.mean([p.centre for p in members], axis=0)
        slopes = weights[:, None] * np.stack([p.slope for p in members]) / weights.sum()
        carried.append(np.stack([p.centre - centre for p in members]) @ slopes.T)
    return _block_diagonal(carried)


def _tone_weights(patch: Patch) -> Floats:
    """Return (5,) what each strength weighs at the patch's file value."""
    return tone_weights(_file_value(patch).mean(keepdims=True))[:, 0]


def _file_value(patch: Patch) -> Floats:
    """Return (3,) mean file values 0..1."""
    values: Floats = patch.histograms @ np.arange(LEVELS) / patch.histograms.sum(axis=1) / (LEVELS - 1)
    return values


def _relative_error(patch: Patch) -> Floats:
    """Return (3,) relative one-sigma of a patch's light."""
    value = np.maximum(_file_value(patch), 1 / LEVELS)
    noise = _DISPLAY_GAMMA * np.hypot(_QUANTUM, patch.noise / np.sqrt(patch.histograms.sum(axis=1))) / value
    error: Floats = np.sqrt(_PATCH_ERROR**2 + noise**2 + (_STRAY_LIGHT / patch.reflectance) ** 2 + patch.colour_sd**2)
    return error


def _block_diagonal(blocks: Sequence[Floats]) -> Floats:
    """Return (N, N) with square ``blocks`` along its diagonal (scipy.linalg has it, and is slow to import)."""
    ends = np.cumsum([len(block) for block in blocks])
    whole = np.zeros((ends[-1], ends[-1]))
    for block, end in zip(blocks, ends.tolist(), strict=True):
        whole[end - len(block) : end, end - len(block) : end] = block
    return whole
