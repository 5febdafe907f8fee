"""What a client gets to see: chosen, painted when it is shared, and kept as it was then."""

from __future__ import annotations

import json
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from matcher.errors import RequestError
from matcher.service import client, desk, live, sharing
from matcher.service.access import local_user
from matcher.service.desk import Desk, list_rooms, load_room, open_desk
from matcher.service.handover import handover_of_stored
from matcher.service.painted_room import paint_room
from matcher.service.records import StoredRoom, User
from matcher.settings import Settings
from tests.first_start import copy_of
from tests.handover import pdf

# The walls as an instrument would read them (invented): then they can be shown in another paint.
WALLS = {"name": "walls", "material": "paint", "lab": [84.0, 0.5, 6.0], "sd": 0.5}


@pytest.fixture(scope="module")
def the_desk(tmp_path_factory: pytest.TempPathFactory, furnished_once: Path) -> Desk:
    return open_desk(Settings(folder=copy_of(furnished_once, tmp_path_factory.mktemp("desk") / "data")))


@pytest.fixture(scope="module")
def user(the_desk: Desk) -> User:
    return local_user(the_desk)


@pytest.fixture(scope="module")
def unmeasured(the_desk: Desk, user: User) -> StoredRoom:
    """The sample kitchen without the reading of its walls: they are outlined, and no card lies on them."""
    room = load_room(the_desk, user, list_rooms(the_desk, user)[0].id)
    document = {**room.document, "surfaces": []}
    desk.save_document(the_desk, user, room.id, document, revision=room.revision)
    return load_room(the_desk, user, room.id)


@pytest.fixture(scope="module")
def room(the_desk: Desk, user: User, unmeasured: StoredRoom) -> StoredRoom:
    document = {**unmeasured.document, "surfaces": [WALLS]}
    desk.save_document(the_desk, user, unmeasured.id, document, revision=unmeasured.revision)
    return load_room(the_desk, user, unmeasured.id)


@pytest.fixture(scope="module")
def ranked(the_desk: Desk, room: StoredRoom) -> live.LiveRanking:
    found = live.ranked(the_desk, room)
    assert found is not None
    return found


def pixels(picture: bytes) -> np.ndarray:
    with Image.open(BytesIO(picture)) as opened:
        return np.asarray(opened.convert("RGB"), dtype=float)


def test_what_cannot_be_shown_painted_is_named_and_no_guess_is_made(
    the_desk: Desk, unmeasured: StoredRoom, room: StoredRoom, ranked: live.LiveRanking
) -> None:
    codes = sharing.codes_of(ranked.scheme["paints"])
    assert set(codes) == {"walls", "trim"}
    bare = paint_room(the_desk, unmeasured, codes)
    assert (bare.picture, bare.painted, bare.unmeasured, bare.not_outlined) == (None, (), ("walls",), ("trim",))
    shown = paint_room(the_desk, room, codes)
    assert (shown.painted, shown.unmeasured, shown.not_outlined) == (("walls",), (), ("trim",))
    assert shown.picture is not None


def test_no_file_no_verdict_and_no_other_paint_is_shared(ranked: live.LiveRanking) -> None:
    titles = [other["title"] for other in ranked.scheme["alternatives"]]
    assert len(titles) > sharing.MOST_ALTERNATIVES
    content = sharing.to_share(ranked, "By the window.", alternatives=titles[:1])
    assert [other["title"] for other in content["alternatives"]] == titles[:1]
    assert len(sharing.to_share(ranked, "", alternatives=titles)["alternatives"]) == sharing.MOST_ALTERNATIVES
    text = json.dumps(content)
    shown = {paint["code"] for paint in (*content["paints"], *content["alternatives"][0]["paints"])}
    every = {paint["code"] for listed in ranked.result["shortlists"].values() for paint in listed}
    assert not [code for code in every - shown if f'"{code}"' in text]
    assert not [word for word in (".jpg", "verdict", "stability", "score") if word in text]


