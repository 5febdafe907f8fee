"""Work that may crash, hang or fill the memory, done in another process that may be lost.

Not a fork: the server has threads, open connections and sockets, none of which a worker may get. Each worker has pipes
of its own, so that one that dies, at whatever moment, takes nothing with it but its own job. (The pools of the
standard library and of kept libraries share a queue and its locks between workers: one killed while it holds them
stops or fails the others.)
"""

from __future__ import annotations

import atexit
import os
import signal
import subprocess
import sys
from collections.abc import Callable
from threading import BoundedSemaphore, Condition, Event, Timer
from typing import BinaryIO, Literal, TypeVar, cast

from matcher.errors import GivensError
from matcher.workers.limits import Allowance
from matcher.workers.main import DONE, REFUSED, Job
from matcher.workers.wire import receive, send, unpacked

T = TypeVar("T")
U = TypeVar("U")

# Assumption: a small shop's machine. Two photos at once keep two processors busy, and memory within bounds.
_AT_ONCE = max(1, min(2, os.cpu_count() or 1))
# About what a worker takes to start: one that comes free within that time is sooner there than another.
_START_S = 0.3
# One thread a library: there are as many workers as are wanted, and each thread has a stack and a heap.
_THREADS = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}
# Memory in pages of 2 MB, where the C library is glibc and the system has them (Linux, transhuge.rst): a picture's
# memory is new to each job, and a page touched first costs as much whatever its size.
_LARGE_PAGES = "glibc.malloc.hugetlb=1"
_PIPE_BYTES = 1 << 20  # pipe(7): the most an unprivileged process may ask for

_gate = BoundedSemaphore(_AT_ONCE)
_idle: list[_Worker] = []
_busy: set[_Worker] = set()
_changed = Condition()  # guards the two above


class WorkerLostError(Exception):
    """The job took its worker with it, or none could be started; ``detail`` is a signal's name, or empty."""

    def __init__(self, reason: Literal["memory", "time", "crash", "start"], detail: str = "") -> None:
        super().__init__(reason, detail)
        self.reason, self.detail = reason, detail


def call(function: Callable[..., T], *arguments: object, allowance: Allowance) -> T:
    """Return ``function(*arguments)``, done in a worker; function, arguments and what is returned are pickled.

    Waits while as many calls as there may be are under way. Raises the GivensError that the function raises, and
    WorkerLostError where the job exceeds ``allowance`` or ends its process, or where none can be started.
    """
    return cast("T", _call((_folder(), allowance, function, arguments, None)))


def call_in_two(
    function: Callable[..., T],
    sequel: Callable[[T], U],
    *arguments: object,
    allowance: Allowance,
    begun: Callable[[], object],
    first: Callable[[T], object],
) -> U:
    """Return ``sequel(function(*arguments))``, after ``first`` was given what the function returned; ``begun`` is
    called when the worker has its job.

    The worker goes on while its first answer is put to use; both are pickled. Raises what :func:`call` does, before or
    after ``first`` was called.
    """
    return cast("U", _call((_folder(), allowance, function, arguments, sequel), begun, first))


def _call(job: Job, begun: Callable[[], object] | None = None, first: Callable[..., object] | None = None) -> object:
    with _gate:
        worker = _taken()
        kept = False
        try:
            kind, answer = worker.answer(job, begun, first)
            kept = kind in (DONE, REFUSED) and not worker.late.is_set()
        finally:
            if not kept:
                worker.end()
            with _changed:
                _busy.remove(worker)
                if kept:
                    _idle.append(worker)
                _changed.notify()
    if kind == REFUSED:
        raise cast("GivensError", answer)
    if kind != DONE:
        raise WorkerLostError("memory")
    return answer


def start(*modules: str) -> None:
    """Have a worker get ready, with ``modules`` imported, while the caller does something else."""
    with _changed:
        if not _idle and not _busy:
            _idle.append(_Worker(modules))


def end_idle() -> None:
    """End the workers that have nothing to do: each keeps some 40 MB, and another is started in 0.3 s."""
    with _changed:
        while _idle:
            _idle.pop().end()


def _taken() -> _Worker:
    with _changed:
        if _busy and not _idle:
            _changed.wait_for(lambda: _idle or not _busy, _START_S)
        worker = None
        while _idle and worker is None:
            worker = _idle.pop()
            if not worker.alive():
                worker.end()
                worker = None
        try:
            worker = worker or _Worker(())
        except OSError as error:  # no more processes, or no memory for one
            raise WorkerLostError("start") from error
        _busy.add(worker)
        return worker


def _folder() -> str:
    try:
        return os.getcwd()
    except FileNotFoundError:  # removed while we were in it
        return os.sep


class _Worker:
    """One process. ``late``: it was killed because its time was over."""

    def __init__(self, modules: tuple[str, ...]) -> None:
        self.late = Event()
        path = os.pathsep.join(entry for entry in sys.path if entry)
        # -P: what lies in the current folder, among somebody's photos, is never imported.
        self._process = subprocess.Popen(
            [sys.executable, "-P", "-m", "matcher.workers.main", *modules],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            env={**os.environ, **_THREADS, "GLIBC_TUNABLES": _tunables(), "PYTHONPATH": path},
        )
        self._jobs, self._answers = cast("BinaryIO", self._process.stdin), cast("BinaryIO", self._process.stdout)
        _widen(self._answers)

    def answer(
        self, job: Job, begun: Callable[[], object] | None, first: Callable[..., object] | None
    ) -> tuple[str, object]:
        """Return the last answer to the job, of two where there is a ``first`` to be given the other."""
        clock = Timer(job[1].seconds, self._time_out)
        clock.daemon = True
        clock.start()
        try:
            send(self._jobs, job)
            if begun is not None:
                begun()
            kind, answer = self._received()
            if kind == DONE and first is not None:
                first(answer)
                kind, answer = self._received()
            return kind, answer
        except (EOFError, OSError):
            raise self._lost() from None
        finally:
            clock.cancel()

    def _received(self) -> tuple[str, object]:
        return cast("tuple[str, object]", unpacked(receive(self._answers)))

    def alive(self) -> bool:
        return self._process.poll() is None

    def end(self) -> None:
        self._process.kill()
        self._process.wait()
        for pipe in (self._jobs, self._answers):
            try:
                pipe.close()
            except OSError:  # a job that was never read lies in the pipe still
                continue

    def _time_out(self) -> None:
        self.late.set()
        self._process.kill()

    def _lost(self) -> WorkerLostError:
        code = self._process.wait()
        if self.late.is_set() or code == -getattr(signal, "SIGXCPU", 0):
            return WorkerLostError("time")
        return WorkerLostError("crash", signal.Signals(-code).name if code < 0 else "")


def _tunables() -> str:
    """Return the settings of the C library's that this process got, with ours added."""
    return ":".join(filter(None, (os.environ.get("GLIBC_TUNABLES"), _LARGE_PAGES)))


def _widen(pipe: BinaryIO) -> None:
    """Let more through a pipe at a time, where the system has that: 9 MB cross in 3.5 ms instead of 5."""
    if sys.platform == "linux":
        import fcntl

        try:
            fcntl.fcntl(pipe, fcntl.F_SETPIPE_SZ, _PIPE_BYTES)
        except OSError:  # too many pipes of this user are wide already
            return


atexit.register(end_idle)
