"""Passphrases: kept as scrypt (RFC 7914) under a salt of their own, so that a stolen store does not give them away."""

from __future__ import annotations

import base64
import hashlib
import hmac
import secrets
import unicodedata
from pathlib import Path
from threading import BoundedSemaphore

from matcher.errors import Problem, RequestError
from matcher.opening import read_bytes

SHORTEST, LONGEST = 10, 1000
_MOST_BYTES = 64_000  # assumption: the longest in any alphabet, and some lines that are not looked at
# OWASP Password Storage Cheat Sheet, from memory: N = 2^15 asks for p = 3, 2^17 for p = 1. Chosen for about 0.1 s on a
# small server, behind a limit on tries; kept in each hash, so that it can be raised.
_N, _R, _P = 2**15, 8, 1
_MEMORY = 2 * 128 * _N * _R  # RFC 7914 section 2: 128 N r bytes, and as much again for the library's own
_SALT_BYTES = _KEY_BYTES = 32
# Each takes 32 MiB: sign-ins wait for each other rather than fill the memory.
_AT_ONCE = BoundedSemaphore(2)


def hash_passphrase(passphrase: str) -> str:
    """Return what to keep; raises RequestError for one that is too short or far too long."""
    if not SHORTEST <= len(passphrase) <= LONGEST:
        raise RequestError(
            Problem(
                "passphrase",
                f"has {len(passphrase)} characters; {SHORTEST} to {LONGEST} are needed",
                "Several words that do not belong together are easy to keep and hard to guess.",
            )
        )
    salt = secrets.token_bytes(_SALT_BYTES)
    key = _derived(passphrase, salt, _N, _R, _P)
    return "$".join(["scrypt", str(_N), str(_R), str(_P), _text(salt), _text(key)])


def read_passphrase(path: Path) -> str:
    """Return the first line of a file, which may end as any system ends lines; raises RequestError."""
    data = read_bytes(path, RequestError, "a file with a passphrase", "Name the file in it.", most=_MOST_BYTES)
    try:
        return next(iter(data.decode("utf-8-sig").splitlines()), "")
    except UnicodeDecodeError:
        raise RequestError(Problem(str(path), "is not UTF-8 text", "Save it as UTF-8.")) from None


def is_passphrase(passphrase: str, kept: str) -> bool:
    """Tell whether this is the passphrase that was kept."""
    _, n, r, p, salt, key = kept.split("$")
    derived = _derived(passphrase[:LONGEST], base64.b64decode(salt), int(n), int(r), int(p))
    return hmac.compare_digest(derived, base64.b64decode(key))


def nobodys_hash() -> str:
    """Return a hash that no passphrase opens, to spend on an unknown name the time that a known one takes."""
    return "$".join(["scrypt", str(_N), str(_R), str(_P), _text(bytes(_SALT_BYTES)), _text(bytes(_KEY_BYTES))])


def _derived(passphrase: str, salt: bytes, n: int, r: int, p: int) -> bytes:
    # RFC 8265, OpaqueString: the same letters typed on two systems may come composed or not.
    typed = unicodedata.normalize("NFC", passphrase).encode("utf-8", errors="surrogatepass")
    with _AT_ONCE:
        return hashlib.scrypt(typed, salt=salt, n=n, r=r, p=p, maxmem=_MEMORY, dklen=_KEY_BYTES)


def _text(data: bytes) -> str:
    return base64.b64encode(data).decode("ascii")
