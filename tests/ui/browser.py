"""What browser tests share: a server for an app on a free port, and a headless Chromium.

Import the fixtures in a conftest or a test. Without Chromium they skip and say so; with CI set they fail instead.
"""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import IO, TYPE_CHECKING

import pytest

from tests.ui.nginx import NAME

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

ROOT = Path(__file__).parents[2]
SCREENS = Path(__file__).parent / "screens"
CHROMIUM = "/usr/bin/chromium"
# The same engine without a window around it: a page takes less of the processor.
SHELL = "/usr/bin/chromium-headless-shell"
FLAGS = (
    f"--host-resolver-rules=MAP {NAME} 127.0.0.1",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    # A page here lives for seconds: to compile its scripts for speed takes more than it gives.
    "--js-flags=--max-opt=1",
)
_START_S = 60


@contextmanager
def serve(app: Path, **environment: str) -> Iterator[str]:
    """Run ``app`` (a script that makes an ``st.App``, or a page) until the block ends; yield its address."""
    port = free_port()
    command = [sys.executable, "-m", "streamlit", "run", str(app), "--server.headless", "true"]
    command += ["--server.port", str(port), "--server.address", "127.0.0.1", "--server.fileWatcherType", "none"]
    # As ui/server.py has it.
    command += ["--browser.gatherUsageStats", "false", "--runner.postScriptGC", "false"]
    address = f"http://127.0.0.1:{port}"
    with tempfile.TemporaryFile() as log, running(command, address, log, cwd=ROOT, environment=environment):
        yield address


@contextmanager
def running(
    command: Sequence[str], address: str, log: IO[bytes], *, cwd: Path, environment: Mapping[str, str]
) -> Iterator[subprocess.Popen[bytes]]:
    """Run a server from this copy of the code until the block ends, once it answers at ``address``.

    What it says goes to ``log``, a file: a pipe that nobody reads fills up and stops the server.
    """
    surroundings = {**os.environ, "PYTHONPATH": str(ROOT), **environment}
    server = subprocess.Popen(command, cwd=cwd, env=surroundings, stdout=log, stderr=subprocess.STDOUT)
    try:
        wait_until_ready(server, address, log)
        yield server
    finally:
        server.terminate()
        try:
            server.wait(10)
        except subprocess.TimeoutExpired:
            server.kill()
            server.wait()


def free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


def wait_until_ready(server: subprocess.Popen[bytes], address: str, log: IO[bytes]) -> None:
    deadline = time.monotonic() + _START_S
    while time.monotonic() < deadline:
        if server.poll() is not None:
            log.seek(0)
            pytest.fail(f"the server ended with {server.returncode}: {log.read().decode(errors='replace')}")
        try:
            with urllib.request.urlopen(f"{address}/_stcore/health", timeout=2):
                return
        except (urllib.error.URLError, OSError):
            time.sleep(0.1)
    pytest.fail(f"the server did not answer within {_START_S} s")


def send_file(page: Page, path: Path) -> None:
    """Choose a file as a person would, who sees one chooser: after a file there are two for a moment."""
    from playwright.sync_api import expect

    chooser = page.locator("input[type=file]")
    expect(chooser).to_have_count(1)
    chooser.set_input_files(path)


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """A headless Chromium for the whole session; open a context of your own in it."""
    places = (path for path in (SHELL, CHROMIUM) if Path(path).exists())
    found = next(places, shutil.which("chromium"))
    if found is None:
        message = "no Chromium here: install Debian's package chromium-headless-shell, or chromium, to run this"
        if os.environ.get("CI"):
            pytest.fail(message)
        pytest.skip(message)
    from playwright.sync_api import expect, sync_playwright

    # Machines that run tests are slow at times; nothing here is about speed.
    expect.set_options(timeout=20_000)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=found, args=list(FLAGS))
        yield browser
        browser.close()
