"""The plan to scale: on one page, or an overview and a page a tile, with bars, legend and key."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from renderer.plan.values import YesNo
from renderer.primitives import Drawing, Primitive, shifted
from renderer.sheets.kit import heading, subheading
from renderer.sheets.layout import BlockUse
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Styled, table
from renderer.sheets.type import CELL_STRONG

if TYPE_CHECKING:
    from renderer.drawing import PlanDrawing, TileSet

GAP_MM = 2.0
COLUMN_GAP_MM = 4.0
BELOW_MM = 60.0  # first guess of the height of what stands below a plan
KEYS_IN_LEGEND = 12  # more go into a list of their own
NO_KEY = "–"
FROM_FAR = frozenset({"pegs", "peg-numbers", "findings"})  # too small for an overview


class PlanUse(BlockUse):
    """The plan starts a page of its own unless the layout says otherwise."""

    new_page: YesNo = True


def build(sheet: Sheet, use: PlanUse) -> tuple[Piece, ...]:
    """One page where the plan fits it readably, else the overview and the tiles."""
    title = use.title or sheet.words("heading.plan")
    room = sheet.height_mm - heading(title, sheet.width_mm, "").height_mm
    below = BELOW_MM
    while True:
        tiles = _tiled(sheet, room - below)
        if tiles.key is not None:
            return _pages(sheet, title, room, _largest(sheet, room, tiles))
        drawn = tiles.tiles[0].plan
        beside, listed = _split(_keyed(drawn))
        foot = _beneath((_bars(sheet, drawn, None), _legend(sheet, drawn.used, beside)))
        if drawn.drawing.height_mm + GAP_MM + foot.height_mm <= room:
            head = _head(sheet, title, "plan", drawn.scale)
            page = _page(sheet, room, drawn.drawing, foot)
            return head, page, *_key_table(sheet, [("", *each) for each in listed])
        below = foot.height_mm + GAP_MM


def _largest(sheet: Sheet, room: float, tiles: TileSet) -> TileSet:
    """The tiles again, as high as the page allows above the bars that they turned out to need."""
    strip = max(_bars(sheet, tile.plan, tile.key).height_mm for tile in tiles.tiles) + GAP_MM
    larger = _tiled(sheet, room - strip)
    feet = (_bars(sheet, tile.plan, tile.key).height_mm for tile in larger.tiles)
    return larger if max(feet) + GAP_MM <= strip else tiles


def _pages(sheet: Sheet, title: str, room: float, tiles: TileSet) -> tuple[Piece, ...]:
    """The overview with the legend of all tiles, a page a tile, the key numbers of all."""
    words = sheet.words
    drawn, foot = _overview(sheet, room, tiles)
    pieces = [
        _head(sheet, words("plan.overview", title=title), "plan", drawn.scale),
        _page(sheet, room, drawn.drawing, foot),
    ]
    for tile in tiles.tiles:
        name = words("plan.tile", title=title, name=tile.name, count=len(tiles.tiles))
        head = _head(sheet, name, f"plan-{tile.name}", tile.plan.scale)
        foot = _bars(sheet, tile.plan, tile.key)
        pieces += [replace(head, new_page=True), _page(sheet, room, tile.drawing, foot)]
    keys = [(tile.name, *each) for tile in tiles.tiles for each in _keyed(tile.plan)]
    return *pieces, *_key_table(sheet, keys)


def _overview(sheet: Sheet, room: float, tiles: TileSet) -> tuple[PlanDrawing, Drawing]:
    below = BELOW_MM
    while True:
        drawn = _whole(sheet, room - below)
        bars = _bars(sheet, drawn, tiles.key)
        foot = _beneath((bars, _legend(sheet, drawn.used | tiles.used, ())))
        if drawn.drawing.height_mm + GAP_MM + foot.height_mm <= room:
            return drawn, foot
        below = foot.height_mm + GAP_MM


def _keyed(drawn: PlanDrawing) -> list[tuple[str, str]]:
    """Key numbers with their texts, then texts that found no room on the drawing."""
    return [*drawn.keyed, *((NO_KEY, text) for text in drawn.unplaced)]


def _split(keyed: list[tuple[str, str]]) -> tuple[list[tuple[str, str]], list[tuple[str, str]]]:
    """What goes into the legend, and what is too much for it."""
    return (keyed, []) if len(keyed) <= KEYS_IN_LEGEND else ([], keyed)


def _key_table(sheet: Sheet, keys: list[tuple[str, str, str]]) -> tuple[Piece, ...]:
    """What the key numbers stand for, sheet by sheet."""
    if not keys:
        return ()
    words = sheet.words
    columns = (
        Column(words("plan.sheet"), 20, "end"),
        Column(words("plan.key"), 25),
        Column(words("plan.meaning"), 145),
    )
    head = subheading(words("plan.keys"), sheet.width_mm)
    rows = [Row((sheet_name, Styled(key, CELL_STRONG), text)) for sheet_name, key, text in keys]
    return head, *table(columns, rows, sheet.width_mm)


def _tiled(sheet: Sheet, height: float) -> TileSet:
    from renderer.drawing import tiled

    return tiled(
        sheet.job.plan,
        sheet.job.lay,
        sheet.job.findings,
        box_mm=(sheet.width_mm, height),
        inch_paper=sheet.inch_paper,
        words=drawing_words(sheet),
        scale=sheet.scale,
    )


def _whole(sheet: Sheet, height: float) -> PlanDrawing:
    from renderer.drawing import LAYERS, plan_drawing

    return plan_drawing(
        sheet.job.plan,
        sheet.job.lay,
        sheet.job.findings,
        box_mm=(sheet.width_mm, height),
        inch_paper=sheet.inch_paper,
        words=drawing_words(sheet),
        show=LAYERS - FROM_FAR,
    )


def drawing_words(sheet: Sheet) -> Mapping[str, str]:
    """The words on drawings in the layout's language."""
    from renderer.drawing import drawing_words

    return drawing_words(sheet.layout.language)


