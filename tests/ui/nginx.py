"""nginx run by configurations that the project's own texts give, with ports and paths of a test's own in them."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

import pytest

NAME = "colour.example"
CERTIFICATE, KEY = f"/etc/ssl/certs/{NAME}.pem", f"/etc/ssl/private/{NAME}.key"


def need_nginx() -> None:
    """Skip a test where there is no nginx or openssl, or fail it where there has to be."""
    if shutil.which("nginx") is None or shutil.which("openssl") is None:
        message = "no nginx or openssl here: install Debian's packages nginx-light and openssl to run this"
        if os.environ.get("CI"):
            pytest.fail(message)
        pytest.skip(message)


def replaced(text: str, changes: Mapping[str, str]) -> str:
    """Return the text with each of these, which stands there once, in place of the other."""
    for old, new in changes.items():
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def certificate(folder: Path) -> dict[str, str]:
    """Make a key and a certificate of its own for the name; return what stands for the paths in a configuration."""
    cert, key = folder / "cert.pem", folder / "key.pem"
    subprocess.run(
        ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2", "-subj", f"/CN={NAME}",
         "-keyout", str(key), "-out", str(cert)],
        check=True, capture_output=True,
    )  # fmt: skip
    return {CERTIFICATE: str(cert), KEY: str(key)}


@contextmanager
def nginx(folder: Path, site: str, port: int) -> Iterator[None]:
    """Run nginx by ``site``, what stands in its ``http`` block, until the block ends; it answers at ``port``."""
    places = f"client_body_temp_path {folder}/body; proxy_temp_path {folder}/proxy; access_log off;"
    start = f"daemon off; pid {folder}/pid; error_log {folder}/error.log; events {{}}\n"
    (folder / "nginx.conf").write_text(f"{start}http {{ {places}\n{site}\n}}\n", encoding="utf-8")
    command = ["nginx", "-c", str(folder / "nginx.conf"), "-e", str(folder / "error.log")]
    running = subprocess.Popen(command, stderr=subprocess.DEVNULL)
    try:
        _wait_for(port)
        yield
    finally:
        running.terminate()
        running.wait()


def _wait_for(port: int) -> None:
    """Return when the web server takes connections."""
    deadline = time.monotonic() + 10
    while True:
        try:
            socket.create_connection(("127.0.0.1", port), timeout=1).close()
        except OSError:
            assert time.monotonic() < deadline, "nginx did not start"
            time.sleep(0.05)
        else:
            return
