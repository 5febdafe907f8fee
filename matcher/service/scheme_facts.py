"""What follows from a scheme in the app: wishes and choices that fight, what it takes to paint, and which pairs people
with low vision tell apart.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from matcher.report.sentences import LOW_VISION_NOTE as LOW_VISION_NOTE
from matcher.service.handed_files import SCHEDULE_FILE as SCHEDULE_FILE

if TYPE_CHECKING:
    from matcher.service.desk import Desk
    from matcher.service.live import LiveRanking
    from matcher.service.records import StoredRoom

Json = dict[str, Any]

# Rules for people with low vision: a scheme may miss some and be right for its client.
_ADVISORY = "contrast-"


@dataclass(frozen=True, slots=True)
class Conflict:
    """What fights, in words, and ``ways`` out of it: wishes as :func:`matcher.service.scheme_choices.without_wish`
    takes them, each with its ``message``. Of wishes all have to be given up, of two choices one is enough.
    """

    text: str
    ways: tuple[Json, ...]


def conflicts(ranked: LiveRanking) -> tuple[Conflict, ...]:
    """Return the wishes that cannot all be kept, then each two choices that do not go together."""
    from matcher.report.sentences import WISHES
    from matcher.report.wording import choices_fight_sentence, role_title

    scheme = ranked.result["scheme"]
    found = []
    if "wishes" in scheme:
        found.append(Conflict(ranked.scheme["given_up"], tuple(scheme["wishes"]["given_up"])))
    chosen = {paint["id"] for paint in ranked.scheme["paints"] if paint["pinned"]}
    for check in scheme["checks"]:
        if check["passes"] or check["rule"].startswith(_ADVISORY) or not set(check["roles"]) <= chosen:
            continue
        ways = tuple(
            {"kind": "pin", "roles": [role], "message": WISHES["pin"].format(roles=role_title(role).lower())}
            for role in check["roles"]
        )
        found.append(Conflict(choices_fight_sentence(check), ways))
    return tuple(found)


def to_paint(desk: Desk, room: StoredRoom, ranked: LiveRanking) -> Json:
    """Return the painter's schedule of the scheme (:func:`matcher.service.quantities.schedule_of`): ``rows`` one for
    each role, ``quantities`` and ``purchases`` of those whose size the brief tells.
    """
    from matcher.service.live import deck_for, told_of
    from matcher.service.quantities import schedule_of

    codes = {role: paint["code"] for role, paint in ranked.result["scheme"]["roles"].items()}
    told = told_of(desk, room)
    return schedule_of(told.file, codes, deck_for(desk, room), told.survey.measurement.surfaces)


def low_vision_pairs(ranked: LiveRanking) -> list[Json]:
    """Return each pair of a room's parts with its ``title``, what each rule makes of it (``text``), and the ``numbers``
    (:func:`matcher.report.low_vision.low_vision_view`); none of it is a verdict.
    """
    from matcher.report.low_vision import contrasts_of, low_vision_view

    return low_vision_view(contrasts_of(ranked.result))
