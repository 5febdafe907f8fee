"""Every room ranked against a new edition: one run at a time for the whole store, whoever does it.

For a page it is done in the background, in a process of its own. Pages stay quick, since nothing of it runs in the
server's process, and what it took of memory goes with it. It ends with the server that began it, after the rooms it has
in hand; what was ranked is kept, and any server may go on. The command line ranks by itself, holding the run meanwhile.
"""

from __future__ import annotations

import json
import os
import secrets
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import UTC
from threading import Event, Lock, Thread
from typing import TYPE_CHECKING, BinaryIO, Literal, cast

if TYPE_CHECKING:
    from matcher.errors import ConflictError
    from matcher.service.desk import Desk
    from matcher.store.edition_runs import EditionRun

Progress = Callable[[int, int, str], None]

BEAT_S = 1.0
_ORPHANED = "the server that began it was ended"
# Assumption: householders' and consultants' pages come first on a machine that does both.
_NICENESS = 10


class _StoppedError(Exception):
    """Somebody asked it to stop, or another one does the run."""


def begin(
    desk: Desk, old: str, new: str, *, by: str = "", prepare: Callable[[], None] = lambda: None
) -> Literal["begun", "under way", "another"]:
    """Begin to rank every room against the step from one kept deck to another (SHA-256), or go on with it; returns at
    once. ``prepare`` is called before, once nobody else can begin.

    While a run is under way, here or on any other server, nothing is begun: it is the same, or ``another``.
    """
    from matcher.errors import GivensError, Problem, RequestError
    from matcher.service.process_mark import is_gone
    from matcher.store import edition_runs

    holder = secrets.token_hex(16)
    run = edition_runs.begin_run(desk.store, old, new, holder=holder, by=by, gone=is_gone)
    if run is not None:
        return "under way" if (run.old, run.new) == (old, new) else "another"
    try:
        prepare()
        _start(desk, {"holder": holder, "old": old, "new": new})
    except GivensError as error:
        edition_runs.end_run(desk.store, holder, problem="; ".join(str(each) for each in error.problems))
        raise
    except OSError as error:  # no more processes, or no memory for one
        reason = error.strerror or str(error)
        edition_runs.end_run(desk.store, holder, problem=reason)
        raise RequestError(Problem("ranking", f"it cannot be begun ({reason})", "Try again in a while.")) from error
    return "begun"


def _start(desk: Desk, order: dict[str, str]) -> subprocess.Popen[bytes]:
    path = os.pathsep.join(entry for entry in sys.path if entry)
    process = subprocess.Popen(
        # -P: what lies in the current folder is never imported.
        [sys.executable, "-P", "-m", "matcher.service.edition_run"],
        stdin=subprocess.PIPE,
        stdout=subprocess.DEVNULL,
        env={**os.environ, "PYTHONPATH": path},
    )
    stdin = cast("BinaryIO", process.stdin)
    settings = desk.settings.model_dump(mode="json")
    with suppress(OSError):  # it ended already: its silence tells
        stdin.write(json.dumps({**order, "settings": settings}).encode() + b"\n")
        stdin.flush()
    # The pipe stays open as long as this process lives, whose end ends the other.
    Thread(target=_wait, args=(process, stdin), name="edition-run", daemon=True).start()
    return process


def _wait(process: subprocess.Popen[bytes], stdin: BinaryIO) -> None:
    process.wait()
    with suppress(OSError):
        stdin.close()


class _Beat:
    """Tells the store every second that somebody is there and how far; ``stop`` is set where it is to end, and
    ``orphaned`` where whoever began it is gone.
    """

    def __init__(self, desk: Desk, holder: str) -> None:
        self.stop, self.orphaned = Event(), Event()
        self._desk, self._holder = desk, holder
        self._lock, self._at = Lock(), (0, 0, "")

    def progress(self, done: int, of: int, step: str) -> None:
        with self._lock:
            self._at = (done, of, step)
        if self.stop.is_set():
            raise _StoppedError

    def tell(self) -> None:
        from matcher.store.edition_runs import go_on

        with self._lock:
            at = self._at
        if not go_on(self._desk.store, self._holder, *at):
            self.stop.set()


