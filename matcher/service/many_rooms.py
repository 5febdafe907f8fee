"""Rooms ranked many at once on Dask: processes of this machine, or the workers of a cluster.

On this machine no port is opened: tasks and answers go through pipes of our own processes. A cluster's workers have the
same program and are trusted as such; photos, names and people never get there.
"""

from __future__ import annotations

import importlib.util
import os
import re
import signal
import socket
from collections.abc import Generator, Sequence
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from contextlib import ExitStack, closing
from functools import partial
from multiprocessing import get_context
from queue import SimpleQueue
from typing import TYPE_CHECKING, Any, Self

from matcher.errors import Problem, RequestError
from matcher.service.edition_room import RoomTask, judge_rooms, know

if TYPE_CHECKING:
    from matcher.description.edition import Edition
    from matcher.paints.deck import Deck

Json = dict[str, Any]
Answers = Sequence[tuple[str, Json]]
# Rooms at a time: what a process that is killed has to do again, a second of work.
BATCH = 20
_FEWEST = 2  # processes; one is this one
_ADDRESS = re.compile(r"(?:(?:tcp|tls)://)?(?P<host>\[[0-9a-fA-F:]+\]|[^\s/:\[\]]+):(?P<port>[0-9]{1,5})")
_LAST_PORT = 65535
# The frame of a message between Dask's processes (distributed.comm.tcp); greetings take some hundred bytes.
_LENGTH_BYTES, _MOST_GREETING = 8, 1 << 16
_CONNECT_S = 10.0  # assumption: a scheduler that is there answers within a second


class Crew:
    """Who ranks rooms against the ``old`` and the ``new`` deck: a Dask cluster whose ``scheduler`` is named, or else
    ``processes`` of this machine, one a processor if left out. To be entered; what it started ends with it.
    """

    def __init__(self, old: Deck, new: Deck, *, scheduler: str | None = None, processes: int | None = None) -> None:
        self._decks = old, new
        self._scheduler = scheduler
        self._processes = processes or os.cpu_count() or 1
        self._pool: ProcessPoolExecutor | None = None
        self._ending = ExitStack()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *raised: object) -> None:
        self._ending.close()

    def get_ready(self, rooms: int) -> None:
        """Start the processes that about so many ``rooms`` are worth: they come up while the rooms are read."""
        count = min(self._processes, -(-rooms // BATCH))
        if self._scheduler is not None or self._pool is not None or count < _FEWEST:
            return
        # Not a fork: the app has threads and open connections.
        pool = ProcessPoolExecutor(count, mp_context=get_context("spawn"), initializer=_prepare, initargs=self._decks)
        self._ending.callback(pool.shutdown, cancel_futures=True)
        self._pool = pool
        for _ in range(count):
            pool.submit(int)  # the pool starts a process only for work

    def judged(self, tasks: Sequence[RoomTask], edition: Edition) -> Generator[Answers, None, None]:
        """Yield what :func:`matcher.service.edition_room.judge_rooms` says of some rooms at a time, in any order.

        Raises RequestError for a cluster that cannot be used.
        """
        batches = [tasks[start : start + BATCH] for start in range(0, len(tasks), BATCH)]
        if self._scheduler is not None and batches:
            return _on_cluster(batches, *self._decks, edition, self._scheduler)
        self.get_ready(len(tasks))
        if self._pool is None or not batches:
            return _here(batches, *self._decks, edition)
        return _in_processes(batches, edition, self._pool)


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
        place = found["host"].strip("[]"), int(found["port"])
        with closing(socket.create_connection(place, timeout=_CONNECT_S)) as connection:
            is_one = scheduler.startswith("tls:") or _speaks_first(connection)
    except OSError as error:
        raise _absent(scheduler, error) from error
    if not is_one:
        raise _absent(scheduler, "something else is there")


def _speaks_first(connection: socket.socket) -> bool:
    """Tell whether what was called up begins as a Dask scheduler does: with the length of a short message, 8 bytes.

    Dask's own client would wait for a word from whatever is there, a web server or a database, and for ever.
    """
    said = b""
    try:
        while len(said) < _LENGTH_BYTES and (more := connection.recv(_LENGTH_BYTES - len(said))):
            said += more
    except TimeoutError:
        return False
    return len(said) == _LENGTH_BYTES and int.from_bytes(said, "little") < _MOST_GREETING


def _here(
    batches: Sequence[Sequence[RoomTask]], old: Deck, new: Deck, edition: Edition
) -> Generator[Answers, None, None]:
    for batch in batches:
        yield judge_rooms(batch, old, new, edition)


def _in_processes(
    batches: Sequence[Sequence[RoomTask]], edition: Edition, pool: ProcessPoolExecutor
) -> Generator[Answers, None, None]:
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
            dask.delayed(partial(_judge_prepared, batch, edition), pure=False, traverse=False)(dask_key_name=name)
            for name, batch in zip(names, batches, strict=True)
        ]
        with Callback(posttask=answered):
            # One batch at a time each: by sixes, as Dask has it, one process would wait for the other's last ones, and
            # six were lost with a process.
            dask.compute(*work, scheduler="processes", pool=pool, chunksize=1, optimize_graph=False)

    # A thread, since Dask hands back everything at the end, and what is done is to be kept at once.
    with ExitStack() as ending:
        thread = ending.enter_context(ThreadPoolExecutor(1))
        ending.callback(pool.shutdown, cancel_futures=True)
        computing = thread.submit(compute)
        computing.add_done_callback(lambda _: answers.put(None))
        while (found := answers.get()) is not None:
            yield found
        computing.result()


# Both decks in a process of a crew: they come once and not with every batch.
_decks: list[Deck] = []


def _prepare(*decks: Deck) -> None:
    # A terminal tells every process of Ctrl-C: the one that was started ends the others.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _decks[:] = decks
    for deck in decks:
        know(deck)


def _judge_prepared(batch: Sequence[RoomTask], edition: Edition) -> Answers:
    old, new = _decks
    return judge_rooms(batch, old, new, edition)


def _on_cluster(
    batches: Sequence[Sequence[RoomTask]], old: Deck, new: Deck, edition: Edition, scheduler: str
) -> Generator[Answers, None, None]:
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
    from distributed.security import Security

    from matcher.service.program_version import program_version

    if scheduler.startswith("tls:") and Security().get_connection_args("client").get("ssl_context") is None:
        what = "is asked for by TLS, and Dask's settings here name no certificate"
        raise _unusable(scheduler, what, "Set distributed.comm.tls in Dask's configuration.")
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


def _absent(scheduler: str, error: Exception | str) -> RequestError:
    return RequestError(
        Problem(
            "--scheduler",
            f"no Dask scheduler answers at {scheduler} ({error})",
            "Start one with: dask scheduler. Without --scheduler this machine's processors do the work.",
        )
    )


def _unusable(scheduler: str, what: str, remedy: str) -> RequestError:
    return RequestError(Problem("--scheduler", f"the cluster at {scheduler} {what}", remedy))
