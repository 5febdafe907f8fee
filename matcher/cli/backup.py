"""``givens backup`` and ``givens restore``: the browser app's store as one file, and back."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.options import Json, Quiet


def register(app: typer.Typer) -> None:
    """Add the commands."""
    app.command()(backup)
    app.command()(restore)


def backup(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The file to write; it must not be there yet.")],
    as_json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Write every room, photo and account into one file.

    The app may run meanwhile.
    """
    from matcher import service
    from matcher.cli import text
    from matcher.report.output import to_json
    from matcher.settings import load_settings

    done = service.backup(load_settings(), file)
    typer.echo(to_json(done) if as_json else text.backed_up(done), nl=not as_json)


def restore(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A file that givens backup wrote.")],
    as_json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Put a backup back into an empty folder."""
    from matcher import service
    from matcher.cli import text
    from matcher.report.output import to_json
    from matcher.settings import load_settings

    done = service.restore(load_settings(), file)
    typer.echo(to_json(done) if as_json else text.restored(done), nl=not as_json)
