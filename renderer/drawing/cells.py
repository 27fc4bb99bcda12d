"""How a plan too large for one sheet is cut: the ground of each loop in cells of its own.

A crew lays one loop after the other, so the sheets of a loop hang together; loops share sheets
only where that saves one. Neighbours in the grid of a loop overlap by 15 mm. A cell is as wide as
the paper and as high as what it shows, so that a low one leaves room for more on its page.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import shapely

from renderer.drawing.errors import DrawError
from renderer.drawing.plan import MARGIN_MM, ground_points
from renderer.drawing.scale import Fit
from renderer.drawing.view import View, centred
from renderer.geometry.lines import at_distances, chain, length
from renderer.geometry.rects import Rect, bounds, is_met
from renderer.ground.slope import feature_shape

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from renderer.geometry.lines import Chain, Point
    from renderer.ground.lay import Lay
    from renderer.plan.model import Plan

OVERLAP_MM = 15.0  # common practice, no published source
MOST_TILES = 400
MOST_ROWS = 10_000  # more than any grid has, so that a place is one number
TURNS = (0.0, 90.0)
# How the spare room of a grid of cells is shared out; centred on its ground first.
SHIFTS = tuple((x, y) for x in (0.5, 0.0, 0.25, 0.75, 1.0) for y in (0.5, 0.0, 0.25, 0.75, 1.0))
CORNER_KEY_MM = (42.0, 28.0)  # most width and height of a key plan in a corner of its sheet
CLEAR_MM = 7.0  # between the key plan and any line: room for its names
LEAST_MATCH_MM = 80.0  # of the height of a sheet with an upright match line: room for its name
CLEAR_OF_MM = 1.0  # between the edge of a sheet and the ground of another loop
LEAST_MARGIN_MM = 6.0  # at the edge of ground that so goes on fewer sheets
EDGE_MM = 0.5
SIDES = {"left": (0, -1), "right": (0, 1), "top": (-1, 0), "bottom": (1, 0)}


class Lot(NamedTuple):
    """The ground of some loops, in metres.

    ``lines`` are what its sheets must not leave out, ``points`` what they show as well where that
    takes no sheet more.
    """

    lines: tuple[Chain, ...]
    points: Chain

    def joined(self, other: Lot) -> Lot:
        """Both as one."""
        return Lot((*self.lines, *other.lines), np.concatenate((self.points, other.points)))


class Cell(NamedTuple):
    """A sheet to be: its place in the grid of its lot, and its rectangle on the whole plan's paper.

    ``view`` puts the whole plan on that paper; ``name`` is its number among all sheets, ``corner``
    where on its own paper a key plan may stand.
    """

    row: int
    column: int
    view: View
    rect: Rect
    name: str = ""
    corner: Rect | None = None

    @property
    def ground(self) -> tuple[Point, ...]:
        """The four corners in metres."""
        return tuple(self.view.back(corner) for corner in self.rect.corners())

    @property
    def own_view(self) -> View:
        """The view that draws it, from its own top left corner."""
        whole, rect = self.view, self.rect
        paper = (whole.paper[0] - rect.x0, whole.paper[1] - rect.y0)
        frame = Rect(0, 0, rect.width, rect.height)
        return View(whole.scale, whole.rotation_deg, whole.ground, paper, frame)


class Cutting(NamedTuple):
    """The lots of a plan and the cells of each, in the order of the loops.

    ``things`` are the outlines of features in metres, which a key plan keeps clear of as well.
    """

    lots: tuple[Lot, ...]
    cells: tuple[tuple[Cell, ...], ...]
    things: tuple[Chain, ...]

    @property
    def sheets(self) -> tuple[Cell, ...]:
        return tuple(itertools.chain.from_iterable(self.cells))

    @property
    def is_split(self) -> bool:
        """Whether the ground of a loop goes over several sheets."""
        return any(len(each) > 1 for each in self.cells)

    def has_key_under(self, cell: Cell) -> bool:
        """Whether a sheet has its key plan under it, for want of a corner.

        Where nothing is split, sheets are found without one and those with a free corner show it.
        """
        if cell.corner:
            return False
        return self.is_split or not any(each.corner for each in self.sheets)


def cut(plan: Plan, lay: Lay, box_mm: tuple[float, float], scale: float, turn: float) -> Cutting:
    """The plan at 1:``scale`` and a turn in degrees in cells of at most ``box_mm``.

    Raises ``DrawError`` where that would take more than 400.
    """
    view = centred(ground_points(plan, lay), Fit(scale, turn), Rect(0, 0, *box_mm))
    lots: list[Lot] = []
    cells: list[tuple[Cell, ...]] = []
    for lot in _lots(plan, lay):
        own = _cells(lot, view, box_mm)
        for number, other in enumerate(lots):
            both = other.joined(lot)
            shared = _cells(both, view, box_mm)
            if len(shared) < len(cells[number]) + len(own):
                lots[number], cells[number] = both, shared
                break
        else:
            lots.append(lot)
            cells.append(own)
    shapes = (feature_shape(feature) for feature in plan.features)
    things = tuple(shapely.get_coordinates(shape) for shape in shapes)
    return _finished(lots, cells, things)


def enlarged(
    cutting: Cutting, number: int, box_mm: tuple[float, float], scale: float
) -> Cutting | None:
    """The same with one lot at a larger scale; nothing where it then takes more sheets."""
    (old, *_), lot = cutting.cells[number], cutting.lots[number]
    whole = old.view
    view = View(scale, whole.rotation_deg, whole.ground, whole.paper, whole.frame)
    lines = bounds([view.chain(line) for line in lot.lines])
    if _Grid.over(lines, view.chain(lot.points), box_mm).number > len(cutting.cells[number]):
        return None
    cells = list(cutting.cells)
    cells[number] = _cells(lot, view, box_mm)
    return _finished(cutting.lots, cells, cutting.things)


def _lots(plan: Plan, lay: Lay) -> list[Lot]:
    """The ground of each loop, and which other points of the plan lie nearest to it."""
    lines: dict[str, list[Chain]] = {loop.name: [loop.path] for loop in lay.loops}
    for lawn in lay.lawns:
        lines.setdefault(lawn.loop, []).append(np.asarray(lawn.outline.exterior.coords))
    for loop in plan.loops:
        if loop.supply:
            lines.setdefault(loop.name, []).append(chain([loop.supply.at, loop.supply.at]))
    points = ground_points(plan, lay)
    nearest = np.argmin([_away(points, np.concatenate(each)) for each in lines.values()], axis=0)
    return [
        Lot(tuple(each), points[nearest == number]) for number, each in enumerate(lines.values())
    ]


def _away(points: Chain, line: Chain) -> NDArray[np.float64]:
    """How far each of the points is from the upright rectangle about a line."""
    low, high = line.min(axis=0), line.max(axis=0)
    outside: Chain = np.maximum(0.0, np.maximum(low - points, points - high))
    away: NDArray[np.float64] = np.hypot(outside[:, 0], outside[:, 1])
    return away


def _cells(lot: Lot, view: View, box_mm: tuple[float, float]) -> tuple[Cell, ...]:
    """The cells that show any of a lot, of the grid that needs the fewest of them."""
    lines = [view.chain(line) for line in lot.lines]
    dense = np.concatenate([_dense(line) for line in lines])
    grid = _Grid.over(bounds(lines), view.chain(lot.points), box_mm)
    if grid.number > MOST_TILES:
        raise DrawError(
            f"at 1:{view.scale:g} the plan would take {grid.number} sheets; give a smaller scale"
        )
    shifts = SHIFTS if grid.number > 1 else SHIFTS[:1]
    grids = [list(grid.cells(view, shift)) for shift in shifts]
    fewest = min(grids, key=lambda cells: _needed(cells, dense, box_mm))
    return tuple(cell for cell in fewest if any(_shows(line, _inner(cell)) for line in lines))


class _Grid(NamedTuple):
    """Cells of one size over a part of the paper, with a margin about it."""

    span: Rect
    box_mm: tuple[float, float]
    margin_mm: float

    @classmethod
    def over(cls, lines: Rect, points: Chain, box_mm: tuple[float, float]) -> _Grid:
        """That of the fewest cells; of as many, the one over the points too, the wider margin."""
        whole = bounds([chain(lines.corners()), points])
        grids = [
            cls(span, box_mm, margin)
            for margin in (MARGIN_MM, LEAST_MARGIN_MM)
            for span in (whole, lines)
        ]
        return min(grids, key=lambda grid: grid.number)

    @property
    def number(self) -> int:
        return self._columns * self._rows

    @property
    def _columns(self) -> int:
        return self._fitting(self.span.width, self.box_mm[0])

    @property
    def _rows(self) -> int:
        return self._fitting(self.span.height, self.box_mm[1])

    def _fitting(self, size: float, most: float) -> int:
        needed = (size + 2 * self.margin_mm - OVERLAP_MM) / (most - OVERLAP_MM)
        return max(1, math.ceil(needed - 1e-9))

    def cells(self, view: View, shift: Point) -> Iterator[Cell]:
        """The cells row by row; ``shift`` says how their spare room is shared, from 0 to 1."""
        span, margin, (wide, high) = self.span, self.margin_mm, self.box_mm
        across, down = wide - OVERLAP_MM, high - OVERLAP_MM
        spare = (
            self._columns * across + OVERLAP_MM - span.width - 2 * margin,
            self._rows * down + OVERLAP_MM - span.height - 2 * margin,
        )
        x0 = span.x0 - margin - shift[0] * spare[0]
        y0 = span.y0 - margin - shift[1] * spare[1]
        for row, column in itertools.product(range(self._rows), range(self._columns)):
            x, y = x0 + column * across, y0 + row * down
            yield Cell(row, column, view, Rect(x, y, x + wide, y + high))


def _inner(cell: Cell) -> Rect:
    """What lies within the match lines."""
    return cell.rect.grown(-OVERLAP_MM / 2)


def _dense(line: Chain) -> Chain:
    """Places along a line, about 2 mm from each other."""
    total = length(line)
    if total == 0:
        return line[:1]
    return at_distances(line, np.linspace(0.0, total, max(2, int(total / 2))))[0]


def _needed(cells: Sequence[Cell], dense: Chain, box_mm: tuple[float, float]) -> int:
    """In how many cells, within their match lines, any of the places lie."""
    first = _inner(cells[0])
    step = (box_mm[0] - OVERLAP_MM, box_mm[1] - OVERLAP_MM)
    places = np.floor((dense - (first.x0, first.y0)) / step).astype(np.int64)
    return len(np.unique(places[:, 0] * MOST_ROWS + places[:, 1]))


def _shows(line: Chain, rect: Rect) -> bool:
    return is_met(line, rect) or rect.holds((float(line[0, 0]), float(line[0, 1])))


def _finished(
    lots: Sequence[Lot], cells: Sequence[Sequence[Cell]], things: tuple[Chain, ...]
) -> Cutting:
    """The cells no higher than need be, with their names and the corner for a key plan."""
    names = map(str, itertools.count(1))
    low, grounds = [], []
    for lot, each in zip(lots, cells, strict=True):
        view = each[0].view
        own = _shown(lot, view)
        others = [_shown(other, view) for other in lots if other is not lot]
        near = np.concatenate((own[:0], *others))
        grounds.append(np.concatenate((own, near, *(_dense(view.chain(line)) for line in things))))
        low.append([_lowered(cell, own, near, around(cell, each)) for cell in each])
    size = _key_size([cell for each in low for cell in each])
    found = (
        tuple(_with_key(cell, next(names), ground, around(cell, each), size) for cell in each)
        for ground, each in zip(grounds, low, strict=True)
    )
    return Cutting(tuple(lots), tuple(found), things)


def _lowered(cell: Cell, own: Chain, others: Chain, beside: Mapping[str, Cell]) -> Cell:
    """The cell no higher than what it shows of its lot, and clear of other lots where it can be.

    Where it has a neighbour it ends with the overlap.
    """
    rect = cell.rect
    shown = own[_within(own, rect)][:, 1]
    low, high = float(shown.min()), float(shown.max())
    near = others[_within(others, rect)][:, 1]
    above = float(near[near < low].max(initial=rect.y0 - CLEAR_OF_MM)) + CLEAR_OF_MM
    under = float(near[near > high].min(initial=rect.y1 + CLEAR_OF_MM)) - CLEAR_OF_MM
    top = min(low - LEAST_MARGIN_MM, max(low - MARGIN_MM, above))
    foot = max(high + LEAST_MARGIN_MM, min(high + MARGIN_MM, under))
    top = rect.y0 if "top" in beside else max(rect.y0, top)
    foot = rect.y1 if "bottom" in beside else min(rect.y1, foot)
    if "left" in beside or "right" in beside:
        more = max(0.0, LEAST_MATCH_MM - (foot - top))
        top = max(rect.y0, top - more / 2)
        foot = min(rect.y1, max(foot, top + LEAST_MATCH_MM))
    return cell._replace(rect=Rect(rect.x0, top, rect.x1, foot))


def _within(points: Chain, rect: Rect) -> NDArray[np.bool_]:
    """Which of the points lie in the rectangle."""
    x, y = points[:, 0], points[:, 1]
    return (x >= rect.x0) & (x <= rect.x1) & (y >= rect.y0) & (y <= rect.y1)


def _shown(lot: Lot, view: View) -> Chain:
    """Places on the lines of a lot, and its points, on the paper of the whole plan."""
    lines = (_dense(view.chain(line)) for line in lot.lines)
    return np.concatenate((view.chain(lot.points), *lines))


def around(cell: Cell, cells: Sequence[Cell]) -> dict[str, Cell]:
    """The neighbours of a cell among those of its lot, by side."""
    at = {(each.row, each.column): each for each in cells}
    beside = {side: at.get((cell.row + r, cell.column + c)) for side, (r, c) in SIDES.items()}
    return {side: other for side, other in beside.items() if other is not None}


def _key_size(cells: Sequence[Cell]) -> tuple[float, float]:
    """The size in mm of a key plan of all sheets that may stand in a corner."""
    view = cells[0].view
    span = bounds([view.chain(chain(cell.ground)) for cell in cells])
    by = min(
        most / size for most, size in zip(CORNER_KEY_MM, (span.width, span.height), strict=True)
    )
    return span.width * by, span.height * by


def _with_key(
    cell: Cell,
    name: str,
    ground: Chain,
    beside: Mapping[str, Cell],
    size: tuple[float, float],
) -> Cell:
    """The cell with its name and the corner of that size which no ground comes near, if any."""
    inset = {side: OVERLAP_MM / 2 + 1.0 if side in beside else EDGE_MM for side in SIDES}
    left, right = cell.rect.x0 + inset["left"], cell.rect.x1 - inset["right"] - size[0]
    top, low = cell.rect.y0 + inset["top"], cell.rect.y1 - inset["bottom"] - size[1]
    for x, y in ((right, low), (right, top), (left, low), (left, top)):
        corner = Rect(x, y, x + size[0], y + size[1])
        if not _within(ground, corner.grown(CLEAR_MM)).any():
            return cell._replace(name=name, corner=corner.moved(-cell.rect.x0, -cell.rect.y0))
    return cell._replace(name=name)
