"""Tiles: a plan too large for one sheet at a readable scale, cut over several that fit each other.

Neighbours overlap by 15 mm; the match line lies in the middle of the overlap, at the
same place of the ground on both, and names the sheet that goes on there. Each tile
shows at least two points that can be found on the ground.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.drawing.boxes import LINE, SYMBOL, Box, Occupied, segment
from renderer.drawing.cells import CORNER_KEY_MM, OVERLAP_MM, TURNS, around, cut
from renderer.drawing.errors import DrawError, LeftOutError
from renderer.drawing.keyplan import KeyPlan
from renderer.drawing.kinds import LabelKind
from renderer.drawing.labels import Label, text_size
from renderer.drawing.pegs import peg_key
from renderer.drawing.pens import MATCH, SIDE_TEXT
from renderer.drawing.plan import (
    MARGIN_MM,
    PlanDrawing,
    ground_points,
    labelled,
    parts,
    plan_drawing,
)
from renderer.drawing.refs import SheetPoint, tile_references
from renderer.drawing.scale import best_fit, readable_scale, series
from renderer.drawing.scene import LAYERS, MARK, Part, Pin, Scene, joined
from renderer.drawing.scene import SYMBOL as SYMBOL_LAYER
from renderer.drawing.spots import beside
from renderer.drawing.stations import marked
from renderer.drawing.waiting import in_little_room
from renderer.frozen import dataclass
from renderer.ground.setting_out import SettingOut
from renderer.primitives import Drawing, Line, Text, shifted

if TYPE_CHECKING:
    from renderer.checks.finding import Finding
    from renderer.drawing.cells import Cell, Cutting
    from renderer.geometry.lines import Chain, Point
    from renderer.geometry.rects import Rect
    from renderer.ground.lay import Lay
    from renderer.language import Words
    from renderer.plan.model import Plan

MATCH_WEIGHT = 8.0
LEAST_CUT_MM = 5.0  # of a lawn at an edge, to be told where it goes on


@dataclass(frozen=True, slots=True)
class Tile:
    """One sheet of a plan: its name, its drawing, which sheet goes on at each side.

    ``neighbours`` are (side, name) with side one of left, right, top, bottom; ``ground``
    are the four corners of the drawn ground in metres; ``references`` the points to
    find it by; ``key`` the key plan with this sheet marked, where it is to stand under the drawing.
    """

    name: str
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
    rotation_deg: float
    key_turned: Callable[[float], Drawing | None] = lambda turn: None

    @property
    def used(self) -> frozenset[str]:
        return frozenset().union(*(tile.plan.used for tile in self.tiles))


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
    setting: SettingOut | None = None,
) -> TileSet:
    """The plan on as many sheets as it needs to stay readable, each at most ``box_mm``.

    A demanded ``scale`` is kept, on several sheets if need be. ``setting`` is as for
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
        tile = Tile("1", one, (), (), (), None)
        return TileSet(None, (tile,), one.rotation_deg)
    cuttings = (cut(plan, lay, box_mm, wanted, turn) for turn in TURNS)
    fewest = min(cuttings, key=lambda each: (len(each.sheets), each.is_split))
    return tiles(plan, lay, findings, fewest, words=words, show=show, pins=pins, setting=setting)


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


def tiles(
    plan: Plan,
    lay: Lay,
    findings: Sequence[Finding],
    cutting: Cutting,
    *,
    words: Words,
    show: frozenset[str] = LAYERS,
    pins: tuple[Pin, ...] = (),
    setting: SettingOut | None = None,
    all_numbered: bool = False,
) -> TileSet:
    """The sheets of a plan as it is cut, with match lines and key plans.

    Where ``all_numbered`` is asked for, raises ``LeftOutError`` after the first sheet that makes it
    certain that the number of a control peg will stand on none.
    """
    setting = setting or SettingOut(plan, lay)
    first = cutting.sheets[0]
    scene = Scene(plan, lay, tuple(findings), first.own_view, words, setting, show, pins)
    grounds = {cell.name: cell.ground for cell in cutting.sheets}
    turn = first.view.rotation_deg
    keys = KeyPlan(scene, grounds, turn)
    small = KeyPlan(scene, grounds, turn, CORNER_KEY_MM)
    missing = _Unnumbered(lay, cutting.sheets) if all_numbered else None
    found: list[Tile] = []
    for cells in cutting.cells:
        for cell in cells:
            key = keys if cutting.has_key_under(cell) else None
            own = replace(scene, view=cell.own_view)
            cut_off = tuple(_cut_off(own, cell, cells, cutting.sheets))
            tile = _tile(own, cell, cells, key, small, cut_off)
            if missing:
                missing.see(len(found), tile.drawing)
            found.append(_waiting(tile, len(found)))
    return TileSet(
        keys.plain,
        tuple(found),
        turn,
        lambda turn: KeyPlan(scene, grounds, turn).plain,
    )


class _Unnumbered:
    """The control pegs that no sheet has numbered yet, each with the last sheet that may."""

    def __init__(self, lay: Lay, sheets: Sequence[Cell]) -> None:
        pegs = [peg for loop in lay.loops for peg in loop.pegs if peg.control]
        places = np.array([(peg.x, peg.y) for peg in pegs]).reshape(-1, 2)
        last = np.zeros(len(pegs), dtype=np.int64)
        for number, cell in enumerate(sheets):
            frame, at = cell.own_view.frame, cell.own_view.chain(places)
            last[((at >= (frame.x0, frame.y0)) & (at <= (frame.x1, frame.y1))).all(axis=1)] = number
        self.last = {
            f"label {peg_key(peg.id)}": number
            for peg, number in zip(pegs, last.tolist(), strict=True)
        }

    def see(self, number: int, drawing: Drawing) -> None:
        """Takes off what a sheet numbers; raises where another peg can be numbered on none."""
        for item in drawing.items:
            if isinstance(item, Text) and item.role:
                self.last.pop(item.role, None)
        if any(last <= number for last in self.last.values()):
            raise LeftOutError(f"sheet {number + 1} has no room for the number of a control peg")


