"""What a camera under a lamp gets wrong beside the white balance, as weights on responses that leave white alone."""

from __future__ import annotations

import numpy as np

from matcher.colorimetry.adaptation import FROM_BRADFORD, WHITE_CONES
from matcher.colorimetry.spaces import Floats

NO_CORRECTION: Floats = np.eye(3)
# A camera is no eye: one-sigma of its error in Lab where nothing is known of it, and the part that grows with chroma,
# where nothing speaks of a lamp and by a warm lamp. Measured with two cameras, eleven CIE illuminants and
# measured spectra, and on rendered rooms with known truth (tests/benchmarks/reliability.py).
_BY_DAY, _BY_LAMP = (0.80, 0.07), (1.4, 0.105)
# A colour of the light that the camera left standing wholly: its channels lie at different heights of the curve, and
# what it does to chroma it did to the cast as well. Added from the first number of ``cast`` on, fully after the second
# (charts in photographs under lamps and in shade; tests/benchmarks/reliability.py).
_BY_CAST = (2.0, 0.13)
_CAST_FROM, _CAST_SPAN = 0.8, 1.2
# What cameras with a matrix for daylight get wrong under warm lamps, on average: this matrix turns cones relative to
# white into the eye's. It is the mean over two cameras and CIE A, LED-B1 and LED-B2, each fitted on smooth reflectances
# (tests/calibration/test_lamp_correction.py makes it again from colour-science's data). Only this part of it is taken
# out: cameras differ from each other as much as they have in common, so the whole of it would harm some.
_WARM_LAMPS: Floats = np.array([[0.767, 0.235, -0.002], [-0.256, 1.240, 0.016], [0.014, 0.066, 0.920]])
_TAKEN_OUT = 0.25
# Cameras give colours another chroma than they have. Through the tone curve, charts in seven photographs by five
# cameras came out at 0.79 to 1.11 of theirs (0.90 at the median), surfaces of rendered rooms at 0.92 to 1.0 (medians).
# So this much is put back, and the factor is uncertain by the second number (one sigma), hue by what per_chroma says.
_CHROMA_BACK = 0.03
_CHROMA_SD = 0.10
# How much each cone counts in luminance: the second row of the matrix from Bradford's cones to XYZ, white 1.
_LUMINANCE: Floats = (FROM_BRADFORD * WHITE_CONES)[1]
_LEAST = 0.05  # a response is never brought below this part of what was read
# The responses themselves, then the roots of their products in pairs, as exponents: they grow with light as the
# responses do (root-polynomial of degree two; Finlayson, Mackiewicz & Hurlbert 2015). Last a constant: light that lies
# over everything, as lenses scatter it, whose weight is negative.
_EXPONENTS: Floats = np.array([[1, 0, 0], [0, 1, 0], [0, 0, 1], [0.5, 0.5, 0], [0, 0.5, 0.5], [0.5, 0, 0.5], [0, 0, 0]])
_CONSTANT = 6


def unknown_camera_sd(lamp: float, cast: float = 0.0) -> tuple[float, float]:
    """Return one-sigma of an unknown camera's error at grey and for each unit of chroma; ``lamp`` 0..1, ``cast`` red
    over blue (logarithm) that the camera left in a neutral card.
    """
    strong = float(np.clip((abs(cast) - _CAST_FROM) / _CAST_SPAN, 0, 1))
    base, per_chroma = (
        (1 - lamp) * day + lamp * warm + strong * more
        for day, warm, more in zip(_BY_DAY, _BY_LAMP, _BY_CAST, strict=True)
    )
    return base, per_chroma


def lamp_correction(lamp: float) -> Floats:
    """Return the matrix (3, 3) for a camera of which nothing is known, by a warm lamp (1), daylight (0) or between."""
    return NO_CORRECTION + _TAKEN_OUT * lamp * (_WARM_LAMPS - NO_CORRECTION)


def unknown_camera_correction(lamp: float, *, developed: bool) -> Floats:
    """Return the matrix (3, 3) for a camera of which nothing is known: what lamps make of it, and what a camera that
    ``developed`` the picture itself made of chroma.
    """
    by_lamp = lamp_correction(lamp)
    return by_lamp + _CHROMA_BACK * (by_lamp - _LUMINANCE @ by_lamp) if developed else by_lamp


def chroma_factor_sd(*, developed: bool) -> float:
    """Return one-sigma of an unknown camera's own factor on chroma; the sensor alone has none."""
    return _CHROMA_SD if developed else 0.0


def terms_of(log_cones: Floats, count: int) -> Floats:
    """Return the first ``count`` terms, (..., 3), (..., 6) or (..., 7), of logarithms of responses (..., 3)."""
    cones = np.exp(log_cones)
    if count == len(NO_CORRECTION):
        return cones
    roots: Floats = np.exp(log_cones @ _EXPONENTS[3:count].T.astype(log_cones.dtype))
    return np.concatenate([cones, roots], axis=-1)


def stray_light(correction: Floats) -> Floats:
    """Return (3,) what a correction takes for light that lies over everything, as part of what white reflects."""
    return -correction[:, _CONSTANT] if correction.shape[1] > _CONSTANT else np.zeros(3)


def corrected(log_cones: Floats, correction: Floats) -> Floats:
    """Return logarithms of cone responses relative to white, (..., 3), after ``correction``.

    It weighs responses, (3, 3), or responses and roots, (3, 6), or these and a constant, (3, 7); its rows sum to 1, so
    that white stays white.
    """
    terms = terms_of(log_cones, correction.shape[1])
    # As a ratio, so that the unit matrix changes no bit.
    ratio = terms @ correction.T.astype(terms.dtype) / terms[..., :3]
    after: Floats = log_cones + np.log(np.maximum(ratio, terms.dtype.type(_LEAST)))
    return after


def corrected_shift(log_cones: Floats, shift: Floats, correction: Floats) -> Floats:
    """Return what a small ``shift`` (G, K, 3) of ``log_cones`` (G, 3) becomes after ``correction``."""
    count = correction.shape[1]
    terms = terms_of(log_cones, count)
    # d log(M t) = d (M t) / (M t); the unit matrix again changes no bit.
    after = np.maximum(terms @ correction.T, _LEAST * terms[..., :3])
    moved: Floats = shift @ (moved_terms(terms, correction) / after[:, :, None]).swapaxes(1, 2)
    return moved


def moved_terms(terms: Floats, correction: Floats) -> Floats:
    """Return (..., N, 3, 3) how responses made of ``terms`` (..., N, K) by ``correction`` (..., 3, K) change with the
    logarithm of each response read.
    """
    # The logarithm of a term is a sum.
    change: Floats = (correction[..., None, :, :] * terms[..., None, :]) @ _EXPONENTS[: correction.shape[-1]]
    return change
