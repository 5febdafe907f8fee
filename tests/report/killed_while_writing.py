"""Write two results into one folder in turn, be killed at a random moment, look at the folder; many times over.

``python killed_while_writing.py FOLDER TIMES SEED`` prints, as JSON, how often files of two results lay there
(``mixed``), how often a result.json without the rest of its set (``broken``), and how often the whole of one.
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


def write_for_ever(folder: Path) -> None:
    for number in count():
        write(answer("AB"[number % 2]), folder)


def main(folder: Path, times: int, seed: int) -> None:
    rng = random.Random(seed)
    outcome = {"mixed": 0, "result and page of two": 0, "broken": 0, "whole": 0, "none": 0}
    write(answer("A"), folder)
    for _ in range(times):
        process = os.fork()
        if process == 0:
            try:
                write_for_ever(folder)
            finally:
                os._exit(1)
        time.sleep(rng.uniform(0.002, 0.03))
        os.kill(process, signal.SIGKILL)
        os.waitpid(process, 0)
        found = runs_in(folder)
        if len(set(found.values())) > 1:
            outcome["mixed"] += 1
            outcome["result and page of two"] += found.get("result.json", "") != found.get("report.html", "")
        elif "result.json" not in found:
            outcome["none"] += 1
        else:
            outcome["whole" if set(found) == NAMES[found["result.json"]] else "broken"] += 1
    write(answer("B"), folder)
    outcome["left over"] = len(list(folder.iterdir())) - len(NAMES["B"])
    print(json.dumps(outcome))


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]))
