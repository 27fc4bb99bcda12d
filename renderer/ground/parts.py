"""The separately mown parts of a loop: the machine goes from one to another only by hand."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely

if TYPE_CHECKING:
    from renderer.ground.lay import LoopLay


@dataclass(frozen=True, slots=True)
class MownPart:
    """A part of a loop's working area: its lawn's name, numbered where it has several; in m2."""

    name: str
    area_m2: float
    at_start: bool  # where the wire starts: the dock's or generator's part


def mown_parts(loop: LoopLay) -> tuple[MownPart, ...]:
    """All parts of a loop, that of its start first, then the largest."""
    outer = [ring for ring in loop.rings if ring.kind == "outer"]
    if not outer:
        return ()
    start = shapely.Point(loop.start)
    home = int(np.argmin([shapely.distance(shapely.linestrings(r.points), start) for r in outer]))
    found = []
    for k, ring in enumerate(outer):
        ground = shapely.make_valid(shapely.Polygon(ring.points))
        area = float(shapely.intersection(ground, loop.working).area)
        found.append((k != home, -area, ring.lawn))
    count = Counter(ring.lawn for ring in outer)
    told: Counter[str] = Counter()
    parts = []
    for away, less, lawn in sorted(found):
        told[lawn] += 1
        name = f"{lawn} {told[lawn]}" if count[lawn] > 1 else lawn
        parts.append(MownPart(name, -less, not away))
    return tuple(parts)
