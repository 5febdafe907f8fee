"""Writing results: whole or not at all."""

from __future__ import annotations

import io
import json
from collections.abc import Collection, Iterable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from matcher.errors import Problem, RequestError
from matcher.report.one_set import put

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


def list_to_json(entries: Iterable[object]) -> Iterator[str]:
    """Yield the text that :func:`to_json` gives of a list, an entry at a time."""
    opening = "["
    for entry in entries:
        yield f"{opening}\n {_laid_out(entry, 1)}"
        opening = ","
    yield "[]\n" if opening == "[" else "\n]\n"


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


def write_folder(folder: Path, files: Mapping[str, str | bytes], *, stale: Collection[str] = ()) -> tuple[Path, ...]:
    """Write ``files`` (name -> text or bytes) into ``folder`` as one set and return their paths.

    The first of them is the head of the set: where it is, the set is whole, and nothing of another set lies beside it,
    even if this process is killed (:mod:`matcher.report.one_set`). Files called ``stale``, left by an earlier set, are
    taken away with it; whatever else is there stays. Raises :class:`matcher.errors.RequestError` where the folder
    cannot be written, from a full disk to a folder that is closed; then it is as it was.
    """
    try:
        for name in files:
            if (folder / name).is_dir():
                what, remedy = "is a folder, where a file has to be written", "Name another place with --out"
                raise RequestError(Problem(str(folder / name), what, remedy))
        content = {name: data if isinstance(data, bytes) else data.encode("utf-8") for name, data in files.items()}
        put(folder, content, stale)
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
