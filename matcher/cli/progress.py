"""Progress on stderr, one line a step; stdout stays clean."""

from __future__ import annotations

from collections.abc import Callable

import typer

Progress = Callable[[str], None]


def progress(*, quiet: bool) -> Progress:
    """Return what the service calls with the step it begins."""

    def say(step: str) -> None:
        if not quiet:
            typer.echo(f"{step} …", err=True)

    return say
