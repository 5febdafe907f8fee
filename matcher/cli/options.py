"""Options that several commands share, spelled once."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

Json = Annotated[bool, typer.Option("--json", help="Print JSON, and nothing else, on stdout.")]
# Every command takes it, so that scripts need not know which ones have progress to show.
Quiet = Annotated[bool, typer.Option("-q", "--quiet", help="Say nothing while working.")]
DeckFile = Annotated[
    Path | None,
    typer.Option(
        "--deck", metavar="DECK", help="Deck of paints (CSV, Parquet, CGATS text, CxF3); the demo deck if left out."
    ),
]
DeckFiles = Annotated[
    list[Path] | None,
    typer.Option(
        "--deck",
        metavar="DECK",
        help="Deck of paints; once more for each other deck to look in. The demo deck if left out.",
    ),
]
Lights = Annotated[
    str,
    typer.Option(help="CIE names, comma separated, such as A,LED-B1,FL11: how the colour looks under each."),
]
RoomPath = Annotated[Path, typer.Argument(metavar="ROOM.toml", help="The room file, or a room's zip.")]


def first_and_others(decks: list[Path] | None) -> tuple[Path | None, list[Path]]:
    """Return the deck that the paint is of, None for the demo deck, and the others."""
    return (decks[0], decks[1:]) if decks else (None, [])


def light_names(text: str) -> tuple[str, ...]:
    """Return the names in a comma separated list."""
    return tuple(name.strip() for name in text.split(",") if name.strip())
