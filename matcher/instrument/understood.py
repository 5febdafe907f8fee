"""What an instrument's readings say: values as they were written, and the colour they amount to.

Kinds of :class:`Remark`, each with its values:

    averaged             count, spread
    disagree             count, spread, where, apart
    two disagree         apart
    letters assumed      order
    light assumed        light, other, apart
    observer assumed     observer, other, apart
    converted            light, observer, sd
    scale assumed        most
    wavelengths assumed  first, last
    lrv disagrees        where, said, found
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from matcher.exchange.samples import Conditions, FloatArray

Kind = Literal["lab", "lch", "xyz", "yxy", "spectrum"]


@dataclass(frozen=True, slots=True)
class Remark:
    """One thing to know about a reading; its sentence is made in matcher/report/wording.py."""

    kind: str
    values: tuple[tuple[str, float | str], ...] = ()


@dataclass(frozen=True, slots=True)
class Written:
    """One reading as it stands in a text: ``values`` in the order of its ``kind`` (XYZ and Y 0..100).

    A spectrum has its ``wavelengths`` in nm and reflectance 0..1. ``light`` and ``observer`` are None where they are
    not said, ``lrv`` where none stands beside the colour.
    """

    where: str
    kind: Kind
    values: tuple[float, ...]
    wavelengths: tuple[float, ...] = ()
    light: str | None = None
    observer: int | None = None
    lrv: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Reading:
    """One reading: ``lab`` (3,) CIELAB D65/2, and the conditions it was converted from.

    ``observer_stated`` is false where nobody said which observer.
    """

    where: str
    lab: FloatArray
    conditions: Conditions
    observer_stated: bool = True


@dataclass(frozen=True, slots=True, eq=False)
class Understood:
    """What the readings of one surface amount to: ``lab`` (3,) CIELAB D65/2, ``sd`` one sigma in dE00.

    ``settings_sd`` is the part of ``sd`` that light and observer leave open.
    """

    lab: FloatArray
    sd: float
    settings_sd: float
    readings: tuple[Reading, ...]
    remarks: tuple[Remark, ...]
