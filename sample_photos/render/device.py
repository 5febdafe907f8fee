"""Mitsuba and Dr.Jit with their variant set: RENDER_VARIANT, or the CPU's."""

from __future__ import annotations

import os
from pathlib import Path

# Debian's LLVM 19; older ones crash on recent CPUs.
LLVM = "/usr/lib/x86_64-linux-gnu/libLLVM.so.19.1"
if "DRJIT_LIBLLVM_PATH" not in os.environ and Path(LLVM).exists():
    os.environ["DRJIT_LIBLLVM_PATH"] = LLVM
import drjit as dr  # noqa: E402 - the library is found by the variable above
import mitsuba as mi  # noqa: E402 - same reason

mi.set_variant(os.environ.get("RENDER_VARIANT", "llvm_ad_rgb"))
Float, UInt32, Bool, Vector3f = mi.Float, mi.UInt32, mi.Bool, mi.Vector3f

__all__ = ["Bool", "Float", "UInt32", "Vector3f", "dr", "mi"]
