"""Progress on stderr: a bar where that is a terminal, else one line a step; stdout stays clean."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import typer

Progress = Callable[[str], None]


@contextmanager
def progress(*, quiet: bool, steps: int | None = None) -> Iterator[Progress]:
    """Give what the service calls with the step it begins.

    With ``steps``, how many there will be, the bar fills; without, it moves to and fro, since photos are read at once
    and no one can say how far they are.
    """
    if quiet:
        yield lambda step: None
    elif sys.stderr.isatty():
        with _bar(steps) as say:
            yield say
    else:
        yield lambda step: typer.echo(f"{step} …", err=True)


@contextmanager
def _bar(steps: int | None) -> Iterator[Progress]:
    # Only where somebody looks: it takes longer to load than some commands take.
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    columns = (BarColumn(bar_width=24), TextColumn("{task.description}", markup=False), TimeElapsedColumn())
    # Gone when the work is done: what was found stands on stdout.
    with Progress(*columns, console=Console(stderr=True), transient=True) as shown:
        task = shown.add_task("", total=steps)
        begun = 0

        def say(step: str) -> None:
            nonlocal begun
            shown.update(task, description=step, completed=begun)
            begun += 1

        yield say
