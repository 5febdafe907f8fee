"""Build ``munsell.npz``, the inverse Munsell renotation, from the table that colour-science carries.

Run from the repository's root: ``python matcher/colorimetry/data/make_munsell_table.py``. Needs SciPy.

The renotation lists chromaticities under illuminant C on 40 hues x 9 values x even chromas. In CIELAB relative to
illuminant C, at one value, each hue is a curve that leaves neutral: hue angle and C*ab as functions of chroma.
Inverting these curves one value at a time gives Munsell hue and chroma on a polar grid of (value, hue angle, C*ab),
smooth in all three, which three-way linear interpolation then reads. Polar, since chroma is no smooth function of a*,
b* at neutral. Stored are chroma / C*ab and (Munsell hue in degrees - hue angle), both of which have a limit at neutral.
"""

from __future__ import annotations

import warnings
from pathlib import Path

import numpy as np
from scipy.interpolate import CubicSpline, PchipInterpolator

from matcher.colorimetry.munsell import C_STEPS, HUE_STEP_DEG, VALUES, WHITE_C, hue_number, luminance_from_value
from matcher.colorimetry.spaces import lab_to_lch, xyz_to_lab

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour

ANGLES = np.arange(0, 360, HUE_STEP_DEG)


def renotation() -> dict[tuple[float, float], tuple[np.ndarray, np.ndarray]]:
    """Return {(value, hue 0..100): (chroma, (n, 3) LCh under C)}, chroma ascending, without the made-up value 10."""
    rows: dict[tuple[float, float], list[tuple[float, float, float]]] = {}
    for (hue_text, value, chroma), (x, y, _) in colour.MUNSELL_COLOURS["Munsell Colours All"]:
        hue = hue_number(hue_text) % 100
        if value in VALUES and y > 0:
            rows.setdefault((value, hue), []).append((chroma, x, y))
    out = {}
    for key, entries in rows.items():
        chroma, x, y = np.array(sorted(entries)).T
        luminance = luminance_from_value(key[0])
        xyz = np.stack([x / y, np.ones_like(x), (1 - x - y) / y], axis=-1) * luminance
        out[key] = (chroma, lab_to_lch(xyz_to_lab(xyz, WHITE_C)))
    return out


def along_one_hue(chroma: np.ndarray, lch: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return Munsell chroma / C*ab and hue angle (degrees, unwrapped) at ``C_STEPS``."""
    radius, angle = lch[:, 1], np.unwrap(np.radians(lch[:, 2]))
    rising = np.concatenate([[True], radius[1:] > np.maximum.accumulate(radius)[:-1]])
    chroma, radius, angle = chroma[rising], radius[rising], angle[rising]
    inside = np.clip(C_STEPS, radius[0], radius[-1])
    ratio = PchipInterpolator(radius, chroma / radius)(inside)
    return ratio, np.degrees(PchipInterpolator(radius, angle)(inside))


def at_one_value(table: dict[tuple[float, float], tuple[np.ndarray, np.ndarray]], value: float) -> np.ndarray:
    """Return (angle, radius, 2): chroma / C*ab and Munsell hue minus hue angle in degrees."""
    hues = np.array(sorted(hue for v, hue in table if v == value))
    curves = [along_one_hue(*table[value, hue]) for hue in hues]
    out = np.empty((ANGLES.size, C_STEPS.size, 2))
    for column in range(C_STEPS.size):
        ratio = np.array([curve[0][column] for curve in curves])
        angle = np.unwrap(np.radians([curve[1][column] for curve in curves]))
        if np.any(np.diff(angle) <= 0) or angle[-1] - angle[0] >= 2 * np.pi:
            raise ValueError(f"hues cross at value {value}, C*ab {C_STEPS[column]}")
        closed = np.concatenate([angle, angle[:1] + 2 * np.pi])
        lead = np.unwrap(np.radians(hues * 3.6) - angle)
        targets = closed[0] + (np.radians(ANGLES) - closed[0]) % (2 * np.pi)
        out[:, column, 0] = CubicSpline(closed, np.append(ratio, ratio[0]), bc_type="periodic")(targets)
        out[:, column, 1] = np.degrees(CubicSpline(closed, np.append(lead, lead[0]), bc_type="periodic")(targets))
    out[..., 1] = (out[..., 1] + 180) % 360 - 180
    return out


def main() -> None:
    table = renotation()
    grid = np.stack([at_one_value(table, value) for value in VALUES])
    np.savez_compressed(
        Path(__file__).with_name("munsell.npz"),
        chroma_per_c_ab=grid[..., 0].astype(np.float32),
        hue_minus_angle_deg=grid[..., 1].astype(np.float32),
    )


if __name__ == "__main__":
    main()