def scale_aside(sheet: Sheet, scale: float) -> str:
    """The scale as it stands beside a heading."""
    from renderer.drawing.scale import scale_text

    return sheet.words("plan.scale", scale=scale_text(scale))


def _head(sheet: Sheet, text: str, anchor: str, scale: float) -> Piece:
    aside = scale_aside(sheet, scale)
    return heading(text, sheet.width_mm, sheet.anchor(anchor), aside)


def _page(sheet: Sheet, room: float, drawing: Drawing, foot: Drawing) -> Piece:
    """The drawing at the top of the page, what belongs to it at its bottom."""
    below = _moved(foot.items, 0.0, room - foot.height_mm)
    left = (sheet.width_mm - drawing.width_mm) / 2
    return Piece(room, (*_moved(drawing.items, left, 0.0), *below))


def _bars(sheet: Sheet, drawn: PlanDrawing, key: Drawing | None) -> Drawing:
    """North arrow, scale bar over check bar, and the key plan at the right edge."""
    from renderer.drawing import check_bar, north_arrow, scale_bar

    words = drawing_words(sheet)
    inch = sheet.job.plan.units == "ft"
    north = north_arrow(drawn.rotation_deg, words)
    scale = scale_bar(drawn.scale, inch=inch, words=words)
    bars = _beneath((scale, check_bar(inch=sheet.inch_paper, words=words)))
    left = _beside((north, bars))
    if key is None:
        return left
    height = max(left.height_mm, key.height_mm)
    items = (*left.items, *_moved(key.items, sheet.width_mm - key.width_mm, 0.0))
    return Drawing(sheet.width_mm, height, items)


def _legend(sheet: Sheet, used: Iterable[str], keyed: Iterable[tuple[str, str]]) -> Drawing:
    from renderer.drawing import legend

    return legend(used, sheet.width_mm, drawing_words(sheet), keyed)


def _beside(drawings: Iterable[Drawing]) -> Drawing:
    items: list[Primitive] = []
    x = height = 0.0
    for drawing in drawings:
        items.extend(_moved(drawing.items, x, 0.0))
        x += drawing.width_mm + COLUMN_GAP_MM
        height = max(height, drawing.height_mm)
    return Drawing(x - COLUMN_GAP_MM, height, tuple(items))


def _beneath(drawings: Iterable[Drawing]) -> Drawing:
    items: list[Primitive] = []
    y = width = 0.0
    for drawing in drawings:
        items.extend(_moved(drawing.items, 0.0, y))
        y += drawing.height_mm + GAP_MM
        width = max(width, drawing.width_mm)
    return Drawing(width, y - GAP_MM, tuple(items))


def _moved(items: Iterable[Primitive], dx: float, dy: float) -> tuple[Primitive, ...]:
    return tuple(shifted(item, dx, dy) for item in items)
