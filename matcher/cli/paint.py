"""``givens paint describe``, ``compare`` and ``near``."""

from __future__ import annotations

from typing import Annotated

import typer

from matcher.cli.options import DeckFile, Json, Lights, Quiet, light_names

app = typer.Typer(no_args_is_help=True, help="One paint broken down, several side by side, or what lies around one.")


@app.command()
def describe(
    code: Annotated[str | None, typer.Argument(metavar="CODE", help="A paint of the deck.")] = None,
    lab: Annotated[
        tuple[float, float, float] | None, typer.Option(metavar="L a b", help="CIELAB, D65, 2 degree observer.")
    ] = None,
    hex_: Annotated[str | None, typer.Option("--hex", metavar="#rrggbb", help="An sRGB colour.")] = None,
    deck: DeckFile = None,
    lights: Lights = "",
    as_json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Break one colour down: LRV, undertone, Munsell notation, temperature, how it shifts by light."""
    from matcher import service
    from matcher.cli import text
    from matcher.report.output import to_json

    if sum(given is not None for given in (code, lab, hex_)) != 1:
        raise typer.BadParameter("give one of CODE, --lab L a b or --hex #rrggbb")
    result = service.describe_paint(code=code, lab=lab, hex_text=hex_, deck_path=deck, lights=light_names(lights))
    typer.echo(to_json(result) if as_json else text.description(result), nl=not as_json)


@app.command()
def compare(
    codes: Annotated[list[str], typer.Argument(metavar="A B …", help="Two or more paints of the deck.")],
    deck: DeckFile = None,
    as_json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Put colours side by side: which is lighter, warmer, greener, by how much; can people see it."""
    from matcher import service
    from matcher.cli import text
    from matcher.report.output import to_json

    if len(codes) < 2:
        raise typer.BadParameter("give two codes or more")
    result = service.compare_paints(codes, deck_path=deck)
    typer.echo(to_json(result) if as_json else text.comparison(result), nl=not as_json)


@app.command()
def near(
    code: Annotated[str, typer.Argument(metavar="CODE", help="A paint of the deck.")],
    same_lrv: Annotated[bool, typer.Option("--same-lrv", help="Nearest among paints of the same LRV.")] = False,
    deck: DeckFile = None,
    as_json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Find neighbours: nearest, same LRV but warmer or cooler, a step lighter or darker."""
    from matcher import service
    from matcher.cli import text
    from matcher.report.output import to_json

    result = service.near_paint(code, same_lrv=same_lrv, deck_path=deck)
    typer.echo(to_json(result) if as_json else text.near(result), nl=not as_json)
