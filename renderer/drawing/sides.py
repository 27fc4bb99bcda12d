"""Line patterns of the side kinds, drawn on the outside of an outline.

Every pattern is a line or row of marks beside the outline, so that the outline
itself stays one exact line. Patterns differ by shape; the kind
and the setback stand beside it as text. To add a kind, write a function that takes
the side's chain on paper (outside to its right) and put it in ``PATTERNS``.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np

from renderer.drawing.pens import DOUBLE_CHAIN, ROUND, SHORT_DASHED, THIN, WAVES
from renderer.geometry.lines import as_points, aside, at_distances, length, spaced
from renderer.primitives import BLACK, Line, Pen

if TYPE_CHECKING:
    from renderer.geometry.lines import Chain

BAND_MM = 1.6
Draw = Callable[["Chain"], list[Line]]


def _beside(points: Chain, by: float, pen: Pen) -> Line:
    return Line(as_points(aside(points, by)), pen, role="side")


def _marks(
    points: Chain,
    pitch: float,
    shape: Callable[[int], list[tuple[float, float]]],
    pen: Pen | None,
    fill: str | None = None,
) -> list[Line]:
    """The same mark at even distances; its points are (along, outwards) in mm."""
    total = length(points)
    if total < pitch / 2:
        return []
    where, way = at_distances(points, spaced(total, pitch))
    out = np.column_stack((-way[:, 1], way[:, 0]))
    lines = []
    for i, (at, u, v) in enumerate(zip(where, way, out, strict=True)):
        local = np.array(shape(i))
        lines.append(
            Line(
                as_points(at + local[:, :1] * u + local[:, 1:] * v),
                pen,
                closed=fill is not None,
                fill=fill,
                role="side",
            )
        )
    return lines


def flush(points: Chain) -> list[Line]:
    """A dashed line close beside: paving that the wheels may run on."""
    return [_beside(points, 1.0, SHORT_DASHED)]


def kerb(points: Chain) -> list[Line]:
    """A second full line: the two edges of a kerb."""
    return [_beside(points, 0.9, THIN)]


def wall(points: Chain) -> list[Line]:
    """A band with slanting strokes, as walls are drawn in building plans."""
    strokes = _marks(points, 2.2, lambda i: [(-BAND_MM / 2, 0.0), (BAND_MM / 2, BAND_MM)], THIN)
    return [_beside(points, BAND_MM, THIN), *strokes]


def fence(points: Chain) -> list[Line]:
    """Crosses in a row, as fences are drawn in site plans."""
    r = 0.7
    up = _marks(points, 6.0, lambda i: [(-r, 0.9 - r), (r, 0.9 + r)], THIN)
    down = _marks(points, 6.0, lambda i: [(-r, 0.9 + r), (r, 0.9 - r)], THIN)
    return [*up, *down]


def hedge(points: Chain) -> list[Line]:
    """A row of half rounds."""
    bow = [(-1.2 * math.cos(a), 1.4 * math.sin(a)) for a in np.linspace(0, math.pi, 9).tolist()]
    return _marks(points, 2.6, lambda i: bow, ROUND)


def bed(points: Chain) -> list[Line]:
    """A row of small forks, as for planting."""
    return _marks(points, 3.2, lambda i: [(-0.7, 1.6), (0.0, 0.5), (0.7, 1.6)], ROUND)


def water(points: Chain) -> list[Line]:
    """A wavy line."""
    total = length(points)
    count = max(2, round(total / 1.6)) * 4
    where, way = at_distances(points, np.linspace(0, total, count + 1))
    out = np.column_stack((-way[:, 1], way[:, 0]))
    swing = 1.0 + 0.5 * np.sin(np.arange(count + 1) * math.pi / 2)
    return [Line(as_points(where + swing[:, None] * out), WAVES, role="side")]


def drop(points: Chain) -> list[Line]:
    """Solid teeth that point down the fall, as banks are drawn in maps."""
    return _marks(points, 2.8, lambda i: [(-0.7, 0.2), (0.7, 0.2), (0.0, 1.9)], None, BLACK)


def road(points: Chain) -> list[Line]:
    """Two full lines well apart: a carriageway's edge."""
    return [_beside(points, 1.0, THIN), _beside(points, 1.9, THIN)]


def neighbour(points: Chain) -> list[Line]:
    """A chain line with two dots, as for boundaries."""
    return [_beside(points, 1.0, DOUBLE_CHAIN)]


PATTERNS: dict[str, Draw] = {
    "flush": flush,
    "kerb": kerb,
    "wall": wall,
    "fence": fence,
    "hedge": hedge,
    "bed": bed,
    "water": water,
    "drop": drop,
    "road": road,
    "neighbour": neighbour,
}
