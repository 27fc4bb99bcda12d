"""Measuring so that other load on the machine cancels: CPU time, paired, medians.

Milliseconds of one machine say little about another's; ratios of things that ran in turn do.
"""

from __future__ import annotations

import gc
import math
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
Work = Callable[[], object]
# Prints the most memory that this process has held, in MB, once it has run what stands before.
PEAK = """
import re, resource, sys
try:
    peak = int(re.search(r"VmHWM:\\s*(\\d+)", open("/proc/self/status").read())[1]) / 1024
except (OSError, TypeError):
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / (1024 if sys.platform == "linux" else 2**20)
print(peak)
"""  # noqa: E501


def cpu_s(job: Work) -> float:
    """CPU seconds of one call, all threads of this process."""
    gc.collect()
    start = time.process_time()
    job()
    return time.process_time() - start


def paired(jobs: Mapping[str, Work], rounds: int) -> dict[str, list[float]]:
    """CPU seconds of each job in each round; a round runs every job once, in turned order.

    One round before the first is not counted: it fills the caches that a second print has.
    """
    names = list(jobs)
    for name in names:
        jobs[name]()
    times: dict[str, list[float]] = {name: [] for name in names}
    for turn in range(rounds):
        start = turn % len(names)
        for name in names[start:] + names[:start]:
            times[name].append(cpu_s(jobs[name]))
    return times


def ratio(times: Mapping[str, Sequence[float]], name: str, base: str) -> float:
    """Median over the rounds of one job's time over another's of the same round."""
    return statistics.median(
        own / other for own, other in zip(times[name], times[base], strict=True)
    )


def median_ms(times: Sequence[float]) -> float:
    return 1000 * statistics.median(times)


def exponent(sizes: Sequence[float], times: Sequence[float]) -> float:
    """The power of size that time grows with: slope of the line fitted to their logarithms."""
    xs, ys = [math.log(size) for size in sizes], [math.log(max(t, 1e-9)) for t in times]
    return statistics.linear_regression(xs, ys).slope


def command_cpu_s(arguments: Sequence[str]) -> float:
    """CPU seconds of one run of this interpreter with the arguments, start and end included."""
    child = subprocess.Popen(
        [sys.executable, *arguments], cwd=ROOT, stdout=subprocess.DEVNULL, env=_environment()
    )
    _, status, usage = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    if child.returncode:
        raise RuntimeError(f"exit code {child.returncode} of {' '.join(arguments)}")
    return usage.ru_utime + usage.ru_stime


def peak_mb(code: str) -> float:
    """The most memory, in MB, that a fresh interpreter holds while it runs the code."""
    done = subprocess.run(
        [sys.executable, "-c", code + PEAK],
        cwd=ROOT,
        env=_environment(),
        check=True,
        capture_output=True,
        text=True,
    )
    return float(done.stdout.split()[-1])


def _environment() -> dict[str, str]:
    """This environment, with the checkout importable, its modules compiled as an install has them.

    Compiled modules go to a folder of their own, so that a checkout stays clean.
    """
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    compiled = str(Path(tempfile.gettempdir()) / f"pegline-benchmarks-{os.getuid()}")
    own = {"PYTHONPATH": str(ROOT), "PYTHONPYCACHEPREFIX": compiled, "OMP_NUM_THREADS": "1"}
    return kept | own
