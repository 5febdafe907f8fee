"""Help that lists every command in full: a line each where the terminal is wide enough, never cut."""

from __future__ import annotations

from typing import Any

from typer.core import TyperGroup

_ENDLESS = 1000  # characters: no first sentence is longer


class FullListing(TyperGroup):
    """A group of commands whose help says the first sentence of each command whole; narrow terminals wrap it."""

    # Context and formatter are click's in some releases of typer and typer's own in others.
    def format_commands(self, ctx: Any, formatter: Any) -> None:
        """Write the commands, in the order they were added."""
        found = [(name, self.get_command(ctx, name)) for name in self.list_commands(ctx)]
        rows = [(name, one.get_short_help_str(_ENDLESS)) for name, one in found if one is not None and not one.hidden]
        if rows:
            with formatter.section("Commands"):
                formatter.write_dl(rows)
