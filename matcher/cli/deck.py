"""``givens deck check`` and ``givens deck describe``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.listing import FullListing
from matcher.cli.options import Json, Lights, Quiet, light_names

app = typer.Typer(
    cls=FullListing, no_args_is_help=True, help="A deck of paints: checked, or every paint in it described."
)
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
    from matcher import service
    from matcher.cli import text
    from matcher.report.output import to_json

    result = service.describe_deck(file, lights=light_names(lights))
    typer.echo(to_json(result) if as_json else text.descriptions(result), nl=not as_json)
