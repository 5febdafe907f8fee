"""What an instrument said of a surface, whichever keys of [[surfaces]] hold it: CIELAB D65/2 with its doubt."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from pydantic import ValidationError

from matcher.errors import Problem, ReadingError
from matcher.exchange.samples import MOST_CHROMATIC
from matcher.instrument.doubt import ONE_SPOT_SD, conversion_sd
from matcher.instrument.understood import Remark
from matcher.room.contents import MeasuredColour, MeasuredSurface


@dataclass(frozen=True, slots=True)
class Measured:
    """``colours`` largest share first, CIELAB D65/2; ``sd`` one sigma in dE00; ``remarks`` what was assumed."""

    name: str
    material: str
    colours: tuple[MeasuredColour, ...]
    sd: float
    remarks: tuple[Remark, ...]


def measured(surface: MeasuredSurface, folder: Path | None) -> Measured:
    """Return what ``surface`` says; its file is relative to ``folder``.

    Raises :class:`matcher.errors.ReadingError` where the file cannot be read.
    """
    if surface.file is not None:
        return _in_file(surface, surface.file, folder)
    written = surface.colours or (MeasuredColour(share=1.0, lab=surface.lab or (0.0, 0.0, 0.0)),)
    light, observer = surface.light or "D65", surface.observer or 2
    colours = written if (light, observer) == ("D65", 2) else _converted(written, light, observer)
    sd = ONE_SPOT_SD if surface.sd is None else surface.sd
    total = float(np.hypot(sd, conversion_sd(light, observer)))
    ordered = tuple(sorted(colours, key=lambda colour: -colour.share))
    return Measured(surface.name, surface.material, ordered, total, ())


def measured_tables(tables: Sequence[dict[str, Any]]) -> Iterator[Measured]:
    """Yield what the sound ones of a draft's [[surfaces]] say; what is wrong with others is said where it is read."""
    for table in tables:
        try:
            yield measured(MeasuredSurface.model_validate(table), None)
        except (ValidationError, ReadingError):
            continue


def _converted(colours: tuple[MeasuredColour, ...], light: str, observer: int) -> tuple[MeasuredColour, ...]:
    from matcher.exchange.conversion import lab_to_lab_d65

    labs = lab_to_lab_d65(np.array([colour.lab for colour in colours]), light, observer)
    labs = np.clip(labs, [0, -MOST_CHROMATIC, -MOST_CHROMATIC], [100, MOST_CHROMATIC, MOST_CHROMATIC])
    return tuple(
        MeasuredColour(share=colour.share, lab=tuple(lab)) for colour, lab in zip(colours, labs.tolist(), strict=True)
    )


def _in_file(surface: MeasuredSurface, file: str, folder: Path | None) -> Measured:
    from matcher.instrument.reading import understand_bytes

    found = understand_bytes(_bytes(file, folder), light=surface.light, observer=surface.observer)
    colour = MeasuredColour(share=1.0, lab=tuple(found.lab.tolist()))
    sd = found.sd if surface.sd is None else float(np.hypot(surface.sd, found.settings_sd))
    return Measured(surface.name, surface.material, (colour,), sd, found.remarks)


def _bytes(file: str, folder: Path | None) -> bytes:
    from matcher.instrument.reading import MOST_BYTES
    from matcher.opening import read_bytes

    if folder is None or "\0" in file:
        raise ReadingError(Problem(file, "cannot be reached from here", "Write the reading as lab = [L, a, b]."))
    return read_bytes(folder / file, ReadingError, "a file of readings", "Name the file in it.", most=MOST_BYTES)
