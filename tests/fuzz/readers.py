"""Every reader of files and texts fed what has gone wrong on its way: it has to end in a result or in a GivensError.

``python -m tests.fuzz.readers SECONDS [SEED [READER ...]]`` gives each reader, one after the other, that many seconds,
prints how many texts were read and refused and the slowest, and exits with 1 where one took more than ``MOST_SECONDS``,
more memory than ``MOST_BYTES``, ended in anything else, warned, or was refused in more words than anybody reads. What
did is kept in a file that is named.
"""

from __future__ import annotations

import contextlib
import faulthandler
import io
import json
import os
import random
import resource
import sys
import tempfile
import time
import traceback
import warnings
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from PIL import Image

from matcher.errors import GivensError
from tests.fuzz.mutations import damaged, wild_bytes, wild_text

MOST_SECONDS, MOST_BYTES, MOST_SAID = 8.0, 4_000_000_000, 200_000

ROOM = """[room]
name = "Invented kitchen"
kind = "kitchen"
facing = "N"
latitude = 55.9
lamps_k = 2700
[wishes]
warmth = "warm"
lrv = [45, 80]
roles = ["walls", "trim", "cabinets"]
[pins]
trim = "demo-1"
[[photos]]
file = "photos/a.png"
whole_room = true
  [[photos.references]]
  kind = "grey card"
  reflectance = 0.18
  outline = [[10, 10], [40, 10], [40, 30], [10, 30]]
  on = "worktop"
  [[photos.references]]
  kind = "grey scale"
  reflectances = [0.9, 0.6, 0.4, 0.2, 0.05]
  outline = [[50, 10], [90, 10], [90, 30], [50, 30]]
  [[photos.surfaces]]
  name = "worktop"
  material = "stone"
  outline = [[0, 0], [200, 0], [200.0, 50.5], [0, 50]]
  [[photos.areas]]
  role = "walls"
  outlines = [[[0, 60], [200, 60], [200, 100], [0, 100]]]
  holes = [[[20, 70], [40, 70], [30, 90]]]
[[photos]]
file = "photos/b.png"
  [[photos.surfaces]]
  name = "worktop"
  material = "stone"
  outlines = [[[0, 0], [20, 0], [20, 20]], [[40, 40], [60, 40], [60, 60]]]
"""
MEASURED = """[[surfaces]]
name = "floor"
material = "timber"
lab = [55.0, 16.0, 30]
sd = 0.4
light = "D50"
observer = 10
[[surfaces]]
name = "tile"
material = "tile"
colours = [{share = 0.7, lab = [80, 1, 4]}, {share = 0.3, lab = [60, 0, 2]}]
[[surfaces]]
name = "door"
material = "paint"
file = "door.txt"
"""
SPECTRUM = " ".join(f"{0.3 + 0.01 * band:.2f}" for band in range(36))
CSV = (
    "code,name,L,a,b,lrv,collection,exterior\n" + 'demo-1,"Plogavir",96.7,0.2,-0.36,91.9,"Whites, new",true\n' * 2
    + "demo-2,Stolvum,50,1,2,,,false\n",
    "code,name,hex\ndemo-1,Plogavir,#d8d2c4\ndemo-2,Stolvum,#FFF0e1\n",
    "code,name,L,a,b," + ",".join(f"spectral:{nm}" for nm in range(380, 731, 10)) + "\ndemo-1,K,60,0,0,"
    + SPECTRUM.replace(" ", ",") + "\n",
)  # fmt: skip
CGATS = (
    'CGATS.17\nORIGINATOR "invented"\nILLUMINANT D50\nOBSERVER 2\nNUMBER_OF_FIELDS 5\nBEGIN_DATA_FORMAT\n'
    "SAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nNUMBER_OF_SETS 2\nBEGIN_DATA\n"
    'A1 "First paint" 52.5 10.25 -20\nA2\tSecond\t80 -1 3.5\nEND_DATA\n',
    "CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID XYZ_X XYZ_Y XYZ_Z\nEND_DATA_FORMAT\nBEGIN_DATA\nA1 20 21 22\nEND_DATA\n",
    "CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID " + " ".join(f"SPECTRAL_NM{nm}" for nm in range(380, 731, 10))
    + f"\nEND_DATA_FORMAT\nBEGIN_DATA\nA1 {SPECTRUM}\nA2 {SPECTRUM}\nEND_DATA\n",
)  # fmt: skip
CXF = """<?xml version="1.0" encoding="UTF-8"?>
<cc:CxF xmlns:cc="http://colorexchangeformat.com/CxF3-core">
<cc:Resources>
<cc:ObjectCollection>
<cc:Object ObjectType="Standard" Name="First paint" Id="c1"><cc:ColorValues>
<cc:ColorCIELab ColorSpecification="CS1"><cc:L>52.5</cc:L><cc:A>10.25</cc:A><cc:B>-20</cc:B></cc:ColorCIELab>
</cc:ColorValues></cc:Object>
<cc:Object ObjectType="Standard" Name="Second paint" Id="c2"><cc:ColorValues>
<cc:ReflectanceSpectrum ColorSpecification="CS1" StartWL="380">""" + SPECTRUM + """</cc:ReflectanceSpectrum>
<cc:ColorCIEXYZ ColorSpecification="CS2"><cc:X>20</cc:X><cc:Y>21</cc:Y><cc:Z>22</cc:Z></cc:ColorCIEXYZ>
</cc:ColorValues></cc:Object>
</cc:ObjectCollection>
<cc:ColorSpecificationCollection>
<cc:ColorSpecification Id="CS1">
<cc:TristimulusSpec><cc:Illuminant>D50</cc:Illuminant><cc:Observer>2_Degree</cc:Observer></cc:TristimulusSpec>
<cc:MeasurementSpec><cc:WavelengthRange StartWL="380" Increment="10"/></cc:MeasurementSpec>
</cc:ColorSpecification>
<cc:ColorSpecification Id="CS2">
<cc:TristimulusSpec><cc:Illuminant>A</cc:Illuminant><cc:Observer>10_Degree</cc:Observer></cc:TristimulusSpec>
</cc:ColorSpecification>
</cc:ColorSpecificationCollection>
</cc:Resources>
</cc:CxF>
"""  # fmt: skip
READINGS = (
    "L* 55.2 a* 14.1 b* 27.9 (D65/2°)\nL* 55.0 a* 14.4 b* 27.1\n",
    "55,2 14,1 27,9\n54,9 14,0 28,3\n",
    "L=55 C=31 h=63 LRV 23\nXYZ 27 25 10\nY 25 x 0.39 y 0.36\n",
    "Illuminant: D50, observer: 10°\nSample;L*;a*;b*\nfloor;55.2;14.1;27.9\ndoor;54.9;14.0;28.3\n",
    "nm\tR\n" + "".join(f"{nm}\t0.{nm}\n" for nm in range(380, 731, 10)),
    SPECTRUM + "\n",
    *CGATS,
    CXF,
)
BRIEF = {
    "kind": "kitchen", "facing": "N", "lamps_k": 2700, "stays": ["worktop", "floor"],
    "may_be_painted": ["walls", "trim"], "warmth": "warm", "dislikes": "pink",
}  # fmt: skip
DRAFT = {
    "room": {"name": "x", "facing": None}, "wishes": {"warmth": "either", "roles": ["walls"]},
    "photos": [
        {"file": "a.jpg", "surfaces": [{"name": "s", "material": "stone", "outlines": [[[1, 2], [3, 4], [5.5, 0]]]}]}
    ],
    "surfaces": [{"name": "t", "material": "tile", "lab": [50, 0, 0]}],
}  # fmt: skip
MARKS = {
    "base_revision": 3, "tolerance": 0.4, "target": "m1", "serial": 2, "include": [[[1, 2], [3, 4]]], "exclude": [],
    "marks": [
        {"id": "m1", "kind": "surface", "name": "floor", "material": "tile", "polygon": [[0, 0], [10, 0], [10, 10]]},
        {"id": "m2", "kind": "card", "name": "card", "reference": "grey card", "reflectance": 0.18,
         "polygon": [[0, 0], [10, 0], [10, 10]]},
    ],
}  # fmt: skip
SETTINGS = 'folder = "shop"\ndeck = "fan.csv"\nport = 9000\nupload_limit_mb = 40\nlink_days = 60\nsession_hours = 12\n'
PASSPHRASE = "quiet river under seven stones\nsecond line\n"


