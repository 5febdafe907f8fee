"""Reading an embedded ICC profile of the three-component matrix type (ICC.1:2022, 8.3.3 and 10.6, 10.18, 10.31).

Phones and cameras embed nothing else. A profile with only a lookup table is left to the colour management library.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass

import numpy as np

from matcher.colorimetry.adaptation import adapt
from matcher.colorimetry.spaces import WHITE_D65, Floats
from matcher.photo.colour_space import encoded_values, known_name
from matcher.photo.decoded import ColourSpace

# ICC.1:2022, 7.2.16: the profile connection space illuminant.
WHITE_D50 = np.array([0.9642, 1.0, 0.8249])

_HEADER_BYTES = 128
_TAG_BYTES = 12
_MOST_TAGS = 200  # assumption: far above any real profile; guards against a damaged count
_CURVES_AGREE = 2e-3  # assumption: three curves this close are one curve with rounding
_WHITE_AGREES = 0.02  # assumption: red + green + blue of a sound matrix profile is D50 within rounding


class NoMatrixProfileError(ValueError):
    """The profile is damaged, or is not an RGB matrix profile with one tone curve."""


@dataclass(frozen=True, slots=True)
class _Tags:
    profile: bytes
    places: dict[bytes, tuple[int, int]]

    def body(self, signature: bytes, kind: bytes) -> bytes:
        offset, size = self.places[signature]
        body = self.profile[offset : offset + size]
        if body[:4] != kind:
            raise NoMatrixProfileError(f"tag {signature!r} is not of type {kind!r}")
        return body[8:]


def colour_space_from_icc(profile: bytes) -> ColourSpace:
    """Return the space of a matrix profile; raises :class:`NoMatrixProfileError` for anything else."""
    try:
        if profile[16:20] != b"RGB " or profile[36:40] != b"acsp":
            raise NoMatrixProfileError("not an RGB profile")
        tags = _tags(profile)
        columns = np.array([_xyz(tags.body(tag, b"XYZ ")) for tag in (b"rXYZ", b"gXYZ", b"bXYZ")])
        curves = np.array([_curve(tags, tag) for tag in (b"rTRC", b"gTRC", b"bTRC")])
    except (struct.error, KeyError, ValueError, OverflowError) as error:
        raise NoMatrixProfileError(str(error)) from error
    if np.abs(columns.sum(axis=0) - WHITE_D50).max() > _WHITE_AGREES or np.ptp(curves, axis=0).max() > _CURVES_AGREE:
        raise NoMatrixProfileError("the primaries do not add up to white, or the channels have curves of their own")
    to_xyz = adapt(columns, WHITE_D50, WHITE_D65).T
    decode_table = curves.mean(axis=0)
    name = known_name(to_xyz, decode_table) or "RGB space of the embedded profile"
    return ColourSpace(name=name, to_xyz=to_xyz, decode_table=decode_table)


def _tags(profile: bytes) -> _Tags:
    (count,) = struct.unpack_from(">I", profile, _HEADER_BYTES)
    if count > _MOST_TAGS:
        raise NoMatrixProfileError(f"{count} tags")
    rows = (struct.unpack_from(">4sII", profile, _HEADER_BYTES + 4 + _TAG_BYTES * i) for i in range(count))
    return _Tags(profile, {signature: (offset, size) for signature, offset, size in rows})


def _fixed(body: bytes, count: int, start: int = 0) -> Floats:
    """s15Fixed16Number: signed, 16 fractional bits."""
    return np.array(struct.unpack_from(f">{count}i", body, start), dtype=float) / 65536


def _xyz(body: bytes) -> Floats:
    return _fixed(body, 3)


def _curve(tags: _Tags, signature: bytes) -> Floats:
    """Return the (4096,) decode table of a curveType or parametricCurveType tag."""
    offset, _ = tags.places[signature]
    if tags.profile[offset : offset + 4] == b"para":
        table = _parametric(tags.body(signature, b"para"))
    else:
        table = _sampled(tags.body(signature, b"curv"))
    if not np.isfinite(table).all() or np.any(np.diff(table) < 0) or table[-1] <= table[0]:
        raise NoMatrixProfileError(f"tag {signature!r} does not rise")
    return np.clip(table, 0.0, 1.0)


def _sampled(body: bytes) -> Floats:
    (count,) = struct.unpack_from(">I", body)
    x = encoded_values()
    if count == 0:
        return x
    if count == 1:
        return np.asarray(x ** (struct.unpack_from(">H", body, 4)[0] / 256))
    samples = np.frombuffer(body, dtype=">u2", count=count, offset=4) / 65535
    return np.interp(x, np.linspace(0.0, 1.0, count), samples)


def _parametric(body: bytes) -> Floats:
    """Table 68 of ICC.1:2022: Y = (aX + b)^g + e from X = d up, cX + f below; the early types fix some parameters."""
    (kind,) = struct.unpack_from(">H", body)
    counts = {0: 1, 1: 3, 2: 4, 3: 5, 4: 7}
    if kind not in counts:
        raise NoMatrixProfileError(f"parametric curve of type {kind}")
    g, a, b, c, d, e, f = [*_fixed(body, counts[kind], 4), *[0.0] * 7][:7]
    if kind == 0:
        a, d = 1.0, -1.0
    elif kind in (1, 2):
        # Their "c" is an offset to both pieces, and the pieces meet where aX + b = 0.
        e = f = c if kind == 2 else 0.0
        c = 0.0
        d = -b / a if a else 0.0
    x = encoded_values()
    with np.errstate(all="ignore"):  # a damaged exponent overflows; the caller refuses what is not finite
        upper = np.maximum(a * x + b, 0.0) ** g + e
    return np.asarray(np.where(x >= d, upper, c * x + f))
