"""What is left without any card: ``python -m tests.benchmarks.no_card [FOLDER ...]``.

Every photo with truth in the folders (by default the sample photos) is measured once by its cards, which tells its
light, and once with the cards painted out and none listed.

The first table holds the colour of the guessed light against that of the cards: recovery angular error in linear RGB,
median and mean of the worst quarter, beside what was published for photographs (Cheng, Price, Cohen & Brown 2015, CVPR,
tables 1 and 2: Gehler-Shi, and the range over the eight cameras of NUS-8; not given there: -). These rooms are
rendered, so the published figures are a range to lie in, not one to meet. The second table holds the level; the third
the colours of the surfaces, and how often the stated intervals hold the truth.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import cv2
import numpy as np
import pillow_heif
from PIL import Image

from matcher.calibration.light import cone_matrix
from matcher.calibration.no_card import calibrate_without_card
from matcher.calibration.patch import LEVELS
from matcher.calibration.photo_calibration import calibrate
from matcher.calibration.scene_statistics import grey_edge, shades_of_grey
from matcher.calibration.tone_curve import plain_table
from matcher.colorimetry.difference import delta_e_2000
from matcher.colorimetry.lrv import lrv
from matcher.colorimetry.spaces import Floats
from matcher.photo.decoded import Photo
from matcher.photo.pixels import as_eight_bits, fill_polygon
from matcher.photo.reading import read_photo
from matcher.room.reading import read_room
from tests.benchmarks.measurement import SAMPLES
from tests.benchmarks.reliability import QUANTITIES, Found, de00_row, measured, print_row
from tests.benchmarks.truth import TruePhoto, room_text, truths_in

PUBLISHED: Mapping[str, tuple[str, str]] = {
    "nothing: the file's white": ("-", "-"),
    "grey world": ("6.28 (10.58)", "2.58-4.15"),
    "white patch": ("5.68 (16.12)", "6.19-18.0"),
    "shades of grey": ("4.01 (10.20)", "2.30-2.94"),
    "grey edge, first order": ("4.52 (10.03)", "1.99-2.58"),
    "as guessed": ("-", "-"),
}
_SIDE = 256
_CLIPPED = 253
_PAINTED_RIM, _PAINT_REACH = 5, 7  # pixels


@dataclass(frozen=True, slots=True)
class Guessed:
    """One photo: angular errors in degrees by method, the errors of log cones (N, 3) at each place with cards, and what
    is stated of them (3,).
    """

    angles: Mapping[str, float]
    off: Floats
    stated: Floats
    with_white: bool


def main(arguments: Sequence[str]) -> None:
    """Print the tables of all photos in the folders named, or of the sample photos."""
    folders = [Path(a) for a in arguments] or sorted({p.parent for p in SAMPLES.glob("*/*.truth.json")})
    truths = [truth for folder in folders for truth in truths_in(folder) if truth.cards]
    guessed: list[Guessed] = []
    found: list[Found] = []
    with tempfile.TemporaryDirectory() as folder:
        for index, truth in enumerate(truths):
            photo = read_photo(truth.path)
            bare = painted_out(photo, truth)
            guessed.append(guess(truth, photo, bare))
            found += measured(without_cards(truth, bare, Path(folder) / str(index)))
    print(f"{len(truths)} photos, {sum(f.main for f in found)} surfaces\n")
    print(f"{'angular error, degrees':<28} {'median (worst 25 %)':>20}   {'Gehler-Shi':<13} {'NUS-8':<10}")
    for method, (gehler, nus) in PUBLISHED.items():
        print(f"{method:<28} {spread([g.angles[method] for g in guessed]):>20}   {gehler:<13} {nus:<10}")
    print()
    for title, white in (("level, a white found", True), ("level, none found", False)):
        errors = [e for g in guessed if g.with_white is white for e in g.off[:, 1]]
        if errors:
            print(
                f"{title:<28} {len(errors):>3} cards, off by {np.mean(errors):+.2f} +- {np.std(errors):.2f} (logarithm)"
            )
    first, _, third = np.concatenate([g.off - g.off[:, [1]] for g in guessed]).T
    print(f"{'first and third cone':<28} off by {_rms(first):.3f} and {_rms(third):.3f} rms (logarithm)")
    main_colours = [f for f in found if f.main]
    de00 = [float(delta_e_2000(f.lab, f.truth)) for f in main_colours]
    off = [abs(float(lrv(f.lab) - lrv(f.truth))) for f in main_colours]
    print(f"\nmain colours: dE00 {_ninety(de00)}, LRV off {_ninety(off)} (median / 90th percentile)\n")
    print(f"{'':<44} {'n':>4} {'50 %':>6} {'90 %':>6} {'mean width':>10} {'interval score':>14} {'one width':>9}")
    for quantity, of in QUANTITIES:
        print_row(quantity, of(main_colours))
    de00_row("dE00", main_colours)


def painted_out(photo: Photo, truth: TruePhoto) -> Photo:
    """Return the photo with everything that looks like a card to its truth painted out."""
    mask = np.zeros(photo.pixels.shape[:2], np.uint8)
    for _, _, outline, _ in truth.cards:
        fill_polygon(mask, np.asarray(outline, float) * photo.scale, 1)
    rim = 2 * _PAINTED_RIM + 1
    mask = as_eight_bits(cv2.dilate(mask, np.ones((rim, rim), np.uint8)))
    pixels = cv2.inpaint(as_eight_bits(photo.pixels), mask, _PAINT_REACH, cv2.INPAINT_TELEA)
    return replace(photo, pixels=as_eight_bits(pixels))


def without_cards(truth: TruePhoto, bare: Photo, stem: Path) -> TruePhoto:
    """Write ``bare``, what is left of the photo without its cards; return it with none listed."""
    path = stem.with_suffix(".png")
    Image.fromarray(bare.pixels).save(path, icc_profile=_profile(truth.path), compress_level=1)
    return replace(truth, path=path, cards=())


def _profile(path: Path) -> bytes | None:
    pillow_heif.register_heif_opener()  # photos are decoded in processes of their own, so nobody else did
    with Image.open(path) as image:
        profile: bytes | None = image.info.get("icc_profile")
    return profile


def guess(truth: TruePhoto, photo: Photo, bare: Photo) -> Guessed:
    """Hold the guess for ``bare`` against the cards of ``truth`` in its ``photo``."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "room.toml"
        path.write_text(room_text(truth), encoding="utf-8")
        entry = read_room(path).photos[0]
    lights = calibrate(photo, entry.references, entry.file).lights
    calibration = calibrate_without_card(bare, entry.file)
    (own,) = calibration.lights
    to_rgb = np.linalg.inv(cone_matrix(photo.colour_space))
    target = to_rgb @ np.exp(np.mean([light.cones for light in lights], axis=0))
    methods = {**dict(statistics(bare, calibration.table)), "as guessed": to_rgb @ np.exp(own.cones)}
    return Guessed(
        angles={name: angle(light, target) for name, light in methods.items()},
        off=np.stack([own.cones - light.cones for light in lights]),
        stated=np.zeros(3) if own.guess_sd is None else own.guess_sd,
        with_white=any(f.check == "light guessed by white" for f in calibration.findings),
    )


