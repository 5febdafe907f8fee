"""``givens serve`` as its own process on a folder of its own, for journeys and for the benchmark."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from tests.ui.browser import ROOT, free_port, wait_until_ready

_COMMAND = "import sys; sys.argv[0] = 'givens'; from matcher.cli.app import main; main()"


@dataclass(frozen=True, slots=True)
class Server:
    """A running server; ``folder`` is where it keeps rooms and photos."""

    address: str
    folder: Path
    process: subprocess.Popen[bytes]

    def log(self) -> str:
        """Return what the server has said so far."""
        return (self.folder.parent / "server.log").read_text(errors="replace")

    def peak_mb(self) -> float:
        """Return the peak resident memory so far, MB; Linux only."""
        status = Path(f"/proc/{self.process.pid}/status").read_text()
        line = next(line for line in status.splitlines() if line.startswith("VmHWM"))
        return float(line.split()[1]) / 1024


@contextmanager
def serve_givens(folder: Path) -> Iterator[Server]:
    """Run the server until the block ends."""
    port = free_port()
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "GIVENS_FOLDER": str(folder), "PYTHONUNBUFFERED": "1"}
    address = f"http://localhost:{port}"
    # A file: a pipe that nobody reads fills up and stops the server.
    with (folder.parent / "server.log").open("w+b") as log:
        process = subprocess.Popen(
            [sys.executable, "-c", _COMMAND, "serve", "--port", str(port)],
            cwd=folder.parent,
            env=environment,
            stdout=log,
            stderr=subprocess.STDOUT,
        )
        try:
            wait_until_ready(process, address, log)
            yield Server(address, folder, process)
        finally:
            process.terminate()
            try:
                process.wait(10)
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait()
