"""A camera raw file as a photo: linear, with the camera's own matrix, and no tone curve to guess.

The sensor's values are balanced by what the camera noted, which keeps the three channels level on lamp light; the
colour space takes that balance back, so that its matrix meets the daylight it was made for and the card does the
rest. (Simulated: 99 + 66 measured spectra under CIE A leave a median dE00 of 2.2 that way, 3.1 where the balance of
the camera comes before the matrix.)
"""

from __future__ import annotations

import errno
from pathlib import Path
from typing import TYPE_CHECKING

import cv2
import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.spaces import WHITE_D65, Floats
from matcher.errors import PhotoError
from matcher.photo.colour_space import srgb
from matcher.photo.container import problem, refuse_size
from matcher.photo.decoded import ColourSpace, Finding, Photo
from matcher.photo.decoding import scale_divisor
from matcher.photo.linear_light import FULL, in_standard_curve
from matcher.photo.memory_need import raw_need, refuse_memory
from matcher.raw_header import open_raw, upright_size_of

if TYPE_CHECKING:
    import rawpy

_EXPORT = "Export it from the program that knows the camera as a 16-bit TIFF or a JPEG, without any edits."
# A raw picture may be exposed for its highlights: up to this share of full scale is made full scale (assumption).
_DARKEST_FULL_SCALE = 1 / 32


def read_raw(path: Path, data: bytes, memory: int, *, longest_side: int) -> Photo:
    """Decode camera raw; half size or less where the longer side stays at ``longest_side`` or more.

    Raises :class:`matcher.errors.PhotoError` for a file that is not known, damaged, or without colours.
    """
    import rawpy

    try:
        with open_raw(data) as raw:
            size = upright_size_of(raw)
            refuse_size(path, size)
            divisor = scale_divisor(size, longest_side)
            refuse_memory(path, size, raw_need(len(data), halved=divisor > 1), memory)
            _refuse_colours(path, raw)
            space, balanced_by = _colour_space(path, raw)
            linear = _linear(raw, halve=divisor > 1)
    except (rawpy.LibRawFileUnsupportedError, rawpy.NotSupportedError):
        raise problem(path, "is camera raw of a kind that cannot be read here", _EXPORT) from None
    except rawpy.LibRawError as error:
        raise _damaged(path, error) from error
    except OSError as error:  # what the system told LibRaw
        if error.args and error.args[0] == errno.ENOMEM:
            raise MemoryError from error
        raise _damaged(path, error) from error
    pixels = in_standard_curve(_reduced(linear, size, divisor), np.linspace(0, 1, FULL + 1), least=_DARKEST_FULL_SCALE)
    pixels.flags.writeable = False
    return Photo(
        path=path,
        pixels=pixels,
        full_size=size,
        scale=pixels.shape[1] / size[0],
        colour_space=space,
        findings=(
            Finding("colour profile", "ok", (("name", space.name), ("source", "camera raw"))),
            Finding("camera raw", "ok", (("balance", balanced_by),)),
        ),
    )


def _linear(raw: rawpy.RawPy, *, halve: bool) -> NDArray[np.uint16]:
    """Return upright sensor RGB (H, W, 3), black taken off, balanced; full scale where the first channel clips."""
    import rawpy

    developed = raw.postprocess(
        half_size=halve,
        gamma=(1, 1),
        no_auto_bright=True,
        adjust_maximum_thr=0.0,  # the file's own white level, not one guessed from the picture
        output_bps=16,
        output_color=rawpy.ColorSpace.raw,
        user_wb=_balance(raw)[0].tolist(),
        highlight_mode=rawpy.HighlightMode.Clip,
    )
    return np.asarray(developed, dtype=np.uint16)


def _reduced(linear: NDArray[np.uint16], size: tuple[int, int], divisor: int) -> NDArray[np.uint16]:
    width, height = (-(-side // divisor) for side in size)
    if linear.shape[:2] == (height, width):
        return linear
    return np.asarray(cv2.resize(linear, (width, height), interpolation=cv2.INTER_AREA), dtype=np.uint16)


def _balance(raw: rawpy.RawPy) -> tuple[Floats, str]:
    """Return multipliers (4,) of red, green, blue, second green: the camera's where it noted any, else daylight's."""
    for multipliers, name in ((raw.camera_whitebalance, "the camera's"), (raw.daylight_whitebalance, "daylight's")):
        values = np.array(multipliers[:3], dtype=float)
        if np.isfinite(values).all() and (values > 0).all():
            return np.append(values, values[1]) / values[1], name
    return np.ones(4), "none"


def _colour_space(path: Path, raw: rawpy.RawPy) -> tuple[ColourSpace, str]:
    """Return the space of the balanced sensor RGB, and by what it was balanced."""
    matrix = _daylight_matrix(raw)
    if matrix is None:
        raise problem(path, "does not say, nor is it known, how its camera's sensor sees colour", _EXPORT)
    to_xyz, daylight = matrix
    balance, name = _balance(raw)
    unbalanced = to_xyz * (daylight / balance[:3])
    white_level = unbalanced.sum(axis=1)[1]
    space = ColourSpace(
        name="the camera's own colours",
        to_xyz=unbalanced / white_level,
        decode_table=srgb().decode_table,
        tone_known=True,
    )
    return space, name


def _daylight_matrix(raw: rawpy.RawPy) -> tuple[Floats, Floats] | None:
    """Return the matrix from sensor RGB balanced for D65 to XYZ, white to D65, and that balance (3,), green = 1.

    DNG 1.7, chapter 6: ColorMatrix takes XYZ to the sensor. What takes D65 to (1, 1, 1) is its balanced inverse.
    """
    xyz_to_sensor = np.asarray(raw.rgb_xyz_matrix, dtype=float)[:3]
    if np.abs(np.linalg.det(xyz_to_sensor)) > 0:
        white = xyz_to_sensor @ WHITE_D65
        return np.linalg.inv(xyz_to_sensor / white[:, None]), white[1] / white
    # LibRaw keeps a DNG's matrix in this form only: balanced sensor RGB to linear sRGB, white to white.
    to_srgb = np.asarray(raw.color_matrix, dtype=float)[:, :3]
    daylight = np.array(raw.daylight_whitebalance[:3], dtype=float)
    if np.abs(to_srgb.sum(axis=1) - 1).max() > 1e-3 or not (daylight > 0).all():
        return None
    return srgb().to_xyz @ to_srgb, daylight / daylight[1]


def _refuse_colours(path: Path, raw: rawpy.RawPy) -> None:
    if raw.num_colors == 1:
        raise problem(path, "is from a black-and-white sensor: it holds no colour to measure", "Use a colour photo.")
    if raw.num_colors != 3:
        raise problem(path, f"is from a sensor of {raw.num_colors} colours, which is not read here", _EXPORT)


def _damaged(path: Path, error: Exception) -> PhotoError:
    given = error.args[0] if error.args else "no reason given"
    reason = given.decode(errors="replace") if isinstance(given, bytes) else given
    return problem(
        path,
        f"is a camera raw file that is damaged or cut short ({reason})",
        f"Copy it from the camera again, or: {_EXPORT[:1].lower()}{_EXPORT[1:]}",
    )
