"""Values made small while they wait: as bytes that any process of this program can open again."""

from __future__ import annotations

import pickle
import zlib
from collections.abc import Iterable, Iterator, Sequence
from typing import Any, Generic, TypeVar, overload

T = TypeVar("T")
HELD = 16  # values of one kind that are held as they are, before more are packed
SPEED = 1  # of zlib: values are written and read a few times, and small is not the aim


def packed(value: object) -> bytes:
    """A value as a few bytes, which any process of this program can unpack."""
    return zlib.compress(pickle.dumps(value, pickle.HIGHEST_PROTOCOL), SPEED)


def unpacked(data: bytes) -> Any:
    """The value that ``packed`` made the bytes from."""
    return pickle.loads(zlib.decompress(data))


class Packed(Sequence[T], Generic[T]):
    """Values in a fortieth of their room, all made again each time that any is asked for.

    For what is looked at once or twice and late, such as what stands on a page.
    """

    def __init__(self, values: Iterable[T]) -> None:
        held = tuple(values)
        self._count = len(held)
        self._data = packed(held)

    def _all(self) -> tuple[T, ...]:
        values: tuple[T, ...] = unpacked(self._data)
        return values

    def __len__(self) -> int:
        return self._count

    def __iter__(self) -> Iterator[T]:
        return iter(self._all())

    @overload
    def __getitem__(self, index: int) -> T: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[T]: ...
    def __getitem__(self, index: int | slice) -> T | Sequence[T]:
        return self._all()[index]
