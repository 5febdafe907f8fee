"""[sizes], country and year of the room file: what the contract allows is read, every mistake is named, in one go."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from matcher.errors import RoomFileError
from matcher.quantities.areas import areas_of
from matcher.room.archive import pack, unpacked
from matcher.room.contents import Sizes
from matcher.room.country import countries, country_meant
from matcher.room.draft import checked_draft, draft_toml
from matcher.room.reading import read_document, read_room
from tests.room.conftest import GOOD, Write

# The table as the contract prints it; walls stand there instead of length, width and height.
BOX = """
[sizes]
units = "metres"
length = 4.2
width = 3.1
height = 2.4
openings = 4.5
trim = 14.0
cabinets = 9.0
"""


def _with(sizes: str, room: str = "") -> str:
    return GOOD.replace("lamps_k = 2700\n", f"lamps_k = 2700\n{room}") + sizes


def _mistakes(path: Path) -> list[str]:
    with pytest.raises(RoomFileError) as caught:
        read_room(path)
    return [str(problem) for problem in caught.value.problems]


def test_sizes_country_and_year_are_read(write: Write) -> None:
    room = read_room(write(_with(BOX, 'country = "GB"\nbuilt = 1931\n')))
    assert (room.room.country, room.room.built) == ("GB", 1931)
    assert room.sizes == Sizes(units="metres", length=4.2, width=3.1, height=2.4, openings=4.5, trim=14.0, cabinets=9.0)


def test_the_contracts_own_table_is_read_whole(write: Write) -> None:
    """It shows walls of their own beside the box they are part of: 35.04 less 4.5 of openings."""
    sizes = read_room(write(_with(BOX + "walls = 30.5\n"))).sizes
    assert sizes is not None
    assert areas_of(sizes)["walls"].m2 == 30.5


def test_walls_may_be_given_instead_and_length_and_width_then_tell_the_ceiling(write: Write) -> None:
    sizes = read_room(write(_with('[sizes]\nunits = "feet"\nwalls = 330\nlength = 14\nwidth = 10\nopenings = 0'))).sizes
    assert sizes is not None
    assert (sizes.units, sizes.walls, sizes.height) == ("feet", 330, None)


def test_a_room_without_sizes_stays_valid(write: Write) -> None:
    room = read_room(write(GOOD))
    assert room.sizes is None
    assert (room.room.country, room.room.built) == (None, None)


# What to replace in the sound table, with what, and the one message it must give.
SPOILT = [
    ("length = 4.2", "length = -4.2", "sizes.length: -4.2 is not between 0 and 300"),
    ("length = 4.2", "length = 0", "sizes.length: 0 leaves nothing to paint"),
    ("length = 4.2", "length = 4200", "sizes.length: 4200 is not between 0 and 300"),
    ("length = 4.2", 'length = "4.2"', "sizes.length: '4.2' is not a number. Write it without quotes"),
    ("length = 4.2", "length = nan", "sizes.length: nan is not a finite number"),
    ("length = 4.2", "", "sizes.length: is missing beside width and height. Add length, or give walls."),
    ("length = 4.2\nwidth = 3.1", "", "sizes.length: is missing beside height. Add length and width, or give walls."),
    ("openings = 4.5", "openings = -1", "sizes.openings: -1 is not between 0 and 20000"),
    ("openings = 4.5", "openings = inf", "sizes.openings: inf is not a finite number"),
    ("openings = 4.5", f"openings = {'9' * 400}", "sizes.openings: "),
    ("openings = 4.5", "openings = 40", "sizes.openings: 40 is no less than the 35.04 of the walls"),
    ("cabinets = 9.0", "cabinets = 0", "sizes.cabinets: 0 leaves nothing to paint"),
    ("cabinets = 9.0", "walls = 40", "sizes.walls: 40 is more than the 35.04 that length, width and height make"),
    ('units = "metres"', 'units = "yards"', "sizes.units: 'yards' is not one of metres, feet"),
    ('units = "metres"', "", 'sizes.units: is missing. Write units = "metres" or units = "feet".'),
    ("cabinets = 9.0", "cabinet = 9.0", "sizes.cabinet: is not a known key. Did you mean cabinets?"),
]


@pytest.mark.parametrize(("sound", "spoilt", "message"), SPOILT)
def test_a_mistake_is_named_with_its_key(write: Write, sound: str, spoilt: str, message: str) -> None:
    assert sound in BOX
    (mistake,) = _mistakes(write(_with(BOX.replace(sound, spoilt))))
    assert message in mistake


@pytest.mark.parametrize(
    ("table", "message"),
    [
        ('units = "metres"', "sizes: gives no area. Give walls, or length, width and height."),
        ('units = "metres"\nopenings = 2', "sizes: gives no area"),
        ('units = "metres"\ntrim = 9\nopenings = 2', "sizes.openings: are given without walls to take them off"),
        ('units = "metres"\nwalls = 9\nopenings = 12', "sizes.openings: 12 is no less than the 9 of the walls"),
        ('units = "metres"\nwalls = 9\nlength = 4', "sizes.width: is missing beside length"),
    ],
)
def test_no_area_and_openings_that_leave_none(write: Write, table: str, message: str) -> None:
    (mistake,) = _mistakes(write(_with(f"[sizes]\n{table}\n")))
    assert message in mistake


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ('country = "UK"', "room.country: 'UK' is no country code of ISO 3166-1; did you mean 'GB'?"),
        ('country = "gb"', "did you mean 'GB'?"),
        ('country = "Ireland"', "did you mean 'IE'?"),
        ('country = "XX"', "room.country: 'XX' is no country code of ISO 3166-1; give two letters"),
        ("country = 44", "room.country: 44 is not text"),
        ("built = 3020", "room.built: 3020 is not between 1000 and 2100"),
        (f"built = {'9' * 400}", "999... is not between 1000 and 2100"),
        ('built = "1931"', "room.built: '1931' is not a whole number"),
        ("built = 1931.5", "room.built: 1931.5 is not a whole number"),
    ],
)
def test_a_country_or_year_that_is_none(write: Write, line: str, message: str) -> None:
    (mistake,) = _mistakes(write(_with(BOX, line + "\n")))
    assert message in mistake


def test_all_of_it_in_one_go(write: Write) -> None:
    sizes = BOX.replace("4.2", "-4.2").replace("openings = 4.5", "walls = 12\nopenings = 13\ndoor = 0")
    mistakes = _mistakes(write(_with(sizes, 'country = "UK"\nbuilt = 99\n')))
    assert [mistake.split(":")[0] for mistake in mistakes] == [
        "room.country", "room.built", "sizes.length", "sizes.door", "sizes.openings",
    ]  # fmt: skip


def test_drafts_and_archives_keep_them(write: Write, tmp_path: Path) -> None:
    path = write(_with(BOX, 'country = "GB"\nbuilt = 1931\n'))
    document = read_document(path)
    draft = checked_draft(document)
    assert tomllib.loads(draft_toml(draft))["sizes"] == document["sizes"] != {}
    packed = tmp_path / "room.zip"
    packed.write_bytes(pack(draft, {name: tmp_path / name for name in ("whole.png", "close.png")}, {}))
    with unpacked(packed) as unpacked_path:
        again = read_room(unpacked_path)
    assert again.sizes == read_room(path).sizes
    assert (again.room.country, again.room.built) == ("GB", 1931)


def test_the_list_of_countries_is_whole() -> None:
    """ISO 3166-1 has 249 codes: 193 members of the United Nations, two observers and 54 others."""
    assert len(countries()) == 249
    assert all(len(code) == 2 and code.isupper() and name for code, name in countries().items())
    assert {"GB", "US", "IE", "AU", "NZ", "CA", "FR", "DE"} <= set(countries())
    assert country_meant("Atlantis") is None
