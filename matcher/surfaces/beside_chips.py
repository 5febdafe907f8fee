"""What chips of known colour say of the surfaces in their photo: each is read as a surface is, and missed by so much.

A reading's doubt has causes, and most of them a chip shares: the tone curve wholly, the light where both lie in one
place, the camera the more, the nearer they are in colour. So what the chips miss tells what the surface's reading is
likely to miss, and what is left of its doubt: linear regression with known covariances (Rasmussen & Williams 2006,
Gaussian Processes for Machine Learning, eq. 2.25 and 2.26; GUM supplement 2, JCGM 102:2011, for covariances).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from matcher.calibration.correction import corrected, corrected_shift
from matcher.calibration.light import CURVE_STEP, Light, cone_matrix
from matcher.calibration.paint_chip import PRINTED_SD
from matcher.calibration.photo_calibration import LyingChip, PhotoCalibration
from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import Floats
from matcher.colorimetry.symmetric_root import symmetric_root
from matcher.photo.decoded import ColourSpace, Finding
from matcher.surfaces import doubt
from matcher.surfaces.surface import Cause

# How much of the camera's error two colours share: this part of it where they are alike (the rest is their spectra's
# own), falling to e^-1/2 of that over this distance in Lab, lightness counting half. Chosen by what chips leave on
# measured spectra (tests/benchmarks/chips.py); over all lamps the errors of like colours correlate by 0.5 to 0.7, of
# colours 30 apart by 0.3, of those 45 apart not at all.
_ALIKE, _ALIKE_OVER = 0.75, 18.0
_LIGHTNESS = 0.5
# Light at a place where chips stand in for a card: as good as unknown (one-sigma of the logarithm of level and colour).
_FREE_LEVEL, _FREE_COLOUR = 1.0, 0.5
# A chip that the others, and what is known of cameras and light, expect this far away is not the paint it is said to
# be: one in a thousand would be by chance.
# (quantiles 0.999 and 0.5 of chi-squared with three degrees of freedom)
CONTRADICTS, USUAL = 16.2662362, 2.3659739
_SEVERAL = 3
# What counts as known of cameras beforehand, in numbers; that chips fit better than it says is luck as often as not: on
# photographs of charts the stated 90 % hold for 84 % with this, and for 80 % where doubt may shrink below it.
_BELIEVED, _LEAST_EXCESS = 4.0, 1.0
# Where the next worst is this part as odd, nobody can tell which of the two it is.
_AS_ODD = 0.75
_DARKEST = 1e-5
_RIDGE = 1e-9

Causes = Mapping[Cause, Floats]


@dataclass(frozen=True, slots=True, eq=False)
class Points:
    """N colours read in one photo: ``lab`` (N, 3); ``by_light`` (N, 3, 3) its change with the logarithm of light,
    ``by_curve`` (N, 5, 3) with each strength of the tone curve, ``by_haze`` (N, 3) with a luminance factor on top;
    ``light`` of the place of each, None where no card or chip lies there.
    """

    lab: Floats
    by_light: Floats
    by_curve: Floats
    by_haze: Floats
    light: tuple[Light | None, ...]


@dataclass(frozen=True, slots=True, eq=False)
class ChipEvidence:
    """Chips of one photo: ``codes``, as ``seen`` in it, what they ``missed`` (N, 3) of the deck's colours, and the
    covariance (N * 3, N * 3) of that; ``excess`` is how much more they missed them than that, as a square.
    """

    calibration: PhotoCalibration
    codes: tuple[str, ...]
    seen: Points
    missed: Floats
    covariance: Floats
    excess: float
    findings: tuple[Finding, ...]

    def corrected(self, points: Points, causes: Causes) -> tuple[Floats, dict[Cause, Floats]]:
        """Return Lab (N, 3) of colours of one surface and what is left of each cause (N, 3, 3), after the chips.

        ``causes`` is what was in doubt before, but for the light where chips tell it.
        """
        before = dict(causes)
        if points.light[0] is not None and points.light[0].by_chips:
            level, colour = _free_light()
            before["level"] = before["level"] + _carried(points.by_light, level)
            before["colour"] = before["colour"] + _carried(points.by_light, colour)
        if not self.codes:
            return points.lab, before
        total = sum(before.values(), start=np.zeros((3, 3)))
        count = len(points.lab)
        rows = self.shared_with(points)
        weights = np.linalg.solve(self.covariance, rows.reshape(count * 3, -1).T).T.reshape(rows.shape)
        lab = points.lab - weights @ self.missed.ravel()
        # What chips are missed by, surfaces are missed by.
        after = self.excess * (total - rows @ weights.swapaxes(1, 2))
        # One linear map takes the doubt from before to after; each cause keeps its part of it.
        left = symmetric_root(after) @ np.linalg.inv(symmetric_root(total + _RIDGE * np.eye(3)))
        return lab, {cause: left @ part @ left.swapaxes(1, 2) for cause, part in before.items()}

    def shared_with(self, points: Points) -> Floats:
        """Return the covariances (N, 3, chips * 3) of what colours and chips are missed by."""
        return _shared(points, self.seen, self.calibration).reshape(len(points.lab), 3, -1)

    def apart_covariance(self, points: Points, covariance: Floats, chip: int) -> Floats:
        """Return the covariance (3, 3) of how far the first of ``points``, whose own is ``covariance`` (3, 3), lies
        from a chip in the photo.
        """
        seen = _take(self.seen, [chip])
        shared = _shared(points, seen, self.calibration)[0, :, 0]
        block = slice(3 * chip, 3 * chip + 3)
        # What both have in common does not part them; the light at their place is no more than that.
        place = seen.light[0]
        light = _shared_light(seen, seen)[0, :, 0] if place is not None and place.by_chips else np.zeros((3, 3))
        return self.excess * (covariance + light + self.covariance[block, block] - shared - shared.T)


def chip_evidence(calibration: PhotoCalibration, space: ColourSpace) -> ChipEvidence:
    """Return what the chips of a photo tell, without those that contradict the others."""
    chips = calibration.chips
    return evidence_of(
        [each.chip.code for each in chips],
        np.array([each.chip.lab for each in chips]).reshape(-1, 3),
        _seen(chips, calibration, space),
        np.array([each.level_sd for each in chips]),
        calibration,
    )


def evidence_of(
    codes: Sequence[str], true: Floats, seen: Points, level_sd: Floats, calibration: PhotoCalibration
) -> ChipEvidence:
    """Return what chips of Lab ``true`` (N, 3) tell that were ``seen`` so; ``level_sd`` (N,) is one-sigma of the
    logarithm of the light on each beside that of its place.
    """
    missed = seen.lab - true
    covariance = _shared(seen, seen, calibration).reshape(missed.size, missed.size) + _own(level_sd, seen, calibration)
    kept = list(range(len(codes)))
    findings: list[Finding] = []
    while len(kept):
        odd = _oddness(missed[kept], _of(covariance, kept))
        if len(kept) >= _SEVERAL:
            # Where most of them are missed by more than is known of cameras, that is the camera, not the chips.
            odd = odd / max(1.0, float(np.median(odd)) / USUAL)
        order = np.argsort(-odd)
        if odd[order[0]] < CONTRADICTS:
            break
        also = [i for i in order[1:] if odd[i] > _AS_ODD * odd[order[0]] and odd[i] > CONTRADICTS]
        named = [kept[i] for i in (order[0], *also)]
        if also:
            # All of them stay, each believed as little as they fit.
            findings.append(_contradict([codes[i] for i in named], seen.lab[named], true[named]))
            for i in named:
                block = slice(3 * i, 3 * i + 3)
                covariance[block, block] += np.outer(missed[i], missed[i])
            break
        findings.append(_contradict([codes[named[0]]], seen.lab[named], true[named]))
        kept.remove(named[0])
    return ChipEvidence(
        calibration=calibration,
        codes=tuple(codes[i] for i in kept),
        seen=_take(seen, kept),
        missed=missed[kept],
        covariance=_of(covariance, kept),
        excess=_excess(missed[kept], _of(covariance, kept)),
        findings=tuple(findings),
    )


def points_of(means: Floats, shift: Floats, light: Light | None) -> Points:
    """Return colours as logarithms of cones relative to white (N, 3), with their ``shift`` (N, 5, 3) by the curve."""
    lab, slope, haze = doubt.lab_derivatives(means)
    return Points(lab, slope, shift @ slope.swapaxes(1, 2), haze, (light,) * len(lab))


def _seen(chips: Sequence[LyingChip], calibration: PhotoCalibration, space: ColourSpace) -> Points:
    to_cones = cone_matrix(space)
    light = [each.light for each in chips]
    linear, moved = (
        np.array([calibration.shared.of_patch(each.chip.patch, tables) for each in chips])
        for tables in (calibration.table, calibration.shifted)
    )
    linear, moved = linear.reshape(-1, 3), moved.reshape(len(chips), len(calibration.shifted), 3)
    cones, cones_moved = (np.log(np.maximum(each @ to_cones.T, _DARKEST)) for each in (linear, moved))
    at_chip = np.array([each.light.cones + each.level for each in chips]).reshape(-1, 3)
    by_light = np.array([each.curve_shift for each in light]).reshape(len(chips), len(calibration.shifted), 3)
    shift = (cones_moved - cones[:, None]) / CURVE_STEP - by_light
    uncorrected = cones - at_chip
    points = points_of(
        corrected(uncorrected, calibration.correction),
        corrected_shift(uncorrected, shift, calibration.correction),
        None,
    )
    return replace(points, light=tuple(light))


def _shared(one: Points, other: Points, calibration: PhotoCalibration) -> Floats:
    """Return the covariances (N, 3, M, 3) of what two sets of colours are missed by, but for what each has alone."""
    curve = np.einsum("nki,kl,mlj->nimj", one.by_curve, calibration.curve.covariance, other.by_curve)
    return np.asarray(curve + _shared_light(one, other) + _shared_camera(one.lab, other.lab, calibration))


def _shared_light(one: Points, other: Points) -> Floats:
    shared = np.zeros((len(one.lab), 3, len(other.lab), 3))
    for i, light in enumerate(one.light):
        for j, theirs in enumerate(other.light):
            if light is not None and light is theirs:
                shared[i, :, j] = one.by_light[i] @ _light_covariance(light) @ other.by_light[j].T
    return shared


def _light_covariance(light: Light) -> Floats:
    """Return the covariance (3, 3) of the logarithm of light that all has in common that lies at its place."""
    if light.by_chips:
        free_level, free_colour = _free_light()
        return free_level + free_colour
    level, colour = light.card_sd
    by_cone = doubt.COLOUR_SHAPE * np.hypot(doubt.OWN_CARD_COLOUR, colour)
    together = float(np.hypot(doubt.OWN_CARD_LEVEL, level))
    return together**2 * np.ones((3, 3)) + np.diag(by_cone**2)


def _free_light() -> tuple[Floats, Floats]:
    return _FREE_LEVEL**2 * np.ones((3, 3)), np.diag((_FREE_COLOUR * doubt.COLOUR_SHAPE) ** 2)


def _shared_camera(one: Floats, other: Floats, calibration: PhotoCalibration) -> Floats:
    """Return the part (N, 3, M, 3) of the camera's error that colours (N, 3) and (M, 3) in Lab have in common."""
    away = (one[:, None] - other) * np.array([_LIGHTNESS, 1.0, 1.0])
    alike = _ALIKE * np.exp(-0.5 * (away**2).sum(axis=-1) / _ALIKE_OVER**2)
    sds = [doubt.camera_lab_sd(lab, calibration.camera_sd) for lab in (one, other)]
    both = alike[:, None, :, None] * sds[0][:, :, None, None] * sds[1] * np.eye(3)[:, None]
    chroma = calibration.chroma_sd * np.array([0.0, 1.0, 1.0])
    return np.asarray(both + (one * chroma)[:, :, None, None] * (other * chroma))


