"""Chips followed while they are marked: what is unfinished is said and left out, what lies there is compared."""

from __future__ import annotations

import io
import tomllib
import zipfile
from dataclasses import replace
from datetime import UTC, datetime
from itertools import count
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest
from coloraide import Color
from PIL import Image

from matcher.service import archive, live, showing
from matcher.service.access import local_user
from matcher.service.chip_editions import as_in_use
from matcher.service.desk import Desk, add_photo, load_room, new_room, open_desk, save_document
from matcher.service.marks import marks_of, with_marks
from matcher.service.records import StoredRoom
from matcher.service.repainting import prepare_repaint, repaint_prepared
from matcher.service.strip import chips_of_strip
from matcher.settings import Settings
from matcher.store.tables import MeasurementRow
from tests.service.chips_photo import (
    STRIP,
    STRIP_CODES,
    STRIP_LABS,
    WORKTOP_LAB,
    chips_jpeg,
    marked_entry,
    moved_deck,
    put_moved_in_use,
)

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


def test_a_chip_keeps_the_colour_that_it_was_photographed_with(
    desk: Desk, room: StoredRoom, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    marked = with_chips(room, *STRIP_CODES)
    before = live.measured(desk, marked)
    assert before.old_chips == ()
    new = tmp_path / "new.csv"
    new.write_bytes(moved_deck())
    apart = {
        code: Color("lab-d65", lab).delta_e(
            Color("lab-d65", [lab[0] + (9 if lab[0] < 50 else -9), *lab[1:]]), method="2000"
        )
        for code, lab in zip(STRIP_CODES, STRIP_LABS, strict=True)
    }

    def as_before(opened: Desk, **rest: Any) -> None:
        """Nothing is measured again, whatever the code means by now, and what is of another edition is said."""
        with monkeypatch.context() as patched:
            patched.setattr("matcher.surfaces.measure.survey_room", lambda *args, **rest: pytest.fail("measured again"))
            again = replace(marked, revision=next(REVISIONS), **rest)
            found, ranking = live.measured(opened, again), live.ranked(opened, again)
        assert [surface["lab"] for surface in found.surfaces] == [surface["lab"] for surface in before.surfaces]
        assert found.surfaces[0]["chips"] == before.surfaces[0]["chips"]  # its swatch too
        (said,) = found.old_chips
        codes = f"{', '.join(STRIP_CODES[:4])} and {STRIP_CODES[4]}"
        assert f"{codes} were measured with the colours of another edition" in said
        shown = live.chip_paints(opened, again, "worktop.jpg", STRIP_CODES).values()
        assert [paint["hex"] for paint in shown] == [
            Color("lab-d65", lab).convert("srgb").to_string(hex=True) for lab in STRIP_LABS
        ]
        assert ranking is not None
        assert said == ranking.result["warnings"][0]
        told = [each for each in ranking.result["photos"][0]["checks"] if each["check"] == "chip of another edition"]
        assert [each["values"]["de00"] for each in told] == pytest.approx(list(apart.values()), abs=0.006)

    # The file that the settings name is another one by now.
    as_before(Desk(desk.settings.model_copy(update={"deck": new}), desk.store))
    put_moved_in_use(desk)
    as_before(desk)
    # Somebody says that they are chips of the new edition, and takes it back.
    stated = replace(marked, document=as_in_use(desk, marked), revision=next(REVISIONS))
    said = live.measured(desk, stated)
    assert said.old_chips == ()
    assert said.surfaces[0]["lab"] != before.surfaces[0]["lab"]
    back = live.measured(desk, replace(marked, revision=next(REVISIONS)))
    assert back.old_chips
    assert back.surfaces[0]["lab"] == before.surfaces[0]["lab"]
    # Where nothing was measured before, the day of the photo tells: one that came since has chips of the deck in use.
    with desk.store.database.writing() as session:
        session.delete(session.get(MeasurementRow, room.id))
    decides_the_day(desk, marked)
    goes_with_the_room(desk, marked)


def decides_the_day(desk: Desk, marked: StoredRoom) -> None:
    (photo,) = marked.photos
    for day, labs in ((photo.created, STRIP_LABS), (datetime.now(UTC), ())):
        (entry,) = live.room_file_of(desk, replace(marked, photos=(replace(photo, created=day),))).photos
        assert list(entry.chip_labs.values()) == list(labs)


def goes_with_the_room(desk: Desk, marked: StoredRoom) -> None:
    user, stream = local_user(desk), io.BytesIO()
    save_document(desk, user, marked.id, marked.document, revision=load_room(desk, user, marked.id).revision)
    archive.write_room(desk, user, marked.id, stream)
    with zipfile.ZipFile(stream) as packed:
        (photo,) = tomllib.loads(packed.read("room.toml").decode())["photos"]
    assert [tuple(each["lab"]) for each in photo["references"] if "paint" in each] == list(STRIP_LABS)
    # What is stated stays with the chip through a change of the marks, and goes with its code.
    shown = marks_of(photo)
    document, _ = with_marks({"photos": [photo]}, photo["file"], shown, (1200, 900))
    assert [each.get("lab") for each in document["photos"][0]["references"]] == [None] * 3 + [*map(list, STRIP_LABS)]
    renamed = [{**mark, "paint": "demo-1"} if mark.get("paint") == "demo-80" else mark for mark in shown]
    document, _ = with_marks({"photos": [photo]}, photo["file"], renamed, (1200, 900))
    assert [each["paint"] for each in document["photos"][0]["references"] if "lab" in each] == list(STRIP_CODES[:4])
