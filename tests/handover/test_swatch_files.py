"""Swatch files, read back by other programs: Pillow reads the GIMP palette, Python's csv the table."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import replace

import numpy as np
import pytest
from coloraide import Color
from PIL import GimpPaletteFile

from matcher.handover.contents import Contents
from matcher.handover.fill import beyond_screens, fill
from matcher.handover.swatch_files import Swatch, swatches_css, swatches_csv, swatches_gpl, swatches_of


@pytest.fixture(scope="module")
def swatches(full: Contents) -> list[Swatch]:
    return swatches_of(full)


def rgb(text: str) -> tuple[int, ...]:
    return tuple(bytes.fromhex(text[1:]))


def test_every_paint_stands_once_and_every_colour_that_stays(full: Contents, swatches: list[Swatch]) -> None:
    paints = [swatch for swatch in swatches if swatch.kind == "paint"]
    assert sorted(role for swatch in paints for role in swatch.used_for) == sorted(full.roles)
    assert len({swatch.code for swatch in paints}) == len(paints)
    colours = [colour["hex"] for surface in full.stays for colour in surface["colours"]]
    assert [swatch.hex for swatch in swatches if swatch.kind == "stays"] == colours


def test_pillow_reads_the_gimp_palette(swatches: list[Swatch]) -> None:
    text = swatches_gpl(swatches, "Kitchen")
    read = GimpPaletteFile.GimpPaletteFile(io.BytesIO(text.encode("utf-8")))
    colours, mode = read.getpalette()
    assert mode == "RGB"
    wanted = [rgb(swatch.hex) for swatch in swatches]
    assert [tuple(colours[place : place + 3]) for place in range(0, 3 * len(wanted), 3)] == wanted


def test_the_palette_is_written_as_published(swatches: list[Swatch]) -> None:
    """GIMP's developer documentation, "GIMP palette format": what each line has to be."""
    lines = swatches_gpl(swatches, "A\nroom\twith # and " + "long " * 60).split("\n")
    assert lines[0] == "GIMP Palette"
    assert re.fullmatch(r"Name: A room with # and (long )+long?.*", lines[1])
    assert re.fullmatch(r"Columns: ([1-9]|[1-9][0-9]|1[0-9]{2}|2[0-4][0-9]|25[0-6])", lines[2])
    assert lines[3] == "#"
    assert lines[-1] == ""
    assert len(lines) == len(swatches) + 5
    assert all(re.fullmatch(r" *\d{1,3} +\d{1,3} +\d{1,3}\t[^\t\n]+", line) for line in lines[4:-1])
    assert all(len(line) <= 100 for line in lines)


def test_the_table_reads_back(full: Contents, swatches: list[Swatch]) -> None:
    rows = list(csv.DictReader(io.StringIO(swatches_csv(swatches))))
    assert [row["hex"] for row in rows] == [swatch.hex for swatch in swatches]
    for row in rows[: len(full.labs)]:
        if row["kind"] == "paint":
            assert [float(row[axis]) for axis in "Lab"] == pytest.approx(full.labs[row["code"]], abs=0.005)


def test_no_spreadsheet_runs_a_name(full: Contents) -> None:
    roles = {"walls": {**full.roles["walls"], "name": "=HYPERLINK(1)"}}
    there = replace(full, result={**full.result, "scheme": {**full.result["scheme"], "roles": roles}})
    (row, *_) = csv.DictReader(io.StringIO(swatches_csv(swatches_of(there))))
    assert row["name"] == "'=HYPERLINK(1)"


def test_css_properties_are_one_a_use_and_no_name_ends_the_comment(full: Contents) -> None:
    roles = {**full.roles, "walls": {**full.roles["walls"], "name": "x */ } body { display: none"}}
    there = replace(full, result={**full.result, "scheme": {**full.result["scheme"], "roles": roles}})
    text = swatches_css(swatches_of(there))
    bare = re.sub(r"/\*.*?\*/", "", text)  # CSS Syntax 3, 4.3.2: a comment ends at the first */
    declared = re.findall(r"--([a-z][a-z0-9-]*): (#[0-9a-f]{6});", bare)
    assert re.fullmatch(r":root \{\s*(?:--[a-z][a-z0-9-]*: #[0-9a-f]{6};\s*)*\}\s*", bare)
    assert len({name for name, _ in declared}) == len(declared)
    assert {role: paint["hex"] for role, paint in full.roles.items()}.items() <= dict(declared).items()


def test_a_fill_is_nearest_as_the_eye_counts() -> None:
    """By coloraide's CIEDE2000: within 0.45 of any colour of sRGB, near-neutrals among them, which rounding is not."""
    rng = np.random.default_rng(3)
    grey = rng.uniform(0.15, 0.95, (60, 1)) + rng.normal(0, 0.02, (60, 3))
    for values in np.concatenate([np.clip(grey, 0, 1), rng.uniform(0, 1, (20, 3))]):
        lab = Color("srgb", values.tolist()).convert("lab-d65")
        assert lab.delta_e(Color(fill(lab.coords())), method="2000") <= 0.45
        assert not beyond_screens(lab.coords())


def test_a_paint_stronger_than_a_screen_is_known_as_such() -> None:
    assert beyond_screens((60.0, -90.0, 20.0))
    assert not beyond_screens((60.0, -20.0, 20.0))
