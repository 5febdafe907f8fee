"""Write two results into one folder in turn, be killed at a random moment, look at the folder; many times over.

``python killed_while_writing.py FOLDER TIMES SEED ENOUGH SECONDS`` prints, as JSON, how often files of two results lay
there (``mixed``), how often a result.json without the rest of its set (``broken``), and how often the ``whole`` of one
or ``none``. It kills TIMES, and goes on until ENOUGH of the killed had ``finished`` a result that lay there whole and
ENOUGH were killed ``midway``, within a result; or until SECONDS are over. How soon that is depends on how busy the
machine is: a process that got no time to write anything leaves a whole folder as well, and shows nothing.
"""

from __future__ import annotations

import json
import os
import random
import signal
import sys
import time
from itertools import count
from pathlib import Path

from matcher.service.room_file import Answer, write

SOONEST, LATEST = 0.002, 0.03  # s; after every TIMES kills that were not enough the latest moment is later by as much
NAMES = {"A": {"result.json", "report.html", "preview-a.jpg"}, "B": {"result.json", "report.html", "preview-b.jpg"}}


def answer(run: str) -> Answer:
    result = {"format": "givens-result/1", "run": run, "photos": [{"file": f"{run.lower()}.jpg"}]}
    return Answer(result, json.dumps(result), {}, f"<p>{run}</p>", {f"preview-{run.lower()}.jpg": run.encode() * 1000})


def runs_in(folder: Path) -> dict[str, str]:
    """Return of each file of a result the run that wrote it."""
    found = {}
    for path in folder.iterdir():
        if path.is_file():
            text = path.read_text(encoding="ascii")
            found[path.name] = "A" if "A" in text else "B"
    return found


def result_in(folder: Path) -> tuple[int, int] | None:
    """Return what tells one result.json from the next, None where there is none."""
    try:
        found = (folder / "result.json").stat()
    except FileNotFoundError:
        return None
    return found.st_ino, found.st_mtime_ns


def write_for_ever(folder: Path) -> None:
    for number in count():
        write(answer("AB"[number % 2]), folder)


def main(folder: Path, times: int, seed: int, enough: int, seconds: float) -> None:
    rng = random.Random(seed)
    outcome = dict.fromkeys(("mixed", "result and page of two", "broken", "whole", "none", "finished", "midway"), 0)
    write(answer("A"), folder)
    over = time.monotonic() + seconds
    kills = 0
    while kills < times or (min(outcome["finished"], outcome["midway"]) < enough and time.monotonic() < over):
        before = result_in(folder)
        process = os.fork()
        if process == 0:
            try:
                write_for_ever(folder)
            finally:
                os._exit(1)
        time.sleep(rng.uniform(SOONEST, LATEST * (1 + kills // times)))
        os.kill(process, signal.SIGKILL)
        os.waitpid(process, 0)
        kills += 1
        outcome["midway"] += any(folder.glob(f".givens-{process}-*"))
        found = runs_in(folder)
        if len(set(found.values())) > 1:
            outcome["mixed"] += 1
            outcome["result and page of two"] += found.get("result.json", "") != found.get("report.html", "")
        elif "result.json" not in found:
            outcome["none"] += 1
        elif set(found) != NAMES[found["result.json"]]:
            outcome["broken"] += 1
        else:
            outcome["whole"] += 1
            outcome["finished"] += result_in(folder) != before
    outcome["kills"] = kills
    write(answer("B"), folder)
    outcome["left over"] = len(list(folder.iterdir())) - len(NAMES["B"])
    print(json.dumps(outcome))


if __name__ == "__main__":
    main(Path(sys.argv[1]), *(int(number) for number in sys.argv[2:6]))
