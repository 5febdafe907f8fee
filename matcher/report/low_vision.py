"""Contrast for people with low vision in words: one sentence a pair, the numbers behind it apart."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import Any

from matcher.report.numbers import filled, rounded
from matcher.report.sentences import LOW_VISION, LOW_VISION_LRVS, LOW_VISION_NUMBERS, LOW_VISION_RULES
from matcher.report.trade_words import listed, sentence_case
from matcher.scheme.low_vision import PairContrast, Part, contrasts, parts_of

Json = Mapping[str, Any]


def contrasts_of(result: Json) -> tuple[PairContrast, ...]:
    """Return the pairs of a result (see :func:`matcher.report.result.result_entry`): its scheme, and what stays."""
    paints = {role: float(paint["lrv"]) for role, paint in result["scheme"]["roles"].items()}
    measured = [Part(one["name"], float(one["lrv"]), float(one["lrv_sd"])) for one in result["surfaces"]]
    return contrasts(parts_of(paints, measured))


def contrast_entries(found: Sequence[PairContrast]) -> list[dict[str, Any]]:
    """Return every pair by every rule as plain data, ``verdict`` "meets", "misses" or "open"."""
    return [
        {
            "parts": [one.first.name, one.second.name],
            "lrv": [rounded(one.first.lrv, 1), rounded(one.second.lrv, 1)],
            "rule": one.rule.name,
            "source": one.rule.source,
            "value": rounded(one.value, 2),
            "threshold": one.rule.threshold,
            "lighter_at_least": one.rule.lighter_at_least,
            "unit": one.rule.unit,
            "verdict": one.verdict,
        }
        for one in found
    ]


def low_vision_view(found: Sequence[PairContrast]) -> list[dict[str, Any]]:
    """Return each pair with its ``title``, what the rules make of it (``text``), and the ``numbers``, one a line."""
    views = []
    for (first, second), rules in groupby(found, key=lambda one: (one.first, one.second)):
        pair, by_rule = f"{first.name} and {second.name}", list(rules)
        lrvs = LOW_VISION_LRVS.format(pair=sentence_case(pair), first_lrv=first.lrv, second_lrv=second.lrv)
        numbers = [lrvs, *(_numbers(one) for one in by_rule)]
        views.append({"title": sentence_case(pair), "text": sentence_case(_sentence(by_rule)), "numbers": numbers})
    return views


def _sentence(by_rule: Sequence[PairContrast]) -> str:
    said = {
        verdict: listed(LOW_VISION_RULES[one.rule.name] for one in by_rule if one.verdict == verdict)
        for verdict in LOW_VISION
        if any(one.verdict == verdict for one in by_rule)
    }
    return "; ".join(LOW_VISION[verdict].format(rules=rules) for verdict, rules in said.items())


def _numbers(one: PairContrast) -> str:
    rule = LOW_VISION_RULES[one.rule.name]
    return filled(LOW_VISION_NUMBERS[one.rule.name], {"rule": rule, "value": one.value})