def _waiting(tile: Tile, number: int) -> Tile:
    """The tile as it waits for its page to be written, with ``number`` others."""
    drawing = in_little_room(tile.drawing, number)
    return replace(tile, plan=replace(tile.plan, drawing=drawing))


def _tile(
    scene: Scene,
    cell: Cell,
    cells: Sequence[Cell],
    keys: KeyPlan | None,
    small: KeyPlan,
    cut_off: Sequence[Part],
) -> Tile:
    """The tile of a cell; ``keys`` is the key plan under it, ``small`` that for a corner of it.

    ``cut_off`` names the sheets of what is cut off at its edges.
    """
    neighbours = tuple((side, other.name) for side, other in around(cell, cells).items())
    references = tile_references(scene, cell.corner)
    own = small.marked(cell.name) if cell.corner else None
    drawn = _drawn(scene, neighbours, references, cell.corner, own, cut_off)
    key = keys.marked(cell.name) if keys else None
    return Tile(cell.name, drawn, neighbours, cell.ground, references, key)


def _drawn(
    scene: Scene,
    neighbours: Sequence[tuple[str, str]],
    references: Sequence[SheetPoint],
    corner: Rect | None,
    key: Drawing | None,
    cut_off: Sequence[Part],
) -> PlanDrawing:
    """What the sheet shows, with its match lines, the points to find it by and its key plan."""
    extra = [*(_match_line(scene, side, name) for side, name in neighbours), *cut_off]
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
    whole = joined((*parts(scene), *extra))
    if corner and key:
        whole = joined((whole, _key_part(corner, key)))
    return labelled(scene, whole, whole)


def _key_part(corner: Rect, key: Drawing) -> Part:
    """The key plan in a corner of its sheet, where no name will cover it."""
    at = corner.centre
    x, y = at[0] - key.width_mm / 2, at[1] - key.height_mm / 2
    items = tuple((SYMBOL_LAYER, shifted(item, x, y)) for item in key.items)
    box = Box(*at, key.width_mm / 2 + 0.5, key.height_mm / 2 + 0.5)
    return Part(items, (Occupied(box, SYMBOL),))


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


def _cut_off(
    scene: Scene, cell: Cell, cells: Sequence[Cell], sheets: Sequence[Cell]
) -> Iterator[Part]:
    """Where a lawn of another lot is cut at an edge without a match line: the sheet that has it."""
    others = [(other, shapely.Polygon(other.ground)) for other in sheets if other not in cells]
    frame, kept = scene.view.frame, around(cell, cells)
    corners = dict(zip(("left", "top", "right", "bottom"), _edges(frame), strict=True))
    for side, edge in corners.items():
        for lawn in scene.lay.lawns if side not in kept else ():
            outline = shapely.transform(lawn.outline, scene.view.chain)
            across = max(
                shapely.get_parts(outline.intersection(shapely.LineString(edge))),
                key=lambda part: part.length,
                default=None,
            )
            if across is None or across.length < LEAST_CUT_MM:
                continue
            middle = across.interpolate(0.5, normalized=True)
            at = shapely.Point(scene.view.back((middle.x, middle.y)))
            name = next((other.name for other, ground in others if ground.contains(at)), None)
            if name:
                yield _goes_on(scene, side, lawn.name, name, across)


def _edges(frame: Rect) -> tuple[tuple[Point, Point], ...]:
    """The left, upper, right and lower edge of a frame."""
    x0, y0, x1, y1 = frame.x0, frame.y0, frame.x1, frame.y1
    return (
        ((x0, y0), (x0, y1)),
        ((x0, y0), (x1, y0)),
        ((x1, y0), (x1, y1)),
        ((x0, y1), (x1, y1)),
    )


def _goes_on(scene: Scene, side: str, lawn: str, name: str, across: shapely.LineString) -> Part:
    """The name of the sheet that shows a lawn whole, inside the edge that cuts it."""
    text = scene.words["label.goes-on"].format(name=name)
    inwards = {"left": (1.0, 0.0), "right": (-1.0, 0.0), "top": (0.0, 1.0), "bottom": (0.0, -1.0)}
    places = [
        ((at.x, at.y), inwards[side], abs(share - 0.5))
        for share in (0.5, 0.35, 0.65, 0.2, 0.8)
        for at in (across.interpolate(share, normalized=True),)
    ]
    upright = side in ("left", "right")
    spots = beside(places, text_size((text,), SIDE_TEXT), 0.8, along=upright)
    key = f"goes on {side} {lawn}"
    label = Label(key, (text,), SIDE_TEXT, LabelKind.MATCH_LINE, spots, listed=False)
    return Part(labels=(label,))


def _short(a: Point, b: Point, most: float = 10.0) -> Iterator[tuple[Point, Point]]:
    parts = max(1, math.ceil(math.hypot(b[0] - a[0], b[1] - a[1]) / most))
    steps = [
        (a[0] + (b[0] - a[0]) * i / parts, a[1] + (b[1] - a[1]) * i / parts)
        for i in range(parts + 1)
    ]
    yield from itertools.pairwise(steps)
