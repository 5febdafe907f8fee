"""What colours look like in a light: their reflectance, its spectrum, what bounces, and the eye's adaptation."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from matcher.colorimetry.partial_adaptation import adapt_in_part
from matcher.colorimetry.spaces import Floats, xyz_to_lab
from matcher.light.light import Light


def seen(reflectance: Floats, lights: Sequence[Light], adaptation: ArrayLike, bounce: Floats | None = None) -> Floats:
    """Return CIELAB D65, (N, L, 3), of reflectances (N, 36) as they look in each of L lights.

    ``adaptation`` (L,), or one number for all, is how far the eye is used to the light: at 1 a white card looks white,
    below it keeps a part of the light's tint. ``bounce``, (36,) or (N, 36), is what
    :func:`matcher.light.bounce.with_bounce` gives. However much light there is, a white card has L* 100 in it; the eye
    adapts to the light that comes in, so what bounces keeps its colour.
    """
    weights = np.stack([light.weights for light in lights])
    whites = weights.sum(axis=1)
    # All lights in one product: (N, 36) @ (36, 3 L).
    flat = np.moveaxis(weights, 0, 1).reshape(36, -1)
    falling = reflectance if bounce is None else reflectance * bounce
    xyz = (falling @ flat).reshape(-1, len(lights), 3)
    if bounce is not None:
        # What there is more of on a white card, which the level tells already.
        xyz = xyz / (bounce @ weights[:, :, 1].T)[..., None]
    degrees = np.broadcast_to(np.asarray(adaptation, dtype=np.float64), (len(lights),))
    return xyz_to_lab(adapt_in_part(xyz, whites, degrees))
