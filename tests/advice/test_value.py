"""The worth of knowing, against its closed form and the facts that hold for any choice."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy.stats import norm

from matcher.advice.value import value_of_knowing

WORTHS = arrays(np.float64, (4, 5, 3), elements=st.floats(0, 1))


def test_two_choices_and_a_normal_doubt_have_a_closed_form() -> None:
    """One choice is worth d + sigma z, the other 0: knowing z is worth sigma (phi(u) - u Phi(-u)), u = |d| / sigma.

    The unit normal linear loss integral of Raiffa & Schlaifer 1961 (from memory). Where part of the variance is told,
    sigma is that of the part.
    """
    random = np.random.default_rng(2)
    outcomes, still = random.standard_normal((2000, 1)), random.standard_normal((1, 400))
    still -= still.mean()
    for d, sigma, told in ((0.02, 0.1, 1.0), (-0.05, 0.1, 0.5), (0.1, 0.05, 0.5)):
        values = d + sigma * (np.sqrt(told) * outcomes + np.sqrt(1 - told) * still)
        gain, _ = value_of_knowing(np.stack([values, np.zeros_like(values)]))
        u = abs(d) / (sigma * np.sqrt(told))
        expected = sigma * np.sqrt(told) * (norm.pdf(u) - u * norm.cdf(-u))
        np.testing.assert_allclose(gain, expected, atol=0.1 * expected + 2e-4)


@given(WORTHS)
def test_knowing_is_never_worth_less_than_nothing(worth: np.ndarray) -> None:
    """Jensen's inequality: a mean of the largest is at least the largest mean; and knowing more is worth no less."""
    gain, change = value_of_knowing(worth)
    everything, _ = value_of_knowing(worth.reshape(4, 15, 1))
    assert 0 <= gain <= everything + 1e-12
    assert 0 <= change <= 1


@given(arrays(np.float64, (4, 1, 3), elements=st.floats(0, 1)))
def test_what_has_one_outcome_only_is_worth_nothing(worth: np.ndarray) -> None:
    """A measurement that always says the same tells nothing."""
    assert value_of_knowing(np.repeat(worth, 6, axis=1)) == (0.0, 0.0)
