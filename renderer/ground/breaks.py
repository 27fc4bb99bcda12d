"""Finding a break by halving: where to test the wire, in which order, what a meter should read."""

from __future__ import annotations

import math
from itertools import count, pairwise
from typing import TYPE_CHECKING

import numpy as np

from renderer.frozen import dataclass
from renderer.geometry.lines import points_at
from renderer.ground.stations import SAME_M
from renderer.trade import TEST_CLEAR_M, TEST_SEGMENT_M

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from renderer.ground.lay import LoopLay


@dataclass(frozen=True, slots=True)
class Probe:
    """A place to test the wire at; ``splice`` names the splice where it is one."""

    at_m: float
    x: float
    y: float
    splice: str = ""


@dataclass(frozen=True, slots=True)
class HalfTest:
    """One test of the order: at which place, as which one, and what comes after it.

    Places are counted from 1 between the segments; place ``n`` parts segment ``n`` from the next.
    ``if_whole`` is the place to test next where the wire is whole up to here, ``if_open`` where it
    is not; ``None`` where the break is then known to lie in the segment on that side.
    """

    place: int
    turn: int
    if_whole: int | None
    if_open: int | None


def probes(loop: LoopLay, most_m: float = TEST_SEGMENT_M) -> tuple[Probe, ...]:
    """Places that part the wire into pieces of ``most_m`` at the most, in the order of the walk.

    Each splice is one, since it can be opened without harm; the others lie evenly between, on
    rings and off the lead pairs, where nobody can tell which of two wires is tested. Only in a
    pair that is longer than ``most_m`` one lies on the pair.
    """
    splices = {splice.at_m: splice.id for splice in loop.splices}
    open_m = _ring_stretches(loop)
    found: list[float] = []
    stops = sorted({0.0, *splices, loop.length_m})
    for start, end in pairwise(stops):
        found.extend(_between(start, end, open_m, most_m))
        if end in splices:
            found.append(end)
    if not found:
        return ()
    points = np.round(points_at(loop.path, loop.at_m, found), 4)
    return tuple(
        Probe(at, float(x), float(y), splices.get(at, ""))
        for at, (x, y) in zip(found, points, strict=True)
    )


def numbered_probes(
    loops: Sequence[LoopLay],
) -> dict[str, tuple[tuple[Probe, int], ...]]:
    """The places to test at, by their loops' names, each with its number through the plan.

    A splice has its own name, and the number 0.
    """
    numbers = count(1)
    return {
        loop.name: tuple((probe, 0 if probe.splice else next(numbers)) for probe in probes(loop))
        for loop in loops
    }


def turns_needed(segments: int) -> int:
    """The most tests needed to find the one broken segment: the binary logarithm, rounded up.

    Raises ``ValueError`` for less than one segment.
    """
    if segments < 1:
        raise ValueError(f"{segments} segments cannot hold a break")
    return math.ceil(math.log2(segments))


def half_split(segments: int) -> tuple[HalfTest, ...]:
    """The order of tests by halves, a test for each place between the segments, by place."""
    turns_needed(segments)
    return tuple(sorted(_halved(1, segments, 1), key=lambda test: test.place))


def _halved(first: int, last: int, turn: int) -> Iterator[HalfTest]:
    """The tests for a break known to lie in the segments ``first`` to ``last``."""
    if first == last:
        return
    place = middle_place(first, last)
    before, after = (first, place), (place + 1, last)
    yield HalfTest(place, turn, _next(*after), _next(*before))
    yield from _halved(*before, turn + 1)
    yield from _halved(*after, turn + 1)


def middle_place(first: int, last: int) -> int:
    """The place that halves the segments from ``first`` to ``last``."""
    return (first + last) // 2


def _next(first: int, last: int) -> int | None:
    return None if first == last else middle_place(first, last)


def _ring_stretches(loop: LoopLay) -> tuple[tuple[float, float], ...]:
    """Where along the wire a test point may lie: on rings, clear of pairs and terminals."""
    return tuple(
        (leg.from_m + TEST_CLEAR_M, leg.to_m - TEST_CLEAR_M)
        for leg in loop.legs
        if leg.kind in ("outer", "island") and leg.length_m > 2 * TEST_CLEAR_M
    )


def _between(
    start: float, end: float, open_m: Sequence[tuple[float, float]], most: float
) -> Iterator[float]:
    """As few places as suffice between two stops, as evenly spread as the open stretches allow."""
    here = start
    while end - here > most + SAME_M:
        left = _least(here, end, open_m, most)
        aim = here + (end - here) / left
        fitting = (
            place
            for place in _nearest(aim, open_m)
            if here + TEST_CLEAR_M < place <= here + most
            and _least(place, end, open_m, most) < left
        )
        here = next(fitting, None) or _latest(here, open_m, most)
        yield here


def _least(here: float, end: float, open_m: Sequence[tuple[float, float]], most: float) -> int:
    """The least number of segments from a place to a stop."""
    count = 1
    while end - here > most + SAME_M:
        here = _latest(here, open_m, most)
        count += 1
    return count


def _latest(here: float, open_m: Sequence[tuple[float, float]], most: float) -> float:
    """The furthest place that can be tested within ``most``; on a pair where there is no other."""
    limit = here + most
    places = (min(limit, last) for first, last in open_m if first <= limit)
    return max((place for place in places if place > here + TEST_CLEAR_M), default=limit)


def _nearest(aim: float, open_m: Sequence[tuple[float, float]]) -> list[float]:
    """The open place nearest to ``aim`` of each stretch, the nearest first, to the centimetre."""
    places = []
    for first, last in open_m:
        rounded = round(min(max(aim, first), last), 2)
        places.append(rounded if first <= rounded <= last else min(max(aim, first), last))
    return sorted(places, key=lambda place: abs(place - aim))
