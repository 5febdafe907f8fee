"""The address by which others reach the app: what it is, whether it leads beyond this machine, whether it answers."""

from __future__ import annotations

import http.client
import ipaddress
from typing import TYPE_CHECKING, Literal
from urllib.parse import urlsplit

if TYPE_CHECKING:
    from matcher.service.desk import Desk

# "here": it leads to this machine only; "answers": it was asked just now; "silent": nobody answered; "another": what
# answered is not this app, or does not answer to that name; "in use": the browser that asks came by it.
Reach = Literal["here", "answers", "silent", "another", "in use"]

# A header of every answer to a link that opens nothing: by it an address is known to lead to this app.
ANSWERING = "x-givens-door"
_PATIENCE_S = 4.0  # assumption: what answers later is of no use to a client either
_LOCAL_NAMES = ("localhost", "localhost.localdomain")


def base_of(desk: Desk, here: str) -> str:
    """Return the address that links begin with, without a slash at its end: the setting's, or that of the page at
    ``here``.

    >>> from types import SimpleNamespace
    >>> base_of(SimpleNamespace(settings=SimpleNamespace(public_url=None)), "http://localhost:8520/scheme?room=1")
    'http://localhost:8520'
    """
    public = desk.settings.public_url
    if public is not None:
        return public.rstrip("/")
    split = urlsplit(here)
    return f"{split.scheme}://{split.netloc}"


def reach_of(desk: Desk, here: str, *, probe: str) -> Reach:
    """Return how far the address of :func:`base_of` reaches; the setting's is asked for ``probe``.

    That is the path and query of a link whose token was never given out, so that nothing secret is sent.
    """
    base = base_of(desk, here)
    if is_this_machine(base):
        return "here"
    if desk.settings.public_url is None:
        return "in use"
    return _asked(base, probe)


def is_this_machine(address: str) -> bool:
    """Tell whether an address leads back to the machine that asks for it.

    >>> [is_this_machine(f"http://{name}:8520") for name in ("127.0.0.1", "[::1]", "localhost", "colour.example")]
    [True, True, True, False]
    """
    name = urlsplit(address).hostname or ""
    try:
        found = ipaddress.ip_address(name)
    except ValueError:
        return name in _LOCAL_NAMES or name.endswith(".localhost")
    return found.is_loopback or found.is_unspecified


def _asked(base: str, probe: str) -> Reach:
    split = urlsplit(base)
    kind = http.client.HTTPSConnection if split.scheme == "https" else http.client.HTTPConnection
    connection = kind(split.netloc, timeout=_PATIENCE_S)
    try:
        connection.request("GET", f"{split.path}{probe}")
        answer = connection.getresponse()
        return "answers" if answer.getheader(ANSWERING) is not None else "another"
    except (OSError, http.client.HTTPException):
        return "silent"
    finally:
        connection.close()
