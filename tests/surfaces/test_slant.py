"""What a coat mirrors at a slant, and the doubt that comes of it, against Fresnel's equations."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.surfaces.doubt import SHEEN, mirrored, sheen_sd

_INDEX = 1.5  # of a clear coat or glaze


def _fresnel(cosine: float) -> float:
    """Reflectance of unpolarised light at a dielectric (Born & Wolf, Principles of Optics, 1.5.2)."""
    inside = np.sqrt(1 - (1 - cosine**2) / _INDEX**2)
    across = (cosine - _INDEX * inside) / (cosine + _INDEX * inside)
    along = (_INDEX * cosine - inside) / (_INDEX * cosine + inside)
    return float((across**2 + along**2) / 2)


@pytest.mark.parametrize("angle_deg", [0, 20, 40, 50, 60, 70, 80])
def test_what_is_mirrored_follows_fresnel(angle_deg: float) -> None:
    """Schlick 1994 (Computer Graphics Forum 13(3):233-246) is within 0.02 of Fresnel up to 70 degrees, 0.03 at 80."""
    cosine = float(np.cos(np.radians(angle_deg)))
    assert _fresnel(1.0) + mirrored(cosine) == pytest.approx(_fresnel(cosine), abs=0.02 if angle_deg <= 70 else 0.03)


def test_sheen_is_doubted_as_much_more_as_the_coat_mirrors() -> None:
    assert sheen_sd(1.0) == pytest.approx(SHEEN)
    for cosine in (0.2, 0.4, 0.7):
        assert sheen_sd(cosine) / SHEEN == pytest.approx(_fresnel(cosine) / _fresnel(1.0), rel=0.25)


def test_a_card_seen_from_its_edge_or_measured_wrong_is_no_error() -> None:
    assert mirrored(0.0) == mirrored(-0.1) == pytest.approx(0.96)
    assert mirrored(1.3) == 0.0
