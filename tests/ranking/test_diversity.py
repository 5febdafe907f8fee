"""Lookalikes are told by CIEDE2000 (checked against Sharma, Wu & Dalal 2005 in tests/colorimetry); what spares most
pairs that formula must hide none.
"""

from __future__ import annotations

import numpy as np
import pytest

from matcher.colorimetry.difference import delta_e_2000
from matcher.ranking import weights
from matcher.ranking.diversity import representatives, stands_for


@pytest.mark.parametrize(("hue_deg", "largest_chroma"), [((0, 360), 20), ((0, 360), 120), ((240, 300), 110)])
def test_no_lookalike_is_missed(hue_deg: tuple[float, float], largest_chroma: float) -> None:
    """Greys, all colours, and the strong blues in which CIEDE2000 turns its ellipses most."""
    rng = np.random.default_rng(3)
    lightness, chroma = rng.uniform(0, 100, 4000), rng.uniform(0, largest_chroma, 4000)
    angle = np.radians(rng.uniform(*hue_deg, 4000))
    centres = np.stack([lightness, chroma * np.cos(angle), chroma * np.sin(angle)], axis=1)
    # Steps of up to 9 units along a and b: in strong blues two colours so far apart can still be within 2.
    steps = rng.uniform(-1, 1, (4000, 3)) * [4, 9, 9]
    for start in range(0, 4000, 200):
        some = centres[start : start + 200]
        lab = np.concatenate([some, some + steps[start : start + 200]])
        alike = delta_e_2000(lab[:, None], lab) < weights.NEAR_IDENTICAL
        order = np.arange(len(lab))
        kept: list[int] = []
        for row in order.tolist():
            if not alike[kept, row].any():
                kept.append(row)
        assert representatives(lab, order, len(lab)) == kept
        told = stands_for(lab, order, kept)
        assert sorted([*kept, *(row for rows in told.values() for row in rows)]) == order.tolist()
