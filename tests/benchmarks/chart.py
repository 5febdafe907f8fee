"""What a chart of 24 patches is worth: ``python -m tests.benchmarks.chart [WHEEL [FOLDER [GROUP ...]]]``.

Each patch is judged by a correction fitted without it (leave-one-out), as CIEDE2000 and as LRV, median and 90th
percentile; beside it a plain pipeline (sRGB decode, every channel divided by one grey patch), and the project's white
balance alone. First on measured spectra through two cameras' sensitivities under eight lamps, then on photographs:
those that the package colour-checker-detection (BSD-3-Clause) shows in its notebooks, read from the wheel that
``pip download --no-deps colour-checker-detection`` leaves. Their charts are found as the program finds them. Then on
photographs of one's own: ``FOLDER/photos`` and ``FOLDER/outlines.json``, which holds by file name the ``centres`` of
four corner patches (dark skin, bluish green, white, black; pixels) and a ``group``; all, or those of some groups.
"""

from __future__ import annotations

import base64
import io
import json
import sys
import zipfile
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from matcher.calibration.chart import Chart
from matcher.calibration.colour_matrix import fit_matrix
from matcher.calibration.correction import corrected, lamp_correction, stray_light
from matcher.calibration.curve_fit import fit_tone_curve
from matcher.calibration.lamp import lamp_share, warmth_left
from matcher.calibration.light import brightened, cone_matrix, light_at, telling
from matcher.calibration.patch import LEVELS
from matcher.calibration.photo_calibration import calibrate
from matcher.calibration.tone_curve import linear_table, plain_table
from matcher.colorimetry.adaptation import relative_cones
from matcher.colorimetry.chart import chart_lab, chart_xyz
from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.lrv import lrv
from matcher.colorimetry.spaces import Floats, lab_to_xyz, linear_srgb_to_xyz, xyz_to_lab
from matcher.errors import GivensError
from matcher.photo.card_proposal import propose_cards
from matcher.photo.colour_space import srgb
from matcher.photo.decoded import Photo
from matcher.photo.reading import read_photo
from matcher.room.contents import Reference
from matcher.surfaces.doubt import reflectance_lab
from tests.calibration import spectral_camera
from tests.calibration.spectral_camera import NIKON, SIGMA, balanced_cones, camera, grey_card, spectra, true_lab

LIGHTS = ("D65", "D50", "A", "FL2", "FL11", "LED-B1", "LED-B3", "LED-V1")
WAYS = ("plain", "white balance", "chart")
MUTED_CHROMA = 20.0
# How the photographs stand in the notebooks: figures with a white rim, whose plain pictures have no drawing on them.
RIM, SMALLEST = 248, 500_000
PLAIN_CELLS = 4
WHITE, GREY, BLACK = 18, 21, 23
# The corner patches of a chart, steps of one patch, and the outline that the program asks for around all of them.
CORNERS = np.array([(0, 0), (5, 0), (0, 3), (5, 3)], np.float32)
FRAME = np.array([(-0.43, -0.43), (5.43, -0.43), (5.43, 3.43), (-0.43, 3.43)], np.float32)
CARD = np.full((1, 3), spectral_camera.CARD_REFLECTANCE)


def main(wheel: str | None = None, folder: str | None = None, *groups: str) -> None:
    """Print the tables."""
    print("Measured spectra: chart left out patch by patch, dE00 median (90 %) / LRV median (90 %)")
    print(f"{'':<14}" + "".join(f"{way:>30}" for way in WAYS))
    every: dict[str, list[Floats]] = {way: [] for way in WAYS}
    others: dict[str, list[Floats]] = {"white balance": [], "chart": []}
    for name in (NIKON, SIGMA):
        for light in LIGHTS:
            truth = true_lab(spectral_camera.chart())
            seen = balanced_cones(spectral_camera.chart(), name, light)
            found = _ways(seen, truth) | {"plain": _plain_of(spectral_camera.chart(), name, light)}
            print(f"{name[:6]} {light:<7}" + "".join(f"{_figures(found[way], truth):>30}" for way in WAYS))
            for way in WAYS:
                every[way].append(np.stack([found[way], truth]))
            for way, errors in _on_others(seen, truth, name, light).items():
                others[way].append(errors)
    _print_all(every)
    print("Muted spectra of other charts and CIE 224 samples, dE00:")
    for way, parts in others.items():
        pooled = np.concatenate(parts)
        print(f"  {way:<16}{np.median(pooled):5.2f} ({np.quantile(pooled, 0.9):.2f})")
    if wheel:
        _print_photographs("Photographs: the same", _with_charts(Path(wheel)))
        _print_cards(Path(wheel))
    if folder:
        _print_photographs(f"Photographs in {folder}: the same", _outlined(Path(folder), groups))


