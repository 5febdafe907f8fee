"""A line of usage as the documents write it, made into commands that can be run.

``givens paint near (CODE | --lab L a b) [--same-lrv] [--deck DECK]…`` gives one command for each of the ways in round
brackets, without what may be left out, and one with all of it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

_TOKEN = re.compile(r"[()\[\]|…]|[^\s()\[\]|…]+")


def commands_of(usage: str, values: Mapping[str, str]) -> list[list[str]]:
    """Return the commands, each once, as lists of words in which a placeholder has its value.

    Raises AssertionError for a word that is neither a value's name nor meant as it stands (in small letters, or an
    option).
    """
    tokens = _TOKEN.findall(usage)
    found: list[list[str]] = []
    for with_all in (False, True):
        rest = list(tokens)
        for way in _sequence(rest, with_all=with_all):
            command = [_value(word, values) for word in way]
            if command not in found:
                found.append(command)
    return found


def _sequence(tokens: list[str], *, with_all: bool) -> Iterator[list[str]]:
    """Yield every way to read tokens up to the bracket that closes them, which is taken away with them."""
    ways: list[list[str]] = [[]]
    while tokens:
        token = tokens.pop(0)
        if token == "[":
            inner = list(_sequence(tokens, with_all=with_all))
            if with_all:
                ways = [[*way, *more] for way in ways for more in inner]
        elif token == "(":
            choices: list[list[str]] = []
            while True:
                branch, ended = _branch(tokens, with_all=with_all)
                choices += branch
                if ended:
                    break
            ways = [[*way, *choice] for way in ways for choice in choices]
        elif token == "]":
            break
        elif token != "…":
            ways = [[*way, token] for way in ways]
    yield from ways


def _branch(tokens: list[str], *, with_all: bool) -> tuple[list[list[str]], bool]:
    """Return the ways of one branch of round brackets, and whether it is the last."""
    until, depth = 0, 0
    while depth or tokens[until] not in ("|", ")"):
        depth += {"[": 1, "(": 1, "]": -1, ")": -1}.get(tokens[until], 0)
        until += 1
    inner, ended = tokens[:until], tokens[until] == ")"
    del tokens[: until + 1]
    return list(_sequence(inner, with_all=with_all)), ended


def _value(word: str, values: Mapping[str, str]) -> str:
    if word in values:
        return values[word]
    assert word.startswith("-") or re.fullmatch(r"[a-z][a-z-]*|[^a-z].*[-,].*", word), f"no value for {word}"
    return word
