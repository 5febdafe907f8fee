"""Pictures made of numbers: surfaces of known CIELAB under known light, seen by a camera with a known curve.

Light multiplies Bradford's cone responses, so that a picture holds exactly what full von Kries adaptation undoes:
what is measured here is the reading of pixels, not how an eye or a camera differs from that model.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path

import numpy as np
from numpy.typing import ArrayLike, NDArray

from matcher.colorimetry.adaptation import BRADFORD
from matcher.colorimetry.spaces import WHITE_D65, Floats, lab_to_xyz, srgb_encode
from matcher.photo.colour_space import srgb
from matcher.photo.decoded import ColourSpace, Photo
from matcher.room.contents import Reference, ReferenceKind

Box = tuple[int, int, int, int]
Curve = Callable[[Floats], Floats]
Card = tuple[ReferenceKind, float]
WHITE: Card = ("white card", 0.86)
GREY: Card = ("grey card", 0.18)
BLACK: Card = ("black card", 0.04)
# Cone gains of a picture that the camera balanced halfway between daylight and a lamp.
WARM_LIGHT = np.array([1.12, 1.0, 0.7])
NOISE = 0.006  # one-sigma of an encoded value 0..1


def plain(encoded: Floats) -> Floats:
    """The standard encoding alone."""
    return encoded


def smoothstep_s(strength: float) -> Curve:
    """Blend of the encoded value with 3 u^2 - 2 u^3, the common S of graphics: not the shape the project fits with."""

    def curve(encoded: Floats) -> Floats:
        u = np.clip(encoded, 0, 1)
        return u + strength * (3 * u**2 - 2 * u**3 - u)

    return curve


@dataclass(eq=False)
class Scene:
    """A picture under construction; ``xyz`` (H, W, 3) is reflectance under D65, ``light`` (H, W, 3) cone gains."""

    height: int
    width: int
    level: float = 0.75  # of a perfect white, linear
    xyz: Floats = field(init=False)
    light: Floats = field(init=False)
    cards: list[Reference] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.xyz = np.broadcast_to(lab_to_xyz(np.array([50.0, 0, 0])), (self.height, self.width, 3)).copy()
        self.light = np.full((self.height, self.width, 3), self.level)

    def paint(self, where: Box | NDArray[np.bool_], lab: ArrayLike) -> None:
        """Give an area one colour."""
        self.xyz[_index(where)] = lab_to_xyz(np.asarray(lab, dtype=float))

    def lay(self, card: Card, box: Box, on: str | None = None) -> Reference:
        """Lay a neutral card into ``box`` (left, top, right, bottom)."""
        kind, reflectance = card
        self.xyz[_index(box)] = reflectance * WHITE_D65
        reference = Reference(kind=kind, reflectance=reflectance, outline=corners(box), on=on)
        self.cards.append(reference)
        return reference

    def lay_three(self, left: int, top: int, size: int, on: str | None = None) -> None:
        """Lay a white, a grey and a black card side by side."""
        for place, card in enumerate((WHITE, GREY, BLACK)):
            x = left + place * size
            self.lay(card, (x, top, x + size, top + size), on)

    def fall_off(self, across: float, down: float = 0.0) -> None:
        """Let light fall off exponentially; the logarithm over the whole width and height is given."""
        rows, columns = np.mgrid[0 : self.height, 0 : self.width]
        self.light *= np.exp(-across * columns / self.width - down * rows / self.height)[..., None]

    def shoot(
        self, *, curve: Curve = plain, space: ColourSpace | None = None, noise: float = NOISE, seed: int = 0
    ) -> Photo:
        """Return the photo: light on reflectance, encoded, curved, noisy, in 8 bits."""
        return as_photo(self.develop(curve=curve, space=space or srgb(), noise=noise, seed=seed), space or srgb())

    def develop(self, *, curve: Curve, space: ColourSpace, noise: float, seed: int) -> NDArray[np.uint8]:
        """Return the pixels (H, W, 3)."""
        lit = (self.xyz @ BRADFORD.T * self.light) @ np.linalg.inv(BRADFORD).T
        # In single precision from here on, thousands of times finer than eight bits.
        linear = np.clip(lit @ np.linalg.inv(space.to_xyz).T, 0, 1).astype(np.float32)
        grain = noise * _grain(seed, linear.shape) if noise else 0.0
        return np.asarray((np.clip(curve(srgb_encode(linear)) + grain, 0, 1) * 255).round().astype(np.uint8))


@lru_cache(maxsize=4)
def _grain(seed: int, shape: tuple[int, ...]) -> Floats:
    """Return noise of size one; most scenes are of one size and have the same."""
    grain = np.random.default_rng(seed).standard_normal(shape).astype(np.float32)
    grain.setflags(write=False)
    return grain


def as_photo(pixels: NDArray[np.uint8], space: ColourSpace) -> Photo:
    """Return pixels as a decoded photo."""
    height, width = pixels.shape[:2]
    return Photo(Path("scene.png"), pixels, (width, height), 1.0, space, ())


def corners(box: Box) -> tuple[tuple[float, float], ...]:
    """Return a box as an outline."""
    left, top, right, bottom = box
    return (left, top), (right, top), (right, bottom), (left, bottom)


def _index(where: Box | NDArray[np.bool_]) -> tuple[slice, slice] | NDArray[np.bool_]:
    if isinstance(where, np.ndarray):
        return where
    left, top, right, bottom = where
    return slice(top, bottom), slice(left, right)
