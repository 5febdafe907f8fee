"""All checks in one go: ``python -m tests`` from the repository root."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

CHECKS = (
    ("ruff", "check", "."),
    ("ruff", "format", "--check", "."),
    ("mypy",),
    # Two at a time, a file each: half of the time goes into waiting for servers and browsers.
    ("pytest", "-n", "2", "--dist", "loadfile"),
)


def main() -> int:
    """Run every check, also after one failed, and return 1 if any did."""
    root = Path(__file__).parents[1]
    failed = [
        check for check in CHECKS if subprocess.run([sys.executable, "-m", *check], cwd=root, check=False).returncode
    ]
    for check in failed:
        print("failed:", *check, file=sys.stderr)
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
