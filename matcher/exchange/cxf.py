"""CxF3 / ISO 17972-1: colours of objects as XML, each naming the illuminant and observer it was computed for.

Parsed here and not by a CxF library: the one on the registry shuts out the newest Python. The parser refuses document
type declarations, so that a file cannot blow up or reach for other files.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from sys import intern
from xml.etree.ElementTree import Element, ParseError

import numpy as np
from defusedxml.common import DefusedXmlException  # type: ignore[import-untyped]  # ships no types

from matcher.exchange.conversion import (
    WIDEST_STEP_NM,
    cie_name,
    lab_to_lab_d65,
    on_bands,
    reflectance_to_lab,
    white_of,
    xyz_to_lab_d65,
)
from matcher.exchange.problems import Problems, numbers
from matcher.exchange.samples import BANDS_NM, MOST_CHROMATIC, MOST_COLOURS, SPECTRAL, Conditions, FloatArray, Samples
from matcher.exchange.xml_elements import whole_elements

_NAMESPACE = "{http://colorexchangeformat.com/CxF3-core}"
_SPECIFICATION, _OBJECT = f"{_NAMESPACE}ColorSpecification", f"{_NAMESPACE}Object"
_MOST_SPECIFICATIONS = 1000  # assumption: a file that holds a colour under every CIE illuminant has some thirty
_DEFAULT_STEP_NM = 10.0
_FARTHEST_NM = 1e5  # no reflectance is measured out there
_NEEDED = "It needs CIELAB, XYZ or a spectrum from 400 to 700 nm, every 20 nm at least."
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
    head = text[:5000]
    return head.lstrip()[:1] == "<" and "colorexchangeformat.com/CxF" in head


def read_cxf(
    text: str, problems: Problems, *, ten_degrees: bool = False, unstated_light: str = "D50"
) -> Samples | None:
    """Return the objects that carry a colour, in file order, or None where there is none; adds to ``problems``.

    Values for the 10 degree observer are taken where ``ten_degrees``; those for 2 degrees go before them.
    """
    specification = partial(_specification, unstated_light=unstated_light, ten_degrees=ten_degrees)
    specifications: dict[str, _Specification] = {}
    objects: list[_Object] = []
    try:
        for element in whole_elements(text, (_SPECIFICATION, _OBJECT)):
            if element.tag == _SPECIFICATION:
                specifications[element.get("Id", "")] = specification(element)
            elif element.find(_path("ColorValues")) is not None:
                objects.append(_object(element))
            if len(objects) > MOST_COLOURS or len(specifications) > _MOST_SPECIFICATIONS:
                what = f"holds more than {MOST_COLOURS:,} colours or {_MOST_SPECIFICATIONS:,} ways of measuring them"
                problems.add("", what, "Split the file.")
                return None
    # LookupError: an encoding that nobody knows.
    except (ParseError, DefusedXmlException, ValueError, LookupError) as error:
        problems.add("", f"is not XML that can be read ({error})", "Export it again as CxF3.")
        return None
    if not objects:
        problems.add("", "holds no object with a colour", "Export the colours themselves as CxF3.")
        return None
    return _samples(objects, specifications, specification(Element("")), problems)


@dataclass(frozen=True, slots=True)
class _Object:
    """What an object says, as texts: ``spectra`` (specification, first wavelength, values), ``values`` (kind,
    specification, its three parts).
    """

    name: str
    spectra: tuple[tuple[str, str, str], ...]
    values: tuple[tuple[str, str, tuple[str, ...]], ...]


def _object(element: Element) -> _Object:
    spectra = tuple(
        (intern(found.get("ColorSpecification", "")), found.get("StartWL", ""), found.text or "")
        for found in _values(element, "ReflectanceSpectrum")
    )
    values = tuple(
        (
            kind,
            intern(found.get("ColorSpecification", "")),
            tuple(found.findtext(_path(part), "").strip() for part in limits),
        )
        for kind, (limits, _) in _TRISTIMULUS.items()
        for found in _values(element, kind)
    )
    return _Object((element.get("Name") or element.get("Id") or "").strip(), spectra, values)


def _samples(
    objects: Sequence[_Object],
    specifications: Mapping[str, _Specification],
    unspecified: _Specification,
    problems: Problems,
) -> Samples:
    """Return the colours; those alike in what has to be done to them are converted together."""
    names = [one.name for one in objects]
    rows = [f"object {number}" for number in range(1, len(objects) + 1)]
    spectra: dict[tuple[float, float, int], list[tuple[int, FloatArray]]] = {}
    colours: dict[tuple[str, Conditions], list[tuple[int, list[float]]]] = {}
    conditions = [SPECTRAL] * len(objects)
    for index, (one, row) in enumerate(zip(objects, rows, strict=True)):
        found = _spectrum(one, row, specifications, problems)
        if found is not None:
            spectra.setdefault(found[0], []).append((index, found[1]))
            continue
        chosen = _tristimulus(one, row, lambda name: specifications.get(name, unspecified), problems)
        if chosen is not None:
            kind, conditions[index], parts = chosen
            colours.setdefault((kind, conditions[index]), []).append((index, parts))
    lab = np.full((len(objects), 3), np.nan)
    for (kind, light), several in colours.items():
        convert = _TRISTIMULUS[kind][1]
        values = np.array([parts for _, parts in several])
        lab[[index for index, _ in several]] = convert(values, light.light, light.observer)
    reflectance = np.full((len(objects), len(BANDS_NM)), np.nan) if spectra else None
    if reflectance is not None:
        for (start, step, count), rows_of in spectra.items():
            bands = on_bands(start + step * np.arange(count), np.stack([values for _, values in rows_of]))
            reflectance[[index for index, _ in rows_of]] = bands
        measured = ~np.isnan(reflectance).all(axis=1)
        lab[measured] = reflectance_to_lab(reflectance[measured])
        reflectance = reflectance if measured.any() else None
    return Samples(rows=rows, codes=names, names=names, lab=lab, reflectance=reflectance, conditions=tuple(conditions))


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


def _float(text: str) -> float | None:
    try:
        value = float(text)
    except ValueError:
        return None
    return value if np.isfinite(value) and value > 0 else None


def _values(element: Element, kind: str) -> Iterator[Element]:
    yield from element.iterfind(_path("ColorValues", kind))


def _spectrum(
    one: _Object, row: str, specifications: Mapping[str, _Specification], problems: Problems
) -> tuple[tuple[float, float, int], FloatArray] | None:
    """Return a reflectance that spans 400 to 700 nm, every 20 nm at least, where there is one: start, step and number,
    and the values.
    """
    for name, said, text in one.spectra:
        texts = text.split()
        start = _float(said)
        specification = specifications.get(name)
        step = specification.step_nm if specification else _DEFAULT_STEP_NM
        if start is None or not texts or start > 400 or not 700 <= start + step * (len(texts) - 1) <= _FARTHEST_NM:
            continue
        if step > WIDEST_STEP_NM:
            continue
        values = numbers("reflectance", texts, rows=[row] * len(texts), limits=(0.0, 1.0), problems=problems)
        return (start, step, len(texts)), values
    return None


def _tristimulus(
    one: _Object, row: str, specified: Callable[[str], _Specification], problems: Problems
) -> tuple[str, Conditions, list[float]] | None:
    """Return the kind of values, what they are for and the values; None after noting why there are none."""
    found = [(kind, parts, specified(name)) for kind, name, parts in one.values]
    usable = [(kind, parts, s.conditions) for kind, parts, s in found if s.conditions is not None]
    if usable:
        # The first of those for 2 degrees, or else the first.
        kind, parts, conditions = min(usable, key=lambda one: one[2].observer)
        return kind, conditions, _within(parts, _TRISTIMULUS[kind][0], row, problems)
    if found:
        unusable = found[-1][2].said
        problems.add(row, f"its colour is for {unusable}", "Export 2 degree values under a CIE illuminant, or spectra.")
    else:
        problems.add(row, "has no colour that can be read", _NEEDED)
    return None


def _within(
    texts: Sequence[str], limits: Mapping[str, tuple[float, float]], row: str, problems: Problems
) -> list[float]:
    """Return the values of one colour, NaN for what is no number within its limits and a problem."""
    try:
        values = [float(text) for text in texts]
    except ValueError:
        values = []
    if values and all(low <= value <= high for value, (low, high) in zip(values, limits.values(), strict=True)):
        return values
    return [
        float(numbers(part, [text], rows=[row], limits=limit, problems=problems)[0])
        for text, (part, limit) in zip(texts, limits.items(), strict=True)
    ]
