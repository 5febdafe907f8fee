"""One neutral patch in a photo: its values, its evenness, and whether it may be used."""

from __future__ import annotations

from dataclasses import dataclass, field

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.spaces import Floats
from matcher.errors import CardError, Problem
from matcher.photo.decoded import Photo
from matcher.photo.pixels import as_eight_bits, fill_polygon
from matcher.room.contents import Reference

# Assumption: what is darker drowns in noise and stray light, and its hue with it.
BLACK_REFLECTANCE = 0.08
LEVELS = 256  # file values are binned to 8 bits for patch statistics

# Assumptions, about what still counts as a patch that can be measured.
_MINIMUM_PIXELS = 30
_INSET = 0.06  # of the patch's width, taken off all round: its edge mixes with what it lies on
_CLIPPED_SHARE = 0.02
_WHITE = LEVELS - 2  # JPEG and other roundings turn 255 into 254
_BRIGHT, _STILL, _NOISE_SEEN = 235, 0.25, 0.8  # encoded steps; share of the other channels' deviation; encoded steps
_DARK_SHARE = 0.25
_SUNK_SHARE = 0.1
_ONE_BRIGHTNESS = 0.75  # share of a patch that has to be alike: less is a shadow's edge or another thing
_ENOUGH_PIXELS = 1600
_RING = (1.25, 1.9)  # times the patch's size: beyond its own rim and shadow, still in its light
_RING_PIXELS = 4000
_CELLS = 4  # each way: what unevenness is told by
_GLARE_SPREAD = 0.25  # inner spread of the logarithm of luminance that no even patch in even light has


@dataclass(frozen=True, slots=True, eq=False)
class Patch:
    """``quadrants`` (4, 3, 256) counts of file values in the patch's quarters; ``centre`` (2,) in full-size pixels.

    ``slope`` (2,) is the change of the logarithm of light per full-size pixel across the patch under the plain
    encoding, ``slope_sd`` its standard error; ``noise`` one-sigma of a pixel's file value 0..1; ``clipped`` the share
    of pixels at white; ``spread`` what unevenness is left beside slope and noise; ``extent`` its width in full-size
    pixels; ``foreshortening`` its short side over its long one, small where it is seen at a grazing angle; ``beside``
    (3,) file values of what it lies on, right beside it, nan where that is clipped.

    ``tint`` (3,) is the linear RGB of a perfect white's that it reflects where it is not quite neutral, ``level_sd``
    and ``colour_sd`` the relative one-sigma of what it reflects: 0 for a card made for it; ``black`` the share of a
    black card's pixels that are at black.
    """

    kind: str
    reflectance: float
    on: str | None
    centre: Floats
    quadrants: Floats
    slope: Floats
    slope_sd: float
    noise: float
    clipped: float
    spread: float
    extent: float
    foreshortening: float = 1.0
    beside: Floats = field(default_factory=lambda: np.full(3, np.nan))
    tint: Floats | None = None
    level_sd: float = 0.0
    colour_sd: float = 0.0
    black: float = 0.0

    @property
    def usable(self) -> bool:
        """False where clipping, to white or to black, makes the patch worthless."""
        return self.clipped <= _CLIPPED_SHARE and not self.blackened

    @property
    def blackened(self) -> bool:
        """Whether so much of it is as black as the file can be that it tells nothing but that."""
        return self.black > _DARK_SHARE

    @property
    def sunk(self) -> bool:
        """Whether a channel lies at black for many pixels, as of a colour beyond what the picture can show."""
        counts = self.histograms
        return bool((counts[:, :2].sum(axis=1) > _SUNK_SHARE * counts.sum(axis=1)).any())

    @property
    def histograms(self) -> Floats:
        """(3, 256) counts of file values over the whole patch."""
        total: Floats = self.quadrants.sum(axis=0)
        return total

    def linear(self, table: Floats) -> Floats:
        """Return (..., 3) mean linear RGB under decode tables (..., 256), outliers beyond 3 sigma left out."""
        counts = self.histograms
        means: Floats = (table @ counts.T) / counts.sum(axis=1)
        return means

    def reflected(self, responses: Floats) -> Floats:
        """Return (3,) what it reflects of a perfect white's ``responses`` (3, 3), a matrix on linear RGB."""
        if self.tint is None:
            return np.full(3, self.reflectance)
        reflected: Floats = responses @ self.tint / responses.sum(axis=1)
        return reflected

    def linear_quadrants(self, table: Floats) -> Floats:
        """Return (Q, 3) mean linear RGB of the patch's quarters that have pixels."""
        counts = self.quadrants.sum(axis=2)
        full = counts.min(axis=1) > 0
        means: Floats = (self.quadrants[full] @ table) / counts[full]
        return means


