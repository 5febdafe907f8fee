"""Coin the names of the demo deck: draw words from syllables and keep those that nobody uses yet.

Run from anywhere: ``python matcher/paints/data/coin_names.py WORDS COMMON``. Both are text files in UTF-8, one word in
small letters from a to z a line: WORDS all that a name may not be, COMMON those that it may not resemble either. Writes
``demo_names.txt``, one name a line; the same lists give the same names. SOURCES.md says which lists were used.
"""

from __future__ import annotations

import sys
from collections.abc import Collection, Iterator
from itertools import count, islice
from pathlib import Path
from string import ascii_lowercase

import numpy as np

SEED = 20261128
NAMES = 326  # as many as make_demo_deck.py has colours
OUT = Path(__file__).with_name("demo_names.txt")

# Syllables that any reader of a Western European language can say, soft ones, with endings that make no plural, no
# feminine, and no name of a substance or a firm of it: a choice of our own.
_ONSETS = (
    "b", "d", "f", "g", "h", "l", "m", "n", "p", "r", "s", "t", "v", "w", "br", "dr", "fl", "gl", "gr", "pl", "st",
    "tr",
)  # fmt: skip
_MIDDLES = (
    "b", "d", "g", "l", "m", "n", "r", "t", "v", "ld", "lm", "lv", "mb", "nd", "rd", "rl", "rm", "rn", "rv", "st",
)  # fmt: skip
_VOWELS = ("a", "e", "i", "o", "u")
_ENDS = ("l", "m", "n", "r", "d", "ld", "lm", "nd", "rd", "rn", "st")
_LENGTHS = range(6, 9)  # letters: shorter ones resemble a word nearly always, longer ones are hard to read out
# Read out, these still sound like a given name, a medicine or a firm: a judgement, no list has them.
_TAKEN_OUT = (
    "badostum", "beldomir", "belmavir", "brugom", "drogulm", "fenubal", "garvitum", "gelvard", "gendim", "glatum",
    "glevotid", "glonevir", "herlim", "hilmun", "homirn", "hondelm", "larnom", "mevotid", "migurn", "murdegin",
    "nelvir", "nerulmod", "nilvar", "nostebir", "padutirn", "pilmor", "plabom", "plomiven", "relvam", "sagulvir",
    "sarmod", "sorvun", "stombin", "stumal", "sumbid", "teldun", "telvom", "telvund", "tevogid", "torvim",
    "tralmod", "trebim", "vindolm", "virmul", "vodirn", "wetandul",
)  # fmt: skip
_TOLD_APART_BY = 4  # letters at the beginning, so that few have to be typed to find one


def coined_words(seed: int) -> Iterator[str]:
    """Yield words of two or three syllables in small letters, without an end; none has a letter twice, which makes
    them easier to say and to tell apart.
    """
    rng = np.random.default_rng(seed)
    for _ in count():
        word = str(rng.choice(_ONSETS)) + str(rng.choice(_VOWELS)) + str(rng.choice(_MIDDLES))
        if rng.random() < 0.5:
            word += str(rng.choice(_VOWELS)) + str(rng.choice(_MIDDLES))
        word += str(rng.choice(_VOWELS)) + str(rng.choice(_ENDS))
        if len(word) in _LENGTHS and len(set(word)) == len(word):
            yield word


def names(words: Collection[str], common: Collection[str], *, seed: int = SEED) -> Iterator[str]:
    """Yield names: none in ``words``, none a letter away from ``common``, none beginning or ending with a common word
    of four letters or more, no two alike in their first letters.
    """
    taken: set[str] = set()
    for word in coined_words(seed):
        if word[:_TOLD_APART_BY] in taken or word in words or word in _TAKEN_OUT or _resembles(word, common):
            continue
        taken.add(word[:_TOLD_APART_BY])
        yield word.capitalize()


def a_letter_away(word: str) -> Iterator[str]:
    """Yield what ``word`` becomes with a letter left out, put in, changed, or swapped with the next."""
    for at in range(len(word) + 1):
        before, after = word[:at], word[at:]
        yield from (before + letter + after for letter in ascii_lowercase)
        if after:
            yield before + after[1:]
            yield from (before + letter + after[1:] for letter in ascii_lowercase)
        if len(after) > 1:
            yield before + after[1] + after[0] + after[2:]


def _resembles(word: str, common: Collection[str]) -> bool:
    parts = (part for at in range(4, len(word)) for part in (word[:at], word[-at:]))
    return any(other in common for other in (word, *a_letter_away(word), *parts))


def main(words: Path, common: Path, out: Path = OUT) -> None:
    """Write the names."""
    lists = [frozenset(path.read_text(encoding="utf-8").split()) for path in (words, common)]
    found = islice(names(*lists), NAMES)
    out.write_text("".join(f"{name}\n" for name in found), encoding="utf-8")


if __name__ == "__main__":
    main(*map(Path, sys.argv[1:3]))
