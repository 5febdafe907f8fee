"""What of TOML is refused before it is parsed, and that nothing else is; tomllib is the judge of what is valid."""

from __future__ import annotations

import contextlib
import time
import tomllib

import pytest

from matcher.bounded_toml import refuse_unbounded
from matcher.errors import RequestError

SOUND = {
    "brackets in text": 'a = "' + "[" * 500 + '"\n',
    "brackets in a literal": "a = '" + "{" * 500 + "'\n",
    "brackets in several lines": 'a = """\n' + '[["\n' * 500 + '"""\n',
    "brackets in several literal lines": "a = '''\n" + "[[''\n" * 500 + "'''\n",
    "brackets in a remark": "a = 1 # " + "[" * 500 + "\n",
    "an escaped quote": 'a = "\\"' + "[" * 500 + '"\n',
    "an escaped backslash": 'a = "\\\\"\nb = "' + "[" * 500 + '"\n',
    "quotes before the end": 'a = """x"""""\nb = "' + "[" * 500 + '"\n',
    "dots in text": 'a = "' + "." * 5000 + '"\n',
    "dots in numbers": "a = [" + "[1.5, 2.5]," * 5000 + "]\n",
    "a long text": 'a = "' + "x" * 100_000 + '"\n',
    "many lists": "a = [" + "[[1]],\n" * 5000 + "]\n",
    "the deepest": "a = " + "[" * 20 + "]" * 20 + "\n",
    "a key of twenty parts": "a" + ".a" * 19 + " = 1\n",
    "half a file of remarks": "# it's \"so\n" * 1000 + "a = 1\n",
}


@pytest.mark.parametrize("text", SOUND.values(), ids=SOUND.keys())
def test_what_is_sound_passes(text: str) -> None:
    tomllib.loads(text)
    refuse_unbounded(text, "x.toml", RequestError)


UNBOUNDED = {
    "lists": ("a = " + "[" * 100_000, "nested too deeply"),
    "lists after a text": ('b = "\\\\"\na = ' + "[" * 100_000, "nested too deeply"),
    "tables": ("a = " + "{a=" * 100_000, "nested too deeply"),
    "a header": ("[" + "a." * 20_000 + "a]\n", "a key of more than 20 parts"),
    "a quoted key": ('"a"' + '."a"' * 20_000 + " = 1\n", "a key of more than 20 parts"),
    "digits": ("a = " + "9" * 5000, "thousands of digits"),
    "hexadecimal digits": ("a = 0x" + "f" * 5000, "thousands of digits"),
    "one line": ("a = [" + "1," * 500_001 + "]", "line 1 has more than 1,000,000 characters"),
}


@pytest.mark.parametrize(("text", "words"), UNBOUNDED.values(), ids=UNBOUNDED.keys())
def test_what_no_parser_must_see_is_refused_in_words(text: str, words: str) -> None:
    with pytest.raises(RequestError, match=words):
        refuse_unbounded(text, "x.toml", RequestError)


@pytest.mark.parametrize(
    "piece",
    ['"', "'", '"""', '"\\', "#", "a" * 999 + " ", ".a" * 19 + "\n", "[]", 'x"\n', '"""\n', "x" * 50_000 + "\n"],
)
def test_looking_takes_time_in_proportion(piece: str) -> None:
    """200,000 characters: where each is looked at again from every other, that is minutes."""
    text = piece * (200_000 // len(piece))
    begun = time.perf_counter()
    with contextlib.suppress(RequestError):  # refused or not, it has to be quick
        refuse_unbounded(text, "x.toml", RequestError)
    assert time.perf_counter() - begun < 3
