"""``givens serve`` as its own process on a folder of its own, for journeys and for the benchmark."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from matcher.service.desk import Desk, open_desk
from matcher.settings import Settings
from tests.ui.browser import free_port, running

_COMMAND = "import sys; sys.argv[0] = 'givens'; from matcher.cli.app import main; main()"


@dataclass(frozen=True, slots=True)
class Server:
    """A running server; ``folder`` is where it keeps rooms and photos."""

    address: str
    folder: Path
    process: subprocess.Popen[bytes]
    said: Path
    database_url: str | None = None
    photo_address: str | None = None

    def log(self) -> str:
        """Return what the server has said so far."""
        return self.said.read_text(errors="replace")

    def peak_mb(self) -> float:
        """Return the peak resident memory so far, MB; Linux only."""
        status = Path(f"/proc/{self.process.pid}/status").read_text()
        line = next(line for line in status.splitlines() if line.startswith("VmHWM"))
        return float(line.split()[1]) / 1024


@contextmanager
def serve_givens(
    folder: Path,
    *,
    port: int | None = None,
    database_url: str | None = None,
    photo_address: str | None = None,
    called: str = "server",
) -> Iterator[Server]:
    """Run the server until the block ends; what it says goes to a file beside the folder, by what it is ``called``."""
    port = port or free_port()
    address = f"http://localhost:{port}"
    command = [sys.executable, "-c", _COMMAND, "serve", "--port", str(port)]
    environment = {"GIVENS_FOLDER": str(folder), "PYTHONUNBUFFERED": "1"}
    if database_url is not None:
        environment["GIVENS_DATABASE_URL"] = database_url
    if photo_address is not None:
        environment["GIVENS_PHOTO_ADDRESS"] = photo_address
    said = folder.parent / f"{called}.log"
    with (
        said.open("w+b") as log,
        running(command, address, log, cwd=folder.parent, environment=environment) as process,
    ):
        yield Server(address, folder, process, said, database_url, photo_address)


def beside(server: Server) -> Desk:
    """Return the desk of the same store, to look at what the server kept and to do what somebody else does."""
    shared = {"database_url": server.database_url, "photo_address": server.photo_address}
    return open_desk(Settings(folder=server.folder, **shared))
