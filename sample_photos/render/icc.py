"""A minimal Display P3 profile (ICC.1:2022 matrix/TRC profile; primaries of SMPTE EG 432-1, sRGB curve)."""

from __future__ import annotations

import struct

import numpy as np

P3_FROM_SRGB = np.array(
    [[0.8224619, 0.1775381, 0.0], [0.0331942, 0.9668058, 0.0], [0.0170826, 0.0723974, 0.9105199]]
)  # linear light, both D65; from the two sets of primaries
P3_TO_XYZ_D50 = np.array(
    [[0.5151187, 0.2919778, 0.1571035], [0.2411892, 0.6922441, 0.0665668], [-0.0010505, 0.0418791, 0.7840713]]
)  # Bradford-adapted columns


def _fixed(*values: float) -> bytes:
    return b"".join(struct.pack(">i", round(v * 65536)) for v in values)


def _text(text: str) -> bytes:
    raw = text.encode("utf-16-be")
    return b"mluc" + bytes(4) + struct.pack(">II", 1, 12) + b"enUS" + struct.pack(">II", len(raw), 28) + raw


def display_p3() -> bytes:
    """The profile's bytes."""
    curve = b"para" + bytes(4) + struct.pack(">HH", 3, 0) + _fixed(2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)
    tags = {b"desc": _text("Display P3"), b"cprt": _text("No copyright, use freely"),
            b"wtpt": b"XYZ " + bytes(4) + _fixed(0.9642, 1.0, 0.8249)}  # fmt: skip
    for k, name in enumerate((b"rXYZ", b"gXYZ", b"bXYZ")):
        tags[name] = b"XYZ " + bytes(4) + _fixed(*P3_TO_XYZ_D50[:, k])
    for name in (b"rTRC", b"gTRC", b"bTRC"):
        tags[name] = curve
    offset, table, body = 128 + 4 + 12 * len(tags), b"", b""
    for name, data in tags.items():
        data += bytes(-len(data) % 4)
        table += name + struct.pack(">II", offset + len(body), len(data))
        body += data
    size = offset + len(body)
    header = struct.pack(">I4sI4s4s4s", size, b"none", 0x04400000, b"mntr", b"RGB ", b"XYZ ")
    header += struct.pack(">6H", 2026, 1, 1, 0, 0, 0) + b"acsp" + bytes(28) + _fixed(0.9642, 1.0, 0.8249) + bytes(48)
    return header + struct.pack(">I", len(tags)) + table + body
