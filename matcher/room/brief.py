"""What the householder says about the room before anything is measured, and how it fills the room file."""

from __future__ import annotations

import copy
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from matcher.errors import RequestError
from matcher.room.contents import CompassPoint, Lamps, Roles, Warmth
from matcher.room.draft import new_draft
from matcher.room.wording import first_problems, problem_of

Json = dict[str, Any]

# Assumptions: room for whatever a person says about one room, none for a book.
Line = Annotated[str, Field(strict=True, max_length=120)]
Long = Annotated[str, Field(strict=True, max_length=2000)]
_MOST_THINGS = 40

# Where the answers go in the room file: key of the brief -> table and key.
_PLACES = {
    "kind": ("room", "kind"),
    "facing": ("room", "facing"),
    "lamps_k": ("room", "lamps_k"),
    "warmth": ("wishes", "warmth"),
    "may_be_painted": ("wishes", "roles"),
}


class Brief(BaseModel):
    """``stays`` lists what is not to be changed, ``may_be_painted`` the roles; every key may be left out."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    kind: Line | None = None
    facing: CompassPoint | None = None
    lamps_k: Lamps | None = None
    stays: Annotated[tuple[Line, ...], Field(max_length=_MOST_THINGS)] = ()
    may_be_painted: Roles = ()
    warmth: Warmth | None = None
    dislikes: Long = ""


_TABLES: dict[tuple[str, ...], type[BaseModel]] = {(): Brief}


def checked_brief(brief: object) -> Json:
    """Return the brief in plain JSON types, unanswered keys left out; raises RequestError with every mistake."""
    try:
        model = Brief.model_validate(brief)
    except ValidationError as error:
        problems = first_problems(problem_of(one, _TABLES) for one in error.errors(include_url=False))
        raise RequestError(*problems) from None
    answered = model.model_dump(mode="json", exclude_defaults=True)
    return {key: value for key, value in answered.items() if value not in ("", [], None)}


def fill_from_brief(draft: Json, before: Json, brief: Json) -> Json:
    """Return the draft with what the brief says, wherever the consultant has said nothing else.

    A key counts as untouched while it is missing, as in a new draft, or as the brief ``before`` had it; an answer taken
    back leaves the draft again.
    """
    filled, new = copy.deepcopy(draft), new_draft("")
    for key, (table, place) in _PLACES.items():
        present = filled.get(table, {}).get(place)
        untouched = present in (None, "", new[table].get(place), before.get(key))
        if untouched and key in brief:
            filled.setdefault(table, {})[place] = brief[key]
        elif untouched and key in before:
            filled[table].pop(place, None)
    return filled
