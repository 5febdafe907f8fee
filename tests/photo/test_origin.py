"""Edited, made smaller, compressed anew, a screenshot: found where it is so, and not said of what is a camera's file.

Truth: what was done to the file in the test, by Pillow and libjpeg; tags of Exif 2.32, packets of ISO 16684-1.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import ExifTags, Image, ImageEnhance

from matcher.photo.decoded import Level
from matcher.photo.jpeg_quality import LUMINANCE, jpeg_quality
from matcher.photo.pixel_signs import has_bars, missing_levels
from matcher.photo.quality import check_photo
from matcher.photo.reading import read_photo
from matcher.report.wording import finding_sentence
from tests.photo.conftest import Pixels, Save, quadrants

SAMPLES = Path(__file__).parents[2] / "sample_photos"
SIGNS = {
    "screenshot",
    "record of edits",
    "written by a program",
    "saved again",
    "not the camera's size",
    "perhaps a copy",
    "strong compression",
    "combed levels",
    "colours cut off",
}
Tags = dict[int, Any]
CAMERA: Tags = {ExifTags.Base.Make: "Maker", ExifTags.Base.Model: "Model 7"}


def _signs(path: Path) -> dict[str, Level]:
    photo = read_photo(path)
    found = (*photo.findings, *check_photo(photo))
    return {finding.check: finding.level for finding in found if finding.check in SIGNS}


def _said(path: Path, check: str) -> str:
    (finding,) = (finding for finding in read_photo(path).findings if finding.check == check)
    return finding_sentence(finding)


def _exif(main: Tags, taken: Tags | None = None) -> Image.Exif:
    exif = Image.Exif()
    exif.update(main)
    if taken:
        exif.get_ifd(ExifTags.IFD.Exif).update(taken)
    return exif


def _sample() -> Image.Image:
    with Image.open(SAMPLES / "kitchen" / "whole_day.jpg") as image:
        return image.convert("RGB")


@pytest.mark.parametrize(
    "path", sorted([*SAMPLES.glob("*/*_*.jpg"), *SAMPLES.glob("*/*.heic")]), ids=lambda path: str(path.name)
)
def test_the_sample_photos_are_accused_of_nothing(path: Path) -> None:
    """They have no camera's tags at all: an unknown origin is no edit."""
    assert _signs(path) == {}


@pytest.mark.parametrize("quality", [25, 50, 60, 70, 75, 80, 85, 90, 95])
def test_quality_of_a_table_scaled_by_libjpeg(save: Save, quality: int) -> None:
    with Image.open(save(quadrants(), "photo.jpg", quality=quality)) as image:
        assert jpeg_quality(image.quantization[0]) == pytest.approx(quality, abs=0.2)  # type: ignore[attr-defined]


def test_table_k1_as_libjpeg_has_it(save: Save) -> None:
    """ITU-T T.81, table K.1, is what libjpeg writes at quality 50."""
    with Image.open(save(quadrants(), "photo.jpg", quality=50)) as image:
        assert list(image.quantization[0]) == LUMINANCE.tolist()  # type: ignore[attr-defined]


