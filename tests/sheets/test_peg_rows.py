"""The pegs between two control pegs are found without a look at all pegs of the loop each time."""

from __future__ import annotations

from random import Random
from types import SimpleNamespace
from typing import Any

import pytest

from renderer.sheets.blocks.peg_list import NEAR_M, _between


class Looked(list[Any]):
    """A list that counts the looks at what it holds."""

    looks = 0

    def __getitem__(self, number: Any) -> Any:
        self.looks += 1
        return super().__getitem__(number)

    def __iter__(self) -> Any:
        self.looks += len(self)
        return super().__iter__()


def _pegs(count: int, chance: Random) -> Looked:
    """Pegs along a wire, a few listed out of their order, as moved ones may be."""
    pegs = [SimpleNamespace(id=str(n), at_m=round(0.75 * n, 4)) for n in range(count)]
    for _ in range(count // 20):
        a, b = chance.randrange(count), chance.randrange(count)
        pegs[a], pegs[b] = pegs[b], pegs[a]
    return Looked(pegs)


def _rows(pegs: Looked) -> int:
    """How often pegs are looked at for all rows of a list with every fourth a control peg."""
    loop: Any = SimpleNamespace(pegs=pegs)
    order = sorted(range(len(pegs)), key=lambda number: pegs[number].at_m)
    stations: list[Any] = [SimpleNamespace(at_m=pegs[number].at_m) for number in order[::4]]
    for before, here in zip([None, *stations[:-1]], stations, strict=True):
        low = (before.at_m if before else 0.0) + NEAR_M
        found = _between(loop, order, before, here)
        assert found == [p for p in list.__iter__(pegs) if low < p.at_m < here.at_m - NEAR_M]
    return pegs.looks


@pytest.mark.parametrize("number", range(3))
def test_the_work_for_all_rows_grows_with_their_number(number: int) -> None:
    few, many = (_rows(_pegs(count, Random(number))) for count in (200, 1600))
    assert many < 8 * 2 * few
