"""The bytes of a file the user named, or one clear message why not: the same for photos, decks and room files."""

from __future__ import annotations

from pathlib import Path

from matcher.errors import GivensError, Problem


def read_bytes(path: Path, error: type[GivensError], wanted: str, in_a_folder: str) -> bytes:
    """Return what ``path`` holds.

    ``wanted`` completes "is a folder, not ..."; ``in_a_folder`` says what to name instead. Raises ``error``.
    """
    try:
        if path.is_dir():
            raise error(Problem(str(path), f"is a folder, not {wanted}", in_a_folder))
        return path.read_bytes()
    except FileNotFoundError:
        raise error(Problem(str(path), "there is no such file", "Check the spelling and the folder.")) from None
    except (OSError, ValueError) as cause:
        reason = cause.strerror if isinstance(cause, OSError) and cause.strerror else str(cause)
        what, remedy = f"cannot be opened ({reason})", "Check the name and that you may read it."
        raise error(Problem(str(path), what, remedy)) from cause


def is_file(path: Path) -> bool:
    """Tell whether a file is there; no where the system will not look: a name too long, a folder that is shut."""
    try:
        return path.is_file()
    except (OSError, ValueError):
        return False
