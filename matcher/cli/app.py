"""The ``givens`` command: commands gathered, and the one place where an error becomes text and an exit code."""

from __future__ import annotations

import io
import sys

import typer

from matcher.cli import backup, deck, handover, light, paint, photo, repaint, room, serve, user
from matcher.cli.listing import FullListing
from matcher.errors import GivensError

app = typer.Typer(
    name="givens",
    cls=FullListing,
    help="Choose paint for a room from what stays in it: worktop, floor, tile, stone and timber.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)
room.register(app)
app.command()(light.light)
app.command()(repaint.repaint)
app.command()(handover.handover)
serve.register(app)
backup.register(app)
app.add_typer(photo.app, name="photo")
app.add_typer(paint.app, name="paint")
app.add_typer(deck.app, name="deck")
app.add_typer(user.app, name="user")


def main() -> None:
    """Run the command line: exit 0 on success, 1 when the work could not be done, 2 on wrong usage."""
    _print_any_name()
    try:
        app(prog_name="givens")
    except GivensError as error:
        for problem in error.problems:
            typer.echo(f"givens: {problem}", err=True)
        sys.exit(1)
    except OSError as error:
        # What is read and written is looked after where it happens; this is a full disk under stdout or a lost folder.
        place = f"{error.filename}: " if error.filename else ""
        typer.echo(f"givens: {place}the system refused ({error.strerror or error}). Look at the disk.", err=True)
        sys.exit(1)


def _print_any_name() -> None:
    """Let stdout take file names whose bytes are no text, and be UTF-8 where a program reads it, as JSON has to be."""
    if isinstance(sys.stdout, io.TextIOWrapper):
        encoding = sys.stdout.encoding if sys.stdout.isatty() else "utf-8"
        sys.stdout.reconfigure(encoding=encoding, errors="backslashreplace")
