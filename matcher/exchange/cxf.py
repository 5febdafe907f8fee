"""CxF3 / ISO 17972-1: colours of objects as XML, each naming the illuminant and observer it was computed for.

Parsed here and not by a CxF library: the one on the registry shuts out the newest Python. The parser refuses document
type declarations, so that a file cannot blow up or reach for other files.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from xml.etree.ElementTree import Element, ParseError

import numpy as np
from defusedxml.common import DefusedXmlException  # type: ignore[import-untyped]  # ships no types
from defusedxml.ElementTree import fromstring  # type: ignore[import-untyped]  # ships no types

from matcher.exchange.conversion import (
    cie_name,
    lab_to_lab_d65,
    on_bands,
    reflectance_to_lab,
    white_of,
    xyz_to_lab_d65,
)
from matcher.exchange.problems import Problems, numbers
from matcher.exchange.samples import BANDS_NM, MOST_CHROMATIC, SPECTRAL, Conditions, FloatArray, Samples

_NAMESPACE = "{http://colorexchangeformat.com/CxF3-core}"
_DEFAULT_STEP_NM = 10.0
_CHROMATIC = (-MOST_CHROMATIC, MOST_CHROMATIC)
# Value element: its parts, the limits of each, and how it becomes CIELAB D65.
_TRISTIMULUS: dict[str, tuple[dict[str, tuple[float, float]], Callable[[FloatArray, str, int], FloatArray]]] = {
    "ColorCIELab": ({"L": (0.0, 100.0), "A": _CHROMATIC, "B": _CHROMATIC}, lab_to_lab_d65),
    "ColorCIEXYZ": (
        dict.fromkeys("XYZ", (0.0, 200.0)),
        lambda xyz, light, observer: xyz_to_lab_d65(xyz / 100, light, observer),
    ),
}


@dataclass(frozen=True, slots=True)
class _Specification:
    """What a ColorSpecification says: ``conditions`` are None where its illuminant or observer cannot be used."""

    conditions: Conditions | None
    said: str
    step_nm: float


def looks_like_cxf(text: str) -> bool:
    """Tell whether a text is in this format."""
    return text.lstrip()[:1] == "<" and "colorexchangeformat.com/CxF" in text[:5000]


def read_cxf(
    text: str, problems: Problems, *, ten_degrees: bool = False, unstated_light: str = "D50"
) -> Samples | None:
    """Return the objects that carry a colour, in file order, or None where there is none; adds to ``problems``.

    Values for the 10 degree observer are taken where ``ten_degrees``; those for 2 degrees go before them.
    """
    try:
        root = fromstring(text.encode(), forbid_dtd=True)
    # LookupError: an encoding that nobody knows.
    except (ParseError, DefusedXmlException, ValueError, LookupError) as error:
        problems.add("", f"is not XML that can be read ({error})", "Export it again as CxF3.")
        return None
    specifications = {
        element.get("Id", ""): _specification(element, unstated_light, ten_degrees=ten_degrees)
        for element in root.iter(f"{_NAMESPACE}ColorSpecification")
    }
    unspecified = _specification(Element(""), unstated_light, ten_degrees=ten_degrees)
    objects = [
        element for element in root.iter(f"{_NAMESPACE}Object") if element.find(_path("ColorValues")) is not None
    ]
    if not objects:
        problems.add("", "holds no object with a colour", "Export the colours themselves as CxF3.")
        return None
    names = [(element.get("Name") or element.get("Id") or "").strip() for element in objects]
    rows = [f"object {number}" for number in range(1, len(objects) + 1)]
    reflectance = np.full((len(objects), len(BANDS_NM)), np.nan)
    lab = np.full((len(objects), 3), np.nan)
    conditions = [SPECTRAL] * len(objects)
    for index, (element, row) in enumerate(zip(objects, rows, strict=True)):
        spectrum = _spectrum(element, row, specifications, problems)
        if spectrum is not None:
            reflectance[index] = spectrum
        else:
            of = partial(_specified, specifications, unspecified)
            lab[index], conditions[index] = _tristimulus(element, row, of, problems)
    measured = ~np.isnan(reflectance).all(axis=1)
    if measured.any():
        lab[measured] = reflectance_to_lab(reflectance[measured])
    return Samples(
        rows=rows,
        codes=names,
        names=names,
        lab=lab,
        reflectance=reflectance if measured.any() else None,
        conditions=tuple(conditions),
    )


def _path(*names: str) -> str:
    return "/".join(_NAMESPACE + name for name in names)


def _specification(element: Element, unstated_light: str, *, ten_degrees: bool) -> _Specification:
    illuminant = element.findtext(_path("TristimulusSpec", "Illuminant"), "").strip()
    observer = element.findtext(_path("TristimulusSpec", "Observer"), "2_Degree").strip()
    step = element.find(_path("MeasurementSpec", "WavelengthRange"))
    light, degrees = cie_name(illuminant or unstated_light), 10 if observer.startswith("10") else 2
    usable = white_of(light) is not None and (observer.startswith("2") or (degrees == 10 and ten_degrees))
    step_nm = _float(step.get("Increment", "") if step is not None else "") or _DEFAULT_STEP_NM
    return _Specification(
        Conditions(light, degrees, stated=bool(illuminant)) if usable else None,
        f"{illuminant or unstated_light}, {observer}",
        step_nm,
    )


def _specified(
    specifications: dict[str, _Specification], unspecified: _Specification, value: Element
) -> _Specification:
    return specifications.get(value.get("ColorSpecification", ""), unspecified)


def _float(text: str) -> float | None:
    try:
        value = float(text)
    except ValueError:
        return None
    return value if np.isfinite(value) and value > 0 else None


def _values(element: Element, kind: str) -> Iterator[Element]:
    yield from element.iterfind(_path("ColorValues", kind))


def _spectrum(
    element: Element, row: str, specifications: dict[str, _Specification], problems: Problems
) -> FloatArray | None:
    """Return (36,) where the object has a reflectance that spans 400 to 700 nm."""
    for found in _values(element, "ReflectanceSpectrum"):
        texts = (found.text or "").split()
        start = _float(found.get("StartWL", ""))
        specification = specifications.get(found.get("ColorSpecification", ""))
        step = specification.step_nm if specification else _DEFAULT_STEP_NM
        if start is None or not texts or start > 400 or start + step * (len(texts) - 1) < 700:
            continue
        values = numbers("reflectance", texts, rows=[row] * len(texts), limits=(0.0, 1.0), problems=problems)
        bands: FloatArray = on_bands(start + step * np.arange(len(texts)), values[None])[0]
        return bands
    return None


def _tristimulus(
    element: Element, row: str, specified: Callable[[Element], _Specification], problems: Problems
) -> tuple[FloatArray, Conditions]:
    """Return CIELAB D65/2 (3,) and what it was converted from; NaN after noting why there is none."""
    found = [(kind, value, specified(value)) for kind in _TRISTIMULUS for value in _values(element, kind)]
    usable = [(kind, value, s.conditions) for kind, value, s in found if s.conditions is not None]
    if usable:
        # The first of those for 2 degrees, or else the first.
        kind, value, conditions = min(usable, key=lambda one: one[2].observer)
        limits, convert = _TRISTIMULUS[kind]
        parts = [
            numbers(part, [value.findtext(_path(part), "").strip()], rows=[row], limits=limit, problems=problems)
            for part, limit in limits.items()
        ]
        return convert(np.array(parts).T, conditions.light, conditions.observer)[0], conditions
    if found:
        unusable = found[-1][2].said
        problems.add(row, f"its colour is for {unusable}", "Export 2 degree values under a CIE illuminant, or spectra.")
    else:
        problems.add(row, "has no colour that can be read", "It needs CIELAB, XYZ or a spectrum from 400 to 700 nm.")
    return np.full(3, np.nan), SPECTRAL
