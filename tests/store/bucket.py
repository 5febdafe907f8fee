"""A server in this process that speaks the protocol of S3 (moto), with one empty bucket a test."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from contextlib import contextmanager

import fsspec
import pytest

# What the libraries read: nothing of this is ours to know.
_KEYS = {
    "AWS_ACCESS_KEY_ID": "someone",
    "AWS_SECRET_ACCESS_KEY": "a secret of this test",
    "AWS_DEFAULT_REGION": "us-east-1",
}


@contextmanager
def bucket_server() -> Iterator[str]:
    """Run the server until the block ends, and give its address."""
    from moto.server import ThreadedMotoServer

    server = ThreadedMotoServer(ip_address="127.0.0.1", port=0, verbose=False)
    server.start()
    host, port = server.get_host_and_port()
    try:
        yield f"http://{host}:{port}"
    finally:
        server.stop()


def variables(address: str) -> dict[str, str]:
    """Return the variables by which the libraries find the server at an address."""
    return {**_KEYS, "AWS_ENDPOINT_URL": address}


@pytest.fixture(scope="session")
def s3_server() -> Iterator[str]:
    """Start the server and give its address."""
    with bucket_server() as address:
        yield address


@pytest.fixture
def bucket(s3_server: str, monkeypatch: pytest.MonkeyPatch) -> str:
    """Give the address of a folder in a new bucket."""
    for name, value in variables(s3_server).items():
        monkeypatch.setenv(name, value)
    name = f"photos-{uuid.uuid4().hex}"
    fsspec.filesystem("s3", use_listings_cache=False).mkdir(name)
    return f"s3://{name}/shop"
