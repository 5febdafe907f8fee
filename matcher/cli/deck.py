"""``givens deck check``, ``givens deck describe`` and ``givens deck update``."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.listing import FullListing
from matcher.cli.options import Json, Lights, Quiet, light_names

app = typer.Typer(
    cls=FullListing,
    no_args_is_help=True,
    help="A deck checked, every paint in it described, a new edition weighed.",
)
# What a shell says of a command that Ctrl-C ended (128 + SIGINT).
_STOPPED = 130
File = Annotated[Path, typer.Argument(metavar="FILE")]


@app.command()
def check(file: File, as_json: Json = False, quiet: Quiet = False) -> None:
    """Validate a deck file; every bad row is named."""
    from matcher import service
    from matcher.cli import text
    from matcher.report.output import to_json

    result = service.check_deck(file)
    typer.echo(to_json(result) if as_json else text.deck_check(result), nl=not as_json)


@app.command()
def describe(file: File, lights: Lights = "", as_json: Json = False, quiet: Quiet = False) -> None:
    """Describe every paint of a deck, in file order."""
    from matcher.cli import text
    from matcher.report.output import list_to_json
    from matcher.service.paint import described_deck

    found = described_deck(file, lights=light_names(lights))
    if as_json:
        for entry in list_to_json(entry for part in found.parts for entry in part):
            sys.stdout.write(entry)
    else:
        for part in found.parts:
            typer.echo(text.descriptions(part, longest_code=found.longest_code))


@app.command()
def update(
    new: Annotated[Path, typer.Argument(metavar="NEW", help="The new edition's deck file.")],
    old: Annotated[
        Path | None, typer.Option("--old", metavar="OLD", help="The edition before; the app's deck if left out.")
    ] = None,
    scheduler: Annotated[
        str | None,
        typer.Option(
            metavar="ADDRESS", help="A Dask cluster to rank on, such as tcp://host:8786; this machine if left out."
        ),
    ] = None,
    as_json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Say what a new edition of the deck changes, in every room.

    What is gone and its nearest, what is new, what moved, and whose advice changes. It changes nothing; run again after
    it was stopped, it goes on where it was.
    """
    from matcher.cli import text
    from matcher.cli.progress import counted
    from matcher.report.output import to_json
    from matcher.service.edition import update as update_deck
    from matcher.settings import load_settings

    try:
        with counted(quiet=quiet) as say:
            result = update_deck(load_settings(), new, old_path=old, scheduler=scheduler, progress=say)
    except KeyboardInterrupt:
        typer.echo("givens: stopped. What was ranked is kept; the same command goes on from there.", err=True)
        raise typer.Exit(_STOPPED) from None
    typer.echo(to_json(result) if as_json else text.deck_update(result), nl=not as_json)
