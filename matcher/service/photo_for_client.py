"""A photo that a householder sent, as it is told to them: fine, or worth another try, why, and what to do."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from matcher.report.sentences import CLIENT_CHECKS
from matcher.service.photo import verdict_words

if TYPE_CHECKING:
    from matcher.service.records import ClientRoom, StoredPhoto

_CARDS = "cards"


@dataclass(frozen=True, slots=True)
class ClientVerdict:
    """``again`` where another try would help; ``lines`` say why and what to do, or what to be at ease about."""

    again: bool
    lines: tuple[str, ...]


def verdict_for_client(room: ClientRoom, photo: StoredPhoto) -> ClientVerdict:
    """Return what a householder is told of a photo; nothing of cards where the consultant has outlined one in it."""
    wrong = [check for check in verdict_words(photo.verdict) if check["level"] in ("warn", "fail")]
    if photo.name in room.carded:
        wrong = [check for check in wrong if check["check"] != _CARDS]
    lines = dict.fromkeys(CLIENT_CHECKS.get(check["check"], f"{check['message']}.") for check in wrong)
    return ClientVerdict(any(check["check"] != _CARDS for check in wrong), tuple(lines))
