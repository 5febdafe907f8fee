"""Writing results: whole or not at all."""

from __future__ import annotations

import io
import json
import os
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from matcher.errors import Problem, RequestError

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_LAID_OUT = 3  # levels of a result that a reader looks through
_QUALITY = 92  # of a picture to judge colour by: no blocks show


def to_json(content: object) -> str:
    """Return the JSON text: sorted as built, no NaN, one newline at the end, so that the bytes repeat.

    What is nested deeper than ``_LAID_OUT`` stands in one line: a surface or a candidate each.
    """
    return _laid_out(content, 0) + "\n"


def _laid_out(content: object, depth: int) -> str:
    # Python's encoder is ten times as slow where it indents, as it is not the compiled one then.
    if depth == _LAID_OUT or not content or not isinstance(content, (Mapping, list, tuple)):
        return json.dumps(content, ensure_ascii=False, allow_nan=False)
    ends = "{}" if isinstance(content, Mapping) else "[]"
    if isinstance(content, Mapping):
        inner = [f"{json.dumps(key, ensure_ascii=False)}: {_laid_out(of, depth + 1)}" for key, of in content.items()]
    else:
        inner = [_laid_out(of, depth + 1) for of in content]
    start = "\n" + " " * (depth + 1)
    return ends[0] + start + f",{start}".join(inner) + "\n" + " " * depth + ends[1]


def write_folder(folder: Path, files: Mapping[str, str | bytes]) -> tuple[Path, ...]:
    """Write ``files`` (name -> text or bytes) into ``folder`` and return their paths.

    All of them are written to a temporary folder on the same disk first and then renamed into place, so that a full
    disk or an interruption leaves no half-written file. Raises :class:`matcher.errors.RequestError` where the folder
    cannot be written.
    """
    try:
        for name in files:
            if (folder / name).is_dir():
                what, remedy = "is a folder, where a file has to be written", "Name another place with --out"
                raise RequestError(Problem(str(folder / name), what, remedy))
        # A folder that is there may be a disk of its own, or stand in one that is closed to us.
        beside = folder if folder.is_dir() else folder.parent
        beside.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=".givens-", dir=beside) as temporary:
            for name, content in files.items():
                data = content if isinstance(content, bytes) else content.encode("utf-8")
                (Path(temporary) / name).write_bytes(data)
            folder.mkdir(exist_ok=True)
            for name in files:
                os.replace(Path(temporary) / name, folder / name)
    except OSError as error:
        reason = error.strerror or str(error)
        problem = Problem(
            str(folder), f"the results cannot be written here ({reason})", "Name another folder with --out"
        )
        raise RequestError(problem) from error
    return tuple(folder / name for name in files)


def picture_file(pixels: NDArray[np.uint8], kind: str) -> bytes:
    """Return the file of sRGB ``pixels`` (H, W, 3): ``kind`` JPEG, which is for looking at, or PNG, which is exact."""
    import numpy as np
    from PIL import Image

    stream = io.BytesIO()
    quality = {"quality": _QUALITY, "subsampling": 0, "optimize": True} if kind == "JPEG" else {}
    Image.fromarray(np.ascontiguousarray(pixels)).save(stream, kind, **quality)
    return stream.getvalue()
