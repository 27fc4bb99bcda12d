"""Work shared out over processes: results in the order of the values, so the bytes are the same."""

from __future__ import annotations

import os
import signal
import threading
from collections import deque
from concurrent.futures import Future, ProcessPoolExecutor
from multiprocessing import parent_process
from typing import TYPE_CHECKING, Self, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

A = TypeVar("A")
B = TypeVar("B")
AHEAD = 4  # values that wait for each process: enough to keep it busy, few enough to hold


def cores() -> int:
    """The cores that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


class Workers:
    """A number of processes, used as a context, at whose end they are released.

    With one process all is done in this one. Functions, values and results have to be picklable.
    """

    def __init__(self, processes: int) -> None:
        self._processes = processes
        self._pool: ProcessPoolExecutor | None = None

    def __enter__(self) -> Self:
        if self._processes > 1:
            self._pool = ProcessPoolExecutor(self._processes, initializer=work_for_parent)
        return self

    def __exit__(self, *_: object) -> None:
        if self._pool is not None:
            self._pool.shutdown(cancel_futures=True)
            self._pool = None

    def map(self, function: Callable[[A], B], values: Iterable[A], /) -> Iterator[B]:
        """As the built-in ``map``; values are taken as there is room for them."""
        if self._pool is None:
            yield from map(function, values)
            return
        waiting: deque[Future[B]] = deque()
        for value in values:
            waiting.append(self._pool.submit(function, value))
            if len(waiting) >= AHEAD * self._processes:
                yield waiting.popleft().result()
        while waiting:
            yield waiting.popleft().result()


def work_for_parent() -> None:
    """Signals are for the process that shares the work out; when it ends, this one ends too."""
    for name in ("SIGINT", "SIGHUP"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
