"""Spectral side of the renderer: bands, band weights of eye and camera, illuminants, smooth reflectances.

A reflectance is given at 16 bands, 400-700 nm every 20 nm, and is linear between them (constant beyond the ends).
Weights integrate that straight-line spectrum against 1 nm data, so a spiky lamp loses nothing, and the truth in XYZ
and the camera's raw values come from one and the same spectrum.

Run as a script (needs colour-science) it writes `weights.npz`; the tracer reads only that file.
Sources, all through colour-science: CIE 1931 2 degree observer, CIE illuminants (CIE 015:2018),
Nikon D5100 sensitivities (Darrodi et al. 2015, NPL), its "ColorChecker N Ohta" and TM-30 CES spectra.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np

BANDS = np.arange(400.0, 701.0, 20.0)
WEIGHTS = Path(__file__).with_name("weights.npz")
LIGHTS = ("D65", "D75", "D50", "A", "LED-B1", "LED-B3", "LED-B2", "FL11", "E")
SRGB_FROM_XYZ = np.array(
    [[3.2404542, -1.5371385, -0.4985314], [-0.9692660, 1.8760108, 0.0415560], [0.0556434, -0.2040259, 1.0572252]]
)  # IEC 61966-2-1


def band_hats(wavelengths: np.ndarray) -> np.ndarray:
    """Values (16, n) of the straight-line basis of the bands at the wavelengths, nm; constant beyond the ends."""
    clipped = np.clip(wavelengths, BANDS[0], BANDS[-1])
    return np.clip(1.0 - np.abs(clipped[None, :] - BANDS[:, None]) / 20.0, 0.0, None)


def build_weights() -> dict[str, np.ndarray]:
    """Compute everything `weights.npz` holds from colour-science's tables."""
    import colour

    nm = np.arange(380.0, 781.0, 1.0)
    shape = colour.SpectralShape(380, 780, 1)

    def at(sd: object) -> np.ndarray:
        return np.asarray(sd.copy().align(shape).values, dtype=float)  # type: ignore[attr-defined]  # no types there

    hats = band_hats(nm)
    observer = at(colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"])
    camera_raw = colour.MSDS_CAMERA_SENSITIVITIES["Nikon 5100 (NPL)"]
    camera = np.stack([np.interp(nm, camera_raw.wavelengths, v, 0, 0) for v in camera_raw.values.T], axis=1)
    out: dict[str, np.ndarray] = {}
    for name in LIGHTS:
        power = at(colour.SDS_ILLUMINANTS[name])
        xyz = (hats * power) @ observer
        raw = (hats * power) @ camera
        out[f"xyz:{name}"] = (xyz / xyz[:, 1].sum()).T
        out[f"raw:{name}"] = (raw / raw[:, 1].sum()).T
    out["matrix"] = fit_matrix(out["xyz:D65"], out["raw:D65"], measured_reflectances(colour))
    return out


def measured_reflectances(colour: object) -> np.ndarray:
    """Measured reflectances (n, 16) that the camera's matrix is fitted on."""
    from colour.quality.cfi2017 import load_TCS_CIE2017

    ces = load_TCS_CIE2017(colour.SpectralShape(380, 780, 5))  # type: ignore[attr-defined]  # no types there
    found = [np.interp(BANDS, ces.wavelengths, values) for values in ces.values.T]
    chart = colour.SDS_COLOURCHECKERS["ColorChecker N Ohta"]  # type: ignore[attr-defined]  # no types there
    found += [np.interp(BANDS, sd.wavelengths, sd.values) for sd in chart.values()]
    return np.clip(np.array(found), 0.0, 1.0)


def fit_matrix(xyz: np.ndarray, raw: np.ndarray, reflectances: np.ndarray) -> np.ndarray:
    """3x3 from balanced raw to linear sRGB, least squares under D65, white kept white."""
    target = reflectances @ (SRGB_FROM_XYZ @ xyz).T
    balanced = reflectances @ (raw / raw.sum(axis=1, keepdims=True)).T
    weight = 1.0 / (0.1 + target.mean(axis=1))  # dark patches count as much as light ones
    rows = []
    for channel in range(3):  # white: the row sums to one, so fit two differences
        a = np.stack([balanced[:, k] - balanced[:, channel] for k in range(3) if k != channel], axis=1)
        b = target[:, channel] - balanced[:, channel]
        solved = np.linalg.lstsq(a * weight[:, None], b * weight, rcond=None)[0]
        row = np.insert(solved, channel, 1.0 - solved.sum())
        rows.append(row)
    return np.array(rows)


def lab_to_xyz(lab: np.ndarray, white: np.ndarray) -> np.ndarray:
    """CIELAB (3,) to XYZ with Y = 1 for white (CIE 015)."""
    fy = (lab[0] + 16.0) / 116.0
    f = np.array([fy + lab[1] / 500.0, fy, fy - lab[2] / 200.0])
    return white * np.where(f > 6 / 29, f**3, 3 * (6 / 29) ** 2 * (f - 4 / 29))


def xyz_to_lab(xyz: np.ndarray, white: np.ndarray) -> np.ndarray:
    """XYZ (..., 3), Y = 1 for white, to CIELAB (CIE 015)."""
    t = np.asarray(xyz) / white
    f = np.where(t > (6 / 29) ** 3, np.cbrt(t), t / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.stack([116 * f[..., 1] - 16, 500 * (f[..., 0] - f[..., 1]), 200 * (f[..., 1] - f[..., 2])], axis=-1)


def smooth_reflectance(lab: tuple[float, float, float], xyz_weights: np.ndarray) -> np.ndarray:
    """Smoothest reflectance (16,) of that CIELAB D65 colour: least slope of atanh(2 r - 1), after Burns 2020."""
    target = lab_to_xyz(np.array(lab, dtype=float), xyz_weights.sum(axis=1))
    n = BANDS.size
    slope = np.diff(np.eye(n), axis=0)
    d = 2.0 * slope.T @ slope
    z, multipliers = np.zeros(n), np.zeros(3)
    for _ in range(60):
        r, dr = (np.tanh(z) + 1) / 2, (1 - np.tanh(z) ** 2) / 2
        gradient = d @ z + dr * (xyz_weights.T @ multipliers)
        error = xyz_weights @ r - target
        if max(np.abs(gradient).max(), np.abs(error).max()) < 1e-10:
            return r
        curvature = d + np.diag(-2 * np.tanh(z) * dr * (xyz_weights.T @ multipliers))
        jac = np.block([[curvature, (xyz_weights * dr).T], [xyz_weights * dr, np.zeros((3, 3))]])
        step = np.linalg.solve(jac, -np.concatenate([gradient, error]))
        step *= min(1.0, 1.5 / np.abs(step[:n]).max())
        z, multipliers = z + step[:n], multipliers + step[n:]
    raise ValueError(f"no smooth reflectance found for CIELAB {lab}")


if __name__ == "__main__":
    np.savez_compressed(WEIGHTS, **build_weights())
