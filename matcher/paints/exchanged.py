"""A deck out of a file of an exchange format: colours with codes and names."""

from __future__ import annotations

import numpy as np

from matcher.exchange.problems import Problems
from matcher.exchange.samples import Samples
from matcher.paints.rows import Columns


def exchange_columns(samples: Samples | None, problems: Problems) -> Columns | None:
    """Return the columns of a deck, or None where there is none to be had; adds to ``problems``."""
    if samples is None:
        return None
    if samples.codes is None or samples.names is None:
        problems.add("the data format", "has neither SAMPLE_ID nor SAMPLE_NAME", "Export it with one of them.")
        return None
    count = len(samples.codes)
    return Columns(
        rows=samples.rows,
        codes=samples.codes,
        names=samples.names,
        collections=[""] * count,
        lab=samples.lab,
        lrv=np.full(count, np.nan),
        exterior=np.zeros(count, dtype=np.bool_),
        reflectance=samples.reflectance,
    )
