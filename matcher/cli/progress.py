"""Progress on stderr: a bar where that is a terminal, else one line a step; stdout stays clean."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import typer

Progress = Callable[[str], None]
Counted = Callable[[int, int, str], None]
_TENTHS = 10


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
def counted(*, quiet: bool) -> Iterator[Counted]:
    """Give what the service calls with how much is done, of how much, and the step: a bar that fills and tells how long
    it will take, or a line for every tenth.
    """
    if quiet:
        yield lambda done, of, step: None
    elif sys.stderr.isatty():
        from rich.console import Console
        from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

        columns = (
            BarColumn(bar_width=24),
            MofNCompleteColumn(),
            TextColumn("{task.description}", markup=False),
            TimeRemainingColumn(),
        )
        with Progress(*columns, console=Console(stderr=True), transient=True) as shown:
            task = shown.add_task("", total=None)
            yield lambda done, of, step: shown.update(task, description=step, completed=done, total=of)
    else:
        yield _tenths()


def _tenths() -> Counted:
    said: set[tuple[str, int]] = set()

    def say(done: int, of: int, step: str) -> None:
        tenth = (step, _TENTHS * done // max(of, 1))
        if tenth not in said:
            said.add(tenth)
            typer.echo(f"{step}: {done} of {of}", err=True)

    return say


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