@pytest.mark.parametrize(("side", "quality", "said"), [(1600, 75, True), (2048, 80, True), (1600, 92, False)])
def test_a_smaller_copy_without_tags(save: Save, side: int, quality: int, said: bool) -> None:
    picture = _sample().resize((side, side * 3 // 4))
    assert ("perhaps a copy" in _signs(save(picture, "photo.jpg", quality=quality))) == said


def test_a_cameras_small_picture_is_not_a_chats(save: Save) -> None:
    assert _signs(save(_sample(), "photo.jpg", quality=80, exif=_exif(CAMERA))) == {}


def test_a_file_with_any_tag_or_a_table_of_its_own_is_no_chats(save: Save) -> None:
    """A chat strips every tag and compresses by the standard's table (ITU-T T.81, K.1); cameras do neither."""
    picture = _sample().resize((1600, 1200))
    tagged = _exif({ExifTags.Base.DateTime: "2024:05:04 10:00:00"})
    assert "perhaps a copy" not in _signs(save(picture, "tagged.jpg", quality=75, exif=tagged))
    table = [int(step) for step in np.linspace(6, 50, 64)]
    assert "perhaps a copy" not in _signs(save(picture, "own.jpg", qtables=[table, table]))
    assert "perhaps a copy" in _signs(save(picture, "plain.jpg", quality=75))


def test_a_guess_is_said_as_one_with_what_it_rests_on_and_what_to_do(save: Save) -> None:
    copied = _said(save(_sample().resize((1024, 768)), "copy.jpg", quality=75), "perhaps a copy")
    assert "may be" in copied
    assert "1024 pixels long" in copied
    assert "quality 75" in copied
    assert "if there is an original, send that" in copied
    size = {ExifTags.Base.ExifImageWidth: 1312, ExifTags.Base.ExifImageHeight: 872}
    smaller = _said(save(_sample().resize((656, 436)), "small.jpg", exif=_exif(CAMERA, size)), "not the camera's size")
    assert "notes a picture of 1312 x 872 pixels" in smaller
    assert "probably made smaller" in smaller
    cropped = _said(save(_sample().resize((1312, 800)), "crop.jpg", exif=_exif(CAMERA, size)), "not the camera's size")
    assert "probably cropped" in cropped


def test_rows_that_the_sensor_has_beyond_the_picture_are_no_crop(save: Save) -> None:
    """872 rows of a sensor, of which the picture in the file keeps whole blocks of 16 (ITU-T T.81): 864."""
    size = {ExifTags.Base.ExifImageWidth: 1312, ExifTags.Base.ExifImageHeight: 872}
    assert _signs(save(_sample().resize((1312, 864)), "photo.jpg", exif=_exif(CAMERA, size))) == {}


def test_firmware_in_words_is_no_program_where_dates_and_size_are_as_taken(save: Save) -> None:
    """By kind, not by name: what writes a picture anew writes its own date or another size."""
    words = CAMERA | {ExifTags.Base.Software: "Harbour Imaging", ExifTags.Base.DateTime: "2024:05:04 10:00:00"}
    taken = {
        ExifTags.Base.DateTimeOriginal: "2024:05:04 10:00:00",
        ExifTags.Base.ExifImageWidth: 120,
        ExifTags.Base.ExifImageHeight: 80,
    }
    assert _signs(save(quadrants(), "photo.jpg", exif=_exif(words, taken))) == {}
    later = {**taken, ExifTags.Base.DateTimeOriginal: "2024:05:04 09:59:00"}
    assert "written by a program" in _signs(save(quadrants(), "photo.jpg", exif=_exif(words, later)))


def test_strong_compression_is_said_of_a_cameras_file_too(save: Save) -> None:
    signs = _signs(save(_sample(), "photo.jpg", quality=55, exif=_exif(CAMERA)))
    assert signs == {"strong compression": "note"}


@pytest.mark.parametrize(
    ("software", "said"),
    [
        ("Colour Studio 23.1", True),
        ("Retoucher", True),
        ("17.4.1", False),
        ("MAKER Model 7 Ver.1.02", False),
        ("XB918KKU1", False),
        ("Digital Camera Application", False),
        ("HDR+ 1.0.345z", False),
        ("marten-user 11 RQ3A.210805.001 release-keys", False),
        ("harbour_eea-release/V12", False),
        ("", False),
    ],
)
def test_software_by_kind(save: Save, software: str, said: bool) -> None:
    """What firmware writes there is a version, a build or the camera's own name (assumption, from common practice)."""
    path = save(quadrants(), "photo.jpg", exif=_exif(CAMERA | {ExifTags.Base.Software: software}))
    assert ("written by a program" in _signs(path)) == said


def test_processing_software_is_a_program(save: Save) -> None:
    path = save(quadrants(), "photo.jpg", exif=_exif(CAMERA | {ExifTags.Base.ProcessingSoftware: "7.1"}))
    assert _signs(path) == {"written by a program": "note"}


@pytest.mark.parametrize(
    ("saved", "said"),
    [
        ("2024:05:04 10:00:00", False),
        ("2024:05:04 10:00:09", False),
        ("2024:05:04 12:00:01", False),  # a time zone
        ("2024:05:04 13:37:20", True),
        ("2024:06:04 10:00:00", True),
        ("not a date", False),
    ],
)
def test_saved_after_it_was_taken(save: Save, saved: str, said: bool) -> None:
    exif = _exif(CAMERA | {ExifTags.Base.DateTime: saved}, {ExifTags.Base.DateTimeOriginal: "2024:05:04 10:00:00"})
    assert ("saved again" in _signs(save(quadrants(), "photo.jpg", exif=exif))) == said


@pytest.mark.parametrize(
    ("width", "height", "said"),
    [(120, 80, False), (80, 120, False), (4000, 3000, True), (120, 88, False), (120, 96, True)],
)
def test_size_against_what_the_camera_noted(save: Save, width: int, height: int, said: bool) -> None:
    sizes = {ExifTags.Base.ExifImageWidth: width, ExifTags.Base.ExifImageHeight: height}
    signs = _signs(save(quadrants(), "photo.jpg", exif=_exif(CAMERA, sizes)))
    assert ("not the camera's size" in signs) == said


@pytest.mark.parametrize(
    ("packet", "said"),
    [
        (b"<rdf:li stEvt:action='saved' stEvt:when='2024-05-04'/>", True),
        (b"<stEvt:action>converted</stEvt:action>", True),
        (b"<rdf:Description settings:HasSettings='True'/>", True),
        (b"<rdf:li stEvt:action='created'/>", False),
        (b"<rdf:Description xmp:Rating='3'/>", False),
        (b"<rdf:li stEvt:action='saved' stEvt:changed='/metadata'/>", False),
        (b"<rdf:li><stEvt:action>saved</stEvt:action><stEvt:changed>/metadata</stEvt:changed></rdf:li>", False),
        (b"<rdf:li stEvt:action='saved' stEvt:changed='/'/>", True),
        (b"<rdf:li stEvt:action='saved' stEvt:changed='/content;/metadata'/>", True),
        (b"<rdf:li stEvt:action='saved' stEvt:changed='/metadata'/><rdf:li stEvt:action='saved'/>", True),
    ],
)
def test_record_of_edits(save: Save, packet: bytes, said: bool) -> None:
    xmp = b"<x:xmpmeta><rdf:RDF>" + packet + b"</rdf:RDF></x:xmpmeta>"
    assert ("record of edits" in _signs(save(quadrants(), "photo.jpg", xmp=xmp))) == said


def _framed(top: int, bottom: int, colour: int, *, letters: bool = False) -> Pixels:
    """The sample photo between plain bars, as a viewer on a screen shows it."""
    picture = np.asarray(_sample().resize((400, 300)))
    screen = np.full((top + 300 + bottom, 400, 3), colour, np.uint8)
    screen[top : top + 300] = picture
    if letters:
        screen[5:15, 20:50] = 255 - colour
        screen[5:15, 340:380:2] = 255 - colour
    return screen


@pytest.mark.parametrize("colour", [0, 18, 244, 255])
@pytest.mark.parametrize("letters", [False, True])
@pytest.mark.parametrize("name", ["photo.png", "photo.jpg"])
def test_a_screenshot_of_a_photo_has_bars(save: Save, colour: int, letters: bool, name: str) -> None:
    assert _signs(save(_framed(40, 60, colour, letters=letters), name)) == {"screenshot": "warn"}
    sideways = np.ascontiguousarray(np.swapaxes(_framed(40, 60, colour), 0, 1))
    assert _signs(save(sideways, name)) == {"screenshot": "warn"}


def test_one_bar_is_none() -> None:
    assert not has_bars(_framed(60, 0, 18))
    assert not has_bars(_framed(0, 60, 18))


def test_dark_and_burnt_out_edges_are_no_bars() -> None:
    picture = np.asarray(_sample().resize((400, 300))).astype(float)
    rows = np.linspace(0, 1, 300)[:, None, None]
    burnt = np.clip(picture + 200 * np.clip(2 - 12 * rows, 0, 2) + 200 * np.clip(12 * rows - 10, 0, 2), 0, 255)
    dark = np.clip(picture * np.clip(10 * rows - 1, 0, 1) * np.clip(9 - 10 * rows, 0, 1), 0, 255)
    for edged in (burnt, dark):
        assert not has_bars(edged.astype(np.uint8))


def test_a_png_of_a_screens_shape_without_a_camera(save: Save) -> None:
    picture = _sample().resize((1300, 640))
    assert _signs(save(picture, "photo.png")) == {"screenshot": "warn"}
    assert _signs(save(picture, "photo.png", exif=_exif(CAMERA))) == {}
    assert _signs(save(_sample(), "photo.png")) == {}


@pytest.mark.parametrize("edit", [ImageEnhance.Contrast, ImageEnhance.Brightness])
def test_an_edit_of_tones_combs_the_levels(save: Save, edit: Any) -> None:
    edited = edit(_sample()).enhance(1.25)
    assert _signs(save(edited, "photo.png")) == {"combed levels": "note"}
    assert missing_levels(np.asarray(_sample())) == 0


def test_colours_at_the_edge_of_the_gamut(save: Save) -> None:
    pixels = np.asarray(_sample()).copy()
    pixels[:300, :, 2] = 0
    assert _signs(save(pixels, "photo.png")) == {"colours cut off": "note"}
