"""Values kept in a file while a long document is made, so that memory holds one job at a time."""

from __future__ import annotations

import pickle
import tempfile
import zlib
from collections.abc import Iterable, Iterator, Sequence
from typing import Generic, TypeVar, overload

T = TypeVar("T")
SPEED = 1  # of zlib: pages are written and read a few times, and small is not the aim


class Spill(Sequence[T], Generic[T]):
    """The values of an iterable in a nameless temporary file, read back one at a time."""

    def __init__(self, values: Iterable[T]) -> None:
        self._file = tempfile.TemporaryFile()  # noqa: SIM115 - lives as long as the values do
        self._places: list[tuple[int, int]] = []
        for value in values:
            data = zlib.compress(pickle.dumps(value, pickle.HIGHEST_PROTOCOL), SPEED)
            self._places.append((self._file.tell(), len(data)))
            self._file.write(data)

    def __len__(self) -> int:
        return len(self._places)

    @overload
    def __getitem__(self, index: int) -> T: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[T]: ...
    def __getitem__(self, index: int | slice) -> T | Sequence[T]:
        if isinstance(index, slice):
            return [self._read(place) for place in self._places[index]]
        return self._read(self._places[index])

    def __iter__(self) -> Iterator[T]:
        return (self._read(place) for place in self._places)

    def _read(self, place: tuple[int, int]) -> T:
        start, length = place
        self._file.seek(start)
        value: T = pickle.loads(zlib.decompress(self._file.read(length)))
        return value
