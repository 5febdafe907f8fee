"""The arithmetic of films against a handbook's: UFC 3-190-06 (MIL-HDBK-1110, Protective Coatings and Paints, US
Department of Defense), section 2.1.5, which prints

    0 percent solvent (100 percent solids): 1600 square feet at 1 mil dry, 800 at 2 mils, 400 at 4 mils
    50 percent solvent (50 percent solids by volume): 400 square feet at 2 mils dry, 200 at 4 mils

(and, for 50 percent at 1 mil, 600, which by its own rule is a misprint of 800). It rounds 1604 to 1600.
"""

from __future__ import annotations

import pytest

from matcher.quantities.film import dry_film, spreading_rate, wet_film
from matcher.quantities.units import (
    LITRES_PER_GALLON,
    MICROMETRES_PER_MIL,
    ft2_per_gallon,
    m2_per_litre,
    system_of,
)

HANDBOOK = [(1.0, 1.0, 1600), (1.0, 2.0, 800), (1.0, 4.0, 400), (0.5, 2.0, 400), (0.5, 4.0, 200)]


@pytest.mark.parametrize(("solids", "mils", "square_feet"), HANDBOOK)
def test_how_far_a_gallon_goes(solids: float, mils: float, square_feet: float) -> None:
    rate = spreading_rate(mils * MICROMETRES_PER_MIL, solids)
    assert ft2_per_gallon(rate) == pytest.approx(square_feet, rel=0.004)


def test_a_gallon_of_solids_at_a_mil_covers_1604_square_feet() -> None:
    """231 cubic inches a thousandth of an inch thick, in square feet of 144 square inches; as handbooks print it."""
    assert ft2_per_gallon(spreading_rate(MICROMETRES_PER_MIL, 1.0)) == pytest.approx(1604, abs=0.5)
    assert pytest.approx(3.785411784, abs=1e-9) == LITRES_PER_GALLON  # NIST Handbook 44, Appendix C


def test_dry_from_wet_as_the_handbook_has_it() -> None:
    """Dry film thickness = wet film thickness x percent solids by volume / 100."""
    assert dry_film(100.0, 0.35) == pytest.approx(35.0)
    assert dry_film(wet_film(8.0), 0.5) == pytest.approx(62.5)
    # What is spread and what dries are one film.
    assert spreading_rate(dry_film(wet_film(9.0), 0.4), 0.4) == pytest.approx(9.0)


def test_ten_square_metres_a_litre() -> None:
    assert wet_film(10.0) == pytest.approx(100.0)
    assert ft2_per_gallon(10.0) == pytest.approx(407, abs=0.6)
    assert (m2_per_litre(350), m2_per_litre(400)) == pytest.approx((8.6, 9.8), abs=0.02)


def test_what_a_room_is_counted_in() -> None:
    assert [system_of(*said) for said in (("US", "metres"), (None, "feet"), ("CA", "feet"), (None, None))] == [
        "US", "US", "metric", "metric",
    ]  # fmt: skip