def _print_photographs(title: str, photographs: Iterable[tuple[str, Photo, Reference]]) -> None:
    print(title)
    every: dict[str, list[Floats]] = {way: [] for way in WAYS}
    for name, photo, reference in photographs:
        try:
            found, truth = _of_photo(photo, reference)
        except GivensError as error:
            print(f"{name:<14} {error}")
            continue
        print(f"{name:<14}" + "".join(f"{_figures(found[way], truth):>30}" for way in WAYS))
        for way in WAYS:
            every[way].append(np.stack([found[way], truth]))
    _print_all(every)


def _with_charts(wheel: Path) -> Iterator[tuple[str, Photo, Reference]]:
    """Yield the photographs of the wheel with the chart that is found in each."""
    for title, photo in _photographs(wheel):
        for proposal in [p for p in propose_cards(photo) if p.kind == "chart 24"][:1]:
            yield title, photo, Reference(kind="chart 24", outline=proposal.outline)


def _outlined(folder: Path, groups: Sequence[str]) -> Iterator[tuple[str, Photo, Reference]]:
    """Yield the photographs of a folder with their charts, as ``outlines.json`` has them."""
    for name, chart in json.loads((folder / "outlines.json").read_text(encoding="utf-8")).items():
        if not groups or chart["group"] in groups:
            to_pixels = cv2.getPerspectiveTransform(CORNERS, np.array(chart["centres"], np.float32))
            outline = cv2.perspectiveTransform(FRAME[:, None], to_pixels)[:, 0].tolist()
            photo = read_photo(folder / "photos" / name)
            yield name[:13], photo, Reference(kind="chart 24", outline=tuple(map(tuple, outline)))


def _print_cards(wheel: Path) -> None:
    """Print what cards alone do on the same photographs: the muted patches, measured from greys of the chart itself."""
    print("Photographs, muted patches, from cards alone: plain beside ours")
    for title, cards in (("grey", (GREY,)), ("white, grey, black", (WHITE, GREY, BLACK))):
        plain: list[Floats] = []
        ours: list[Floats] = []
        for _, photo in _photographs(wheel):
            proposals = [p for p in propose_cards(photo) if p.kind == "chart 24"]
            if proposals:
                found = _by_cards(photo, Reference(kind="chart 24", outline=proposals[0].outline), cards)
                plain.append(found[0])
                ours.append(found[1])
        figures = (_figures(*np.concatenate(parts, axis=1)) for parts in (plain, ours))
        print(f"{title:<20}" + "".join(f"{text:>30}" for text in figures))


def _by_cards(photo: Photo, reference: Reference, cards: tuple[int, ...]) -> tuple[Floats, Floats]:
    """Return (2, N, 3), found and true CIELAB of the muted patches, by the plain way and by ours with these cards."""
    chart = calibrate(photo, [reference], "photo").charts[0]
    greys = [replace(p, on="chart") for i in cards if (p := chart.patches[i]) is not None and p.usable]
    space = photo.colour_space
    curve = fit_tone_curve(greys, space)
    table = linear_table(curve.strength, space, LEVELS)
    light = light_at(greys, table, np.stack([table] * len(curve.strength)), space)
    correction = lamp_correction(lamp_share(warmth_left(greys, space)))
    truth = chart_lab()
    muted = np.hypot(truth[:, 1], truth[:, 2]) < MUTED_CHROMA
    used = [
        i
        for i, p in enumerate(chart.patches)
        if p is not None and p.usable and not p.sunk and muted[i] and i not in cards
    ]
    patches = [p for p in (chart.patches[i] for i in used) if p is not None]
    cones = [
        np.log(cone_matrix(space) @ p.linear(table)) - light.cones - (p.centre - light.position) @ chart.slope
        for p in patches
    ]
    lab = reflectance_lab(corrected(np.stack(cones), correction))
    return np.stack([_plain_of_photo(photo, chart, used), truth[used]]), np.stack([lab, truth[used]])


def _print_all(every: dict[str, list[Floats]]) -> None:
    pooled = {way: np.concatenate(parts, axis=1) for way, parts in every.items()}
    print(f"{'all':<14}" + "".join(f"{_figures(*pooled[way]):>30}" for way in WAYS))


def _figures(lab: Floats, truth: Floats) -> str:
    de00, level = delta_e_2000(lab, truth), np.abs(lrv(lab) - lrv(truth))
    return (
        f"{np.median(de00):.2f} ({np.quantile(de00, 0.9):.2f}) / {np.median(level):.2f} ({np.quantile(level, 0.9):.2f})"
    )


