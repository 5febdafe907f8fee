"""``givens repaint``: the whole-room photo in another paint."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.options import DeckFile, Json, Quiet, RoomPath
from matcher.cli.progress import progress


def repaint(
    room: RoomPath,
    role: Annotated[str, typer.Option(metavar="ROLE", help="What is painted, an area of the photo: walls, cabinets …")],
    out: Annotated[Path, typer.Option(metavar="FILE", help="The picture to write, .jpg or .png.")],
    paint: Annotated[str | None, typer.Option(metavar="CODE", help="A paint of the deck.")] = None,
    lab: Annotated[
        tuple[float, float, float] | None, typer.Option(metavar="L a b", help="CIELAB, D65, 2 degree observer.")
    ] = None,
    deck: DeckFile = None,
    as_json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Paint one role of the whole-room photo in another colour."""
    from matcher import service
    from matcher.cli import text
    from matcher.report.output import to_json

    if (paint is None) == (lab is None):
        raise typer.BadParameter("give one of --paint CODE or --lab L a b")
    kind = service.picture_kind(out)
    with progress(quiet=quiet) as say:
        done = service.repaint(room, role, code=paint, lab=lab, deck_path=deck, kind=kind, out=out, progress=say)
    path = service.write_picture(done.picture, out)
    result = {**done.result, "file": str(path)}
    if as_json and not result["old_paint"]["measured"]:
        # Who keeps the picture and not the JSON is told all the same.
        typer.echo(text.unmeasured_old_paint(result), err=True)
    typer.echo(to_json(result) if as_json else text.repainted(result), nl=not as_json)
