"""What fills an area: lines by kind, told apart by angle, distance and dash, never by colour."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, NamedTuple

from renderer.drawing.boxes import LINE, Occupied, pieces
from renderer.drawing.pens import (
    HATCH,
    HATCH_CHAIN,
    HATCH_DOTTED,
    HATCH_SHORT_DASHED,
    HATCH_WATER,
)
from renderer.geometry.lines import chain
from renderer.geometry.rings import hatch
from renderer.plan.kinds import drawn_as
from renderer.primitives import Line, Pen

if TYPE_CHECKING:
    from renderer.geometry.lines import Chain, Segment

# What text pays to lie on a hatched area; the lines break behind it.
HATCH_WEIGHT = 0.02


class Ruling(NamedTuple):
    """A set of parallel lines: angle anticlockwise in degrees, distance in mm, pen."""

    angle_deg: float
    pitch_mm: float
    pen: Pen


FILLS: dict[str, tuple[Ruling, ...]] = {
    "flush": (Ruling(0, 4.0, HATCH), Ruling(90, 4.0, HATCH)),
    "kerb": (Ruling(90, 2.5, HATCH),),
    "wall": (Ruling(45, 1.5, HATCH),),
    "fence": (Ruling(135, 2.5, HATCH),),
    "hedge": (Ruling(60, 2.5, HATCH_SHORT_DASHED), Ruling(120, 2.5, HATCH_SHORT_DASHED)),
    "bed": (Ruling(45, 2.0, HATCH_SHORT_DASHED),),
    "water": (Ruling(0, 1.8, HATCH_WATER),),
    "drop": (Ruling(90, 1.8, HATCH_SHORT_DASHED),),
    "road": (Ruling(0, 3.0, HATCH),),
    "neighbour": (Ruling(45, 4.0, HATCH_CHAIN),),
    "firm": (Ruling(45, 2.0, HATCH), Ruling(135, 2.0, HATCH)),
    "low": (Ruling(135, 2.0, HATCH_SHORT_DASHED),),
    "soft": (Ruling(0, 2.0, HATCH_DOTTED), Ruling(90, 2.0, HATCH_DOTTED)),
    "tree": (),
    "feature.paving": (Ruling(0, 5.0, HATCH_SHORT_DASHED), Ruling(90, 5.0, HATCH_SHORT_DASHED)),
    "feature.slope": (Ruling(90, 6.0, HATCH_SHORT_DASHED),),
    "feature.building": (Ruling(45, 3.0, HATCH),),
    "feature.play": (Ruling(60, 5.0, HATCH_SHORT_DASHED),),
    "feature.metal": (Ruling(45, 5.0, HATCH_SHORT_DASHED), Ruling(135, 5.0, HATCH_SHORT_DASHED)),
    "mown": (Ruling(45, 5.0, HATCH),),
    "trim": (Ruling(30, 1.5, HATCH),),
    "out": (Ruling(45, 2.0, HATCH), Ruling(135, 2.0, HATCH)),
}


def fill(kind: str, rings: Sequence[Chain]) -> tuple[tuple[Line, ...], tuple[Occupied, ...]]:
    """The lines that fill the rings, if their kind has any, and what labels pay to lie there."""
    lines: list[Line] = []
    obstacles: list[Occupied] = []
    for rule in FILLS.get(drawn_as(kind), ()):
        rows = hatch(rings, rule.pitch_mm, rule.angle_deg)
        lines.extend(_drawn(rows, rule.pen))
        for a, b in rows:
            boxes = pieces(chain((a, b)), rule.pen.width_mm, 20.0)
            obstacles.extend(Occupied(box, LINE, HATCH_WEIGHT) for box in boxes)
    return tuple(lines), tuple(obstacles)


def _drawn(rows: Iterable[Segment], pen: Pen) -> Iterable[Line]:
    for a, b in rows:
        if abs(a[0] - b[0]) + abs(a[1] - b[1]) > pen.width_mm:
            yield Line(
                ((round(a[0], 3), round(a[1], 3)), (round(b[0], 3), round(b[1], 3))),
                pen,
                role="hatch",
            )
