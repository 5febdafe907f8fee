"""Fields that save themselves, where the server behind them is another one than before or its database was away."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from matcher.errors import AwayError, Problem
from matcher.service.access import local_user
from matcher.service.desk import Desk, load_room, save_document
from tests.ui.page_alone import page
from ui import keeping, words


def test_opened_anew_or_again_the_brief_changes_nothing(
    desk: Desk, sample_room: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever a draft says, and whatever a form shows of what it does not say."""
    user = local_user(desk)
    room = load_room(desk, user, sample_room)
    document: dict[str, Any] = copy.deepcopy(room.document)
    document["wishes"] = {
        "lrv": [40.4, 80.0],
        "lrv_of": {"trim": [60.5, 90.0]},
        "avoid": ["GONE-1"],
        "contrast": [{"between": ["walls", "trim"], "at_least": 20.0}],
        "most_paints": 2,
    }
    document["sizes"] = {"units": "feet", "length": 14.0}
    document["room"]["latitude"] = 51.5
    revision = save_document(desk, user, sample_room, document, revision=room.revision)
    monkeypatch.setattr(keeping, "is_connected_again", lambda: True)
    page("brief", room=sample_room)
    assert load_room(desk, user, sample_room).revision == revision


def test_what_could_not_be_saved_as_the_database_was_away_is_saved_once_it_is_back(
    desk: Desk, sample_room: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown = page("brief", room=sample_room)

    def away(*given: object, **more: object) -> None:
        raise AwayError(Problem("database", "it does not answer"))

    with monkeypatch.context() as gone:
        gone.setattr(keeping, "save_field", away)
        field = next(one for one in shown.text_input if one.label == words.ROOM_NAME)
        field.set_value("Hall").run()
        assert words.NOT_SAVED in " ".join(str(one.proto.body) for one in shown.get("html"))
    shown.run()
    assert not shown.exception
    assert load_room(desk, local_user(desk), sample_room).name == "Hall"
    assert words.NOT_SAVED not in " ".join(str(one.proto.body) for one in shown.get("html"))
