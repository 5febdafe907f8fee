"""All checks in one go: ``python -m tests`` from the repository root."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

ROOT = Path(__file__).parents[1]
LOOKS = (("ruff", "check", "."), ("ruff", "format", "--check", "."))
# It needs one core for as long as half of the tests do: it runs beside them.
TYPES = ("mypy",)
# Three at a time, a file each: servers and browsers beside them fill two cores; with more the same work takes longer.
TESTS = ("pytest", "-n", "3", "--dist", "loadfile", "--no-loadscope-reorder")
# In a new copy of the code nothing is compiled yet, and each of the three would do it for itself.
COMPILED, COMPILING = ROOT / "tests" / "__pycache__", ("pytest", "--collect-only")


def main() -> int:
    """Run every check, also after one failed, and return 1 if any did."""
    # What was compiled is kept, whatever the surroundings say: the tests start some hundred processes of this code.
    surroundings = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}

    def start(check: Sequence[str], said: object = None) -> subprocess.Popen[bytes]:
        return subprocess.Popen(
            [sys.executable, "-m", *check], cwd=ROOT, env=surroundings, stdout=said, stderr=said and subprocess.STDOUT
        )

    failed = [check for check in LOOKS if start(check).wait()]
    with tempfile.TemporaryFile() as said, tempfile.TemporaryFile() as unheard:
        types = start(TYPES, said)
        if not COMPILED.exists():
            start(COMPILING, unheard).wait()
        if start(TESTS).wait():
            failed.append(TESTS)
        if types.wait():
            failed.append(TYPES)
        said.seek(0)
        print(said.read().decode(errors="replace"), end="")
    for check in failed:
        print("failed:", *check, file=sys.stderr)
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
