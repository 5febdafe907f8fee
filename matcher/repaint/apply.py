"""Another paint on a prepared photo."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from matcher.calibration.light import cone_matrix
from matcher.colorimetry.spaces import Floats
from matcher.repaint.bounce import light_under
from matcher.repaint.lamp import seen_cones
from matcher.repaint.prepare import Prepared

# Assumption: how far noise goes with the light. It grows with the square root of light, but where there is more light a
# camera smooths it: none is added that is not in the photo.
_NOISE_GAIN = (0.2, 1.0)
# Assumption: what clipping hid comes back by the time that the light is a quarter more or less.
_CUT_OFF_FADES = 4.0


def apply(prepared: Prepared, lab: ArrayLike, reflectance: Floats | None = None) -> NDArray[Any]:
    """Return the photo (H, W, 3), in its own encoding and depth, with CIELAB D65/2 ``lab`` (3,) on its areas.

    The paint's ``reflectance`` (36,) is for where it was measured (:func:`matcher.repaint.lamp.seen_cones`).

    Pixels that hold none of the old paint keep their file values.
    """
    return encoded(prepared, painted_light(prepared, lab, reflectance))


def encoded(prepared: Prepared, painted: NDArray[np.float32]) -> NDArray[Any]:
    """Return the photo with linear RGB ``painted`` (N, 3) in the pixels that hold paint."""
    values = np.rint(prepared.encoding.values(painted)).astype(prepared.pixels.dtype)
    result = prepared.pixels.copy()
    result.reshape(-1, 3)[prepared.index] = values
    return result


def painted_light(prepared: Prepared, lab: ArrayLike, reflectance: Floats | None = None) -> NDArray[np.float32]:
    """Return linear RGB (N, 3) of the pixels that hold paint, unclipped."""
    old = prepared.old.cones
    new = seen_cones(lab, prepared.lamp_share, reflectance)
    light = light_under(prepared.falling, old, new, role=prepared.role, picture_share=prepared.picture_share)
    from_cones = np.linalg.inv(cone_matrix(prepared.colour_space)).T
    added = light @ (new[:, None] * from_cones).astype(np.float32)
    added -= prepared.falling @ (old[:, None] * from_cones).astype(np.float32)
    before, after = (np.maximum(seen[:, 1], 1e-5) for seen in (prepared.paint, prepared.paint + added))
    noise_gain = np.clip(np.sqrt(after / before), *_NOISE_GAIN)[:, None]
    painted = prepared.whole + prepared.share[:, None] * added + (noise_gain - 1) * prepared.noise
    # A paint as bright as the old one is cut off where the old one was.
    alike = np.clip(1 - _CUT_OFF_FADES * np.abs(after / before - 1), 0, 1)[:, None]
    return np.asarray(painted - alike * prepared.cut_off, dtype=np.float32)
