"""Givens: paint for rooms where the worktop, floor, tile, stone and timber stay."""

import os

# Before numpy is imported, whose linear algebra (OpenBLAS) starts a thread a processor otherwise: our matrices are
# small, so its threads mostly wait for each other, and several rooms or visitors at once keep processors busy. Other
# processes that we start get it too. OpenCV's threads are its own, and whoever has set a number keeps it.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
