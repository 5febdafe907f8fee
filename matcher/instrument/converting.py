"""Readings as they were written, brought to CIELAB D65/2 under the settings that were said or assumed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from matcher.colorimetry.spaces import lch_to_lab
from matcher.errors import Problem, ReadingError
from matcher.exchange.conversion import lab_to_lab_d65, on_bands, reflectance_to_lab, xyz_to_lab_d65
from matcher.exchange.samples import MOST_CHROMATIC, SPECTRAL, Conditions, FloatArray
from matcher.instrument.letters import check_limits
from matcher.instrument.understood import Reading, Remark, Written

# XYZ below this all over are on a scale of 0 to 1 (said): on 0 to 100 nothing but the deepest black is as dark.
_UNIT_SCALE = 1.3
_ROUNDING = 0.5  # CIELAB: a perfect white as instruments round it


@dataclass(frozen=True, slots=True)
class Settings:
    """The light and observer for values that say none; ``..._stated`` where the user chose them."""

    light: str
    observer: int
    light_stated: bool = False
    observer_stated: bool = False

    def check(self, where: str, light: str | None, observer: int | None) -> None:
        """Raise :class:`ReadingError` where what stands in the text contradicts what the user chose."""
        chosen = self.light if self.light_stated else None
        if light and chosen and light != chosen:
            raise _contradiction(where, f"light {light}", chosen)
        degrees = self.observer if self.observer_stated else None
        if observer and degrees and observer != degrees:
            raise _contradiction(where, f"the {observer} degree observer", f"{degrees} degrees")


def converted(written: Sequence[Written], settings: Settings) -> list[Reading]:
    """Return the readings; raises :class:`ReadingError` for a contradiction or a colour that no surface has."""
    found = []
    for one in written:
        if one.kind == "spectrum":
            found.append(Reading(one.where, sound(one.where, _spectral_lab(one)), SPECTRAL))
            continue
        settings.check(one.where, one.light, one.observer)
        light, observer = one.light or settings.light, one.observer or settings.observer
        conditions = Conditions(light, observer, stated=one.light is not None or settings.light_stated)
        lab = sound(one.where, _lab(one, light, observer))
        stated = one.observer is not None or settings.observer_stated
        found.append(Reading(one.where, lab, conditions, stated))
    return found


def sound(where: str, lab: FloatArray) -> FloatArray:
    """Return CIELAB (3,) held inside what a surface can have; raises :class:`ReadingError` where it is far outside."""
    held = np.clip(lab, [0, -MOST_CHROMATIC, -MOST_CHROMATIC], [100, MOST_CHROMATIC, MOST_CHROMATIC])
    if np.abs(held - lab).max() > _ROUNDING:
        check_limits(where, dict(zip("Lab", np.asarray(lab).tolist(), strict=True)))
    return np.asarray(held, dtype=float)


def scale_remarks(written: Sequence[Written]) -> list[Remark]:
    """Return what to say of XYZ that were taken to be on a scale of 0 to 1."""
    most = [max(one.values) for one in written if _is_unit(one)]
    return [Remark("scale assumed", (("most", max(most)),))] if most else []


def _is_unit(one: Written) -> bool:
    return one.kind in ("xyz", "yxy") and max(one.values) <= _UNIT_SCALE


def _lab(one: Written, light: str, observer: int) -> FloatArray:
    values = np.array([one.values])
    if one.kind in ("lab", "lch"):
        lab = values if one.kind == "lab" else np.asarray(lch_to_lab(values % [np.inf, np.inf, 360.0]))
        return np.asarray(lab_to_lab_d65(lab, light, observer)[0])
    scale = 1.0 if _is_unit(one) else 100.0
    if one.kind == "yxy":
        luminance, x, y = one.values
        values = np.array([[x / y * luminance, luminance, (1 - x - y) / y * luminance]])
    return np.asarray(xyz_to_lab_d65(values / scale, light, observer)[0])


def _spectral_lab(one: Written) -> FloatArray:
    lab: FloatArray = reflectance_to_lab(on_bands(np.array(one.wavelengths), np.array([one.values])))[0]
    return lab


def _contradiction(where: str, stands: str, chosen: str) -> ReadingError:
    return ReadingError(
        Problem(
            where, f"{stands} is written there and {chosen} was chosen", "Choose what is right: as written, or not."
        )
    )