def statistics(photo: Photo, table: Floats | None = None) -> Iterator[tuple[str, Floats]]:
    """Yield the light (3,) in linear RGB by each published method alone, order 6 where there is a choice."""
    table = plain_table(photo.colour_space, LEVELS) if table is None else table
    pixels = as_eight_bits(photo.pixels)
    shrink = min(1.0, _SIDE / max(pixels.shape))
    small = cv2.resize(pixels, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA)
    usable = small.max(axis=2) < _CLIPPED
    linear = table[small]
    yield "nothing: the file's white", np.ones(3)
    yield "grey world", shades_of_grey(linear[usable], 1.0)
    yield "white patch", shades_of_grey(linear[usable], np.inf)
    yield "shades of grey", shades_of_grey(linear[usable], 6.0)
    yield "grey edge, first order", grey_edge(linear, usable, 6.0, 1.0)


def angle(light: Floats, target: Floats) -> float:
    """Return the recovery angular error in degrees (Gijsenij, Gevers & van de Weijer 2011, IEEE TIP 20(9):2475)."""
    cosine = light @ target / (np.linalg.norm(light) * np.linalg.norm(target))
    return float(np.degrees(np.arccos(np.clip(cosine, -1, 1))))


def worst_quarter(errors: Sequence[float]) -> float:
    """Return the mean of the worst quarter."""
    return float(np.mean(np.sort(errors)[-max(1, len(errors) // 4) :]))


def spread(errors: Sequence[float]) -> str:
    """Return median and mean of the worst quarter."""
    return f"{np.median(errors):.2f} ({worst_quarter(errors):.2f})"


def _rms(errors: Floats) -> float:
    return float(np.sqrt(np.mean(errors**2)))


def _ninety(errors: Sequence[float]) -> str:
    return f"{np.median(errors):.1f} / {np.quantile(errors, 0.9):.1f}"


if __name__ == "__main__":
    main(sys.argv[1:])
