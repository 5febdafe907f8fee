"""What is said of a photo once its surfaces are read: what of them could not be, though they were."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict

from matcher.photo.decoded import Finding
from matcher.surfaces.nearest_chip import NearestChip
from matcher.surfaces.reading import SurfaceReading

_MOST_LEFT_OUT = 0.5  # of a surface (assumption): most shadows take less


def seen_in_readings(readings: Sequence[SurfaceReading]) -> tuple[Finding, ...]:
    """Return a finding for each surface of a photo of which more was set aside as lit otherwise than was read, for each
    whose colour is beyond what the file can hold, and for each that chips lie on.
    """
    left_out = [
        Finding("largely left out", "warn", (("share", round(reading.left_out, 3)),), reading.name)
        for reading in readings
        if reading.left_out > _MOST_LEFT_OUT
    ]
    beyond = [Finding("beyond the file", "warn", (), reading.name) for reading in readings if reading.beyond_file]
    beside = [
        Finding("nearest chip", "ok", tuple(_rounded(reading.nearest_chip)), reading.name)
        for reading in readings
        if reading.nearest_chip is not None
    ]
    return (*left_out, *beyond, *beside)


def _rounded(chip: NearestChip) -> Iterator[tuple[str, float | str]]:
    for key, value in asdict(chip).items():
        yield key, value if isinstance(value, str) else round(value, 2)