@dataclass(slots=True)
class Counted:
    """What became of the texts of one reader; ``broken`` names each that ended otherwise."""

    read: int = 0
    refused: int = 0
    slowest: float = 0.0
    broken: list[str] = field(default_factory=list)


# Makes an input, and reads it.
Reader = tuple[Callable[[random.Random], Any], Callable[[Any], object]]


def readers(folder: Path) -> dict[str, Reader]:
    """Return every reader by name; files are written to ``folder``."""
    from matcher.instrument.reading import understand, understand_bytes
    from matcher.paints.reading import read_deck
    from matcher.room.archive import Limits, open_archive, unpacked
    from matcher.room.brief import checked_brief
    from matcher.room.draft import checked_draft, draft_toml
    from matcher.room.reading import read_document, read_room
    from matcher.service.passphrase import read_passphrase
    from matcher.settings import load_settings
    from ui.marking.events import parse_mark_selected, parse_marks_changed, parse_stroke_drawn

    (folder / "photos").mkdir(exist_ok=True)
    for name in ("a", "b"):
        Image.new("RGB", (200, 100)).save(folder / "photos" / f"{name}.png")
    (folder / "door.txt").write_text(READINGS[0], encoding="utf-8")
    picture = (folder / "photos" / "a.png").read_bytes()

    def file(name: str, data: bytes) -> Path:
        (folder / name).write_bytes(data)
        return folder / name

    def room_zip(rng: random.Random) -> bytes:
        stream = io.BytesIO()
        members: list[tuple[str, bytes]] = [
            ("room.toml", wild_bytes(rng, ROOM) if rng.random() < 0.5 else ROOM.encode()),
            ("brief.json", wild_bytes(rng, json.dumps(BRIEF)) if rng.random() < 0.5 else b"{}"),
            ("remark.txt", wild_bytes(rng, "north light\n") if rng.random() < 0.3 else b""),
            ("result.json", b"{}"),
            *((f"photos/{name}.png", picture) for name in "ab"),
        ]
        if rng.random() < 0.3:
            members[rng.randrange(len(members))] = (wild_text(rng, rng.choice(members)[0])[:20_000], picture)
        if rng.random() < 0.05:
            members += [(f"photos/{number}.png", b"") for number in range(rng.choice((5, 600, 30_000)))]
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # a name that is there twice
            with zipfile.ZipFile(stream, "w") as archive:
                for name, data in members:
                    with contextlib.suppress(ValueError, UnicodeEncodeError):
                        archive.writestr(zipfile.ZipInfo(name), data, rng.choice((0, 8)))
        data = stream.getvalue()
        return damaged(rng, data) if rng.random() < 0.5 else data

    def read_zip(data: bytes) -> None:
        with open_archive(data, "room.zip", Limits()) as archive:
            archive.document()
            checked_brief(archive.json("brief.json") or {})
            archive.text("remark.txt")
        with unpacked(file("room.zip", data)) as path:
            read_room(path)

    def read_settings(data: bytes) -> None:
        file("givens.toml", data)
        with contextlib.chdir(folder):
            load_settings()

    def read_marks(raw: object) -> None:
        for parse in (lambda: parse_marks_changed(raw, (200, 100)), lambda: parse_stroke_drawn(raw, (200, 100))):
            with contextlib.suppress(GivensError):
                parse()
        parse_mark_selected(raw)

    def as_json(content: object) -> Callable[[random.Random], object]:
        def make(rng: random.Random) -> object:
            while True:
                with contextlib.suppress(ValueError, RecursionError):
                    return json.loads(wild_text(rng, json.dumps(content, indent=rng.choice((None, 1)))))

        return make

    def read_draft(raw: object) -> None:
        draft_toml(checked_draft(raw))

    def decks(*sound: str) -> Reader:
        return lambda rng: wild_bytes(rng, rng.choice(sound)), lambda data: read_deck(file("deck.csv", data))

    return {
        "room": (lambda rng: wild_bytes(rng, ROOM + MEASURED), lambda data: read_room(file("room.toml", data))),
        "document": (lambda rng: wild_bytes(rng, ROOM + MEASURED), lambda data: read_document(file("room.toml", data))),
        "draft": (as_json(DRAFT), read_draft),
        "brief": (as_json(BRIEF), checked_brief),
        "marks": (as_json(MARKS), read_marks),
        "zip": (room_zip, read_zip),
        "csv": decks(*CSV),
        "cgats": decks(*CGATS),
        "cxf": decks(CXF),
        "readings": (lambda rng: wild_text(rng, rng.choice(READINGS)), understand),
        "reading files": (lambda rng: wild_bytes(rng, rng.choice(READINGS)), understand_bytes),
        "settings": (lambda rng: wild_bytes(rng, SETTINGS), read_settings),
        "passphrase": (lambda rng: wild_bytes(rng, PASSPHRASE), lambda data: read_passphrase(file("phrase.txt", data))),
    }


