"""How progress is reported while work goes on, and how the work is shared out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Protocol, TypeVar

A = TypeVar("A")
B = TypeVar("B")

Progress = Callable[[int, int], None]  # called with the steps done and their total


class Mapped(Protocol):
    """The built-in ``map``, or one that shares the work out; results come in the order of values.

    What it is given to call, its values and its results can all be pickled.
    """

    def __call__(self, function: Callable[[A], B], values: Iterable[A], /) -> Iterator[B]: ...


class Work:
    """What is being worked on just now, the wider first: ``("job 2 of 9", "laying FH-100")``."""

    stages: tuple[str, ...] = ()


_WORK: ContextVar[Work | None] = ContextVar("work", default=None)


@contextmanager
def followed() -> Iterator[Work]:
    """What is worked on while the context lasts, for whoever tells a user of it."""
    work = Work()
    token = _WORK.set(work)
    try:
        yield work
    finally:
        _WORK.reset(token)


@contextmanager
def doing(what: str) -> Iterator[Progress]:
    """Says what is being done while the context lasts; gives what to call with steps and total.

    Work that may take seconds says so; nobody may be listening. A total of 0 is not known.
    """
    work = _WORK.get()
    if work is None:
        yield _unheard
        return
    wider = work.stages

    def step(done: int, count: int) -> None:
        work.stages = (*wider, f"{what} {done} of {count}" if count else f"{what} {done}")

    work.stages = (*wider, what)
    try:
        yield step
    finally:
        work.stages = wider


def _unheard(_done: int, _count: int) -> None:
    pass