def test_what_was_shared_stays_as_it_was(
    the_desk: Desk, user: User, room: StoredRoom, ranked: live.LiveRanking
) -> None:
    other = next(one for one in ranked.scheme["alternatives"] if one["title"] == "A bolder scheme")
    token = client.make_link(the_desk, user, room.id)
    share_id = sharing.share_scheme(
        the_desk, user, room, ranked, remark="By the window.", pictures=True, alternatives=[other["title"]]
    )
    assert load_room(the_desk, user, room.id).remark == "By the window."
    share = client.client_room(the_desk, token).share
    assert share is not None
    assert (share.id, share.pictures) == (share_id, ("before", "after", "other-0"))
    assert (share.content["painted"], share.content["unpainted"]) == (["Walls"], ["Trim"])
    before, after, bolder = (pixels(client.shared_picture(the_desk, token, share_id, name)) for name in share.pictures)
    assert before.shape == after.shape == bolder.shape
    changed = np.abs(bolder - before).max(axis=-1) > 16
    # The walls are a fifth to a third of the picture; before and after are the same everywhere else.
    assert 0.15 < changed.mean() < 0.4
    assert 0 < np.abs(after - before).mean() < np.abs(bolder - before).mean()
    assert sharing.is_as_shared(
        sharing.about_picture(
            sharing.to_share(ranked, "By the window.", alternatives=[other["title"]]),
            sharing.picture_of(the_desk, room, ranked.scheme["paints"]),
        ),
        share.content,
    )
    # Whatever is chosen later, the client sees what was shared.
    pins = sharing.codes_of(other["paints"])
    desk.save_document(the_desk, user, room.id, {**room.document, "pins": pins}, revision=room.revision)
    later = load_room(the_desk, user, room.id)
    again = live.ranked(the_desk, later)
    assert again is not None
    assert {paint["id"] for paint in again.scheme["paints"] if paint["pinned"]} == {"walls", "trim"}
    assert not sharing.is_as_shared(sharing.to_share(again, "By the window."), share.content)
    assert np.array_equal(pixels(client.shared_picture(the_desk, token, share_id, "after")), after)


def test_where_nothing_can_be_painted_no_picture_goes_along(
    the_desk: Desk, user: User, unmeasured: StoredRoom, ranked: live.LiveRanking
) -> None:
    sharing.share_scheme(the_desk, user, unmeasured, ranked, remark="", pictures=True)
    share = load_room(the_desk, user, unmeasured.id).share
    assert share is not None
    assert share.pictures == ()
    assert "painted" not in share.content


def test_another_way_that_changes_nothing_in_the_picture_has_none(
    the_desk: Desk, room: StoredRoom, ranked: live.LiveRanking
) -> None:
    picture = sharing.picture_of(the_desk, room, ranked.scheme["paints"])
    paints = ranked.scheme["paints"]
    trim = [paints[0], replace_code(paints[1], "demo-1")]
    assert not sharing.looks_otherwise(trim, paints, picture)
    assert sharing.looks_otherwise([replace_code(paints[0], "demo-1"), paints[1]], paints, picture)
    assert not sharing.looks_otherwise([], paints, replace(picture, painted=()))


def replace_code(paint: dict[str, object], code: str) -> dict[str, object]:
    return {**paint, "code": code}


def test_the_sheets_of_a_stored_room_hold_its_own_pictures_and_no_guess(
    the_desk: Desk, unmeasured: StoredRoom, room: StoredRoom
) -> None:
    pages = pdf.texts(handover_of_stored(the_desk, room).files["client.pdf"])
    assert len(pages) == 6
    assert "Repainted" in pages[0]
    assert "The trim is not painted in this picture" in pages[0]
    handed = handover_of_stored(the_desk, unmeasured)
    bare = pdf.texts(handed.files["client.pdf"])
    assert "Repainted" not in bare[0]
    assert "how light that paint is was not measured" in bare[0]
    assert b"Exif" not in handed.files["client.pdf"]
    assert list(handed.files) == [
        "client.pdf", "schedule.pdf", "schedule.csv", "swatches.csv", "swatches.css", "swatches.gpl",
    ]  # fmt: skip


def test_nothing_is_handed_over_of_a_room_that_nothing_measured(the_desk: Desk, user: User) -> None:
    empty = load_room(the_desk, user, desk.new_room(the_desk, user, "Empty"))
    with pytest.raises(RequestError, match="nothing is measured yet"):
        handover_of_stored(the_desk, empty)