def read_patch(photo: Photo, reference: Reference, where: str, *, reflectance: float | None = None) -> Patch:
    """Return the statistics of one reference patch, of ``reflectance`` where the reference itself states none.

    Raises :class:`CardError` where the outline is too small, black though it is no black card, or lies on something
    that is no even patch. A black card that the camera's contrast made black comes back as not usable.
    """
    reflectance = reference.plain_reflectance if reflectance is None else reflectance
    if reflectance is None:
        raise ValueError(f"a {reference.kind} without a reflectance is no single patch")
    values, positions, extent = _pixels(photo, np.asarray(reference.outline, dtype=float), where)
    red, green, blue = values.T
    brightest = np.maximum(np.maximum(red, green), blue)
    clipped = max(float((brightest >= _WHITE).mean()), _piled_up(values))
    black = float((brightest <= 1).mean())
    if black > _DARK_SHARE and reference.kind != "black card":
        raise CardError(Problem(where, "the patch is black in the photo", "Use a brighter photo"))
    kept = _within(values)
    values, positions = values[kept], positions[kept]
    centre = positions.mean(axis=0)
    offsets = positions - centre
    slope, slope_sd, spread = _slope(values, offsets)
    if max(clipped - _CLIPPED_SHARE, black - _DARK_SHARE) <= 0 and (
        spread > _GLARE_SPREAD or kept.mean() < _ONE_BRIGHTNESS
    ):
        raise CardError(
            Problem(where, f"the patch is not even ({100 * (1 - kept.mean()):.0f} % of it differs from the rest,"
                           f" which itself varies by {100 * spread:.0f} %)",
                    "The outline may lie on something else, or glare or a shadow falls across the card: correct it")
        )  # fmt: skip
    return Patch(
        kind=reference.kind,
        reflectance=reflectance,
        on=reference.on,
        centre=centre,
        quadrants=_quadrants(values, offsets),
        slope=slope,
        slope_sd=slope_sd,
        noise=float(np.median(values.std(axis=0))) / (LEVELS - 1),
        clipped=clipped,
        spread=spread,
        extent=extent,
        foreshortening=_foreshortening(reference),
        beside=_beside(photo, np.asarray(reference.outline, dtype=float)),
        black=black if reference.kind == "black card" else 0.0,
    )


def _beside(photo: Photo, outline: Floats) -> Floats:
    """Return (3,) median file values of the ring around a patch in the photo, nan where it is clipped or outside."""
    height, width = photo.pixels.shape[:2]
    points = outline * photo.scale
    centre = points.mean(axis=0)
    inner, outer = (centre + (points - centre) * grown for grown in _RING)
    low = np.maximum(np.floor(outer.min(axis=0)).astype(int), 0)
    high = np.minimum(np.ceil(outer.max(axis=0)).astype(int) + 1, [width, height])
    # A median needs no more than every so manieth pixel.
    step = 1 + int(np.sqrt(np.prod(high - low) / _RING_PIXELS))
    crop = photo.pixels[low[1] : high[1] : step, low[0] : high[0] : step]
    mask = np.zeros(crop.shape[:2], np.uint8)
    fill_polygon(mask, (outer - low) / step, 1)
    fill_polygon(mask, (inner - low) / step, 0)
    ring = as_eight_bits(crop)[mask > 0]
    if len(ring) < _MINIMUM_PIXELS:
        return np.full(3, np.nan)
    values = np.median(ring, axis=0)
    return np.where(values.max() < LEVELS - 1, values, np.nan)


def _piled_up(values: NDArray[np.uint8]) -> float:
    """Return the share of pixels at one bright value in a channel without the noise that the others have.

    Some cameras and programs clip below the largest value.
    """
    spread = values.std(axis=0)
    still = int(spread.argmin())
    value = int(np.median(values[:, still]))
    noisy = spread.max() > _NOISE_SEEN and spread[still] < _STILL * spread.max()
    return float((values[:, still] == value).mean()) if noisy and value >= _BRIGHT else 0.0


def _foreshortening(reference: Reference) -> float:
    _, sides, _ = cv2.minAreaRect(np.asarray(reference.outline, dtype=np.float32))
    return float(min(sides) / max(max(sides), 1e-6))


