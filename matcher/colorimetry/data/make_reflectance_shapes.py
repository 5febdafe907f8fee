"""Build ``reflectance_shapes.csv``, what reflectance curves have in common, from spectra that colour-science carries.

Run from the repository's root: ``python matcher/colorimetry/data/make_reflectance_shapes.py``.

Learnt from the colour samples of CIE 224:2017 (without those taken from a colour system), the 24 patches of the usual
chart and the 30 of a chart of memory colours, each with the tints that it gives in white by Kubelka and Munk: paints
are mixtures, and most of them pale. z = artanh(2R - 1) less its mean is explained by the terms of
``usual_shape.chromatic_terms`` (ridge regression, nothing constant: a grey is level), and the covariance of what is
left is mixed with a little of that of a smooth curve. Ridge, mixture and tints were chosen by learning from two of the
three sets and predicting the third and 190 more spectra under lamps; what the outcome is worth on others is printed by
``python -m tests.benchmarks.recovery``.
"""

from __future__ import annotations

import csv
import warnings
from pathlib import Path

import numpy as np

from matcher.colorimetry.illuminants import tristimulus_weights, wavelengths
from matcher.colorimetry.spaces import xyz_to_lab
from matcher.colorimetry.usual_shape import chromatic_terms

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour
    from colour.quality.cfi2017 import load_TCS_CIE2017

# Numbers, from 1, of the samples of the class "color system" (ANSI/IES TM-30, as luxpy 1.12 lists the classes).
COLOUR_SYSTEM = (10, 23, 28, 34, 35, 45, 55, 56, 60, 80)
CHARTS = ("BabelColor Average", "PMC")
TINTS = (1.0, 0.3, 0.1)  # share of the sample in white, by K/S
WHITE_K_S = 0.003  # R = 0.93, about that of titanium white
RIDGE = 0.3
SMOOTH_SHARE = 0.1
RANGE = (0.004, 0.995)  # R of the darkest and lightest samples is held in here: z ends nowhere


def samples() -> list[np.ndarray]:
    """Return the sets of reflectances (N, 36)."""
    cie = load_TCS_CIE2017(colour.SpectralShape(380, 780, 1))
    kept = np.setdiff1d(np.arange(cie.values.shape[1]), np.array(COLOUR_SYSTEM) - 1)
    sets = [np.stack([np.interp(wavelengths(), cie.wavelengths, cie.values[:, index]) for index in kept])]
    for name in CHARTS:
        patches = colour.SDS_COLOURCHECKERS[name].values()
        sets.append(np.stack([np.interp(wavelengths(), patch.wavelengths, patch.values) for patch in patches]))
    return [np.clip(spectra, *RANGE) for spectra in sets]


def with_tints(reflectance: np.ndarray) -> np.ndarray:
    """Return (len(TINTS) N, 36): the samples and what they give in white, single-constant Kubelka-Munk."""
    absorbed = (1 - reflectance) ** 2 / (2 * reflectance)
    mixed = np.concatenate([share * absorbed + WHITE_K_S for share in TINTS])
    tints: np.ndarray = 1 / (1 + mixed + np.sqrt(mixed**2 + 2 * mixed))
    return tints


def learnt(sets: list[np.ndarray]) -> tuple[np.ndarray, np.ndarray]:
    """Return what z is expected to be for each chromatic term (7, 36), and its covariance about that (36, 36)."""
    tinted = [with_tints(spectra) for spectra in sets]
    spectra = np.concatenate(tinted)
    # A set counts by the root of its size: neither each sample alike, nor each set.
    weight = np.concatenate([np.full(len(one), len(one) ** -0.5) for one in tinted])
    weight /= weight.sum()
    d65 = tristimulus_weights("D65")
    terms = chromatic_terms(xyz_to_lab(spectra @ d65, d65.sum(axis=0)))
    z = np.arctanh(2 * spectra - 1)
    shape = z - z.mean(axis=1, keepdims=True)
    weighted = terms * weight[:, None]
    ridge = RIDGE * np.mean(weight @ terms**2) * np.eye(terms.shape[1])
    expected = np.linalg.solve(weighted.T @ terms + ridge, weighted.T @ shape)
    left = shape - terms @ expected
    covariance = (left * weight[:, None]).T @ left
    steps = np.diff(np.eye(len(covariance)), axis=0)
    smooth = np.linalg.pinv(steps.T @ steps)
    covariance = (1 - SMOOTH_SHARE) * covariance + SMOOTH_SHARE * smooth * np.trace(covariance) / np.trace(smooth)
    # Only its proportions matter.
    return expected, covariance * len(covariance) / np.trace(covariance)


def main() -> None:
    """Write the table."""
    expected, covariance = learnt(samples())
    with (Path(__file__).parent / "reflectance_shapes.csv").open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        names = ("a", "b", "La", "Lb", "aa", "ab", "bb")
        writer.writerow(["nm", *names, *(f"with {nm:.0f}" for nm in wavelengths())])
        for row, nm in enumerate(wavelengths()):
            values = (*expected[:, row], *covariance[row])
            writer.writerow([f"{nm:.0f}", *(f"{value:.5f}" for value in values)])


if __name__ == "__main__":
    main()
