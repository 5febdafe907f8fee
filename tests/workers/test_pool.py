"""Jobs in other processes: answers, refusals, and what is lost when a worker dies, hangs or fills the memory."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
import pytest

from matcher.errors import PhotoError
from matcher.workers.limits import Allowance
from matcher.workers.pool import WorkerLostError, call, call_in_two, end_idle
from tests.workers import jobs

ENOUGH = Allowance(memory=100_000_000, seconds=20)


def test_answers_and_arrays_come_back() -> None:
    assert call(jobs.doubled, 21, allowance=ENOUGH) == 42
    np.testing.assert_array_equal(call(jobs.picture, 1500, allowance=ENOUGH), np.full((1500, 1500, 3), 7, np.uint8))


def test_refusals_come_back_whole() -> None:
    with pytest.raises(PhotoError) as caught:
        call(jobs.refused, "a.jpg", allowance=ENOUGH)
    assert [(p.where, p.what, p.remedy) for p in caught.value.problems] == [
        ("a.jpg", "is grey", "Use another."),
        ("a.jpg", "is small", ""),
    ]


def test_the_first_of_two_answers_is_put_to_use_while_the_second_is_worked_on() -> None:
    worker = call(os.getpid, allowance=ENOUGH)
    told: list[tuple[str, float]] = []

    def note(what: object) -> None:
        told.append((str(what), time.monotonic()))

    slept = call_in_two(float, jobs.slept, "0.5", allowance=ENOUGH, begun=lambda: note("begun"), first=note)
    note(slept)
    assert [what for what, _ in told] == ["begun", "0.5", "0.5"]
    assert told[2][1] - told[1][1] > 0.4
    assert call(os.getpid, allowance=ENOUGH) == worker


@pytest.mark.parametrize(
    ("sequel", "allowance", "reason"),
    [
        (jobs.filled, ENOUGH, "memory"),
        (jobs.busy, Allowance(memory=ENOUGH.memory, seconds=0.5), "time"),
        (jobs.dead, ENOUGH, "crash"),
    ],
)
def test_the_second_answer_is_under_the_same_limits(
    sequel: Callable[[int], object], allowance: Allowance, reason: str
) -> None:
    told: list[int] = []
    with pytest.raises(WorkerLostError) as caught:
        call_in_two(jobs.doubled, sequel, 60_000_000, allowance=allowance, begun=lambda: None, first=told.append)
    assert (caught.value.reason, told) == (reason, [120_000_000])
    assert call(jobs.doubled, 21, allowance=ENOUGH) == 42


def test_what_refuses_in_the_first_place_has_no_second() -> None:
    told: list[None] = []
    with pytest.raises(PhotoError):
        call_in_two(jobs.refused, jobs.slept, "a.jpg", allowance=ENOUGH, begun=lambda: None, first=told.append)
    assert not told
    assert call(jobs.doubled, 21, allowance=ENOUGH) == 42


def test_relative_names_mean_what_they_mean_here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    folder, worker = call(jobs.where, allowance=ENOUGH)
    assert folder == str(tmp_path)
    assert worker != os.getpid()


def test_a_worker_is_kept_until_it_is_lost() -> None:
    first, again = (call(jobs.where, allowance=ENOUGH)[1] for _ in range(2))
    assert first == again
    with pytest.raises(WorkerLostError):
        call(jobs.killed, 0.0, signal.SIGSEGV, allowance=ENOUGH)
    assert call(jobs.where, allowance=ENOUGH)[1] != first


@pytest.mark.parametrize("number", [signal.SIGSEGV, signal.SIGABRT, signal.SIGKILL])
def test_a_crash_loses_its_own_job_only(number: signal.Signals) -> None:
    with ThreadPoolExecutor(2) as threads:
        neighbour = threads.submit(call, jobs.slept, 0.8, allowance=ENOUGH)
        lost = threads.submit(call, jobs.killed, 0.2, number, allowance=ENOUGH)
        with pytest.raises(WorkerLostError) as caught:
            lost.result()
        assert (caught.value.reason, caught.value.detail) == ("crash", number.name)
        assert neighbour.result() == 0.8


def test_a_mistake_in_a_job_is_a_crash_of_its_worker() -> None:
    with pytest.raises(WorkerLostError) as caught:
        call(jobs.wrong, allowance=ENOUGH)
    assert caught.value.reason == "crash"


def test_time_is_limited_by_the_clock() -> None:
    start = time.monotonic()
    with pytest.raises(WorkerLostError) as caught:
        call(jobs.slept, 30.0, allowance=Allowance(memory=ENOUGH.memory, seconds=0.5))
    assert caught.value.reason == "time"
    assert time.monotonic() - start < 5


@pytest.mark.skipif(sys.platform != "linux", reason="memory is limited on Linux only")
def test_memory_is_limited_above_what_the_worker_has() -> None:
    assert call(jobs.filled, 80_000_000, allowance=ENOUGH) == 80_000_000
    with pytest.raises(WorkerLostError) as caught:
        call(jobs.filled, 120_000_000, allowance=ENOUGH)
    assert caught.value.reason == "memory"
    # The limit is each job's own, not what the first one left.
    assert call(jobs.filled, 120_000_000, allowance=Allowance(memory=150_000_000, seconds=20)) == 120_000_000


@pytest.mark.skipif(not Path("/proc").exists(), reason="looks into /proc")
def test_a_worker_inherits_no_socket_and_no_file(tmp_path: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as server, (tmp_path / "open").open("w") as file:
        # As inheritable as they can be made: a worker started now gets none all the same.
        os.set_inheritable(server.fileno(), True)
        os.set_inheritable(file.fileno(), True)
        with pytest.raises(WorkerLostError):
            call(jobs.killed, 0.0, signal.SIGKILL, allowance=ENOUGH)
        opened = call(jobs.descriptors, allowance=ENOUGH)
    assert not [name for name in opened if name.startswith("socket:") or name == file.name]


_PARENT = """
import os, threading, time
from matcher.workers.limits import Allowance
from matcher.workers.pool import call
from tests.workers import jobs
allowance = Allowance(memory=100_000_000, seconds=60)
print(call(jobs.where, allowance=allowance)[1], flush=True)
threading.Thread(target=call, args=(jobs.{job}, 60.0), kwargs=dict(allowance=allowance), daemon=True).start()
time.sleep(60)
"""


@pytest.mark.parametrize("job", ["slept", "busy"])
def test_a_worker_ends_with_its_parent_even_amid_a_job(job: str) -> None:
    root = Path(__file__).parents[2]
    command = [sys.executable, "-c", _PARENT.format(job=job)]
    with subprocess.Popen(command, cwd=root, stdout=subprocess.PIPE, text=True) as parent:
        assert parent.stdout is not None
        worker = int(parent.stdout.readline())
        time.sleep(0.3)  # until the job is under way
        os.kill(worker, 0)
        parent.kill()
    for _ in range(50):
        if not _runs(worker):
            return
        time.sleep(0.1)
    pytest.fail("the worker is there still")


def _runs(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    # A process nobody waits for stays listed, as a zombie (proc(5)), where the first process of the machine is no init.
    status = Path(f"/proc/{pid}/stat")
    return not status.exists() or status.read_text().rpartition(")")[2].split()[0] != "Z"


def test_idle_workers_end_and_the_next_job_starts_another() -> None:
    first = call(os.getpid, allowance=ENOUGH)
    end_idle()
    with pytest.raises(ProcessLookupError):
        os.kill(first, 0)
    assert call(os.getpid, allowance=ENOUGH) != first