def fuzz(reader: Reader, seeds: Iterator[int], keep: Path, name: str) -> Counted:
    """Read an input for each of ``seeds``; what ends otherwise than it has to is kept in the folder ``keep``."""
    make, read = reader
    counted = Counted()
    for seed in seeds:
        given = make(random.Random(seed))
        begun, wrong = time.perf_counter(), ""
        try:
            read(given)
            counted.read += 1
        except GivensError as error:
            counted.refused += 1
            if len(str(error)) > MOST_SAID:
                wrong = f"refused in {len(str(error)):,} characters"
        except Exception as error:  # what must not be, whatever it is, is what is looked for
            place = traceback.extract_tb(error.__traceback__)[-1]
            wrong = f"{type(error).__name__}: {str(error)[:200]} at {place.filename}:{place.lineno}"
        taken = time.perf_counter() - begun
        counted.slowest = max(counted.slowest, taken)
        if taken > MOST_SECONDS:
            wrong = f"{taken:.1f} s"
        if wrong:
            kept = keep / f"{name.replace(' ', '-')}-{seed}"
            kept.write_bytes(given if isinstance(given, bytes) else str(given).encode("utf-8", "surrogatepass"))
            counted.broken.append(f"{wrong} (seed {seed}, {kept})")
    return counted


