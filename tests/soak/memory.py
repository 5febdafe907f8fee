"""What a process and everything it started hold in memory; Linux only."""

from __future__ import annotations

import threading
from pathlib import Path


def tree_mb(pid: int) -> float:
    """Return the memory of a process and all below it, MB: pages that several share are divided among them (PSS)."""
    return sum(_pss_mb(one) for one in _tree(pid))


def _tree(pid: int) -> list[int]:
    found = [pid]
    for task in Path(f"/proc/{pid}/task").glob("*"):
        try:
            children = (task / "children").read_text().split()
        except OSError:
            continue
        for child in children:
            found += _tree(int(child))
    return found


def _pss_mb(pid: int) -> float:
    try:
        lines = Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines()
    except OSError:
        return 0.0  # it has ended
    return sum(float(line.split()[1]) for line in lines if line.startswith("Pss:")) / 1024


class Most:
    """The most memory a process and all below it take together, looked at every twentieth of a second."""

    def __init__(self, pid: int) -> None:
        self._pid, self._most, self._done = pid, 0.0, threading.Event()
        self._thread = threading.Thread(target=self._watch)
        self._thread.start()

    def _watch(self) -> None:
        while not self._done.wait(0.05):
            self._most = max(self._most, tree_mb(self._pid))

    def stop(self) -> float:
        """Return the most so far, MB, and look no more."""
        self._done.set()
        self._thread.join()
        return self._most
