"""``givens demo``, ``givens shortlist`` and ``givens surface``: the main job."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.options import DeckFile, Json, Quiet, RoomPath
from matcher.cli.progress import progress

Out = Annotated[Path, typer.Option("--out", metavar="DIR", help="Folder for the result.")]


def register(app: typer.Typer) -> None:
    """Add the commands that stand at the top level."""
    app.command()(demo)
    app.command()(shortlist)
    app.command()(surface)


def demo(out: Out = Path("givens-out"), as_json: Json = False, quiet: Quiet = False) -> None:
    """Do the whole job on the sample room that comes with Givens."""
    from matcher import service
    from matcher.demo.location import demo_room

    with progress(quiet=quiet) as say:
        with demo_room() as room_path:
            ranked = service.rank(room_path, progress=say)
        contents = service.contents_of(ranked, invented=True, progress=say)
        answer = service.answer_of(ranked, contents=contents, progress=say)
        handed = service.handed_over(contents, progress=say)
    _deliver(answer, out, as_json=as_json, also=handed.files)


def shortlist(
    room: RoomPath,
    deck: DeckFile = None,
    out: Out = Path("givens-out"),
    top: Annotated[int, typer.Option(min=0, metavar="N", help="Paints a role; 0 scores the whole deck.")] = 8,
    client_page: Annotated[
        bool, typer.Option("--client-page", help="The report for the client: without the appendix.")
    ] = False,
    as_json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Measure a room and rank the deck: result.json and the report.

    Every role gets its shortlist, with reasons, and all roles together a scheme.
    """
    from matcher import service

    settings = None
    if client_page:
        from matcher.settings import load_settings

        settings = load_settings()
    with progress(quiet=quiet) as say:
        answer = service.shortlist(room, deck_path=deck, top=top, settings=settings, progress=say)
    _deliver(answer, out, as_json=as_json)


def surface(room: RoomPath, deck: DeckFile = None, as_json: Json = False, quiet: Quiet = False) -> None:
    """Measure the surfaces in a room's photos, and rank nothing.

    The deck is only for paint chips in the photos.
    """
    from matcher import service
    from matcher.cli import text
    from matcher.report.output import to_json

    with progress(quiet=quiet) as say:
        result = service.surfaces(room, deck_path=deck, progress=say)
    typer.echo(to_json(result) if as_json else text.surfaces(result), nl=not as_json)


def _deliver(answer: object, out: Path, *, as_json: bool, also: Mapping[str, bytes] | None = None) -> None:
    """Write the folder, then print the result or where it is."""
    from matcher import service
    from matcher.cli import text

    assert isinstance(answer, service.Answer)
    paths = service.write(answer, out, also=also)
    typer.echo(answer.json if as_json else text.shortlists(answer.result, answer.advice, paths), nl=not as_json)
