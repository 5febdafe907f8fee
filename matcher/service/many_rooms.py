"""Rooms ranked many at once on Dask: processes of this machine, or the workers of a cluster.

On this machine no port is opened: tasks and answers go through pipes of our own processes. A cluster's workers have the
same program and are trusted as such; photos, names and people never get there.
"""

from __future__ import annotations

import importlib.util
import os
import re
import socket
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from contextlib import ExitStack, closing
from functools import partial
from multiprocessing import get_context
from queue import SimpleQueue
from typing import TYPE_CHECKING, Any

from matcher.errors import Problem, RequestError
from matcher.service.edition_room import RoomTask, judge_rooms

if TYPE_CHECKING:
    from matcher.description.edition import Edition
    from matcher.paints.deck import Deck

Json = dict[str, Any]
Answers = Sequence[tuple[str, Json]]
# Rooms at a time: what a process that is killed has to do again, a second of work.
BATCH = 20
_ADDRESS = re.compile(r"(?:(?:tcp|tls)://)?(?P<host>\[[0-9a-fA-F:]+\]|[^\s/:\[\]]+):(?P<port>[0-9]{1,5})")
_LAST_PORT = 65535
_CONNECT_S = 10.0  # assumption: a scheduler that is there answers within a second


def judged(
    tasks: Sequence[RoomTask],
    old: Deck,
    new: Deck,
    edition: Edition,
    *,
    scheduler: str | None = None,
    processes: int | None = None,
) -> Iterator[Answers]:
    """Yield what :func:`matcher.service.edition_room.judge_rooms` says of some rooms at a time, in any order.

    ``scheduler`` is the address of a Dask cluster; without one ``processes`` of this machine do it, one a processor if
    left out. Raises RequestError for a cluster that cannot be used.
    """
    batches = [tasks[start : start + BATCH] for start in range(0, len(tasks), BATCH)]
    if scheduler is not None:
        return _on_cluster(batches, old, new, edition, scheduler)
    count = min(processes or os.cpu_count() or 1, len(batches))
    if count < 2:
        return _here(batches, old, new, edition)
    return _in_processes(batches, old, new, edition, count)


def check_scheduler(scheduler: str) -> None:
    """Raise RequestError where nothing answers at the address of a cluster, or it is no address."""
    found = _ADDRESS.fullmatch(scheduler)
    if found is None or int(found["port"]) > _LAST_PORT:
        raise RequestError(
            Problem("--scheduler", f"{scheduler!r} is not the address of a scheduler", "Write it as tcp://host:8786.")
        )
    if importlib.util.find_spec("distributed") is None:
        raise RequestError(
            Problem("--scheduler", "a cluster needs a library that is missing here", "pip install 'givens[cluster]'")
        )
    try:
        socket.create_connection((found["host"].strip("[]"), int(found["port"])), timeout=_CONNECT_S).close()
    except OSError as error:
        raise _absent(scheduler, error) from error


def _here(batches: Sequence[Sequence[RoomTask]], old: Deck, new: Deck, edition: Edition) -> Iterator[Answers]:
    for batch in batches:
        yield judge_rooms(batch, old, new, edition)


def _in_processes(
    batches: Sequence[Sequence[RoomTask]], old: Deck, new: Deck, edition: Edition, count: int
) -> Iterator[Answers]:
    import dask
    from dask.callbacks import Callback

    answers: SimpleQueue[Answers | None] = SimpleQueue()
    names = [f"rooms-{place}" for place in range(len(batches))]

    def answered(key: str, value: Answers, *rest: object) -> None:
        if key in names:
            answers.put(value)

    def compute() -> None:
        # Closed over: arguments would be gone through in search of more work.
        work = [
            dask.delayed(partial(judge_rooms, batch, old, new, edition), pure=False, traverse=False)(dask_key_name=name)
            for name, batch in zip(names, batches, strict=True)
        ]
        with Callback(posttask=answered):
            dask.compute(*work, scheduler="processes", pool=pool, num_workers=count, optimize_graph=False)

    # Not a fork: the app has threads and open connections. A thread, since Dask hands back everything at the end, and
    # what is done is to be kept at once.
    with ExitStack() as ending:
        pool = ending.enter_context(ProcessPoolExecutor(count, mp_context=get_context("spawn")))
        thread = ending.enter_context(ThreadPoolExecutor(1))
        ending.callback(pool.shutdown, wait=False, cancel_futures=True)
        computing = thread.submit(compute)
        computing.add_done_callback(lambda _: answers.put(None))
        while (found := answers.get()) is not None:
            yield found
        computing.result()
        pool.shutdown()


def _on_cluster(
    batches: Sequence[Sequence[RoomTask]], old: Deck, new: Deck, edition: Edition, scheduler: str
) -> Iterator[Answers]:
    with closing(cluster_of(scheduler)) as client:
        from distributed import CancelledError, KilledWorker, as_completed

        try:
            shared = client.scatter([old, new, edition], broadcast=True, hash=False)
            futures = [client.submit(judge_rooms, list(batch), *shared, pure=False) for batch in batches]
            for future in as_completed(futures, loop=client.loop):
                yield future.result()
        except (CancelledError, KilledWorker, OSError, TimeoutError) as error:
            what = f"was lost while rooms were ranked ({error})"
            raise _unusable(scheduler, what, "What was ranked is kept; the same command goes on from there.") from error


def cluster_of(scheduler: str) -> Any:
    """Return a client of the cluster at an address, to be closed; raises RequestError where it cannot be used."""
    check_scheduler(scheduler)
    from distributed import Client

    from matcher.service.program_version import program_version

    try:
        client = Client(scheduler, timeout=_CONNECT_S, set_as_default=False)
    except (OSError, ValueError, TimeoutError) as error:
        raise _absent(scheduler, error) from error
    with ExitStack() as when_refused:
        when_refused.callback(client.close)
        if not client.scheduler_info()["workers"]:
            raise _unusable(scheduler, "has no worker", "Start one with: dask worker ADDRESS")
        others = [worker for worker, version in client.run(program_version).items() if version != program_version()]
        if others:
            what = f"has workers with another Givens ({', '.join(sorted(others))})"
            raise _unusable(scheduler, what, "Install this version there.")
        when_refused.pop_all()
    return client


def _absent(scheduler: str, error: Exception) -> RequestError:
    return RequestError(
        Problem(
            "--scheduler",
            f"no Dask scheduler answers at {scheduler} ({error})",
            "Start one with: dask scheduler. Without --scheduler this machine's processors do the work.",
        )
    )


def _unusable(scheduler: str, what: str, remedy: str) -> RequestError:
    return RequestError(Problem("--scheduler", f"the cluster at {scheduler} {what}", remedy))
