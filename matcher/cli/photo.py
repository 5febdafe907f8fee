"""``givens photo check``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.options import Json, Quiet

app = typer.Typer(no_args_is_help=True, help="Look at a photo before measuring from it.")


@app.callback()
def photo() -> None:
    """Look at a photo before measuring from it."""


@app.command()
def check(file: Annotated[Path, typer.Argument(metavar="FILE")], as_json: Json = False, quiet: Quiet = False) -> None:
    """Is this photo fit to measure from: exposure, clipping, sharpness, card, mixed light, colour profile, edits."""
    from matcher import service
    from matcher.cli import text
    from matcher.report.output import to_json

    result = service.check_photo(file)
    typer.echo(to_json(result) if as_json else text.photo_check(result), nl=not as_json)
