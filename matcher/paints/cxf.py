"""CxF3 / ISO 17972-1: colours of objects as XML, each naming the illuminant and observer it was computed for.

Parsed here and not by a CxF library: the one on the registry shuts out the newest Python. The parser refuses document
type declarations, so that a file cannot blow up or reach for other files.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from xml.etree.ElementTree import Element, ParseError

import numpy as np
from defusedxml.common import DefusedXmlException  # type: ignore[import-untyped]  # ships no types
from defusedxml.ElementTree import fromstring  # type: ignore[import-untyped]  # ships no types

from matcher.paints.conversion import lab_to_lab_d65, on_deck_bands, reflectance_to_lab, white_of, xyz_to_lab_d65
from matcher.paints.deck import FloatArray
from matcher.paints.rows import BANDS_NM, MOST_CHROMATIC, Columns, Problems, numbers

_NAMESPACE = "{http://colorexchangeformat.com/CxF3-core}"
_DEFAULT_STEP_NM = 10.0
_CHROMATIC = (-MOST_CHROMATIC, MOST_CHROMATIC)
# Value element: its parts, the limits of each, and how it becomes CIELAB D65.
_TRISTIMULUS: dict[str, tuple[dict[str, tuple[float, float]], Callable[[FloatArray, FloatArray], FloatArray]]] = {
    "ColorCIELab": ({"L": (0.0, 100.0), "A": _CHROMATIC, "B": _CHROMATIC}, lab_to_lab_d65),
    "ColorCIEXYZ": (
        dict.fromkeys("XYZ", (0.0, 200.0)),
        lambda xyz, white: xyz_to_lab_d65(xyz / 100, white),
    ),
}


@dataclass(frozen=True, slots=True)
class _Specification:
    """What a ColorSpecification says: ``white`` (3,) or None where its illuminant or observer cannot be used."""

    white: FloatArray | None
    said: str
    step_nm: float


def looks_like_cxf(text: str) -> bool:
    """Tell whether a text is in this format."""
    return text.lstrip()[:1] == "<" and "colorexchangeformat.com/CxF" in text[:5000]


def read_cxf(text: str, problems: Problems) -> Columns | None:
    """Return the objects that carry a colour, in file order, or None where there is none; adds to ``problems``."""
    try:
        root = fromstring(text.encode(), forbid_dtd=True)
    # LookupError: an encoding that nobody knows.
    except (ParseError, DefusedXmlException, ValueError, LookupError) as error:
        problems.add("", f"is not XML that can be read ({error})", "Export it again as CxF3.")
        return None
    specifications = {
        element.get("Id", ""): _specification(element) for element in root.iter(f"{_NAMESPACE}ColorSpecification")
    }
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
    for index, (element, row) in enumerate(zip(objects, rows, strict=True)):
        spectrum = _spectrum(element, row, specifications, problems)
        if spectrum is not None:
            reflectance[index] = spectrum
        else:
            lab[index] = _tristimulus(element, row, specifications, problems)
    measured = ~np.isnan(reflectance).all(axis=1)
    if measured.any():
        lab[measured] = reflectance_to_lab(reflectance[measured])
    return Columns(
        rows=rows,
        codes=names,
        names=names,
        collections=[""] * len(objects),
        lab=lab,
        lrv=np.full(len(objects), np.nan),
        exterior=np.zeros(len(objects), dtype=np.bool_),
        reflectance=reflectance if measured.any() else None,
    )


def _path(*names: str) -> str:
    return "/".join(_NAMESPACE + name for name in names)


def _specification(element: Element) -> _Specification:
    illuminant = element.findtext(_path("TristimulusSpec", "Illuminant"), "D50").strip()
    observer = element.findtext(_path("TristimulusSpec", "Observer"), "2_Degree").strip()
    step = element.find(_path("MeasurementSpec", "WavelengthRange"))
    white = white_of(_cie_name(illuminant)) if observer.startswith("2") else None
    step_nm = _float(step.get("Increment", "") if step is not None else "") or _DEFAULT_STEP_NM
    return _Specification(white, f"{illuminant}, {observer}", step_nm)


def _cie_name(illuminant: str) -> str:
    """CxF writes F11 where CIE writes FL11."""
    return f"FL{illuminant[1:]}" if illuminant.startswith("F") and illuminant[1:].isdigit() else illuminant


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
        bands: FloatArray = on_deck_bands(start + step * np.arange(len(texts)), values[None])[0]
        return bands
    return None


def _tristimulus(
    element: Element, row: str, specifications: dict[str, _Specification], problems: Problems
) -> FloatArray:
    """Return CIELAB D65 (3,), NaN after noting why there is none."""
    unusable = ""
    for kind, (limits, convert) in _TRISTIMULUS.items():
        for found in _values(element, kind):
            specification = specifications.get(found.get("ColorSpecification", "")) or _specification(found)
            if specification.white is None:
                unusable = specification.said
                continue
            parts = [
                numbers(part, [found.findtext(_path(part), "").strip()], rows=[row], limits=limit, problems=problems)
                for part, limit in limits.items()
            ]
            lab: FloatArray = convert(np.array(parts).T, specification.white)[0]
            return lab
    if unusable:
        problems.add(row, f"its colour is for {unusable}", "Export 2 degree values under a CIE illuminant, or spectra.")
    else:
        problems.add(row, "has no colour that can be read", "It needs CIELAB, XYZ or a spectrum from 400 to 700 nm.")
    return np.full(3, np.nan)
