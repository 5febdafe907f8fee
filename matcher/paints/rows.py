"""What the deck formats share: rows gathered as columns, and what has to hold of every deck."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from matcher.colorimetry.lrv import lrv as lrv_of
from matcher.exchange.problems import Problems, shortened
from matcher.paints.deck import Deck, FloatArray

# A published LRV is Y of the 10 degree observer and often a whole number, and a hex colour is rounded to 8 bits. Over
# all 1269 measured Munsell chips Y(10) - Y(2) ran from -3.3 to +2.0 points, computed with the CIE observers; half a
# point for the rounded figure and half for hex leave 4.3.
LRV_TOLERANCE = 4.5


@dataclass(frozen=True, slots=True, eq=False)
class Columns:
    """N paints as a format gives them: ``rows`` names each one's place.

    NaN in ``lrv`` (N,) and ``reflectance`` (N, 36) is absent, in ``lab`` (N, 3) unreadable and already a problem.
    ``tins``, ``coverage`` and ``sheen`` as in :class:`matcher.paints.deck.Deck`.
    """

    rows: Sequence[str]
    codes: Sequence[str]
    names: Sequence[str]
    collections: Sequence[str]
    lab: FloatArray
    lrv: FloatArray
    exterior: NDArray[np.bool_]
    reflectance: FloatArray | None
    tins: Sequence[tuple[float, ...]] | None = None
    coverage: FloatArray | None = None
    sheen: FloatArray | None = None


def joined(parts: Sequence[Columns]) -> Columns:
    """Return the paints of one part after those of the other; there is one at least."""
    if len(parts) == 1:
        return parts[0]
    return Columns(
        rows=[row for part in parts for row in part.rows],
        codes=[code for part in parts for code in part.codes],
        names=[name for part in parts for name in part.names],
        collections=[collection for part in parts for collection in part.collections],
        lab=np.concatenate([part.lab for part in parts]),
        lrv=np.concatenate([part.lrv for part in parts]),
        exterior=np.concatenate([part.exterior for part in parts]),
        reflectance=_stacked([part.reflectance for part in parts]),
        tins=None if parts[0].tins is None else [one for part in parts for one in part.tins or ()],
        coverage=_stacked([part.coverage for part in parts]),
        sheen=_stacked([part.sheen for part in parts]),
    )


def _stacked(parts: Sequence[FloatArray | None]) -> FloatArray | None:
    """Return the arrays one after the other; a column is in every part or in none."""
    there = [part for part in parts if part is not None]
    return np.concatenate(there) if there else None


def to_deck(columns: Columns, *, name: str, sha256: str, problems: Problems) -> Deck:
    """Check what every format has in common and return the deck; mistakes are added to ``problems``.

    A published LRV that disagrees with the colour by more than ``LRV_TOLERANCE`` is one.
    """
    _check_codes(columns, problems)
    computed = np.asarray(lrv_of(columns.lab), dtype=float)
    with np.errstate(invalid="ignore"):
        apart = np.abs(columns.lrv - computed) > LRV_TOLERANCE
    for index in np.flatnonzero(apart).tolist():
        problems.add(
            f"{columns.rows[index]}, column lrv",
            f"{columns.lrv[index]:g} disagrees with the colour, whose LRV is {computed[index]:.1f}",
            f"They may differ by {LRV_TOLERANCE:g} points; correct the one that is wrong, or leave lrv empty.",
        )
    return Deck(
        name=name,
        sha256=sha256,
        codes=tuple(columns.codes),
        names=tuple(columns.names),
        collections=tuple(columns.collections),
        lab=_frozen(columns.lab),
        lrv=_frozen(np.where(np.isnan(columns.lrv), computed, columns.lrv)),
        exterior=_frozen(columns.exterior),
        reflectance=None if columns.reflectance is None else _frozen(columns.reflectance),
        tins=None if columns.tins is None else tuple(columns.tins),
        coverage=None if columns.coverage is None else _frozen(columns.coverage),
        sheen=None if columns.sheen is None else _frozen(columns.sheen),
    )


def _check_codes(columns: Columns, problems: Problems) -> None:
    if not columns.codes and not problems.found:
        problems.add("", "holds no paint", "Add at least one row below the header.")
    complete = all(columns.codes) and all(columns.names)
    if complete and len(set(columns.codes)) == len(columns.codes):
        return
    first_row: dict[str, str] = {}
    for row, code, name in zip(columns.rows, columns.codes, columns.names, strict=True):
        if not name:
            problems.add(f"{row}, column name", "is empty", "Give every paint a name.")
        if not code:
            problems.add(f"{row}, column code", "is empty", "Give every paint a code of its own.")
        elif code in first_row:
            problems.add(
                f"{row}, column code",
                f"{shortened(code)!r} stands already in {first_row[code]}",
                "Give each paint its own code.",
            )
        else:
            first_row[code] = row


def _frozen(array: NDArray[Any]) -> NDArray[Any]:
    array.setflags(write=False)
    return array
