"""What is said of a photo once its surfaces are read: what of them could not be, though they were."""

from __future__ import annotations

from collections.abc import Sequence

from matcher.photo.model import Finding
from matcher.surfaces.reading import Reading

_MOST_LEFT_OUT = 0.5  # of a surface (assumption): most shadows take less


def seen_in_readings(readings: Sequence[Reading]) -> tuple[Finding, ...]:
    """Return a finding for each surface of a photo of which more was set aside as lit otherwise than was read, and for
    each whose colour is beyond what the file can hold.
    """
    left_out = [
        Finding("largely left out", "warn", (("share", round(reading.left_out, 3)),), reading.name)
        for reading in readings
        if reading.left_out > _MOST_LEFT_OUT
    ]
    beyond = [Finding("beyond the file", "warn", (), reading.name) for reading in readings if reading.beyond_file]
    return (*left_out, *beyond)
