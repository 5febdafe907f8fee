"""``givens user add``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.listing import FullListing
from matcher.cli.options import Json, Quiet

app = typer.Typer(cls=FullListing, no_args_is_help=True, help="Consultants who may sign in to the browser app.")


@app.callback()
def user() -> None:
    """Consultants who may sign in to the browser app."""


@app.command()
def add(
    name: Annotated[str, typer.Argument(metavar="NAME", help="What the consultant signs in as.")],
    passphrase_file: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="File whose first line is the passphrase; asked for if left out."),
    ] = None,
    as_json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Add a consultant to the store that givens.toml names."""
    from dataclasses import asdict

    from matcher.cli import text
    from matcher.report.output import to_json
    from matcher.service.access import add_user
    from matcher.service.desk import open_desk
    from matcher.settings import load_settings

    desk = open_desk(load_settings())
    added = add_user(desk, name, _passphrase(passphrase_file))
    typer.echo(to_json(asdict(added)) if as_json else text.user_added(added.name), nl=not as_json)


def _passphrase(path: Path | None) -> str:
    if path is None:
        # On stderr, since stdout may be read by a program; typed twice, as nobody sees what they type.
        return str(typer.prompt("Passphrase", hide_input=True, confirmation_prompt="Once more", err=True))
    from matcher.service.passphrase import read_passphrase

    return read_passphrase(path)
