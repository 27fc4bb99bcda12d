"""Tiles: a plan too large for one sheet at a readable scale, cut over several that fit each other.

Neighbours overlap by 15 mm; the match line lies in the middle of the overlap, at the
same place of the ground on both, and names the sheet that goes on there. Each tile
shows at least two points that can be found on the ground.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from renderer.drawing.boxes import LINE, Occupied, segment
from renderer.drawing.errors import DrawError
from renderer.drawing.keyplan import KeyPlan
from renderer.drawing.kinds import LabelKind
from renderer.drawing.labels import Label, text_size
from renderer.drawing.pens import MATCH, SIDE_TEXT
from renderer.drawing.plan import MARGIN_MM, PlanDrawing, ground_points, plan_drawing, view_drawing
from renderer.drawing.refs import SheetPoint, tile_references
from renderer.drawing.scale import Fit, best_fit, readable_scale, series, size_mm
from renderer.drawing.scene import LAYERS, MARK, Part, Pin, Scene
from renderer.drawing.spots import beside
from renderer.drawing.stations import marked
from renderer.drawing.view import View, centred
from renderer.drawing.waiting import in_little_room
from renderer.geometry.lines import at_distances, chain, length
from renderer.geometry.rects import Rect, bounds, clip_chain
from renderer.ground.setting_out import SettingOut
from renderer.primitives import Drawing, Line

if TYPE_CHECKING:
    from renderer.checks.finding import Finding
    from renderer.geometry.lines import Chain, Point
    from renderer.ground.lay import Lay
    from renderer.language import Words
    from renderer.plan.model import Plan

OVERLAP_MM = 15.0  # common practice, no published source
MATCH_WEIGHT = 8.0
MOST_TILES = 400
MOST_ROWS = 10_000  # more than any grid has, so that a place is one number
TURNS = (0.0, 90.0)
# How the spare room of a grid of tiles is shared out; centred on the plan first.
SHIFTS = tuple((x, y) for x in (0.5, 0.0, 0.25, 0.75, 1.0) for y in (0.5, 0.0, 0.25, 0.75, 1.0))


@dataclass(frozen=True, slots=True)
class Tile:
    """One sheet of a plan: its name, its drawing, which sheet goes on at each side.

    ``neighbours`` are (side, name) with side one of left, right, top, bottom; ``ground``
    are the four corners of the drawn ground in metres; ``references`` the points to
    find it by; ``key`` the key plan with this sheet marked.
    """

    name: str
    row: int
    column: int
    plan: PlanDrawing
    neighbours: tuple[tuple[str, str], ...]
    ground: tuple[Point, ...]
    references: tuple[SheetPoint, ...]
    key: Drawing | None

    @property
    def drawing(self) -> Drawing:
        return self.plan.drawing


@dataclass(frozen=True, slots=True)
class TileSet:
    """The sheets of a plan, one where it fits readably, and the key plan of several.

    ``key_turned`` makes the key plan as it lies at another turn in degrees.
    """

    key: Drawing | None
    tiles: tuple[Tile, ...]
    scale: float
    rotation_deg: float
    key_turned: Callable[[float], Drawing | None] = lambda turn: None

    @property
    def used(self) -> frozenset[str]:
        return frozenset().union(*(tile.plan.used for tile in self.tiles))


class _Cell(NamedTuple):
    """A tile to be: its name, place in the grid and rectangle on the paper of the whole plan."""

    name: str
    row: int
    column: int
    rect: Rect


def tiled(
    plan: Plan,
    lay: Lay,
    findings: Sequence[Finding],
    *,
    box_mm: tuple[float, float],
    inch_paper: bool,
    words: Words,
    scale: float | None = None,
    show: frozenset[str] = LAYERS,
    pins: tuple[Pin, ...] = (),
    sketch: bool = False,
    setting: SettingOut | None = None,
) -> TileSet:
    """The plan on as many sheets as it needs to stay readable, each at most ``box_mm``.

    A demanded ``scale`` is kept, on several sheets if need be. A ``sketch`` shows how the plan is
    cut and leaves the sheets empty, at a fraction of the cost. ``setting`` is as for
    ``plan_drawing``. Raises ``DrawError`` where that would take more than 400.
    """
    setting = setting or SettingOut(plan, lay)
    points = ground_points(plan, lay)
    room = (box_mm[0] - 2 * MARGIN_MM, box_mm[1] - 2 * MARGIN_MM)
    wanted = scale or readable_scale(plan, inch_paper=inch_paper)
    fitting = _fits_one(points, room, wanted, scale, inch_paper, plan)
    if fitting is not None:
        one = plan_drawing(
            plan,
            lay,
            findings,
            box_mm=box_mm,
            inch_paper=inch_paper,
            words=words,
            scale=fitting,
            show=show,
            pins=pins,
            setting=setting,
        )
        tile = Tile("1", 0, 0, one, (), (), (), None)
        return TileSet(None, (tile,), one.scale, one.rotation_deg)
    count = min(math.prod(_counts(size_mm(points, Fit(wanted, t)), box_mm)) for t in TURNS)
    if count > MOST_TILES:
        raise DrawError(f"at 1:{wanted:g} the plan would take {count} sheets; give a smaller scale")
    sheet = Rect(0, 0, *box_mm)
    cuts = []
    for turn in TURNS:
        view = centred(points, Fit(wanted, turn), sheet)
        scene = Scene(plan, lay, tuple(findings), view, words, setting, show, pins)
        cuts.append((scene, _best_cells(scene, bounds([view.chain(points)]), box_mm)))
    return _cut(*min(cuts, key=lambda found: len(found[1])), sketch)


def _fits_one(
    points: Chain,
    room: tuple[float, float],
    wanted: float,
    demanded: float | None,
    inch_paper: bool,
    plan: Plan,
) -> float | None:
    """The scale at which one sheet will do, if one does."""
    known = (demanded,) if demanded else series(inch_paper=inch_paper, units=plan.units)
    try:
        fit = best_fit(points, room, known)
    except DrawError:
        return None
    return fit.scale if fit.scale <= wanted else None


def _counts(size: tuple[float, float], box_mm: tuple[float, float]) -> tuple[int, int]:
    """Columns and rows of tiles for a plan of this size with its margins."""
    columns, rows = (
        max(1, math.ceil((size[i] + 2 * MARGIN_MM - OVERLAP_MM) / (box_mm[i] - OVERLAP_MM) - 1e-9))
        for i in (0, 1)
    )
    return columns, rows


def _cells(span: Rect, box_mm: tuple[float, float], shift: Point) -> Iterator[_Cell]:
    """The grid of tiles over the plan; ``shift`` says how its spare room is shared, from 0 to 1."""
    columns, rows = _counts((span.width, span.height), box_mm)
    step = (box_mm[0] - OVERLAP_MM, box_mm[1] - OVERLAP_MM)
    spare = (
        columns * step[0] + OVERLAP_MM - span.width - 2 * MARGIN_MM,
        rows * step[1] + OVERLAP_MM - span.height - 2 * MARGIN_MM,
    )
    x0 = span.x0 - MARGIN_MM - shift[0] * spare[0]
    y0 = span.y0 - MARGIN_MM - shift[1] * spare[1]
    for row in range(rows):
        for column in range(columns):
            x, y = x0 + column * step[0], y0 + row * step[1]
            yield _Cell("", row, column, Rect(x, y, x + box_mm[0], y + box_mm[1]))


def _best_cells(scene: Scene, span: Rect, box_mm: tuple[float, float]) -> list[_Cell]:
    """The tiles that show any of the plan, of the grid that needs the fewest of them."""
    lines = _lines(scene)
    dense = np.concatenate([_dense(line) for line in lines])
    grids = [list(_cells(span, box_mm, shift)) for shift in SHIFTS]
    fewest = min(grids, key=lambda cells: _needed(cells, dense, box_mm))
    shown = [
        cell
        for cell in fewest
        if any(_shows(line, cell.rect.grown(-OVERLAP_MM / 2)) for line in lines)
    ]
    return [cell._replace(name=str(i + 1)) for i, cell in enumerate(shown)]


def _lines(scene: Scene) -> list[Chain]:
    """What the sheets must not leave out, on the paper of the whole plan."""
    view = scene.view
    lines = [view.chain(np.asarray(lawn.outline.exterior.coords)) for lawn in scene.lay.lawns]
    lines += [view.chain(loop.path) for loop in scene.lay.loops]
    return lines + [view.chain(chain([p, p])) for p in _single_points(scene.plan)]


def _dense(line: Chain) -> Chain:
    """Places along a line, about 2 mm from each other."""
    total = length(line)
    if total == 0:
        return line[:1]
    return at_distances(line, np.linspace(0.0, total, max(2, int(total / 2))))[0]


def _needed(cells: Sequence[_Cell], dense: Chain, box_mm: tuple[float, float]) -> int:
    """In how many cells, within their match lines, any of the places lie."""
    first = cells[0].rect.grown(-OVERLAP_MM / 2)
    step = (box_mm[0] - OVERLAP_MM, box_mm[1] - OVERLAP_MM)
    places = np.floor((dense - (first.x0, first.y0)) / step).astype(np.int64)
    return len(np.unique(places[:, 0] * MOST_ROWS + places[:, 1]))


def _cut(scene: Scene, cells: Sequence[_Cell], sketch: bool) -> TileSet:
    view = scene.view
    grounds = {
        cell.name: tuple(view.back(corner) for corner in cell.rect.corners()) for cell in cells
    }
    names = {(cell.row, cell.column): cell.name for cell in cells}
    keys = KeyPlan(scene, grounds, view.rotation_deg)
    make = partial(_tile, scene, names=names, grounds=grounds, keys=keys, sketch=sketch)
    return TileSet(
        keys.plain,
        tuple(_waiting(make(cell), number) for number, cell in enumerate(cells)),
        view.scale,
        view.rotation_deg,
        lambda turn: KeyPlan(scene, grounds, turn).plain,
    )


def _waiting(tile: Tile, number: int) -> Tile:
    """The tile as it waits for its page to be written, with ``number`` others."""
    drawing = in_little_room(tile.drawing, number)
    return replace(tile, plan=replace(tile.plan, drawing=drawing))


def _single_points(plan: Plan) -> list[tuple[float, float]]:
    return [loop.supply.at for loop in plan.loops if loop.supply]


def _shows(line: Chain, rect: Rect) -> bool:
    return bool(clip_chain(line, rect)) or rect.holds((float(line[0, 0]), float(line[0, 1])))


def _tile(
    scene: Scene,
    cell: _Cell,
    names: Mapping[tuple[int, int], str],
    grounds: Mapping[str, tuple[Point, ...]],
    keys: KeyPlan,
    sketch: bool,
) -> Tile:
    """The tile of a cell; a sketch of one stays empty and has a key plan of the right size."""
    view = scene.view
    rect = cell.rect
    paper = (view.paper[0] - rect.x0, view.paper[1] - rect.y0)
    own = View(
        view.scale, view.rotation_deg, view.ground, paper, Rect(0, 0, rect.width, rect.height)
    )
    here = replace(scene, view=own)
    around = {"left": (0, -1), "right": (0, 1), "top": (-1, 0), "bottom": (1, 0)}
    neighbours = tuple(
        (side, names[(cell.row + dr, cell.column + dc)])
        for side, (dr, dc) in around.items()
        if (cell.row + dr, cell.column + dc) in names
    )
    references = () if sketch else tile_references(here)
    drawn = _empty(own) if sketch else _drawn(here, neighbours, references)
    key = keys.plain if sketch else keys.marked(cell.name)
    return Tile(
        cell.name, cell.row, cell.column, drawn, neighbours, grounds[cell.name], references, key
    )


def _empty(view: View) -> PlanDrawing:
    drawing = Drawing(view.frame.width, view.frame.height, (), scale=view.scale)
    return PlanDrawing(drawing, view.scale, view.rotation_deg, frozenset(), (), ())


def _drawn(
    scene: Scene, neighbours: Sequence[tuple[str, str]], references: Sequence[SheetPoint]
) -> PlanDrawing:
    """What the sheet shows, with its match lines and the points to find it by."""
    extra = [_match_line(scene, side, name) for side, name in neighbours]
    extra += [
        marked(
            ref.kind,
            f"found {ref.name}",
            scene.view.point(ref.at),
            ref.name,
            kind=LabelKind.FOUND,
        )
        for ref in references
        if ref.kind in ("corner", "grid")
    ]
    return view_drawing(scene, extra)


def _match_line(scene: Scene, side: str, name: str) -> Part:
    """The line at which the neighbour goes on, with its name, in the middle of the overlap."""
    frame, half = scene.view.frame, OVERLAP_MM / 2
    inner = frame.grown(-half)
    upright = side in ("left", "right")
    x = inner.x0 if side == "left" else inner.x1
    y = inner.y0 if side == "top" else inner.y1
    a, b = ((x, frame.y0), (x, frame.y1)) if upright else ((frame.x0, y), (frame.x1, y))
    text = scene.words["label.match"].format(name=name)
    size = text_size((text,), SIDE_TEXT)
    out = {"left": (-1.0, 0.0), "right": (1.0, 0.0), "top": (0.0, -1.0), "bottom": (0.0, 1.0)}[side]
    places = []
    for step in range(3, 38):
        share = step / 40
        at = (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
        places.append((at, out, abs(share - 0.5)))
        places.append((at, (-out[0], -out[1]), 1.0 + abs(share - 0.5)))
    spots = beside(places, size, 0.8, along=upright)
    label = Label(f"match {side}", (text,), SIDE_TEXT, LabelKind.MATCH_LINE, spots)
    obstacles = tuple(
        Occupied(segment(p, q, MATCH.width_mm), LINE, MATCH_WEIGHT) for p, q in _short(a, b)
    )
    return Part(((MARK, Line((a, b), MATCH, role="match")),), obstacles, (label,))


def _short(a: Point, b: Point, most: float = 10.0) -> Iterator[tuple[Point, Point]]:
    parts = max(1, math.ceil(math.hypot(b[0] - a[0], b[1] - a[1]) / most))
    steps = [
        (a[0] + (b[0] - a[0]) * i / parts, a[1] + (b[1] - a[1]) * i / parts)
        for i in range(parts + 1)
    ]
    yield from itertools.pairwise(steps)
