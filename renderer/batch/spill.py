"""Values kept in a file while a long document is made, so that memory holds one job at a time."""

from __future__ import annotations

import tempfile
from collections.abc import Iterable, Iterator, Sequence
from typing import Generic, Self, TypeVar, overload

from renderer.packed import packed, unpacked

T = TypeVar("T")


def raw(values: Sequence[object]) -> Iterator[bytes]:
    """Values packed; those of a ``Spill`` as they lie in its file."""
    return values.raw() if isinstance(values, Spill) else map(packed, values)


class Spill(Sequence[T], Generic[T]):
    """Values in a nameless temporary file, read back one at a time."""

    def __init__(self, values: Iterable[T] = ()) -> None:
        self._file = tempfile.TemporaryFile()  # noqa: SIM115 - lives as long as the values do
        self._places: list[tuple[int, int]] = []
        for value in values:
            self.add(packed(value))

    @classmethod
    def of(cls, values: Iterable[bytes]) -> Self:
        """The values of an iterable that are packed already."""
        spill = cls()
        for value in values:
            spill.add(value)
        return spill

    def add(self, value: bytes) -> None:
        """Appends a value that is already packed."""
        end = sum(self._places[-1]) if self._places else 0
        try:
            self._file.seek(end)
            self._file.write(value)
            self._file.flush()
        except OSError as error:  # a nameless file cannot say where there is no room
            folder = tempfile.gettempdir()
            raise OSError(error.errno, error.strerror, folder) from error
        self._places.append((end, len(value)))

    def raw(self) -> Iterator[bytes]:
        """The values as they were packed."""
        return (self._bytes(place) for place in self._places)

    def __len__(self) -> int:
        return len(self._places)

    @overload
    def __getitem__(self, index: int) -> T: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[T]: ...
    def __getitem__(self, index: int | slice) -> T | Sequence[T]:
        if isinstance(index, slice):
            return [unpacked(self._bytes(place)) for place in self._places[index]]
        value: T = unpacked(self._bytes(self._places[index]))
        return value

    def __iter__(self) -> Iterator[T]:
        return (unpacked(each) for each in self.raw())

    def _bytes(self, place: tuple[int, int]) -> bytes:
        start, length = place
        self._file.seek(start)
        return self._file.read(length)
