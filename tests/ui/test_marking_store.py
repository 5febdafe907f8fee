"""What was taken from the browser is stored, though the next run of the page is asked for meanwhile."""

from __future__ import annotations

from typing import Any

import pytest

from matcher.service.access import local_user
from matcher.service.desk import Desk, load_room
from ui.marking_store import PhotoMarks
from ui.state import Visit

RUG = [(40.0, 40.0), (160.0, 40.0), (160.0, 120.0), (40.0, 120.0)]


class _Broken:
    """Streamlit while another run is asked for: it breaks off the present one wherever the page calls it."""

    def __getattr__(self, name: str) -> Any:
        raise KeyboardInterrupt(name)


def test_no_run_is_broken_off_between_taking_and_storing(
    desk: Desk, sample_room: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    user = local_user(desk)
    room = load_room(desk, user, sample_room)
    photo = next(photo for photo in room.photos if photo.name == "floor_day.jpg")
    marks = PhotoMarks(Visit(desk, user, guarded=False), room, photo)
    monkeypatch.setattr("ui.marking_store.st", _Broken())
    drawn: list[dict[str, Any]] = [mark.as_data() for mark in marks.shown()]
    for count, name in enumerate(("rug", "mat"), 1):
        drawn.append({"id": f"m{count}", "kind": "surface", "name": name, "material": "textile", "polygon": RUG})
        # The browser has not heard of what was stored last: it says the revision that it knew before.
        marks.save(drawn, base_revision=room.revision)
        assert marks.pending() is None
    (entry,) = (e for e in load_room(desk, user, sample_room).document["photos"] if e["file"] == photo.name)
    assert {"rug", "mat"} <= {surface["name"] for surface in entry["surfaces"]}
    assert {"m1", "m2"} <= {mark.id for mark in marks.shown()}