def _pixels(photo: Photo, outline: Floats, where: str) -> tuple[NDArray[np.uint8], Floats, float]:
    """Return values (N, 3) and full-size positions (N, 2) of the inner pixels, thinned where many, and the extent."""
    inside, origin = _inset_mask(photo, outline)
    rows, columns = np.nonzero(inside)
    if len(rows) < _MINIMUM_PIXELS:
        raise CardError(
            Problem(where, f"the outline covers only {len(rows)} usable pixels",
                    f"Outline at least {_MINIMUM_PIXELS} pixels of the card, or photograph it from nearer")
        )  # fmt: skip
    extent = float(np.sqrt(len(rows))) / photo.scale
    # An odd step, so that thinning does not walk along columns.
    step = len(rows) // _ENOUGH_PIXELS // 2 * 2 + 1
    rows, columns = rows[::step], columns[::step]
    crop = photo.pixels[origin[1] : origin[1] + inside.shape[0], origin[0] : origin[0] + inside.shape[1]]
    positions = (np.stack([columns, rows], axis=1) + np.asarray(origin) + 0.5) / photo.scale
    return as_eight_bits(crop[rows, columns]), positions, extent


def _inset_mask(photo: Photo, outline: Floats) -> tuple[NDArray[np.bool_], tuple[int, int]]:
    """Return a mask of the outline's inner part in decoded pixels, and the (x, y) of its corner."""
    height, width = photo.pixels.shape[:2]
    points = outline * photo.scale
    low = np.clip(np.floor(points.min(axis=0)).astype(int) - 1, 0, [width - 1, height - 1])
    high = np.clip(np.ceil(points.max(axis=0)).astype(int) + 2, 1, [width, height])
    mask = np.zeros((high[1] - low[1], high[0] - low[0]), np.uint8)
    fill_polygon(mask, points - low, 1)
    inset = max(1, round(_INSET * float(np.sqrt(mask.sum()))))
    size = 2 * inset + 1
    inner = cv2.erode(mask, np.ones((size, size), np.uint8), borderValue=0)
    return inner > 0, (int(low[0]), int(low[1]))


def _within(values: NDArray[np.uint8]) -> NDArray[np.bool_]:
    """Tell which pixels lie within 3 robust sigma of the patch's median in every channel."""
    middle = np.median(values, axis=0)
    deviation = np.abs(values - middle)
    # 1.4826: median absolute deviation to sigma for normal noise; 1 level is the floor that quantisation sets.
    sigma = np.maximum(1.4826 * np.median(deviation, axis=0), 1.0)
    red, green, blue = (deviation <= 3 * sigma).T
    kept: NDArray[np.bool_] = red & green & blue
    return kept


def _quadrants(values: NDArray[np.uint8], offsets: Floats) -> Floats:
    """Return (4, 3, 256) counts of file values by quarter of the patch and channel."""
    quarter = (offsets[:, 0] > 0).astype(int) + 2 * (offsets[:, 1] > 0)
    index = (quarter[:, None] * 3 + np.arange(3)) * LEVELS + values
    return np.bincount(index.ravel(), minlength=12 * LEVELS).reshape(4, 3, LEVELS).astype(float)


def _slope(values: NDArray[np.uint8], offsets: Floats) -> tuple[Floats, float, float]:
    """Fit a plane to the logarithm of light across the patch: slope per pixel, its error, and the planar spread."""
    encoded = values @ np.full(3, 1 / (3 * (LEVELS - 1)))
    light = np.log(np.maximum(encoded, 1 / LEVELS)) * 2.2  # near the slope of any display encoding
    # Offsets count from their own mean, so the level needs no place in the fit.
    # A line of pixels has no slope across itself, where the plain inverse would fail.
    normal = np.linalg.pinv(offsets.T @ offsets)
    slope = normal @ (light @ offsets)
    residual = light - light.mean() - offsets @ slope
    # Low-frequency departure: pixel noise averages out in sixteenths of the patch, glare and shadow edges do not.
    cells = _cell_means(residual, offsets)
    error = float(residual.std() * np.sqrt(np.trace(normal)))
    return slope, error, float(cells.std())


def _cell_means(residual: Floats, offsets: Floats) -> Floats:
    """Return means over a grid of the patch, cells with few pixels left out."""
    column, row = (
        np.minimum(((each - each.min()) * (_CELLS / max(float(np.ptp(each)), 1e-6))).astype(int), _CELLS - 1)
        for each in offsets.T
    )
    flat = row * _CELLS + column
    counts = np.bincount(flat)
    sums = np.bincount(flat, weights=residual)
    full = counts > len(residual) / (4 * _CELLS**2)
    means: Floats = sums[full] / counts[full]
    return means
