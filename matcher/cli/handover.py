"""``givens handover``: what a client and a painter are given."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.options import DeckFile, Json, Quiet, RoomPath
from matcher.cli.progress import progress


def handover(
    room: RoomPath,
    out: Annotated[Path, typer.Option("--out", metavar="DIR", help="Folder for what is handed over.")],
    deck: DeckFile = None,
    as_json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Make the client's document, the painter's schedule and swatches.

    The letterhead and the paper are settings, in givens.toml of the folder this is started from.
    """
    from matcher import service
    from matcher.cli import text
    from matcher.report.output import to_json
    from matcher.settings import load_settings

    settings = load_settings()
    with progress(quiet=quiet) as say:
        handed = service.handover(room, deck_path=deck, settings=settings, progress=say)
    paths, result = service.write_handover(handed, out)
    if handed.missing:
        typer.echo(text.missing_letters(handed.missing), err=True)
    typer.echo(to_json(result) if as_json else text.handed_over(paths, result), nl=not as_json)
