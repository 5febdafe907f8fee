"""``givens paint describe``, ``compare`` and ``near``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from matcher.cli.listing import FullListing
from matcher.cli.options import DeckFiles, Json, Lights, Quiet, first_and_others, light_names

app = typer.Typer(
    cls=FullListing, no_args_is_help=True, help="One paint described, several compared, or those near one."
)

Code = Annotated[str | None, typer.Argument(metavar="CODE", help="A paint of the deck, by its code or its name.")]
Lab = Annotated[
    tuple[float, float, float] | None, typer.Option(metavar="L a b", help="CIELAB, D65, 2 degree observer.")
]
Hex = Annotated[str | None, typer.Option("--hex", metavar="#rrggbb", help="An sRGB colour, in quotes.")]


@app.command()
def describe(
    code: Code = None,
    lab: Lab = None,
    hex_: Hex = None,
    deck: DeckFiles = None,
    lights: Lights = "",
    beside: Annotated[
        str | None,
        typer.Option(metavar="WHAT", help="What it will meet: a code or name, 'L a b' or '#rrggbb', in quotes."),
    ] = None,
    out: Annotated[
        Path | None, typer.Option(metavar="FILE", help="A picture that shows its undertone, .png or .svg.")
    ] = None,
    as_json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Break one colour down: LRV, undertone, Munsell, warmth.

    What its lightness means, how far it goes, what it leans to; with --lights also how it shifts by light.
    """
    from matcher import service
    from matcher.cli import text
    from matcher.report.output import to_json

    _need_one(code, lab, hex_)
    kind = service.drawing_kind(out) if out is not None else ""
    first, others = first_and_others(deck)
    found = service.described(
        code=code,
        lab=lab,
        hex_text=hex_,
        beside=beside,
        lights=light_names(lights),
        deck_path=first,
        other_decks=others,
    )
    result = found.entry
    if out is not None:
        result = {**result, "file": str(service.write_picture(service.drawn(found.view, kind), out))}
    typer.echo(to_json(result) if as_json else text.description(result, found.view), nl=not as_json)


@app.command()
def compare(
    codes: Annotated[list[str], typer.Argument(metavar="A B …", help="Two or more paints of the deck.")],
    deck: DeckFiles = None,
    as_json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Compare paints: which is lighter, warmer, greener.

    By how much, and whether people can see it.
    """
    from matcher import service
    from matcher.cli import text
    from matcher.report.output import to_json

    if len(codes) < 2:
        raise typer.BadParameter("give two codes or more")
    first, others = first_and_others(deck)
    result = service.compare_paints(codes, deck_path=first, other_decks=others)
    typer.echo(to_json(result) if as_json else text.comparison(result), nl=not as_json)


@app.command()
def near(
    code: Code = None,
    lab: Lab = None,
    hex_: Hex = None,
    same_lrv: Annotated[bool, typer.Option("--same-lrv", help="Nearest among paints of the same LRV.")] = False,
    deck: DeckFiles = None,
    room: Annotated[
        Path | None, typer.Option(metavar="ROOM.toml", help="A room: what its surfaces do to the look of the colour.")
    ] = None,
    out: Annotated[Path | None, typer.Option(metavar="FILE", help="Draw the map round it, .svg or .png.")] = None,
    as_json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Find the paints around a colour.

    The nearest, those of the same LRV but warmer or cooler, those a step lighter or darker, the same name in other
    decks, and quiet partners that bring out its undertone.
    """
    from matcher import service
    from matcher.cli import text
    from matcher.cli.swatch import swatches
    from matcher.report.output import to_json

    _need_one(code, lab, hex_)
    if out is not None:
        service.check_map_file(out)
    first, others = first_and_others(deck)
    found = service.neighbours(
        code=code, lab=lab, hex_text=hex_, same_lrv=same_lrv, deck_path=first, other_decks=others, room_path=room
    )
    drawn = None if out is None else service.write_map(found, out)
    if as_json:
        typer.echo(to_json(service.near_json(found)), nl=False)
    else:
        typer.echo(text.near(found, swatches(), drawn))


def _need_one(*given: object) -> None:
    if sum(one is not None for one in given) != 1:
        raise typer.BadParameter("give one of CODE, --lab L a b or --hex #rrggbb")
