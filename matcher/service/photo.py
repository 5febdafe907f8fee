"""Is a photo fit to measure from, and where are its cards."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from matcher.errors import GivensError, Problem
from matcher.service.decoder import get_ready

Json = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Checked:
    """What was found of the photos that could be read, in their order, and what is wrong with the others."""

    results: tuple[Json, ...]
    problems: tuple[Problem, ...]


def check_photos(paths: Sequence[Path], *, progress: Callable[[str], None] = lambda step: None) -> Checked:
    """Check photos one after the other: one that cannot be read keeps the others from nothing."""
    results: list[Json] = []
    problems: list[Problem] = []
    for path in paths:
        progress(f"Checking {path.name}")
        try:
            results.append(check_photo(path))
        except GivensError as error:
            problems += error.problems
    return Checked(tuple(results), tuple(problems))


def check_photo(path: Path) -> Json:
    """Say whether a photo is fit to measure from, and propose where its cards are."""
    get_ready()
    from matcher.photo.card_proposal import propose_cards
    from matcher.photo.cards_seen import cards_seen
    from matcher.photo.quality import check_photo as check
    from matcher.photo.reading import read_photo
    from matcher.report.numbers import rounded
    from matcher.report.result import check_entry

    photo = read_photo(path)
    proposals = propose_cards(photo)
    findings = (*photo.findings, *check(photo), cards_seen(proposals, tone_known=photo.colour_space.tone_known))
    return {
        "file": str(path),
        "size": list(photo.full_size),
        "colour_space": photo.colour_space.name,
        "checks": [check_entry(finding) for finding in findings],
        "cards": [
            {
                "kind": card.kind,
                "confidence": rounded(card.confidence, 2),
                "outline": [[rounded(part, 1) for part in corner] for corner in card.outline],
                **({} if card.group is None else {"group": card.group}),
            }
            for card in proposals
        ],
    }


def verdict_words(verdict: Json) -> list[Json]:
    """Return the checks of a photo as a person reads them: ``level``, ``word`` and ``message`` of each, worst first."""
    from matcher.report.wording import LEVEL_WORDS

    order = ("fail", "warn", "note", "ok")
    checks = sorted(verdict["checks"], key=lambda check: order.index(check["level"]))
    return [{**check, "word": LEVEL_WORDS[check["level"]]} for check in checks]
