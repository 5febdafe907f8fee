"""A soft step, so that no rule has a kink or an edge at which a ranking could jump."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray


def smoothstep(values: ArrayLike, start: float, end: float) -> NDArray[np.floating[Any]]:
    """0 up to ``start``, 1 from ``end``, 3t^2 - 2t^3 between; ``end`` below ``start`` turns it round."""
    t = np.asarray(np.asarray(values) - start)
    # In place, as this is called for whole decks; two plain bounds are quicker than clip, which looks at types first.
    t *= 1 / (end - start)
    np.maximum(t, 0, out=t)
    np.minimum(t, 1, out=t)
    step = np.asarray(t * t)
    t *= -2
    t += 3
    step *= t
    return step
