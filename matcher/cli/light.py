"""``givens light``: a room's light through a day and by its lamps."""

from __future__ import annotations

from typing import Annotated

import typer

from matcher.cli.options import DeckFile, Json, Quiet, RoomPath
from matcher.cli.progress import progress

Paints = Annotated[
    list[str] | None,
    typer.Option("--paint", metavar="CODE", help="A paint of the deck; may be given more than once."),
]
Day = Annotated[str | None, typer.Option("--date", metavar="YYYY-MM-DD", help="The day; an equinox if left out.")]
Overcast = Annotated[bool, typer.Option("--overcast", help="Under a grey sky instead of a clear one.")]


def light(
    room: RoomPath,
    deck: DeckFile = None,
    paint: Paints = None,
    date: Day = None,
    overcast: Overcast = False,
    as_json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Follow a room's light through a day and by its lamps.

    What each surface and each paint looks like hour by hour; without --paint the paints chosen already.
    """
    from matcher import service
    from matcher.cli import light_text
    from matcher.cli.swatch import swatches
    from matcher.report.output import to_json

    with progress(quiet=quiet) as say:
        result = service.room_light(
            room, deck_path=deck, paints=paint or (), date=date, overcast=overcast, progress=say
        )
    typer.echo(to_json(result) if as_json else light_text.room_light(result, swatches()), nl=not as_json)