def _ways(seen: Floats, truth: Floats) -> dict[str, Floats]:
    """CIELAB by each way of relative cones ``seen``; by the chart, with each patch left out."""
    true = relative_cones(lab_to_xyz(truth))
    fit = fit_matrix(seen, true, CARD)
    assert fit is not None
    return {
        "white balance": _lab(seen),
        "chart": truth + fit.left_out,
    }


def _on_others(seen: Floats, truth: Floats, name: str, light: str) -> dict[str, Floats]:
    fit = fit_matrix(seen, relative_cones(lab_to_xyz(truth)), CARD)
    assert fit is not None
    samples = spectra("all")
    lab = true_lab(samples)
    muted = np.hypot(lab[:, 1], lab[:, 2]) < MUTED_CHROMA
    read = balanced_cones(samples, name, light)
    relit = np.log(np.maximum(read, 1e-4)) + brightened(CARD, stray_light(fit.correction))
    return {
        "white balance": delta_e_2000(_lab(read), lab)[muted],
        "chart": delta_e_2000(reflectance_lab(corrected(relit, fit.correction)), lab)[muted],
    }


def _lab(cones: Floats) -> Floats:
    return reflectance_lab(np.log(np.maximum(cones, 1e-4)))


def _plain_of(reflectances: Floats, name: str, light: str) -> Floats:
    shot = camera(name)
    gains = spectral_camera.CARD_REFLECTANCE / shot.linear_rgb(grey_card(), light)[0]
    return xyz_to_lab(linear_srgb_to_xyz(shot.linear_rgb(reflectances, light) * gains))


def _of_photo(photo: Photo, reference: Reference) -> tuple[dict[str, Floats], Floats]:
    calibration = calibrate(photo, [reference], "photo")
    chart, space = calibration.charts[0], photo.colour_space
    used = [i for i, p in enumerate(chart.patches) if p is not None and p.usable and not p.sunk]
    truth = chart_lab()[used]
    greys = [p for p in chart.greys if p.usable]
    # As the greys tell it, before the chart says what stray light did to them.
    light = light_at(greys, calibration.table, calibration.shifted, space)
    fit = chart.fit(calibration.table, light, space, telling(greys))
    assert fit is not None
    seen = np.stack(
        [
            cone_matrix(space) @ p.linear(calibration.table)
            / np.exp(light.cones + (p.centre - light.position) @ chart.slope)
            for p in (chart.patches[i] for i in used)
            if p is not None
        ]
    )  # fmt: skip
    ways = {
        "plain": _plain_of_photo(photo, chart, used),
        "white balance": _lab(seen),
        "chart": truth + fit.left_out,
    }
    return ways, truth


def _plain_of_photo(photo: Photo, chart: Chart, used: list[int]) -> Floats:
    table = plain_table(photo.colour_space, LEVELS)
    linear = np.stack([p.linear(table) for p in (chart.patches[i] for i in used) if p is not None])
    grey = chart.patches[GREY]
    assert grey is not None
    return xyz_to_lab(linear_srgb_to_xyz(linear * chart_xyz()[GREY, 1] / grey.linear(table)))


def _photographs(wheel: Path) -> Iterator[tuple[str, Photo]]:
    """Yield the plain pictures of the notebooks, each once, cut out of their white rim."""
    seen: set[bytes] = set()
    with zipfile.ZipFile(wheel) as package:
        for name in sorted(n for n in package.namelist() if n.endswith(".ipynb")):
            for number, data in enumerate(_pictures(json.loads(package.read(name)))):
                if len(data) > SMALLEST and data not in seen:
                    seen.add(data)
                    pixels = _without_rim(np.asarray(Image.open(io.BytesIO(data)).convert("RGB")))
                    size = (pixels.shape[1], pixels.shape[0])
                    yield f"{Path(name).stem[19:27]} {number}", Photo(wheel, pixels, size, 1.0, srgb(), ())


def _pictures(notebook: dict[str, Any]) -> Iterator[bytes]:
    """Yield the pictures of the cell that shows the photographs as they are, before anything is drawn on them."""
    for output in notebook["cells"][PLAIN_CELLS].get("outputs", []):
        data = output.get("data", {}).get("image/png")
        if data:
            yield base64.b64decode(data)


def _without_rim(pixels: NDArray[np.uint8]) -> NDArray[np.uint8]:
    inside = pixels.min(axis=2) < RIM
    rows, columns = np.flatnonzero(inside.mean(axis=1) > 0.5), np.flatnonzero(inside.mean(axis=0) > 0.5)
    return np.ascontiguousarray(pixels[rows[0] + 1 : rows[-1], columns[0] + 1 : columns[-1]])


if __name__ == "__main__":
    main(*sys.argv[1:])
