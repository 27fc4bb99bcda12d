"""How progress is reported while work goes on, and how the work is shared out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Protocol, TypeVar

A = TypeVar("A")
B = TypeVar("B")

Progress = Callable[[int, int], None]  # called with the steps done and their total


class Mapped(Protocol):
    """The built-in ``map``, or one that shares the work out; results come in the order of values.

    What it is given to call, its values and its results can all be pickled.
    """

    def __call__(self, function: Callable[[A], B], values: Iterable[A], /) -> Iterator[B]: ...
