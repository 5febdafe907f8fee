"""``givens serve``: the browser app."""

from __future__ import annotations

import signal
import sys
from typing import TYPE_CHECKING, Annotated

import typer

from matcher.cli.options import Json, Quiet

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matcher.settings import Settings

# Assumption: ten times the marks of a photo with every outline drawn by hand; files do not come this way.
_MOST_MESSAGE_BYTES = 8 * 2**20
_GOODBYE_S = 5  # assumption: what a page being drawn takes at most
# Addresses that only this machine can reach.
_LOOPBACK = ("127.0.0.1", "localhost", "::1")


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command()(serve)


def serve(
    port: Annotated[
        int | None, typer.Option("--port", min=1, max=65535, metavar="N", help="Port to answer at.")
    ] = None,
    host: Annotated[str, typer.Option(metavar="ADDRESS", help="Address to answer at.")] = "127.0.0.1",
    as_json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Start the browser app for consultants and their clients.

    On an empty folder it makes what it needs and begins with a sample room.
    """
    from matcher.errors import Problem, RequestError
    from matcher.service.access import has_users
    from matcher.service.desk import the_desk
    from matcher.service.other_servers import among_others

    # The app's own: a second one in this process would be one too many.
    desk = the_desk()
    settings = desk.settings
    guarded = has_users(desk)
    if host not in _LOOPBACK and not guarded:
        raise RequestError(
            Problem(
                f"--host {host}",
                "other machines could read every room, because nobody has to sign in yet",
                "Add an account first: givens user add NAME",
            )
        )
    at = settings.port if port is None else port
    # The server ends by the signal that it was sent, which would be the end of everything here.
    before = signal.signal(signal.SIGTERM, lambda number, frame: sys.exit())
    try:
        with among_others(desk, at) as differences:
            _run(settings, host, at, quiet=quiet, as_json=as_json, guarded=guarded, differences=differences)
    finally:
        signal.signal(signal.SIGTERM, before)


def _run(
    settings: Settings, host: str, at: int, *, quiet: bool, as_json: bool, guarded: bool, differences: Sequence[str]
) -> None:
    import uvicorn

    from matcher.cli import text
    from matcher.report.output import to_json

    for each in differences:
        typer.echo(f"givens: {each}", err=True)
    started = {"address": f"http://localhost:{at}", "folder": str(settings.folder.resolve()), "guarded": guarded}
    if as_json:
        typer.echo(to_json(started), nl=False)
    elif not quiet:
        typer.echo(text.serving(started))
    sys.stdout.flush()
    # By name: the app is a layer beside this one, started and not called.
    uvicorn.run(
        "ui.server:app",
        host=host,
        port=at,
        log_level="warning",
        access_log=False,
        server_header=False,
        ws_max_size=_MOST_MESSAGE_BYTES,
        proxy_headers=bool(settings.trusted_proxies),
        forwarded_allow_ips=list(settings.trusted_proxies),
        timeout_graceful_shutdown=_GOODBYE_S,
    )
