"""Files that are small and mean harm: each promises a decoder far more than it holds, or leads it round in circles.

``python -m tests.photo.bombs FOLDER`` reads them all in one process and prints, of each, what was said, how long it
took and how much memory the processes that decoded have had at most by then.
"""

from __future__ import annotations

import io
import json
import resource
import struct
import sys
import time
import zlib
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import numpy as np
from PIL import Image

_MEGABYTE = 1_000_000
_BLOCK = 1 << 20


def png_chunk(kind: bytes, body: bytes, *, length: int | None = None) -> bytes:
    """PNG 3rd edition, 5.3; ``length`` is what the chunk says that it is long, where that is not true."""
    stated = len(body) if length is None else length
    return struct.pack(">I", stated) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


def png(width: int, height: int, *chunks: bytes, bits: int = 8) -> bytes:
    """A true-colour PNG with ``chunks`` between header and end (11.2.1)."""
    header = struct.pack(">IIBBBBB", width, height, bits, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + png_chunk(b"IHDR", header) + b"".join(chunks) + png_chunk(b"IEND", b"")


def zeros(size: int) -> bytes:
    """A zlib stream (RFC 1950) of ``size`` zeros, put together from one block that is repeated."""
    packer = zlib.compressobj(9, zlib.DEFLATED, -15)
    block = packer.compress(bytes(_BLOCK)) + packer.flush(zlib.Z_FULL_FLUSH)
    last = zlib.compressobj(9, zlib.DEFLATED, -15)
    rest = last.compress(bytes(size % _BLOCK)) + last.flush()
    # The checksum of zeros: its first sum stays 1, its second counts them.
    return b"\x78\xda" + block * (size // _BLOCK) + rest + struct.pack(">HH", size % 65521, 1)


def png_rows(width: int, height: int, *, bits: int = 8) -> bytes:
    """The chunk of a black picture."""
    return png_chunk(b"IDAT", zeros(height * (1 + 3 * width * bits // 8)))


def webp_lossless(width: int, height: int) -> bytes:
    """RFC 9649, 3.4 and 3.7: five prefix codes of one symbol each, so that a pixel takes no bit at all."""
    fields = [(0x2F, 8), (width - 1, 14), (height - 1, 14), (0, 1), (0, 3)]
    fields += [(0, 1), (0, 1), (0, 1)]  # no transform, no colour cache, no groups of codes
    fields += [(1, 1), (0, 1), (0, 1), (0, 1)] * 5  # a simple code, of one symbol, that is one bit: 0
    value = at = 0
    for field, bits in fields:
        value |= field << at
        at += bits
    return value.to_bytes(-(-at // 8) + 4, "little")


def riff(*chunks: tuple[bytes, bytes]) -> bytes:
    """RFC 9649, 2.3 and 2.4."""
    body = b"WEBP" + b"".join(
        kind + struct.pack("<I", len(content)) + content + bytes(len(content) % 2) for kind, content in chunks
    )
    return b"RIFF" + struct.pack("<I", len(body)) + body


def animation(width: int, height: int, frames: int) -> bytes:
    """RFC 9649, 2.7.1: an animation whose frames fill the canvas."""
    across, down = ((side - 1).to_bytes(3, "little") for side in (width, height))
    frame = webp_lossless(width, height)
    body = bytes(6) + across + down + bytes(4) + b"VP8L" + struct.pack("<I", len(frame)) + frame + bytes(len(frame) % 2)
    return riff((b"VP8X", b"\x02\0\0\0" + across + down), (b"ANIM", bytes(6)), *[(b"ANMF", body)] * frames)


def tiff(tags: dict[int, tuple[int, ...]], *, counts: dict[int, int] | None = None, following: int = 0) -> bytes:
    """TIFF 6.0, section 2: one directory of LONGs; ``counts`` are those that are not true."""
    head, stated = 8 + 2 + 12 * len(tags) + 4, counts or {}
    entries, values = b"", b""
    for tag, value in sorted(tags.items()):
        packed = struct.pack(f"<{len(value)}I", *value)
        place = packed if len(value) == 1 else struct.pack("<I", head + len(values))
        values += b"" if len(value) == 1 else packed
        entries += struct.pack("<HHI", tag, 4, stated.get(tag, len(value))) + place
    return (
        b"II*\0\x08\0\0\0" + struct.pack("<H", len(tags)) + entries + struct.pack("<I", following) + values + bytes(256)
    )


def _tiff_tags(width: int, height: int, **more: tuple[int, ...]) -> dict[int, tuple[int, ...]]:
    tags = {256: (width,), 257: (height,), 258: (8, 8, 8), 259: (1,), 262: (2,), 273: (150,), 277: (3,), 278: (height,)}
    return {**tags, 279: (64,), **{int(name[1:]): value for name, value in more.items()}}


def _ring() -> bytes:
    return tiff(_tiff_tags(100, 100), following=8)


def _many_directories() -> bytes:
    """A chain of empty directories: a decoder that counts pictures walks all of it."""
    start = tiff(_tiff_tags(100, 100))
    data = bytearray(tiff(_tiff_tags(100, 100), following=len(start)))
    for _ in range(3_000_000):
        data += struct.pack("<HI", 0, len(data) + 6)
    return bytes(data)


def _jpeg(width: int, height: int, **options: bool) -> bytes:
    stream = io.BytesIO()
    Image.new("RGB", (width, height), (90, 120, 150)).save(stream, "JPEG", **options)
    return stream.getvalue()


def _many_scans() -> bytes:
    """ITU-T T.81, annex G: the last scan of a progressive picture, again and again; each is a pass over all of it."""
    data = _jpeg(4000, 4000, progressive=True)
    last = data.rindex(b"\xff\xc4")
    return data[:-2] + data[last:-2] * 4000 + data[-2:]


def _resized_jpeg(width: int, height: int) -> bytes:
    """A progressive picture whose frame says another size."""
    data = bytearray(_jpeg(64, 64, progressive=True))
    at = data.index(b"\xff\xc2")
    data[at + 5 : at + 9] = struct.pack(">HH", height, width)
    return bytes(data)


def _long_header() -> bytes:
    """38 MB of Exif, profile and comment before the picture."""
    data = _jpeg(100, 100)
    exif = b"\xff\xe1\xff\xfeExif\0\0II*\0\x08\0\0\0" + struct.pack("<H", 5000) + bytes(65516)
    icc = [b"\xff\xe2\xff\xfeICC_PROFILE\0" + bytes([1 + i % 255, 255]) + bytes(65518) for i in range(290)]
    return data[:2] + (exif[:65536] + b"") * 290 + b"".join(part[:65536] for part in icc) + data[2:]


def _heic() -> bytes:
    import pillow_heif

    stream = io.BytesIO()
    pillow_heif.from_pillow(Image.new("RGB", (128, 128), (90, 120, 150))).save(stream)
    return stream.getvalue()


def _large_heic(width: int, height: int) -> bytes:
    """ISO/IEC 23008-12, 6.5.3: another size in the header. (A true one of 64 megapixels takes 10 s to write.)"""
    data = bytearray(_heic())
    at = data.index(b"ispe") + 8
    data[at : at + 8] = struct.pack(">II", width, height)
    return bytes(data)


def _false_box() -> bytes:
    data = bytearray(_heic())
    at = data.index(b"iloc") - 4
    data[at : at + 4] = struct.pack(">I", 0x7FFFFFF0)
    return bytes(data)


def _nested_boxes() -> bytes:
    """Boxes within boxes, deeper than a program may call itself."""
    boxes = b""
    for _ in range(3000):
        boxes = struct.pack(">I4sI", 12 + len(boxes), b"meta", 0) + boxes
    return b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + boxes


def _false_mosaic() -> bytes:
    """A DNG (its version is tag 50706) of a sensor far larger than the file."""
    tags = _tiff_tags(30_000, 3_900, t33421=(2, 2), t50706=(0x00000401,))
    return tiff({**tags, 258: (16,), 262: (32803,), 277: (1,)})


BOMBS: dict[str, Callable[[], bytes]] = {
    "false picture length.png": lambda: png(
        64, 64, png_chunk(b"IDAT", zlib.compress(bytes(64 * 385), 9), length=0xF000_0000), bits=16
    ),
    "black.png": lambda: png(10_900, 10_900, png_rows(10_900, 10_900)),
    "black of 16 bits.png": lambda: png(8_000, 6_000, png_rows(8_000, 6_000, bits=16), bits=16),
    "profile.png": lambda: png(100, 100, png_chunk(b"iCCP", b"a\0\0" + zeros(400 * _MEGABYTE)), png_rows(100, 100)),
    "text.png": lambda: png(100, 100, *[png_chunk(b"zTXt", b"a\0\0" + zeros(40 * _MEGABYTE))] * 40, png_rows(100, 100)),
    "text of 16 bits.png": lambda: png(
        100, 100, *[png_chunk(b"zTXt", b"a\0\0" + zeros(40 * _MEGABYTE))] * 40, png_rows(100, 100, bits=16), bits=16
    ),
    "black.webp": lambda: riff((b"VP8L", webp_lossless(16_000, 7_400))),
    "canvas.webp": lambda: animation(10_900, 10_900, 2),
    "frames.webp": lambda: animation(1_000, 1_000, 20_000),
    "tile.tif": lambda: tiff(_tiff_tags(100, 100, t322=(65_520,), t323=(65_520,), t324=(150,), t325=(64,))),
    "count.tif": lambda: tiff(_tiff_tags(100, 100), counts={279: 0x3FFF_FFFF}),
    "strip.tif": lambda: tiff(_tiff_tags(100, 100, t279=(0xFFFF_FFF0,))),
    "ring.tif": _ring,
    "directories.tif": _many_directories,
    "scans.jpg": _many_scans,
    "coefficients.jpg": lambda: _resized_jpeg(11_000, 10_800),
    "header.jpg": _long_header,
    "large.heic": lambda: _large_heic(11_000, 10_000),
    "false box.heic": _false_box,
    "false mosaic.dng": _false_mosaic,
    "nested.heic": _nested_boxes,
    "far.tif": lambda: b"II+\0\x08\0\0\0" + struct.pack("<Q", 2**64 - 9) + bytes(64),
}


def write_bombs(folder: Path) -> list[Path]:
    """Write them all and return their paths."""
    for name, made in BOMBS.items():
        (folder / name).write_bytes(made())
    return [folder / name for name in BOMBS]


def main(arguments: list[str]) -> None:
    """Read every bomb in the folder."""
    from matcher.errors import PhotoError
    from matcher.photo.reading import read_photo
    from matcher.room.photo_size import upright_size

    for path in sorted(Path(arguments[0]).iterdir()):
        start = time.perf_counter()
        try:
            said = [str(np.array(read_photo(path).pixels.shape))]
            refused = False
        except PhotoError as error:
            said, refused = [str(problem) for problem in error.problems], True
        upright_size(path)
        entry = {"file": path.name, "refused": refused, "said": said, "seconds": time.perf_counter() - start}
        print(json.dumps({**entry, "peak_mb": peak_mb()}), flush=True)


def children() -> list[int]:
    """Return the processes that this one has started and that run still (proc(5))."""
    pids: list[str] = []
    for path in Path("/proc/self/task").glob("*/children"):
        with suppress(FileNotFoundError):  # a thread that has ended
            pids += path.read_text().split()
    return [int(pid) for pid in pids]


def peak_mb() -> float:
    """Return the largest resident memory that a child of this process, over or under way, has had."""
    peaks = [resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss]
    for pid in children():
        with suppress(FileNotFoundError, ProcessLookupError):
            lines = Path(f"/proc/{pid}/status").read_text().splitlines()
            peaks += [int(line.split()[1]) for line in lines if line.startswith("VmHWM")]
    return max(peaks) / 1024


if __name__ == "__main__":
    main(sys.argv[1:])