def _own(level_sd: Floats, seen: Points, calibration: PhotoCalibration) -> Floats:
    """Return the covariance (N * 3, N * 3) of what each chip is missed by alone."""
    own = np.zeros((seen.lab.size, seen.lab.size))
    camera = (1 - _ALIKE) * doubt.camera_lab_sd(seen.lab, calibration.camera_sd) ** 2
    for i, sd in enumerate(level_sd):
        block = slice(3 * i, 3 * i + 3)
        level = seen.by_light[i].sum(axis=1)
        haze = doubt.SHEEN * seen.by_haze[i]
        own[block, block] = (
            np.diag(camera[i]) + PRINTED_SD**2 * np.eye(3)
            + sd**2 * np.outer(level, level) + np.outer(haze, haze)
        )  # fmt: skip
    return own


def _oddness(missed: Floats, covariance: Floats) -> Floats:
    """Return (N,) how far each chip lies from where all others lead to expect it: chi square in three dimensions."""
    precision = np.linalg.inv(covariance)
    pulled = (precision @ missed.ravel()).reshape(-1, 3)
    odd = []
    for i, pull in enumerate(pulled):
        block = slice(3 * i, 3 * i + 3)
        odd.append(float(pull @ np.linalg.solve(precision[block, block], pull)))
    return np.array(odd)


