"""Files sent to the app: streamed to the disk as they come, counted, and answered with what was wrong with them.

The browser's part is ``ui/choosing.py``. Nothing here is Streamlit's: its own upload address keeps files in memory.
"""

from __future__ import annotations

import asyncio
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING
from urllib.parse import unquote

from starlette.concurrency import run_in_threadpool
from starlette.requests import ClientDisconnect, Request
from starlette.responses import JSONResponse, Response

from matcher.errors import AwayError, GivensError
from matcher.service import archive, client, desk, edition_arrival
from matcher.service.incoming import Incoming, count_arrival, incoming
from ui import words
from ui.desk import the_desk
from ui.headers import STRICT
from ui.messages import householder_problems, problems_of
from ui.nothing_here import nothing_here
from ui.visitors import consultant_of, link_token, opened_by

if TYPE_CHECKING:
    from matcher.service.records import User

# Percent-encoded: a header takes no other letters. Its being there also shows that a page of ours sends the file.
NAME_HEADER = "x-file-name"
# Assumptions: three files at a time fill a phone's line; all together a small machine's.
_AT_ONCE_OF_ONE, _AT_ONCE = 3, 24
# Assumptions: nothing for half a minute is a line that is gone; 40 MB in a quarter of an hour are 0.4 Mbit/s.
_SILENCE_S, _WHOLE_S = 30, 900
_PIECE = 1 << 20  # bytes written at a time
_LONGEST_NAME = 1000

_sending: Counter[str] = Counter()


async def client_photo(request: Request) -> Response:
    """Take a photo from a householder."""
    visit = request.path_params["visit"]
    opened = await run_in_threadpool(opened_by, the_desk(), request, visit)
    if opened is None:
        return nothing_here()
    token = link_token(request.cookies, visit)
    return await _take(
        request,
        opened.id,
        lambda arrived: _kept(client.take_client_photo(the_desk(), token, arrived).sha),
        words_for=householder_problems,
    )


async def photo(request: Request) -> Response:
    """Take a photo from a consultant."""
    room_id = request.path_params["room"]
    user = await run_in_threadpool(consultant_of, the_desk(), request)
    if user is None or not await run_in_threadpool(desk.owns_room, the_desk(), user, room_id):
        return nothing_here()
    return await _take(
        request, user.id, lambda arrived: _kept(desk.take_photo(the_desk(), room_id, arrived, by="consultant").sha)
    )


async def room(request: Request) -> Response:
    """Take a room's zip from a consultant."""
    user = await run_in_threadpool(consultant_of, the_desk(), request)
    if user is None:
        return nothing_here()
    most_mb = archive.most_room_mb(the_desk())
    return await _take(request, user.id, lambda arrived: _brought_in(user, arrived), most_mb=most_mb)


async def edition(request: Request) -> Response:
    """Take the file of a new edition of the deck from a consultant."""
    user = await run_in_threadpool(consultant_of, the_desk(), request)
    if user is None:
        return nothing_here()
    most_mb = edition_arrival.most_deck_mb()
    return await _take(request, user.id, lambda arrived: _compared(user, arrived), most_mb=most_mb)


def _kept(what: str) -> dict[str, str]:
    return {"kept": what}


def _compared(user: User, arrived: Incoming) -> dict[str, str]:
    return _kept(edition_arrival.take_edition(the_desk(), user, arrived))


def _brought_in(user: User, arrived: Incoming) -> dict[str, str]:
    return {"kept": archive.import_room(the_desk(), user, arrived.path)}


async def _take(
    request: Request,
    sender: str,
    keep: Callable[[Incoming], dict[str, str]],
    *,
    most_mb: int | None = None,
    words_for: Callable[[GivensError], list[str]] = problems_of,
) -> Response:
    """Stream the file to the disk and ``keep`` it; say in JSON what was kept, or what was wrong."""
    name = unquote(request.headers.get(NAME_HEADER, ""))[:_LONGEST_NAME]
    with _counted(sender) as taken:
        if not taken:
            return _told([f"{name}: {words.TOO_MANY_AT_ONCE}"], 429)
        try:
            await run_in_threadpool(count_arrival, the_desk(), sender)
            with incoming(the_desk(), name, most_mb=most_mb) as arrived:
                async with asyncio.timeout(_WHOLE_S):
                    await _receive(request, arrived)
                return JSONResponse(await run_in_threadpool(keep, arrived), headers=_headers())
        except AwayError:
            raise  # no fault of the file: the browser has it still, and sends it again
        except GivensError as error:
            return _told(words_for(error), 422)
        except (TimeoutError, ClientDisconnect):
            return _told([f"{name}: {words.SENDING_STOPPED}"], 408)


async def _receive(request: Request, arrived: Incoming) -> None:
    """Write the body; the promised length is looked at first, so that nobody sends what will not be taken."""
    promised = request.headers.get("content-length", "")
    if promised.isdigit():
        arrived.expect(int(promised))
    pieces, held = [], 0
    stream = request.stream().__aiter__()
    while True:
        async with asyncio.timeout(_SILENCE_S):
            try:
                piece = await anext(stream)
            except StopAsyncIteration:
                break
        pieces.append(piece)
        held += len(piece)
        if held >= _PIECE:
            await run_in_threadpool(arrived.write, b"".join(pieces))
            pieces, held = [], 0
    await run_in_threadpool(arrived.write, b"".join(pieces))


@contextmanager
def _counted(sender: str) -> Iterator[bool]:
    """Count a file for as long as it arrives; False where too many do."""
    if _sending.total() >= _AT_ONCE or _sending[sender] >= _AT_ONCE_OF_ONE:
        yield False
        return
    _sending[sender] += 1
    try:
        yield True
    finally:
        _sending[sender] -= 1
        if not _sending[sender]:
            del _sending[sender]


def _told(problems: list[str], status: int) -> Response:
    return JSONResponse({"problems": problems}, status, _headers())


def _headers() -> dict[str, str]:
    return {"content-security-policy": STRICT, "cache-control": "no-store"}
