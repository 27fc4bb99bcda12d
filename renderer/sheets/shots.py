"""The photographs that a crew takes: of what, and where along the wire or on the ground."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Literal

from renderer.frozen import dataclass
from renderer.ground.parts import along_edges, part_names
from renderer.plan.kinds import FEATURES
from renderer.sheets.sheet import Sheet

if TYPE_CHECKING:
    from renderer.ground.lay import LoopLay, Point
    from renderer.plan.model import Feature, Obstacle

Group = Literal["before", "laying", "connected", "after"]


@dataclass(frozen=True, slots=True)
class Shot:
    """One photograph: ``at_m`` along a loop, ``at`` on the ground, where it has such places."""

    group: Group
    text: str
    at: Point | None = None
    at_m: float | None = None
    loop: LoopLay | None = None


def shots(sheet: Sheet) -> tuple[Shot, ...]:
    """All photographs of a job in the order in which they are taken."""
    return (
        *_lawns(sheet, "before"),
        *_marks(sheet),
        *(shot for loop in sheet.job.lay.loops for shot in _along(sheet, loop)),
        *_unringed(sheet),
        *_connected(sheet),
        *_lawns(sheet, "after"),
        Shot("after", sheet.words("photo.pages")),
    )


def _lawns(sheet: Sheet, when: Literal["before", "after"]) -> Iterator[Shot]:
    for lawn in sheet.job.plan.lawns:
        yield Shot(when, sheet.words(f"photo.lawn.{when}", lawn=lawn.name))


def _marks(sheet: Sheet) -> Iterator[Shot]:
    """The marks of buried services before anything is driven into the ground."""
    for feature in sheet.job.plan.features:
        if FEATURES[feature.kind].flagged:
            yield Shot("before", sheet.words("photo.marks", name=feature.name), _place(feature))


def _along(sheet: Sheet, loop: LoopLay) -> Iterator[Shot]:
    """Splices, crossings and branches as the walk comes to them."""
    words = sheet.words
    starts = {leg.part: leg.from_m for leg in loop.legs if not leg.back}
    found = [
        Shot("laying", words("photo.splice", splice=each.id), (each.x, each.y), each.at_m, loop)
        for each in loop.splices
    ]
    for lead in loop.leads:
        under = words("leg.under", under=lead.under) if lead.under else ""
        text = words(f"photo.{lead.kind}", of=part_names(loop)[lead.id], under=under)
        x, y = lead.points[0].tolist()
        found.append(Shot("laying", text, (x, y), starts[lead.id], loop))
    return iter(sorted(found, key=lambda shot: shot.at_m or 0.0))


def _unringed(sheet: Sheet) -> Iterator[Shot]:
    """Obstacles without a ring of their own: the machine turns at them, or a bay goes round."""
    ringed = {name for ring in sheet.job.islands for name in ring.obstacles}
    in_bays = along_edges(sheet.job.plan, sheet.job.lay.loops)
    for obstacle in sheet.job.plan.obstacles:
        if obstacle.name not in ringed:
            key = "bay" if obstacle.name in in_bays else "obstacle"
            text = sheet.words(f"photo.{key}", name=obstacle.name)
            yield Shot("laying", text, _place(obstacle))


def _connected(sheet: Sheet) -> Iterator[Shot]:
    words = sheet.words
    for loop, laid in sheet.job.loops():
        kind = "dock" if loop.dock else "generator"
        yield Shot("connected", words(f"photo.{kind}", name=loop.name), laid.start, 0.0, laid)
        if loop.supply is not None:
            yield Shot("connected", words("photo.supply", name=loop.name), loop.supply.at)


def _place(thing: Feature | Obstacle) -> Point:
    """A point of a thing that tapes can be held at."""
    if thing.circle is not None:
        return thing.circle.at
    at: Point | None = getattr(thing, "at", None)
    if at is not None:
        return at
    line: Sequence[Point] = getattr(thing, "line", None) or thing.polygon or ()
    return line[0]
