"""Sheen: gloss units, the words that stand for several of them, and the classes of EN 13300."""

from __future__ import annotations

import pytest

from matcher.quantities.sheen import en_13300, sheen_for, words_for

# Master Painters Institute, gloss and sheen standards (paintinfo.com/mpi/approved/sheen.shtml): gloss at 60 degrees.
LEVELS = [
    (3.0, ("matt", "velvet")),
    (7.0, ("velvet",)),
    (15.0, ("eggshell",)),
    (22.0, ("eggshell", "satin")),
    (30.0, ("satin",)),
    (50.0, ("semi-gloss",)),
    (80.0, ("gloss",)),
    (90.0, ("high gloss",)),
]


@pytest.mark.parametrize(("gloss", "words"), LEVELS)
def test_words_of_the_table(gloss: float, words: tuple[str, ...]) -> None:
    assert words_for((gloss - 0.5, gloss + 0.5)) == words


@pytest.mark.parametrize(
    ("at_60", "at_85", "called"),
    [
        (60.0, None, "glossy"),
        (59.9, 80.0, "mid sheen"),
        (8.0, 10.0, "mid sheen"),
        (8.0, 9.9, "matt"),
        (2.0, 5.0, "matt"),
        (2.0, 4.9, "dead matt"),
        # One value is not enough below 60.
        (30.0, None, None),
    ],
)
def test_classes_of_en_13300(at_60: float, at_85: float | None, called: str | None) -> None:
    """Glossy 60 and more at 60 degrees; below that mid sheen 10 and more at 85, matt below 10, dead matt below 5."""
    assert en_13300(at_60, at_85) == called


def test_what_a_role_wants() -> None:
    """Trade habit, no source: dull ceilings, duller walls than woodwork, walls that are wiped shinier than others."""
    ceiling, walls, kitchen, trim = (
        sheen_for(role, kind, None).wanted
        for role, kind in (("ceiling", None), ("walls", "bedroom"), ("walls", "Family kitchen"), ("trim", "bedroom"))
    )
    assert ceiling[1] <= walls[1] < kitchen[1] < trim[1]
    # Directive 2004/42/CE: matt paint for walls and ceilings has 25 gloss units at 60 degrees at most.
    assert max(ceiling[1], walls[1], kitchen[1]) <= 25 < trim[1]


def test_a_paint_of_another_sheen_is_told() -> None:
    assert not sheen_for("trim", None, 5.0).fits
    assert sheen_for("trim", None, 30.0).fits
    assert sheen_for("trim", None, None).fits