def main(seconds: float, seed: int, names: list[str]) -> int:
    """Fuzz every reader, or those named; return the exit code."""
    resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
    warnings.simplefilter("error")
    keep = Path(tempfile.mkdtemp(prefix="givens-fuzz-"))
    code = 0
    with tempfile.TemporaryDirectory() as folder:
        for name, reader in readers(Path(folder)).items():
            if names and name not in names:
                continue

            # What a reader imports when it is first needed is not its own time.
            fuzz(reader, iter(range(20)), keep, name)

            def until(end: float) -> Iterator[int]:
                number = seed * 1_000_000_000
                while time.perf_counter() < end:
                    # A reader that never comes back is shown where it is.
                    faulthandler.dump_traceback_later(60, exit=True)
                    yield number
                    number += 1

            counted = fuzz(reader, until(time.perf_counter() + seconds), keep, name)
            faulthandler.cancel_dump_traceback_later()
            total = counted.read + counted.refused + len(counted.broken)
            print(
                f"{name:14} {total:7} texts: {counted.read:6} read, {counted.refused:6} refused, "
                f"{len(counted.broken):3} broken; slowest {counted.slowest:.2f} s",
                flush=True,
            )
            for line in counted.broken[:20]:
                print("    " + line, flush=True)
            code = code or bool(counted.broken)
    return int(code)


if __name__ == "__main__":
    os.environ.pop("PYTHONWARNINGS", None)
    sys.exit(main(float(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 1, sys.argv[3:]))
