"""What tests of several packages share."""

from __future__ import annotations

import os

# One thread a library: the machine is shared, and the test suite's timing should not depend on its neighbours.
os.environ.setdefault("OMP_NUM_THREADS", "1")
