"""What the white balance takes out of a photo: gains, the angle of the cast, and what is left across the card."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from matcher.calibration.patch import Patch
from matcher.colorimetry.adaptation import adapt
from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.spaces import WHITE_D65, Floats, xyz_to_lab
from matcher.photo.decoded import ColourSpace


@dataclass(frozen=True, slots=True, eq=False)
class Cast:
    """``gains`` (3,) on linear RGB that make the card neutral, green = 1; ``angle_deg`` between the card and neutral in
    linear RGB (recovery error, as illuminant estimation is scored); ``residual_de00`` the largest departure of a
    quarter of a card from that card's mean once it is balanced.
    """

    gains: Floats
    angle_deg: float
    residual_de00: float


def measure_cast(patches: Sequence[Patch], table: Floats, space: ColourSpace) -> Cast:
    """Return the cast over all given patches of one photo (at least one)."""
    cards = [p for p in patches if not p.colour_sd] or patches
    linear = np.stack([p.linear(table) for p in cards])
    white = np.mean(linear / np.stack([p.reflected(np.eye(3)) for p in cards]), axis=0)
    cosine = min(1.0, float(white.sum() / (np.sqrt(3.0) * np.linalg.norm(white))))  # which rounding can take beyond
    return Cast(
        gains=white[1] / white,
        angle_deg=float(np.degrees(np.arccos(cosine))),
        residual_de00=max(_unevenness(p, table, space) for p in cards),
    )


def _unevenness(patch: Patch, table: Floats, space: ColourSpace) -> float:
    light = space.to_xyz @ patch.linear(table)
    quarters = patch.linear_quadrants(table) @ space.to_xyz.T
    scale = patch.reflectance / light[1]
    balanced = xyz_to_lab(adapt(quarters * scale, light / light[1], WHITE_D65))
    return float(delta_e_2000(balanced, xyz_to_lab(WHITE_D65 * patch.reflectance)).max())
