"""What a new edition of a deck changes in one room: chosen paints, what was shared, first choices and clashes.

Facts only, as kinds and numbers; matcher/report/edition_words.py makes sentences of them. Nothing here touches a store
or a photo, so that it can be done in another process or on another machine.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from matcher.recall import Recall

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from matcher.description.edition import Edition
    from matcher.paints.deck import Deck
    from matcher.ranking.paint_columns import Paints
    from matcher.ranking.question import Question
    from matcher.ranking.score import Scores
    from matcher.room.contents import RoomFile
    from matcher.surfaces.surface import Surface

Json = dict[str, Any]
# Both decks of the edition under way, and of the one before it.
_columns = Recall(4)


@dataclass(frozen=True, slots=True)
class RoomTask:
    """A room to be ranked: its ``document`` without photos, the text of its ``measurement`` (None where nothing could
    be measured, and then ``problem`` says why), and the codes that its client sees, ``shared``, by role.
    """

    id: str
    document: Json
    measurement: str | None
    problem: str
    shared: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class _Measured:
    """What a room is ranked by."""

    surfaces: tuple[Surface, ...]


def know(deck: Deck) -> None:
    """Work out what is worked out once a deck, before the first room asks for it."""
    import matcher.ranking.rank
    import matcher.ranking.score
    import matcher.room.reading
    import matcher.service.asking  # noqa: F401  # what judging a room takes, imported while nobody waits for it

    _paints(deck).curves()


def judge_rooms(tasks: Sequence[RoomTask], old: Deck, new: Deck, edition: Edition) -> list[tuple[str, Json]]:
    """Return for each room its id and what the ``edition`` from the old deck to the new one changes in it: ``changed``,
    and the ``problem`` that kept it from being ranked, or "".
    """
    return [(task.id, judge_room(task, old, new, edition)) for task in tasks]


def judge_room(task: RoomTask, old: Deck, new: Deck, edition: Edition) -> Json:
    """Return what the edition changes in a room; each of ``changed`` has ``role``, ``was`` and ``now`` (codes),
    ``kind`` and ``values``, and for both paints ``name`` and ``hex`` under ``was_paint`` and ``now_paint``: the old
    edition may be gone when somebody looks.

    Kinds: "chosen gone", "chosen renamed", "chosen moved", "shared gone", "shared renamed", "shared moved" (values
    ``de00``), "first choice gone", "first choice renamed", "first choice moved" (``de00``), "better first choice", and
    "clash" (``surface``, ``clash``, ``severity``, ``of``: chosen, shared or first choice).
    """
    from matcher.errors import GivensError
    from matcher.room.reading import room_of

    changed: list[Json] = []
    pins: Mapping[str, str] = task.document.get("pins", {})
    for what, codes in (("chosen", pins), ("shared", task.shared)):
        changed += [
            entry for role, code in codes.items() for entry in _paint_changes(what, role, code, old, new, edition)
        ]
    problem = task.problem
    if task.measurement is not None:
        try:
            file = room_of({**task.document, "photos": []}, {})
            changed += _ranking_changes(file, _surfaces(task.measurement), task.shared, old, new, edition)
        except GivensError as error:
            problem = "; ".join(str(each) for each in error.problems)
    for change in changed:
        change["was_paint"] = _look(old, change["was"])
        change["now_paint"] = _look(new, change["now"])
    return {"changed": changed, "problem": problem}


def _look(deck: Deck, code: str) -> Json:
    from matcher.colorimetry.spaces import lab_to_hex

    row = deck.row_of[code]
    return {"name": deck.names[row], "hex": lab_to_hex(deck.lab[row])}


def _surfaces(text: str) -> tuple[Surface, ...]:
    from matcher.surfaces.kept import read_surfaces

    return read_surfaces(text)


def _paint_changes(what: str, role: str, code: str, old: Deck, new: Deck, edition: Edition) -> Iterator[Json]:
    """Yield what becomes of a paint that somebody chose or was shown; nothing for a code that neither edition has."""
    if code not in old.row_of:
        return
    gone, moved = edition.stands_in.get(code), edition.moves.get(code)
    if gone is not None:
        kind = f"{what} renamed" if gone.renamed else f"{what} gone"
        yield _entry(role, code, gone.nearest, kind, de00=gone.de00)
    elif moved is not None and moved.visible:
        yield _entry(role, code, code, f"{what} moved", de00=moved.de00)


def _ranking_changes(
    file: RoomFile, surfaces: Sequence[Surface], shared: Mapping[str, str], old: Deck, new: Deck, edition: Edition
) -> Iterator[Json]:
    """Yield first choices that are others now, and clashes that were none.

    A chosen paint that is gone is stood in for by the nearest: the rest is to be chosen beside something.
    """
    from matcher.ranking.rank import first_choice
    from matcher.ranking.score import score
    from matcher.service.asking import question_of

    if not surfaces:
        return
    before = _known_in(file, old)
    after = _known_in(_stood_in(before, edition), new)
    measured = _Measured(tuple(surfaces))
    asked = question_of(before, measured, old, _paints(old)), question_of(after, measured, new, _paints(new))
    shown = {role: code for role, code in shared.items() if code in old.row_of}
    chosen: dict[str, str] = {str(role): code for role, code in before.pins.items()}
    for role in dict.fromkeys([*asked[0].roles, *chosen, *shown]):
        scores = score(asked[0], role), score(asked[1], role)
        watched = [("chosen", chosen.get(role)), ("shared", shown.get(role))]
        if role in asked[0].open_roles:
            first, now = (
                first_choice(question, role, found=found) for question, found in zip(asked, scores, strict=True)
            )
            code, code_now = old.codes[first.paint], new.codes[now.paint]
            yield from _first_choice_changes(role, code, code_now, edition)
            watched.append(("first choice", code if _same_paint(code, code_now, edition) else None))
        for what, watched_code in watched:
            if watched_code is not None:
                yield from _new_clashes(what, role, watched_code, asked, scores, (old, new), edition)


def _first_choice_changes(role: str, was: str, now: str, edition: Edition) -> Iterator[Json]:
    gone, moved = edition.stands_in.get(was), edition.moves.get(was)
    if gone is not None and gone.renamed and gone.nearest == now:
        yield _entry(role, was, now, "first choice renamed", de00=gone.de00)
    elif gone is not None:
        yield _entry(role, was, now, "first choice gone", de00=gone.de00)
    elif was != now:
        yield _entry(role, was, now, "better first choice")
    elif moved is not None and moved.visible:
        yield _entry(role, was, now, "first choice moved", de00=moved.de00)


def _same_paint(was: str, now: str, edition: Edition) -> bool:
    return was == now or (was in edition.stands_in and edition.stands_in[was].nearest == now)


def _new_clashes(
    what: str,
    role: str,
    code: str,
    asked: tuple[Question, Question],
    scores: tuple[Scores, Scores],
    decks: tuple[Deck, Deck],
    edition: Edition,
) -> Iterator[Json]:
    """Yield what a paint clashes with now and did not before; one that is gone is judged by what comes nearest."""
    old, new = decks
    now = edition.stands_in[code].nearest if code in edition.stands_in else code
    row, row_now = old.row_of[code], new.row_of[now]
    if scores[1].clash[row_now] == 0:
        return
    before = {(clash.surface, clash.kind) for clash in _clashes(asked[0], role, scores[0], row)}
    for clash in _clashes(asked[1], role, scores[1], row_now):
        if (clash.surface, clash.kind) not in before:
            yield _entry(
                role, code, now, "clash", of=what, surface=clash.surface, clash=clash.kind, severity=clash.severity
            )


def _clashes(question: Question, role: str, scores: Scores, row: int) -> Sequence[Any]:
    import numpy as np

    from matcher.ranking.rank import DRAWS, all_clashes
    from matcher.ranking.reasons import evidence_of
    from matcher.ranking.stability import draw_surfaces

    if scores.clash[row] == 0:
        return ()
    rows: NDArray[np.intp] = np.array([row])
    drawn = draw_surfaces(question.givens, DRAWS, 0)
    (clashes,) = all_clashes(role, evidence_of(question, scores.by_itself.take(rows), rows), question.givens, drawn)
    return clashes


def _known_in(file: RoomFile, deck: Deck) -> RoomFile:
    """Return the room without the paints that a deck does not have: chosen ones, and ones that nobody wants."""
    from matcher.service.asking import avoiding_of

    pins = {role: code for role, code in file.pins.items() if code in deck.row_of}
    return avoiding_of(file.model_copy(update={"pins": pins}), deck)


def _stood_in(file: RoomFile, edition: Edition) -> RoomFile:
    pins = {
        role: edition.stands_in[code].nearest if code in edition.stands_in else code for role, code in file.pins.items()
    }
    return file.model_copy(update={"pins": pins})


def _entry(role: str, was: str, now: str, kind: str, **values: float | str) -> Json:
    rounded = {name: value if isinstance(value, str) else round(value, 3) for name, value in values.items()}
    return {"role": role, "was": was, "now": now, "kind": kind, "values": rounded}


def _paints(deck: Deck) -> Paints:
    from matcher.ranking.paint_columns import paints_of

    return _columns.of(deck.sha256, lambda: paints_of(deck))
