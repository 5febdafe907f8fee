"""Make ``cie_tables.npz``: CIE's illuminants, the components of daylight and the two observers, as colour-science has
them (CIE 015:2018 and CIE's data files; colour-science is BSD-3-Clause).

Kept as a file because importing the library takes a second, which every ranking of a room that says something of its
light would wait for. Run it from the repository root: ``python -m matcher.colorimetry.data.make_cie_tables``.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np

from matcher.colorimetry.colour_library import colour_library

TABLES = Path(__file__).with_name("cie_tables.npz")
OBSERVERS = {2: "CIE 1931 2 Degree Standard Observer", 10: "CIE 1964 10 Degree Standard Observer"}


def cie_tables() -> dict[str, Any]:
    """Return each table by its key: ``lamp NAME`` and ``daylight S0`` to ``S2`` as rows of nm and power, ``observer 2``
    and ``10`` as x, y, z at every nm from 360 to 830.
    """
    colour = colour_library()
    lamps = {f"lamp {name}": table for name, table in colour.SDS_ILLUMINANTS.items() if not name.startswith("ISO")}
    basis = colour.colorimetry.SDS_BASIS_FUNCTIONS_CIE_ILLUMINANT_D_SERIES
    curves = {**lamps, **{f"daylight {name}": basis[name] for name in ("S0", "S1", "S2")}}
    return {
        **{key: np.array([table.wavelengths, table.values]) for key, table in curves.items()},
        **{f"observer {deg}": np.array(colour.MSDS_CMFS[name].values) for deg, name in OBSERVERS.items()},
    }


if __name__ == "__main__":
    np.savez_compressed(TABLES, **cie_tables())