@contextmanager
def held(desk: Desk, old: str, new: str, *, by: str, where: str, progress: Progress) -> Iterator[Progress]:
    """Hold the run while the caller ranks, and give what it calls with how far it is; ``where`` stands for the new
    edition in messages.

    Raises ConflictError while somebody else does a run, and where the run was stopped or taken over on the way.
    """
    from matcher.errors import ConflictError, GivensError, Problem
    from matcher.service.process_mark import is_gone, mark
    from matcher.store import edition_runs

    holder = mark()
    # Who was killed and gives the command again does not have to wait until its silence tells.
    run = edition_runs.begin_run(desk.store, old, new, holder=holder, by=by, gone=is_gone)
    if run is not None:
        remedy = "Wait until that is done, or stop it on the page New edition; then give the command again."
        raise another_runs(desk, where, run, remedy, same=(run.old, run.new) == (old, new))
    problem = ""
    with _told(desk, holder) as beat:

        def say(done: int, of: int, step: str) -> None:
            beat.progress(done, of, step)
            progress(done, of, step)

        try:
            yield say
        except _StoppedError:
            how = (
                "stopped on the page New edition"
                if edition_runs.is_held(desk.store, holder)
                else "taken over by somebody else, as nothing was heard of it"
            )
            remedy = "What was ranked is kept; the same command goes on from there."
            raise ConflictError(Problem(where, f"ranking the rooms was {how}", remedy)) from None
        except GivensError as error:
            problem = "; ".join(str(each) for each in error.problems)
            raise
        finally:
            with suppress(GivensError):  # a store that went away says so itself; silence tells the others
                beat.tell()
                edition_runs.end_run(desk.store, holder, problem=problem)


def another_runs(desk: Desk, where: str, run: EditionRun, remedy: str, *, same: bool = False) -> ConflictError:
    """Return what to say where somebody else does a run: what, who, since when and how far."""
    from matcher.errors import ConflictError, NotFoundError, Problem
    from matcher.store.decks import kept_file

    which = "this edition" if same else "another edition"
    by = f" by {run.by}" if run.by else ""
    far = f", {run.done:,} of {run.of:,} rooms" if run.of else ""
    try:
        name = f"{kept_file(desk.store, run.new)}, "
    except NotFoundError:
        name = ""
    since = f"{run.begun.astimezone(UTC):%d %b %Y, %H:%M} UTC"
    what = f"{which} is being looked at just now ({name}begun{by} on {since}{far})"
    return ConflictError(Problem(where, what, remedy))


@contextmanager
def _told(desk: Desk, holder: str) -> Iterator[_Beat]:
    """Tell the store again and again that somebody is there."""
    from matcher.errors import StoreError
    from matcher.service.heartbeat import beating

    beat = _Beat(desk, holder)
    # While the store cannot be written, what is ranked cannot be kept either.
    with suppress(StoreError):
        beat.tell()
    with beating(beat.tell, BEAT_S):
        yield beat


def work(desk: Desk, holder: str, old: str, new: str, *, parent: BinaryIO | None = None) -> None:
    """Do a run that ``holder`` has, and end it; it stops when ``parent`` says no more."""
    from matcher.errors import GivensError, StoreError
    from matcher.service.deck_in_use import kept
    from matcher.service.edition import update_between
    from matcher.store.edition_runs import end_run

    problem = ""
    with _told(desk, holder) as beat:
        if parent is not None:
            Thread(target=_listen, args=(parent, beat), daemon=True).start()
        try:
            update_between(desk, kept(desk, old), kept(desk, new), progress=beat.progress)
        except _StoppedError:
            problem = _ORPHANED if beat.orphaned.is_set() else ""
        except GivensError as error:
            problem = "; ".join(str(each) for each in error.problems)
    # The last word, so that a bar that fills is seen to be full.
    with suppress(StoreError):
        beat.tell()
    end_run(desk.store, holder, problem=problem)


def _listen(parent: BinaryIO, beat: _Beat) -> None:
    """Nothing is said after the order; what ends is the pipe, with whoever holds its other end."""
    parent.read()
    beat.orphaned.set()
    beat.stop.set()


def main() -> None:
    """Do the run that standard input tells of."""
    import signal

    from matcher.service.desk import open_desk
    from matcher.settings import Settings

    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl+C is for the parent, whose end ends this too
    if hasattr(os, "nice"):
        os.nice(_NICENESS)
    parent = os.fdopen(os.dup(0), "rb")
    order = json.loads(parent.readline())
    # The processes that rank get no part of the pipe.
    silence = os.open(os.devnull, os.O_RDWR)
    os.dup2(silence, 0)
    desk = open_desk(Settings(**order["settings"]))
    try:
        work(desk, order["holder"], order["old"], order["new"], parent=parent)
    finally:
        desk.store.close()


if __name__ == "__main__":
    main()
