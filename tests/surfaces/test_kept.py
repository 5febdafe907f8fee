"""What is kept of a measurement is the measurement: the same numbers to the last bit, or nothing at all."""

from __future__ import annotations

import ast
import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import matcher
from matcher.calibration.cast import Cast
from matcher.errors import Problem
from matcher.instrument.understood import Remark
from matcher.photo.decoded import Finding
from matcher.room.contents import PhotoEntry
from matcher.surfaces.contradiction import Contradiction
from matcher.surfaces.instrument import InstrumentReading
from matcher.surfaces.kept import KeptMeasurement, KeptPhoto, KeptSurvey, NotKeptError, read_survey, write_survey
from matcher.surfaces.surface import Surface, SurfaceColour
from matcher.surfaces.unread import Unread
from matcher.surfaces.version import LIBRARIES, SOURCES, measurement_version

ENTRY = PhotoEntry(file="kitchen.jpg")
ANY = st.floats(allow_nan=False, allow_infinity=False)


def survey(numbers: list[float]) -> KeptSurvey:
    """A survey that has one of everything, with ``numbers`` (21) in it wherever numbers stand."""
    lab, covariance = np.array(numbers[:3]), np.array(numbers[3:12]).reshape(3, 3)
    colour = SurfaceColour(lab, covariance, numbers[12], "vein", {"level": covariance, "camera and lamp": -covariance})
    values: tuple[tuple[str, float | str], ...] = (("share", numbers[13]), ("count", 3), ("why", "dull\n„x“"))
    photo = KeptPhoto(
        ENTRY,
        (4032, 3024),
        False,
        (Finding("small", "note"),),
        (Finding("cast", "warn", values, "tile"),),
        Cast(np.array(numbers[14:17]), numbers[17], numbers[18]),
        (numbers[19], numbers[20]),
    )
    problem = Problem("kitchen.jpg: tile", "is dark", "Lighten it")
    return KeptSurvey(
        KeptMeasurement(
            (Surface("tile", "tile", (colour,), lab, covariance, numbers[12], "photo", True),),
            (photo,),
            (InstrumentReading("floor", (1.5, numbers[0], numbers[1]), 0.5, None, False, (Remark("x", values),)),),
            (Contradiction("tile", ("a.jpg", "b.jpg"), numbers[2]),),
            (Unread("wall", "kitchen.jpg", problem),),
            (problem,),
        ),
        (problem,),
        (problem, problem),
    )


@settings(max_examples=40, deadline=None)
@given(st.lists(ANY, min_size=21, max_size=21))
def test_every_number_comes_back_to_the_last_bit(numbers: list[float]) -> None:
    text = write_survey(survey(numbers))
    again = read_survey(text, [ENTRY])
    assert write_survey(again) == text
    colour = again.measurement.surfaces[0].colours[0]
    assert colour.lab.tobytes() == np.array(numbers[:3]).tobytes()
    assert colour.causes["level"].tobytes() == np.array(numbers[3:12]).tobytes()
    assert again.measurement.photos[0].findings == survey(numbers).measurement.photos[0].findings
    assert again.card_problems == survey(numbers).card_problems


@pytest.mark.parametrize(
    "spoil",
    [
        lambda kept: kept.update(format="givens-measurement/0"),
        lambda kept: kept.pop("unread"),
        lambda kept: kept["surfaces"][0].update(lab=[1.0, 2.0]),
        lambda kept: kept["surfaces"][0].update(name=7),
        lambda kept: kept["surfaces"][0].update(has_own_card=1),
        lambda kept: kept["surfaces"][0]["colours"][0]["causes"].update(magic=[[0.0] * 3] * 3),
        lambda kept: kept["photos"][0].update(file="other.jpg"),
        lambda kept: kept["photos"][0].update(camera_sd=["1", "2"]),
        lambda kept: kept["photos"][0]["findings"][0].__setitem__(1, "bad"),
        lambda kept: kept["photos"].append(kept["photos"][0]),
    ],
)
def test_what_is_not_as_it_was_written_is_not_read(spoil: Any) -> None:
    kept = json.loads(write_survey(survey([float(number) for number in range(21)])))
    spoil(kept)
    with pytest.raises(NotKeptError):
        read_survey(json.dumps(kept), [ENTRY])


@pytest.mark.parametrize(
    "text", ["", "[]", "null", '{"format": "givens-measurement/1"}', "[" * 5000, '{"format": NaN}']
)
def test_what_is_no_measurement_is_not_read(text: str) -> None:
    with pytest.raises(NotKeptError):
        read_survey(text, [ENTRY])


def test_what_is_no_number_is_not_written() -> None:
    with pytest.raises(ValueError, match="not JSON compliant"):
        write_survey(survey([float("nan")] * 21))


def test_the_version_covers_all_that_measuring_imports() -> None:
    """Followed through the imports, those inside functions and for types too."""
    root = Path(matcher.__file__).parents[1]

    def source(name: str) -> Path | None:
        place = root / Path(*name.split("."))
        return next((p for p in (place.with_suffix(".py"), place / "__init__.py") if p.is_file()), None)

    seen: dict[str, Path] = {}
    waiting = ["matcher.surfaces.measure"]
    while waiting:
        name = waiting.pop()
        path = source(name)
        if path is None or name in seen or name == "matcher":
            continue
        seen[name] = path
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and node.module:
                waiting += [node.module, *(f"{node.module}.{each.name}" for each in node.names)]
            elif isinstance(node, ast.Import):
                waiting += [each.name for each in node.names]
    parts = {path.relative_to(root / "matcher").parts[0] for path in seen.values()}
    assert len(seen) > 60
    assert parts <= set(SOURCES)


def test_the_version_changes_with_source_and_libraries(monkeypatch: pytest.MonkeyPatch) -> None:
    before = measurement_version()
    monkeypatch.setattr("matcher.surfaces.version.SOURCES", SOURCES[1:])
    assert measurement_version.__wrapped__() != before
    monkeypatch.setattr("matcher.surfaces.version.SOURCES", SOURCES)
    assert measurement_version.__wrapped__() == before
    monkeypatch.setattr("matcher.surfaces.version.version", lambda library: f"{library} of tomorrow")
    assert measurement_version.__wrapped__() != before
    assert "numpy" in LIBRARIES
