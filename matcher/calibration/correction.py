"""What a camera under a lamp gets wrong beside the white balance, as one matrix that leaves white alone."""

from __future__ import annotations

import numpy as np

from matcher.colorimetry.spaces import Floats

NO_CORRECTION: Floats = np.eye(3)
# A camera is no eye: one-sigma of its error in Lab where nothing is known of it, and the part that grows with chroma,
# where nothing speaks of a lamp and by a warm lamp. Measured with two cameras, eleven CIE illuminants and
# measured spectra, and on rendered rooms with known truth (tests/benchmarks/reliability.py).
_BY_DAY, _BY_LAMP = (0.95, 0.07), (1.4, 0.105)
_LEAST = 0.05  # a response is never brought below this part of what was read


def unknown_camera_sd(lamp: float) -> tuple[float, float]:
    """Return one-sigma of an unknown camera's error at grey and for each unit of chroma; ``lamp`` 0..1."""
    base, per_chroma = ((1 - lamp) * day + lamp * warm for day, warm in zip(_BY_DAY, _BY_LAMP, strict=True))
    return base, per_chroma


def corrected(log_cones: Floats, matrix: Floats) -> Floats:
    """Return logarithms of cone responses relative to white, (..., 3), after ``matrix`` (3, 3), whose rows sum to 1."""
    cones = np.exp(log_cones)
    # As a ratio, so that the unit matrix changes no bit.
    ratio = cones @ matrix.T.astype(cones.dtype) / cones
    after: Floats = log_cones + np.log(np.maximum(ratio, cones.dtype.type(_LEAST)))
    return after


def corrected_shift(log_cones: Floats, shift: Floats, matrix: Floats) -> Floats:
    """Return what a small ``shift`` (G, K, 3) of ``log_cones`` (G, 3) becomes after ``matrix``."""
    cones = np.exp(log_cones)
    # d log(M c) = (M c d log c) / (M c); the unit matrix again changes no bit.
    after = np.maximum(cones @ matrix.T, _LEAST * cones)
    share = matrix * cones[:, None] / after[:, :, None]
    moved: Floats = shift @ share.swapaxes(1, 2)
    return moved
