"""Everything a user can get wrong, as one tree.

    GivensError
    ├── PhotoError      a picture that cannot be read or measured from
    ├── RoomFileError   a room file with unknown keys, impossible values, missing files
    ├── DeckError       a deck of paints that cannot be read
    ├── CardError       a neutral reference that cannot serve as one
    ├── SurfaceError    an outline without usable pixels
    ├── ReadingError    values of an instrument, typed or in a file, that cannot be read
    ├── RequestError    a paint, role, setting or option that does not exist or cannot be met
    │   └── StoreError  what is to be kept cannot be: a full disk, a database that is locked or another one
    │       └── AwayError   a database server that does not answer
    ├── AccessError     a sign-in that fails, or a link that no longer opens
    ├── NotFoundError   a room or photo that is not there, or is somebody else's
    └── ConflictError   a room that was saved elsewhere since it was opened

Each error carries one or more :class:`Problem`; a reader of the command line or of the app sees all of them at
once. The tree becomes text in the cli and the ui and nowhere else; whoever catches it in between raises it again,
with the name the user knows the file by.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Problem:
    """One mistake: where it is, what is wrong (with the measured value), what to do."""

    where: str
    what: str
    remedy: str = ""

    def __str__(self) -> str:
        text = f"{self.where}: {self.what}" if self.where else self.what
        return f"{text}. {self.remedy}" if self.remedy else text


class GivensError(Exception):
    """Root of the tree; ``problems`` holds at least one entry."""

    def __init__(self, *problems: Problem) -> None:
        if not problems:
            raise ValueError("an error needs at least one Problem")
        super().__init__("\n".join(str(problem) for problem in problems))
        self.problems: tuple[Problem, ...] = problems

    def __reduce__(self) -> tuple[type[GivensError], tuple[Problem, ...]]:
        """Pickle by the problems, not by the text: errors come out of worker processes."""
        return type(self), self.problems

    @classmethod
    def of(cls, problems: Iterable[Problem]) -> GivensError:
        """Build from any iterable of problems."""
        return cls(*problems)


class PhotoError(GivensError):
    """The file is no photo, is damaged, or is too small or too large to measure from."""


class RoomFileError(GivensError):
    """The room file breaks the contract."""


class DeckError(GivensError):
    """The deck file cannot be read, or no usable row is left."""


class CardError(GivensError):
    """A reference outline lies on something that is not an even, unclipped, neutral patch."""


class SurfaceError(GivensError):
    """No pixel of a surface outline can be used."""


class ReadingError(GivensError):
    """Values of an instrument that are incomplete, impossible, or can be read in two ways."""


class RequestError(GivensError):
    """What was asked for does not exist: a paint code, a role, a lamp name."""


class UnmeasuredError(RequestError):
    """What was asked for would rest on something that nobody measured."""


class StoreError(RequestError):
    """The app's store cannot be used at the moment; nobody who sends something to it can help that."""


class AwayError(StoreError):
    """The database does not answer at the moment: it may be back at any other."""


class AccessError(GivensError):
    """Wrong name or passphrase, too many tries, or a private link that is unknown, expired or revoked."""


class NotFoundError(GivensError):
    """No such room or photo, or not this person's: one error for both, so that nobody learns what others have."""


class ConflictError(GivensError):
    """What was to be saved is based on an older state; nothing was overwritten."""