def _excess(missed: Floats, covariance: Floats) -> float:
    """Return by how much more, as a square, chips are missed (N, 3) than their covariance says; with the belief
    beforehand that it says the truth weighing as much as so many numbers (Shah, Wilson & Ghahramani 2014, Student-t
    processes as alternatives to Gaussian processes, AISTATS, eq. 6). Never less than it says.
    """
    off = float(missed.ravel() @ np.linalg.solve(covariance, missed.ravel()))
    return max(_LEAST_EXCESS, (_BELIEVED + off) / (_BELIEVED + missed.size))


def _contradict(codes: Sequence[str], seen: Floats, true: Floats) -> Finding:
    """Return that chips (N) of Lab ``true`` (N, 3) cannot all be what they were ``seen`` as; dE00 of the farthest."""
    off = (("de00", round(float(delta_e_2000(true, seen).max()), 1)),)
    if len(codes) == 1:
        return Finding("chip contradicts", "warn", off, codes[0])
    return Finding("chips contradict", "warn", off, ", ".join(codes))


def _carried(by_light: Floats, covariance: Floats) -> Floats:
    return by_light @ covariance @ by_light.swapaxes(1, 2)


def _take(points: Points, rows: Sequence[int]) -> Points:
    several = (points.lab[rows], points.by_light[rows], points.by_curve[rows], points.by_haze[rows])
    return Points(*several, tuple(points.light[row] for row in rows))


def _of(covariance: Floats, rows: Sequence[int]) -> Floats:
    index = np.array([3 * row + axis for row in rows for axis in range(3)], dtype=int)
    return np.asarray(covariance[np.ix_(index, index)])
