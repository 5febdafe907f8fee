"""A worker: reads jobs from standard input, answers on standard output, and ends with its parent."""

from __future__ import annotations

import contextlib
import importlib
import os
import signal
import sys
import threading
import warnings
from collections.abc import Callable, Sequence
from queue import SimpleQueue
from typing import Any, BinaryIO, cast

from matcher.errors import GivensError
from matcher.workers.limits import Allowance, hold_to, leave_no_core
from matcher.workers.wire import receive, send, unpacked

DONE, REFUSED, OUT_OF_MEMORY = "done", "refused", "out of memory"
Sequel = Callable[[Any], object]
Job = tuple[str, Allowance, Callable[..., object], tuple[object, ...], Sequel | None]


def main(modules: list[str]) -> None:
    """Import ``modules``, then work until standard input ends."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl+C is for the parent, whose end ends this too
    leave_no_core()
    jobs, answers = os.fdopen(os.dup(0), "rb"), os.fdopen(os.dup(1), "wb")
    # Decoders chatter on both; the parent says the one thing there is to say.
    silence = os.open(os.devnull, os.O_RDWR)
    os.dup2(silence, 0)
    os.dup2(silence, 1)
    for module in modules:
        importlib.import_module(module)
    os.dup2(silence, 2)
    waiting: SimpleQueue[Sequence[memoryview]] = SimpleQueue()
    threading.Thread(target=_listen, args=(jobs, waiting), daemon=True).start()
    while True:
        _answer(cast("Job", unpacked(waiting.get())), answers)


def _listen(jobs: BinaryIO, waiting: SimpleQueue[Sequence[memoryview]]) -> None:
    """Hand on the jobs as they come. A thread of its own: it ends the process with the parent, also amid a job."""
    try:
        while True:
            waiting.put(receive(jobs))
    except (EOFError, OSError):
        os._exit(0)


def _answer(job: Job, answers: BinaryIO) -> None:
    """Do one job and send what comes of it, and what its sequel makes of that, once it is on its way."""
    folder, allowance, function, arguments, sequel = job
    with contextlib.suppress(OSError):
        os.chdir(folder)  # relative names mean what they mean to the parent
    hold_to(allowance)
    kind, answer = _do(function, *arguments)
    _send(answers, kind, answer)
    if kind == DONE and sequel is not None:
        _send(answers, *_do(sequel, answer))


def _send(answers: BinaryIO, kind: str, answer: object) -> None:
    send(answers, (kind, answer))
    if kind == OUT_OF_MEMORY:
        os._exit(0)  # what a decoder leaves behind then is anybody's guess


def _do(function: Callable[..., object], *arguments: object) -> tuple[str, object]:
    """Return what comes of it. Any other error than these ends the worker, as a crash of a decoder does."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return DONE, function(*arguments)
    except GivensError as error:
        return REFUSED, error
    except MemoryError:
        return OUT_OF_MEMORY, None


if __name__ == "__main__":
    main(sys.argv[1:])
