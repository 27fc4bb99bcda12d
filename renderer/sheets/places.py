"""Places along the wire that a customer can find again: terminals, splices, pairs, test points."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import count
from typing import TYPE_CHECKING, Literal

from renderer.frozen import dataclass
from renderer.ground.parts import part_names
from renderer.sheets.sheet import Sheet

if TYPE_CHECKING:
    from renderer.drawing import Pin
    from renderer.ground.breaks import HalfTest, Probe
    from renderer.ground.lay import LoopLay, Point

NEAR_M = 0.001
Kind = Literal["start", "splice", "test", "pair", "finish"]
PINNED = {"test": "test-point", "pair": "pair-end"}  # the others have a symbol of their own


@dataclass(frozen=True, slots=True)
class Place:
    """A place with its name on the plan, and the distance at which the wire comes to it first.

    ``what`` tells it in words, ``order`` is its part in finding a break by halves where it is one
    of the places to test at.
    """

    name: str
    kind: Kind
    what: str
    at_m: float
    at: Point
    order: HalfTest | None = None


@dataclass(frozen=True, slots=True, eq=False)
class LoopPlaces:
    """The places of a loop by running distance; ``tested`` are those that part its segments."""

    loop: LoopLay
    places: tuple[Place, ...]

    @property
    def tested(self) -> tuple[Place, ...]:
        return tuple(place for place in self.places if place.order is not None)

    @property
    def segments(self) -> int:
        return len(self.tested) + 1

    @property
    def first(self) -> Place | None:
        """The place to test first, where there is any."""
        return next((p for p in self.tested if p.order and p.order.turn == 1), None)


def places_of(sheet: Sheet) -> tuple[LoopPlaces, ...]:
    """The places of each loop; test points and ends of pairs are numbered through the plan."""
    from renderer.ground.breaks import numbered_probes

    loops, ends = sheet.job.lay.loops, count()
    tests = numbered_probes(loops)
    return tuple(
        LoopPlaces(loop, tuple(_ordered(sheet, loop, tests[loop.name], ends))) for loop in loops
    )


def pins(sheet: Sheet) -> tuple[Pin, ...]:
    """What the plan has to mark so that the places can be found on it."""
    from renderer.drawing import Pin

    return tuple(
        Pin(PINNED[place.kind], place.at, place.name)
        for loop in places_of(sheet)
        for place in loop.places
        if place.kind in PINNED
    )


def _ordered(
    sheet: Sheet, loop: LoopLay, tests: Sequence[tuple[Probe, int]], ends: Iterator[int]
) -> Iterator[Place]:
    words = sheet.words
    found = [*_probed(sheet, loop, tests), *_pair_ends(sheet, loop, ends)]
    station = words(f"place.{_station(sheet, loop)}")
    yield Place(words("place.start"), "start", station, 0.0, loop.start)
    yield from sorted(found, key=lambda place: place.at_m)
    finish = words("place.both", place=station)
    yield Place(words("place.finish"), "finish", finish, loop.length_m, loop.start)


def _station(sheet: Sheet, loop: LoopLay) -> str:
    planned = next(each for each in sheet.job.plan.loops if each.name == loop.name)
    return "dock" if planned.dock else "generator"


def _probed(sheet: Sheet, loop: LoopLay, found: Sequence[tuple[Probe, int]]) -> Iterator[Place]:
    """Splices and test points, with their part in the order of tests."""
    from renderer.ground.breaks import half_split

    words = sheet.words
    for (probe, number), order in zip(found, half_split(len(found) + 1), strict=True):
        on = _leg(sheet, loop, probe.at_m)
        name = probe.splice or words("place.test", number=number)
        what = words("place.splice", on=on) if probe.splice else on
        kind: Kind = "splice" if probe.splice else "test"
        yield Place(name, kind, what, probe.at_m, (probe.x, probe.y), order)


def _leg(sheet: Sheet, loop: LoopLay, at_m: float) -> str:
    """What the wire runs along at a running distance."""
    leg = next(leg for leg in loop.legs if leg.to_m >= at_m - NEAR_M)
    of = part_names(loop).get(leg.part, leg.of)
    return sheet.words(f"place.leg.{leg.kind}", of=of)


def _pair_ends(sheet: Sheet, loop: LoopLay, numbers: Iterator[int]) -> Iterator[Place]:
    """Both ends of each lead pair and crossing, in the order in which the wire leaves for them."""
    legs = {leg.part: leg for leg in loop.legs if not leg.back}
    lawns = {ring.id for ring in loop.rings if ring.kind == "outer"}
    pairs = [lead for lead in loop.leads if lead.id in legs]
    for lead in sorted(pairs, key=lambda lead: legs[lead.id].from_m):
        out = legs[lead.id]
        for end, at_m in (("near", out.from_m), ("far", out.to_m)):
            x, y = lead.points[0 if end == "near" else -1].tolist()
            name = sheet.words("place.pair", number=next(numbers) + 1)
            kind = "neck" if lead.kind == "lead" and lead.to_ring in lawns else lead.kind
            what = sheet.words(f"place.{kind}.{end}", of=part_names(loop)[lead.id])
            yield Place(name, "pair", what, at_m, (x, y))
