"""Wishes on their own, as a page sends them: what a room file may hold, and every mistake in the same words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic import BaseModel, ValidationError

from matcher.errors import RequestError
from matcher.room.contents import ContrastWish, Wishes
from matcher.room.wording import first_problems, problem_of

_TABLES: dict[tuple[str, ...], type[BaseModel]] = {(): Wishes, ("contrast",): ContrastWish}


def checked_wishes(wishes: Mapping[str, Any]) -> None:
    """Raise RequestError with every mistake in some keys of [wishes]; nothing where there is none."""
    try:
        Wishes.model_validate(dict(wishes))
    except ValidationError as error:
        problems = first_problems(problem_of(one, _TABLES) for one in error.errors(include_url=False))
        raise RequestError(*problems) from None
