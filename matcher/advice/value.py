"""What knowing something is worth to a choice, from draws.

Raiffa & Schlaifer 1961, Applied Statistical Decision Theory: the value of sample information.

Values of M choices in R x J draws: R outcomes of a measurement, J of what is still open after each. Without the
measurement one choice has to do for all; with it, the best on average after each outcome is taken.
"""

from __future__ import annotations

import numpy as np

from matcher.advice.advice import NOTICED
from matcher.surfaces.surface import FloatArray


def value_of_knowing(worth: FloatArray) -> tuple[float, float]:
    """Return what the measurement adds to the choice among (M, R, J) values, at least 0, and how likely it changes it.

    A change counts where another choice turns out better by what is noticed.
    """
    expected = worth.mean(axis=2, dtype=np.float64)
    overall = expected.mean(axis=1)
    chosen = int(overall.argmax())
    best = expected.max(axis=0)
    # Rounding apart a mean of the largest is never below the largest mean.
    gain = max(float(best.mean() - overall[chosen]), 0.0)
    return gain, float((best - expected[chosen] >= NOTICED).mean())
