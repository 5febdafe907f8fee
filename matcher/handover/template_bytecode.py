"""Templates compiled once and kept beside themselves, where Python keeps what it compiles (``__pycache__``, PEP 3147):
compiling the page's takes longer than filling it.

As with Python's own, nothing is kept where the folder cannot be written to or ``PYTHONDONTWRITEBYTECODE`` is set.
"""

from __future__ import annotations

import hashlib
import marshal
import os
import sys
import tempfile
from contextlib import suppress
from importlib.util import MAGIC_NUMBER, cache_from_source
from pathlib import Path

from jinja2 import compiler
from jinja2.bccache import Bucket, BytecodeCache

_DIGEST_BYTES = hashlib.sha256().digest_size


class TemplateBytecode(BytecodeCache):
    """What the templates of ``folder`` are compiled to, each in a file of its own.

    It goes by the template's source and by the compiler: both interpreter and Jinja. The environment has to leave
    constants alone (``optimized=False``), or what filters made of them would be kept too.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def get_cache_key(self, name: str, filename: str | None = None) -> str:
        """Return the template's name."""
        return name

    def get_source_checksum(self, source: str) -> str:
        """Return what tells one source and compiler from another."""
        compiled_by = Path(compiler.__file__).stat()
        told = (MAGIC_NUMBER.hex(), str(compiled_by.st_mtime_ns), str(compiled_by.st_size), source)
        return hashlib.sha256("\0".join(told).encode()).hexdigest()

    def load_bytecode(self, bucket: Bucket) -> None:
        """Give ``bucket`` the code, if it is there and of this source."""
        with suppress(OSError, EOFError, ValueError, TypeError):
            kept = self._file(bucket).read_bytes()
            if kept[:_DIGEST_BYTES].hex() == bucket.checksum:
                bucket.code = marshal.loads(kept[_DIGEST_BYTES:])

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep the code of ``bucket``, all of it or none."""
        if sys.dont_write_bytecode:
            return
        file = self._file(bucket)
        with suppress(OSError):
            file.parent.mkdir(parents=True, exist_ok=True)
            handle, written = tempfile.mkstemp(dir=file.parent)
            with os.fdopen(handle, "wb") as stream:
                stream.write(bytes.fromhex(bucket.checksum) + marshal.dumps(bucket.code))
            os.chmod(
                written, 0o666 & (self._folder / bucket.key).stat().st_mode
            )  # whoever reads the one, reads the other
            os.replace(written, file)

    def _file(self, bucket: Bucket) -> Path:
        return Path(cache_from_source(str(self._folder / bucket.key)))
