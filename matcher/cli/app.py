"""The ``givens`` command: commands gathered, and the one place where an error becomes text and an exit code."""

from __future__ import annotations

import sys

import typer

from matcher.cli import deck, paint, photo, repaint, room, serve, user
from matcher.errors import GivensError

app = typer.Typer(
    name="givens",
    help="Choose paint for a room from what stays in it: worktop, floor, tile, stone and timber.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)
room.register(app)
app.command()(repaint.repaint)
serve.register(app)
app.add_typer(photo.app, name="photo")
app.add_typer(paint.app, name="paint")
app.add_typer(deck.app, name="deck")
app.add_typer(user.app, name="user")


def main() -> None:
    """Run the command line: exit 0 on success, 1 when the work could not be done, 2 on wrong usage."""
    try:
        app(prog_name="givens")
    except GivensError as error:
        for problem in error.problems:
            typer.echo(f"givens: {problem}", err=True)
        sys.exit(1)
