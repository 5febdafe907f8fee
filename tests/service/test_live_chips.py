"""Chips followed while they are marked: what is unfinished is said and left out, what lies there is compared."""

from __future__ import annotations

import io
from dataclasses import replace
from itertools import count
from typing import Any

import cv2
import numpy as np
import pytest
from coloraide import Color
from PIL import Image

from matcher.service import live, showing
from matcher.service.access import local_user
from matcher.service.desk import Desk, add_photo, load_room, new_room, open_desk
from matcher.service.records import StoredRoom
from matcher.service.repainting import prepare_repaint, repaint_prepared
from matcher.service.strip import chips_of_strip
from matcher.settings import Settings
from tests.service.chips_photo import STRIP, STRIP_CODES, STRIP_LABS, WORKTOP_LAB, chips_jpeg, marked_entry

REVISIONS = count(10)


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    return open_desk(Settings(folder=tmp_path_factory.mktemp("desk") / "data"))


@pytest.fixture(scope="module")
def room(desk: Desk) -> StoredRoom:
    user = local_user(desk)
    room = new_room(desk, user, "Worktop")
    add_photo(desk, room, chips_jpeg(), "worktop.jpg", by="consultant")
    return load_room(desk, user, room)


def with_chips(room: StoredRoom, *codes: str | None) -> StoredRoom:
    """The room with its strip split into five chips of these codes."""
    chips: list[dict[str, Any]] = [
        {"kind": "paint chip", "outline": outline, "on": "worktop", **({"paint": code} if code else {})}
        for outline, code in zip(chips_of_strip(STRIP, 5), codes, strict=True)
    ]
    entry = marked_entry("worktop.jpg")
    photo = {**entry, "references": [*entry["references"], *chips]}
    return replace(room, document={**room.document, "photos": [photo]}, revision=next(REVISIONS))


def test_a_surface_is_compared_with_the_chip_it_comes_nearest_to(desk: Desk, room: StoredRoom) -> None:
    found = live.measured(desk, with_chips(room, *STRIP_CODES))
    assert found.problems == ()
    (surface,) = found.surfaces
    (chip,) = surface["chips"]
    # CIEDE2000 of coloraide (MIT) between the colours that the photo was drawn from.
    worktop = Color("lab-d65", WORKTOP_LAB)
    apart = [worktop.delta_e(Color("lab-d65", lab), method="2000") for lab in STRIP_LABS]
    assert chip["code"] == STRIP_CODES[apart.index(min(apart))] == "demo-79"
    assert chip["name"] == "Plundam"
    (entry,) = surface["nearest_chips"]
    assert entry["de00"] == pytest.approx(min(apart), abs=entry["de00_doubt"])
    assert "demo-79 comes nearest" in chip["sentence"]
    assert "greener" in chip["sentence"]
    assert "worktop.jpg" in chip["compared"]
    page = showing.report(desk, with_chips(room, *STRIP_CODES))
    assert chip["sentence"] in page


def test_chips_without_a_paint_are_told_once_and_are_no_part_of_the_surface(desk: Desk, room: StoredRoom) -> None:
    found = live.measured(desk, with_chips(room, *[None] * 5))
    assert found.problems == (
        "worktop.jpg: 5 paint chips have no paint yet and are left out. Choose their paints from the deck.",
    )
    (surface,) = found.surfaces
    # The worktop was drawn in one colour: nothing of the strip counts as it.
    assert [colour["part"] for colour in surface["colours"]] == ["field"]
    assert surface["chips"] == []
    one = live.measured(desk, with_chips(room, *STRIP_CODES[:4], None))
    assert one.problems[0].startswith("worktop.jpg: a paint chip has no paint yet and is left out.")
    assert one.surfaces[0]["chips"]


def test_chips_without_a_paint_are_neither_painted_over_nor_taken_for_the_old_paint(
    desk: Desk, room: StoredRoom
) -> None:
    marked = with_chips(room, *[None] * 5)
    (photo,) = marked.document["photos"]
    # Round the strip so closely that chips are most of what shows there, whichever way they are counted.
    around = [[210, 530], [960, 465], [995, 720], [200, 835]]
    document = {**marked.document, "photos": [{**photo, "areas": [{"role": "accent", "outlines": [around]}]}]}
    measurement = live.survey_of(desk, replace(marked, document=document, revision=next(REVISIONS))).measurement
    prepared = prepare_repaint(measurement, "accent")
    # The photo was drawn from these colours; nothing else in it is as green as the worktop.
    assert prepared.old.lab[1] == pytest.approx(WORKTOP_LAB[1], abs=2)
    shown = np.asarray(Image.open(io.BytesIO(chips_jpeg())))
    painted = np.asarray(Image.open(io.BytesIO(repaint_prepared(prepared, (30.0, 40.0, 20.0), kind="PNG").picture)))
    changed = (painted != shown).any(axis=2)
    inside = np.zeros(changed.shape, dtype=np.uint8)
    for outline in chips_of_strip(STRIP, 5):
        cv2.fillConvexPoly(inside, np.array(outline).round().astype(np.int32), 1)
    inside = cv2.erode(inside, np.ones((9, 9), dtype=np.uint8))  # an edge of the area mixes in the pixels beside it
    assert not changed[inside.astype(bool)].any()
    assert changed[517:525, 410:590].all()


def test_a_code_that_the_deck_has_no_more_is_named_and_the_rest_is_measured(desk: Desk, room: StoredRoom) -> None:
    found = live.measured(desk, with_chips(room, "sold out", *STRIP_CODES[1:]))
    assert found.problems == ()
    assert any(warning.startswith("worktop.jpg: sold out: ") for warning in found.warnings)
    assert found.surfaces[0]["chips"][0]["code"] == "demo-79"
    assert set(live.known_paints(desk, ["sold out", "demo-79"])) == {"demo-79"}


def test_a_chip_that_is_another_paint_is_named_with_what_to_do(desk: Desk, room: StoredRoom) -> None:
    found = live.measured(desk, with_chips(room, *STRIP_CODES[:4], "demo-1"))
    (warning,) = (each for each in found.warnings if "demo-1" in each)
    assert "check that the code is right" in warning
