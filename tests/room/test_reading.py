"""The room file: what the contract allows is read, every mistake is named with its key, all in one go."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from coloraide import Color
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from matcher.errors import RoomFileError
from matcher.room.contents import RoomFile
from matcher.room.measured import Measured, measured
from matcher.room.reading import read_document, read_room
from tests.room.conftest import GOOD, Write


def _mistakes(path: Path) -> list[str]:
    with pytest.raises(RoomFileError) as caught:
        read_room(path)
    return [str(problem) for problem in caught.value.problems]


def test_a_sound_file_is_read_whole(write: Write) -> None:
    path = write(GOOD)
    room_file = read_room(path)
    assert room_file.room.name == "Invented kitchen"
    assert room_file.wishes.lrv == (45.0, 80.0)
    assert room_file.pins == {"trim": "demo-1"}
    whole, close = room_file.photos
    assert room_file.path_of(whole) == path.parent / "whole.png"
    assert (whole.whole_room, close.whole_room) == (True, False)
    assert whole.references[0].on == "worktop"
    assert whole.surfaces[0].polygons == (((0, 0), (200, 0), (200, 50.5), (0, 50)),)
    assert len(close.surfaces[0].polygons) == 2
    assert whole.areas[0].holes == (((20, 70), (40, 70), (30, 90)),)
    floor, tile = (measured(surface, room_file.folder) for surface in room_file.surfaces)
    assert [colour.share for colour in floor.colours] == [1.0]
    assert [colour.share for colour in tile.colours] == [0.7, 0.3]
    assert (floor.sd, tile.sd) == (0.4, 0.5)


def test_optional_keys_may_be_left_out(write: Write) -> None:
    room_file = read_room(
        write('[room]\nname = "x"\n[[surfaces]]\nname = "floor"\nmaterial = "timber"\nlab = [50, 1, 2]')
    )
    assert room_file.wishes.warmth == "either"
    assert room_file.wishes.roles == ("walls", "trim")
    assert room_file.photos == ()


WISHES = """
[room]
name = "x"
[wishes]
avoid = ["demo-2"]
avoid_families = ["purple", "red-purple"]
most_paints = 3
one_trim = true
lrv_of = { cabinets = [5, 25] }
[[wishes.contrast]]
between = ["walls", "trim"]
at_least = 10
at_most = 40.5
[[surfaces]]
name = "floor"
material = "timber"
lab = [50, 1, 2]
"""


def test_wishes_that_are_kept(write: Write) -> None:
    wishes = read_room(write(WISHES)).wishes
    assert wishes.avoid == ("demo-2",)
    assert wishes.avoid_families == ("purple", "red-purple")
    assert (wishes.most_paints, wishes.one_trim) == (3, True)
    assert wishes.lrv_of == {"cabinets": (5.0, 25.0)}
    (asked,) = wishes.contrast
    assert (asked.between, asked.at_least, asked.at_most) == (("walls", "trim"), 10.0, 40.5)


@pytest.mark.parametrize(
    ("was", "now", "said"),
    [
        ("most_paints = 3", "most_paints = 0", "wishes.most_paints: 0 paints are none"),
        ("most_paints = 3", "most_paints = 2.5", "wishes.most_paints: 2.5 is not a whole number"),
        ('"purple", ', '"prple", ', "Did you mean 'purple'?"),
        ("[5, 25]", "[25, 5]", "wishes.lrv_of.cabinets: the first number, 25, has to be below the second, 5"),
        ("cabinets =", "cellar =", "'cellar' is not one of walls, trim"),
        ("at_least = 10\nat_most = 40.5", "", "wishes.contrast[0]: give at_least or at_most"),
        ("at_least = 10", "at_least = 60", "at_least, 60, is above at_most, 40.5"),
        ('"walls", "trim"', '"trim", "trim"', "wishes.contrast[0].between: trim stands there twice"),
        ("at_least = 10", "at_lest = 10", "Did you mean at_least?"),
        ("one_trim = true", 'one_trim = "yes"', "wishes.one_trim: 'yes' is not true or false"),
    ],
)
def test_a_wish_that_cannot_be_meant_is_named(write: Write, was: str, now: str, said: str) -> None:
    assert was in WISHES
    (mistake,) = _mistakes(write(WISHES.replace(was, now)))
    assert said in mistake


def test_rooms_seen_from_this_one(write: Write, tmp_path: Path) -> None:
    (tmp_path / "hall").mkdir()
    (tmp_path / "hall" / "room.toml").write_text(WISHES)
    path = write(WISHES + '[[rooms]]\nfile = "hall/room.toml"\nthrough = "open doorway"\n')
    (room,) = read_room(path).rooms
    assert (room.file, room.through) == ("hall/room.toml", "open doorway")
    more = "".join(f'[[rooms]]\nfile = "{file}"\n' for file in (path.name, "attic.toml", "hall/../hall/room.toml"))
    path.write_text(path.read_text() + more)
    itself, missing, again = _mistakes(path)
    assert itself.startswith("rooms[1].file: is this room itself")
    assert missing.startswith("rooms[2].file: there is no room file 'attic.toml'. It is looked for in")
    assert again.startswith("rooms[3].file: is the room of rooms[0]")
    path.write_text(WISHES + '[[rooms]]\nfile = "hall/room.toml"\n' * 7)
    (many,) = _mistakes(path)
    assert many.startswith("rooms: has 7 entries, more than 6")


def test_absolute_photo_path(write: Write, tmp_path: Path) -> None:
    target = tmp_path / "close.png"
    room_file = read_room(write(GOOD.replace('"close.png"', f'"{target}"')))
    assert room_file.path_of(room_file.photos[1]) == target


# What to replace in the sound file, with what, and the one message it must give.
OUTLINE = "[[10, 10], [40, 10], [40, 30], [10, 30]]"
SPOILT = [
    ("reflectance = 0.18", "reflectance = 1.8", "photos[0].references[0].reflectance: 1.8 is not between 0 and 1"),
    ("reflectance = 0.18", "reflectance = 0", "photos[0].references[0].reflectance: 0 leaves nothing"),
    ("reflectance = 0.18", "reflectance = nan", "photos[0].references[0].reflectance: nan is not a finite number"),
    ("reflectance = 0.18", 'reflectance = "0.18"', "'0.18' is not a number. Write it without quotes"),
    ("reflectance = 0.18", "", "photos[0].references[0].reflectance: is missing. Give Y of the patch, 0..1; a grey"),
    ("reflectance = 0.18", "reflectance = 0.18\nreflectanse = 1", "reflectanse: is not a known key. Did you mean refl"),
    ('facing = "N"', 'facing = "North"', "room.facing: 'North' is not one of N, NE, E, SE, S, SW, W, NW"),
    ("latitude = 55.9", "latitude = 155.9", "room.latitude: 155.9 is not between -90 and 90"),
    ("lamps_k = 2700", "lamps_k = 27", "room.lamps_k: 27 is not between 1500 and 10000"),
    ("lamps_k = 2700", 'date = "2026-02-30"', "room.date: '2026-02-30' is no day; write the year from 1900"),
    ("lamps_k = 2700", 'date = "1776-07-04"', "room.date: '1776-07-04' is no day; write the year from 1900"),
    ("lamps_k = 2700", "lamp_k = 2700", "room.lamp_k: is not a known key. Did you mean lamps_k?"),
    ('name = "Invented kitchen"', "", "room.name: is missing"),
    ('name = "Invented kitchen"', 'name = ""', "room.name: is empty"),
    ('warmth = "warm"', 'warmth = "hot"', "wishes.warmth: 'hot' is not one of warm, cool, either"),
    ("lrv = [45, 80]", "lrv = [80, 45]", "wishes.lrv: the first number, 80, has to be below the second, 45"),
    ("lrv = [45, 80]", "lrv = [45, 180]", "wishes.lrv[1]: 180 is not between 0 and 100"),
    ("lrv = [45, 80]", "lrv = [45, 60, 80]", "wishes.lrv: has 3 entries where 2 belong"),
    ("lrv = [45, 80]", "lrv = [45]", "wishes.lrv: has too few numbers"),
    ("lrv = [45, 80]", "lrv = 45", "wishes.lrv: 45 is not a list"),
    ('"cabinets"]', '"cabinet"]', "wishes.roles[2]: 'cabinet' is not one of walls, trim, ceiling, cabinets"),
    ('"cabinets"]', '"walls"]', "wishes.roles: walls stands there twice"),
    ('trim = "demo-1"', 'trims = "demo-1"', "pins.trims: 'trims' is not one of walls, trim"),
    ('trim = "demo-1"', "trim = 12", "pins.trim: 12 is not text. Put it in quotes"),
    ("[pins]", "[pinns]", "pinns: is not a known key. Did you mean pins?"),
    ('file = "close.png"', 'file = "far.png"', "photos[1].file: there is no file 'far.png'"),
    ('file = "close.png"', f'file = "{"a" * 5000}.png"', "photos[1].file: there is no file 'aaaa"),
    ('file = "close.png"', 'file = "room.toml"', "photos[1].file: room.toml is not a picture"),
    ("whole_room = true", 'whole_room = "yes"', "photos[0].whole_room: 'yes' is not true or false"),
    ('file = "close.png"', 'file = "close.png"\nwhole_room = true', "photos: more than one has whole_room = true"),
    ('kind = "grey card"', 'kind = "gray card"', "kind: 'gray card' is not one of grey card, white card, black card"),
    ('on = "worktop"', 'on = "worktp"', "photos[0].references[0].on: there is no surface 'worktp'"),
    (OUTLINE, "[[10, 10], [40, 10]]", "outline: an outline needs at least 3 points"),
    (OUTLINE, "[[10, 10], [40, 30], [40, 10], [10, 30]]", "the outline crosses itself"),
    (OUTLINE, "[[10, 10], [20, 20], [30, 30]]", "the outline encloses no area"),
    (OUTLINE, "[[nan, 10], [40, 10], [40, 30]]", "outline[0][0]: nan is not a finite number"),
    (OUTLINE, "[[1e9, 10], [40, 10], [40, 30]]", "outline: a point lies more than a million pixels away"),
    (OUTLINE, f"[[{'9' * 400}, 10], [40, 10], [40, 30]]", "... is too large a number"),
    (OUTLINE, f"[[{'9' * 5000}, 10], [40, 10], [40, 30]]", "holds a number of thousands of digits"),
    (OUTLINE, "[[10, 10, 1], [40, 10], [40, 30]]", "outline[0]: has 3 entries"),
    (OUTLINE, "[[10], [40, 10], [40, 30]]", "outline[0]: has too few numbers"),
    (
        "[200, 0], [200.0, 50.5]",
        "[300, 0], [200.0, 50.5]",
        "photos[0].surfaces[0].outline: point (300, 0) lies outside",
    ),
    (
        "[40, 40], [60, 40], [60, 60]",
        "[40, 40], [60, 40], [60, 160]",
        "photos[1].surfaces[0].outlines[1]: point (60, 160)",
    ),
    (
        "[20, 70], [40, 70], [30, 90]",
        "[-20, 70], [40, 70], [30, 90]",
        "photos[0].areas[0].holes[0]: point (-20, 70) lies",
    ),
    ('role = "walls"', 'role = "wall"', "photos[0].areas[0].role: 'wall' is not one of walls"),
    (
        "outlines = [[[0, 60], [200, 60], [200, 100], [0, 100]]]",
        "outlines = []",
        "photos[0].areas[0].outlines: is empty",
    ),
    ('material = "timber"', 'material = "wood"', "surfaces[0].material: 'wood' is not one of stone, timber"),
    (
        'name = "floor"',
        'name = "worktop"',
        "surfaces[0].material: 'worktop' is timber here and stone in photos[0].surf",
    ),
    ('name = "floor"', 'name = "tile"', "surfaces[1].name: 'tile' is there already, in surfaces[0]"),
    ("lab = [55.0, 16.0, 30]", "", "surfaces[0]: give lab (one colour) or colours"),
    ("lab = [55.0, 16.0, 30]", 'lab = [55.0, 16.0, 30]\nfile = "floor.txt"', "surfaces[0]: give lab (one colour) or"),
    ("lab = [55.0, 16.0, 30]", 'file = "floor.txt"', "surfaces[0].file: "),
    ("lab = [55.0, 16.0, 30]", f'file = "{"a" * 5000}"', "surfaces[0].file: "),
    ("lab = [55.0, 16.0, 30]", 'file = "close.png"', "surfaces[0].file: is not text"),
    ("lab = [55.0, 16.0, 30]", 'file = "room.toml"', "surfaces[0].file: line "),
    (
        "lab = [55.0, 16.0, 30]",
        'lab = [55.0, 16.0, 30]\nlight = "D60"',
        "surfaces[0].light: 'D60' is not one of D65, D50",
    ),
    ("lab = [55.0, 16.0, 30]", "lab = [55.0, 16.0, 30]\nobserver = 5", "surfaces[0].observer: 5 is not one of 2, 10"),
    ("lab = [55.0, 16.0, 30]", "lab = [155.0, 16.0, 30]", "surfaces[0].lab[0]: 155 is not between 0 and 100"),
    ("share = 0.7", "share = 0.5", "surfaces[1]: the shares of colours add up to 0.80; they have to add up to 1"),
    ("sd = 0.4", "sd = -1", "surfaces[0].sd: -1 is not between 0 and 50"),
    (
        "outlines = [[[0, 0]",
        "outline = [[0, 0], [9, 0], [9, 9]]\n  outlines = [[[0, 0]",
        "give outline (one polygon) or outlines",
    ),
]


@pytest.mark.parametrize(("sound", "spoilt", "message"), SPOILT)
def test_a_mistake_is_named_with_its_key(write: Write, sound: str, spoilt: str, message: str) -> None:
    assert sound in GOOD
    mistakes = _mistakes(write(GOOD.replace(sound, spoilt, 1)))
    assert len(mistakes) == 1, mistakes
    assert message in mistakes[0]


FLOOR = "lab = [55.0, 16.0, 30]\nsd = 0.4"


def _floor(path: Path) -> Measured:
    room_file = read_room(path)
    return measured(room_file.surfaces[0], room_file.folder)


def test_values_under_d50_against_coloraide(write: Write) -> None:
    floor = _floor(write(GOOD.replace(FLOOR, FLOOR + '\nlight = "D50"')))
    # CSS lab is CIELAB D50; coloraide adapts by Bradford. The two D50 differ in the fourth digit.
    expected = Color("lab", [55, 16, 30]).convert("lab-d65").coords()
    assert floor.colours[0].lab == pytest.approx(expected, abs=0.03)
    assert floor.sd == pytest.approx(math.hypot(0.4, 0.85))


def test_values_for_ten_degrees_carry_their_doubt(write: Write) -> None:
    assert _floor(write(GOOD.replace(FLOOR, FLOOR + "\nobserver = 10"))).sd == pytest.approx(math.hypot(0.4, 1.3))


def test_a_file_beside_the_room_file_is_read(write: Write, tmp_path: Path) -> None:
    (tmp_path / "floor.txt").write_text("L* 55 a* 16 b* 30\nL* 57 a* 16 b* 30", encoding="utf-8")
    path = write(GOOD.replace(FLOOR, 'file = "floor.txt"\nlight = "D65"\nobserver = 2'))
    floor = _floor(path)
    assert floor.colours[0].lab == pytest.approx((56, 16, 30), abs=0.02)
    # Two readings 2 L* apart: a standard deviation of 1.41 L*, times 0.95 (CIEDE2000's SL at L* 56 is 1.05).
    assert floor.sd == pytest.approx(1.41 * 0.95, abs=0.03)
    table = read_document(path)["surfaces"][0]
    assert table["lab"] == pytest.approx([56, 16, 30], abs=0.02)
    assert table["sd"] == floor.sd
    assert not {"file", "light", "observer"} & set(table)


def test_what_is_wrong_in_such_a_file_is_said_with_its_place(write: Write, tmp_path: Path) -> None:
    (tmp_path / "floor.txt").write_text("floor\nL* 155 a* 16 b* 30", encoding="utf-8")
    (mistake,) = _mistakes(write(GOOD.replace(FLOOR, 'file = "floor.txt"')))
    assert "surfaces[0].file: line 2: L* is 155, outside 0 to 100" in mistake


def test_a_surface_may_be_photographed_and_measured(write: Write) -> None:
    before, _, after = GOOD.rpartition('name = "floor"\nmaterial = "timber"')
    assert read_room(write(f'{before}name = "worktop"\nmaterial = "stone"{after}')).surfaces[0].name == "worktop"


def test_one_name_with_two_materials(write: Write) -> None:
    before, _, after = GOOD.rpartition('material = "stone"')
    (mistake,) = _mistakes(write(f'{before}material = "tile"{after}'))
    assert "photos[1].surfaces[0].material: 'worktop' is tile here and stone in photos[0].surfaces[0]" in mistake


def test_all_mistakes_come_in_one_go(write: Write) -> None:
    text = GOOD
    for sound, spoilt in (
        ("reflectance = 0.18", "reflectance = 1.8"),
        ('facing = "N"', 'facing = "up"'),
        ('file = "close.png"', 'file = "far.png"'),
        ('on = "worktop"', 'on = "shelf"'),
        ("[200, 0], [200.0, 50.5]", "[300, 0], [200.0, 50.5]"),
    ):
        text = text.replace(sound, spoilt, 1)
    assert len(_mistakes(write(text))) == 5


def test_a_room_without_surfaces(write: Write) -> None:
    (mistake,) = _mistakes(write('[room]\nname = "x"'))
    assert "no surface is outlined and none is measured" in mistake


def test_outlines_are_judged_in_the_upright_frame(write: Write, tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[274] = 6
    Image.new("RGB", (100, 200)).save(tmp_path / "turned.jpg", exif=exif)
    text = GOOD.replace("whole.png", "turned.jpg")
    assert read_room(write(text)).photos[0].file == "turned.jpg"


@pytest.mark.parametrize("suffix", ["heic", "tif"])
def test_upright_size_of_formats_whose_reader_turns(write: Write, tmp_path: Path, suffix: str) -> None:
    import pillow_heif

    pillow_heif.register_heif_opener()
    exif = Image.Exif()
    exif[274] = 6
    Image.new("RGB", (100, 200)).save(tmp_path / f"turned.{suffix}", exif=exif.tobytes() if suffix == "heic" else exif)
    text = GOOD.replace("whole.png", f"turned.{suffix}")
    assert read_room(write(text)).photos[0].file == f"turned.{suffix}"


def test_missing_file(tmp_path: Path) -> None:
    assert "there is no such file" in _mistakes(tmp_path / "room.toml")[0]


def test_folder(tmp_path: Path) -> None:
    assert "is a folder" in _mistakes(tmp_path)[0]


def test_a_name_too_long_for_the_system(tmp_path: Path) -> None:
    assert "cannot be opened" in _mistakes(tmp_path / f"{'a' * 5000}.toml")[0]
    assert "cannot be opened" in _mistakes(tmp_path / f"{'a' * 5000}.zip")[0]


def test_not_utf_8_names_the_line(tmp_path: Path) -> None:
    path = tmp_path / "room.toml"
    path.write_bytes(b'[room]\nname = "caf\xe9"\n')
    assert "line 2 is not UTF-8 (byte E9). Save the room file as UTF-8 text" in _mistakes(path)[0]


def test_toml_syntax_names_the_line(write: Write) -> None:
    (mistake,) = _mistakes(write("[room]\nname = kitchen\n"))
    assert "line 2" in mistake
    assert "is not valid TOML" in mistake


def test_byte_order_mark_is_allowed(write: Write) -> None:
    path = write(GOOD)
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes())
    assert read_room(path).room.name == "Invented kitchen"


def _read_or_refuse(path: Path) -> None:
    try:
        room_file = read_room(path)
    except RoomFileError:
        return
    assert isinstance(room_file, RoomFile)


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.binary(max_size=200))
def test_wild_bytes(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "room.toml"
    path.write_bytes(data)
    _read_or_refuse(path)


WILD_VALUES = st.sampled_from(
    ["1", "-1", "1e400", "nan", "inf", '""', '"x"', "true", "[]", "[[]]", "[[1, 2]]", "{}", "{a = 1}", "[{}]",
     "1979-05-27", "[[[1, 2], [3, 4]]]", '["walls"]', "9" * 30, "[nan, nan]", '[["a", "b"]]', '"\\u0000"']
)  # fmt: skip
LINES = [line for line in GOOD.splitlines() if "=" in line]


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(line=st.sampled_from(LINES), value=WILD_VALUES, other=st.sampled_from(LINES), other_value=WILD_VALUES)
def test_wild_values_under_known_keys(write: Write, line: str, value: str, other: str, other_value: str) -> None:
    text = GOOD.replace(line, f"{line.split('=')[0]}= {value}", 1)
    _read_or_refuse(write(text.replace(other, f"{other.split('=')[0]}= {other_value}", 1)))


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(table=st.sampled_from(["room", "wishes", "pins", "sizes", "photos", "surfaces"]), value=WILD_VALUES)
def test_wild_values_in_place_of_tables(write: Write, table: str, value: str) -> None:
    _read_or_refuse(write(f"{table} = {value}\n"))
