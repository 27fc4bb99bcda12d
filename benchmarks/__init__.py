"""Ratios that tell how fast the renderer is, and how its time grows: ``python -m benchmarks``."""

import os

# One thread each for numpy's sums, before numpy is imported: what is measured is the work, not the
# wait of threads for each other over matrices of a garden's size.
for _of in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_of, "1")
