"""The one way to a photo's pixels: its file is decoded, header and all, in a worker process under limits.

A file may be damaged, or made to crash a decoder or to fill the memory: then it costs the worker and yields one
message, and neither the server nor anybody else's photo.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from os import PathLike
from pathlib import Path
from typing import TypeVar

from matcher.photo.colour_space import the_one
from matcher.photo.container import problem
from matcher.photo.decoded import Finding, Photo
from matcher.photo.from_file import kind_from_file, photo_from_file
from matcher.photo.memory_need import hard_limit, memory_for, seconds_for
from matcher.photo.quality import check_photo
from matcher.workers.limits import Allowance
from matcher.workers.pool import WorkerLostError, call, call_in_two

T = TypeVar("T")

_REMEDY = "Use the photo as the phone or camera wrote it, or save it again as a JPEG."


def read_photo(path: str | PathLike[str], *, longest_side: int = 2000) -> Photo:
    """Decode the photo at ``path``.

    Pictures larger than ``longest_side`` are decoded at 1/2, 1/4 or 1/8 so that their longer side stays at or above
    it. Raises :class:`matcher.errors.PhotoError` naming what is wrong and what to do. The file is never written to.
    """
    path = Path(path)
    memory = memory_for(_file_bytes(path))
    return _received(in_worker(path, photo_from_file, path, memory, longest_side))


def read_and_check(
    path: Path, begun: Callable[[], object], decoded: Callable[[Photo], object], *, longest_side: int = 2000
) -> tuple[Finding, ...]:
    """Decode the photo at ``path`` as :func:`read_photo` does, give it to ``decoded``, and return what
    :func:`matcher.photo.quality.check_photo` finds: the same worker looks at it while the photo is put to use.

    ``begun`` is called when a worker has the job.

    Raises what :func:`read_photo` does, before or after ``decoded`` was called.
    """
    with _losses_told(path) as allowance:
        return call_in_two(
            photo_from_file,
            check_photo,
            *(path, memory_for(_file_bytes(path)), longest_side),
            allowance=allowance,
            begun=begun,
            first=lambda photo: decoded(_received(photo)),
        )


def kind_of(path: Path) -> str:
    """Return what kind of photo a file is, from its header: JPEG, MPO, PNG, TIFF, WEBP, HEIF or RAW; raises PhotoError.

    A raw file's pixels, and with them whether its camera is known, are looked at by :func:`read_photo` only.
    """
    return in_worker(path, kind_from_file, path)


def _received(photo: Photo) -> Photo:
    photo.pixels.flags.writeable = False
    return replace(photo, colour_space=the_one(photo.colour_space))


def _file_bytes(path: Path) -> int:
    try:
        return path.stat().st_size
    except (OSError, ValueError):  # reading it will say why
        return 0


def in_worker(path: Path, function: Callable[..., T], *arguments: object) -> T:
    """Return what ``function`` makes of ``arguments`` within the limits of the file; raises PhotoError for its loss."""
    with _losses_told(path) as allowance:
        return call(function, *arguments, allowance=allowance)


@contextmanager
def _losses_told(path: Path) -> Iterator[Allowance]:
    """Give what a worker may take for a file; the loss of one becomes a PhotoError."""
    size = _file_bytes(path)
    memory = memory_for(size)
    allowance = Allowance(hard_limit(memory), seconds_for(size))
    try:
        yield allowance
    except WorkerLostError as lost:
        most = f"{memory / 1e6:.0f} MB of memory"
        what = {
            "memory": f"takes more than the {most} that a file of its size may take to decode",
            "time": f"takes more than {allowance.seconds:.0f} seconds to decode",
            "crash": f"made its decoder break down{lost.detail and f' ({lost.detail})'}",
            "start": "cannot be decoded: the system lets no other process start",
        }[lost.reason]
        raise problem(path, what, _REMEDY) from None
