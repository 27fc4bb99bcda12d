"""What of a job other programs are given: each thing with its layer, its places and its facts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal

from renderer.geometry.lines import stretch
from renderer.ground.leg_names import peg_names

if TYPE_CHECKING:
    from renderer.geometry.lines import Chain
    from renderer.geometry.point import Point
    from renderer.ground.lay import LoopLay
    from renderer.job import Job
    from renderer.plan.model import Feature, Loop, Obstacle

Layer = Literal[
    "LAWNS", "OBSTACLES", "FEATURES", "FIXED-POINTS", "SUPPLY", "WIRE", "LEGS",
    "PEGS-ROUND-1", "PEGS-ROUND-2", "SPLICES", "DOCK",
]  # fmt: skip
Fact = str | float | int | bool | None
DECIMALS = 4  # of a metre: the laid path is rounded to 0.1 mm
_NO_FACTS: Mapping[str, Fact] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Thing:
    """A point, a line, a closed line, or a circle of ``radius_m`` about its one point; metres.

    ``facts`` are what a table or a map can show of it, the unit in the key.
    """

    layer: Layer
    name: str
    points: tuple[Point, ...]
    closed: bool = False
    radius_m: float | None = None
    facts: Mapping[str, Fact] = field(default_factory=lambda: _NO_FACTS)

    @property
    def is_point(self) -> bool:
        """Whether it has a place and no extent."""
        return len(self.points) == 1 and self.radius_m is None


def things(job: Job) -> Iterator[Thing]:
    """The ground, then the wire with its pegs, splices and docks, in the order of the plan."""
    yield from _ground(job)
    for point in job.plan.survey.points:
        yield Thing("FIXED-POINTS", point.name, (point.at,), facts={"what": point.what})
    for loop, laid in job.loops():
        yield from _loop(loop, laid)


def _ground(job: Job) -> Iterator[Thing]:
    for lawn in job.lay.lawns:
        outline = tuple((float(x), float(y)) for x, y in lawn.outline.exterior.coords)
        yield Thing("LAWNS", lawn.name, outline[:-1], closed=True, facts={"loop": lawn.loop})
    for obstacle in job.plan.obstacles:
        yield _area("OBSTACLES", obstacle)
    for feature in job.plan.features:
        if feature.at is not None:
            yield Thing("FEATURES", feature.name, (feature.at,), facts={"kind": feature.kind})
        elif feature.line is not None:
            yield Thing("FEATURES", feature.name, feature.line, facts={"kind": feature.kind})
        else:
            yield _area("FEATURES", feature)


def _area(layer: Layer, thing: Obstacle | Feature) -> Thing:
    facts = {"kind": thing.kind}
    if thing.circle is not None:
        return Thing(
            layer, thing.name, (thing.circle.at,), radius_m=thing.circle.radius, facts=facts
        )
    return Thing(layer, thing.name, thing.polygon or (), closed=True, facts=facts)


def _loop(loop: Loop, laid: LoopLay) -> Iterator[Thing]:
    of = {"loop": laid.name}
    start = loop.dock or loop.generator
    if start is not None:
        kind = "dock" if loop.dock else "generator"
        yield Thing("DOCK", laid.name, (laid.start,), facts=of | {"kind": kind})
    if loop.supply is not None:
        yield Thing("SUPPLY", laid.name, (loop.supply.at,), facts=of)
    length: dict[str, Fact] = {"length_m": rounded(laid.length_m)}
    yield Thing("WIRE", laid.name, _points(laid.path), facts=of | length)
    yield from _legs(laid)
    names = peg_names(laid)
    for peg in laid.pegs:
        peg_facts: dict[str, Fact] = {
            "at_m": rounded(peg.at_m),
            "also_at_m": None if peg.also_at_m is None else rounded(peg.also_at_m),
            "round": peg.round,
            "reason": peg.reason,
            "control": peg.control,
            "by_leg": names[peg.id],
        }
        layer: Layer = "PEGS-ROUND-1" if peg.round == 1 else "PEGS-ROUND-2"
        yield Thing(layer, peg.id, ((peg.x, peg.y),), facts=of | peg_facts)
    for splice in laid.splices:
        at: dict[str, Fact] = {"at_m": rounded(splice.at_m)}
        yield Thing("SPLICES", splice.id, ((splice.x, splice.y),), facts=of | at)


def _legs(laid: LoopLay) -> Iterator[Thing]:
    """The stretches of the wire by what they go round; the tails lie off the ground's path."""
    for leg in laid.legs:
        if leg.kind == "tail":
            continue
        points = _points(stretch(laid.path, laid.at_m, leg.from_m, leg.to_m)[0])
        facts: dict[str, Fact] = {
            "loop": laid.name,
            "kind": leg.kind,
            "from_m": rounded(leg.from_m),
            "to_m": rounded(leg.to_m),
            "back": leg.back,
        }
        yield Thing("LEGS", leg.of, points, facts=facts)


def _points(line: Chain) -> tuple[Point, ...]:
    """A line of the ground, unrounded; ``geometry.lines.as_points`` is for paper."""
    return tuple((x, y) for x, y in line.tolist())


def rounded(value: float) -> float:
    """A length as files hold it, to 0.1 mm."""
    return round(float(value), DECIMALS) + 0.0
