"""A soft step, so that no rule has a kink or an edge at which a ranking could jump."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray


def smoothstep(values: ArrayLike, start: float, end: float) -> NDArray[np.floating[Any]]:
    """0 up to ``start``, 1 from ``end``, 3t^2 - 2t^3 between; ``end`` below ``start`` turns it round."""
    t = (np.asarray(values) - start) * (1 / (end - start))
    # Two plain bounds are quicker than one call of clip, which looks at types first.
    t = np.minimum(np.maximum(t, 0), 1)
    return np.asarray(t * t * (3 - 2 * t))
