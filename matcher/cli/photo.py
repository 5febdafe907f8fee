"""``givens photo check``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.listing import FullListing
from matcher.cli.options import Json, Quiet
from matcher.cli.progress import progress
from matcher.errors import PhotoError

app = typer.Typer(cls=FullListing, no_args_is_help=True, help="Look at photos before measuring from them.")


@app.callback()
def photo() -> None:
    """Look at photos before measuring from them."""


@app.command()
def check(
    files: Annotated[list[Path], typer.Argument(metavar="FILE…", help="One photo or several.")],
    as_json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Say whether photos are fit to measure from, and where cards are.

    Looked at: exposure, clipping, sharpness, cards, mixed light, colour profile, edits. With --json one photo is an
    object, several are a list of them. What cannot be read is named at the end, and the others are shown all the same.
    """
    from matcher import service
    from matcher.cli import text
    from matcher.report.output import to_json

    # A single photo is quick, and says nothing on its way.
    with progress(quiet=quiet or len(files) == 1, steps=len(files)) as say:
        checked = service.check_photos(files, progress=say)
    results = checked.results
    if as_json and (results or len(files) > 1):
        typer.echo(to_json(results[0] if len(files) == 1 else list(results)), nl=False)
    elif results:
        typer.echo("\n\n".join(text.photo_check(result) for result in results))
    if checked.problems:
        raise PhotoError(*checked.problems)
