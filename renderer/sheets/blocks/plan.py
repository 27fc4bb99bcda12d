"""The plan to scale: on one page where it can be read, else an overview and a page a tile."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Literal, NamedTuple

from renderer.frozen import dataclass
from renderer.plan.values import YesNo
from renderer.primitives import Drawing, Primitive, Ruler, Text
from renderer.sheets.blocks.furniture import (
    COLUMN_GAP_MM,
    GAP_MM,
    Keyed,
    bars,
    beneath,
    drawing_words,
    key_line,
    key_table,
    keyed,
    legend,
    moved,
    plan_heading,
)
from renderer.sheets.errors import no_room
from renderer.sheets.kit import heading, subheading
from renderer.sheets.piece import Piece, in_little_room
from renderer.sheets.sheet import Sheet
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from renderer.checks.finding import Finding
    from renderer.drawing import Pin, PlanDrawing, TileSet
    from renderer.drawing.cells import Cell, Cutting
    from renderer.drawing.scale import Fit

LEGEND_COLUMN_MM = 54.0
BARS_MM = 27.0  # height of the bars under a plan, above each other
ROW_OF_BARS_MM = 14.2  # and side by side
STRIP_MM = 37.0  # room for bars and a key plan under a tile
KEYS_IN_LEGEND = 12  # more than this go into a list of their own
LEAST_PLAN_MM = 60.0
ROUNDING_MM = 1e-6  # sums of heights differ from a room by rounding only
FROM_FAR = frozenset({"pegs", "peg-numbers", "findings"})  # too small for an overview


# A plan, its page, and the key numbers that its legend has no room for.
Filled = tuple["PlanDrawing", Piece, Keyed]


class PlanUse(BlockUse):
    """The plan starts a page of its own unless the layout says otherwise.

    ``ellipses`` draws how sure surveyed points are.
    """

    new_page: YesNo = True
    ellipses: YesNo = False


@dataclass(frozen=True, slots=True)
class Arrangement:
    """The box for a plan on a page, and where its legend stands: apart is on the next page.

    ``legend_mm`` is the height of the legend, as far as it can be told before the plan is drawn.
    """

    width_mm: float
    height_mm: float
    legend: Literal["beneath", "beside", "apart"]
    legend_mm: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class PlanPage:
    """What a page of the whole plan shows: its room, its layers, a key plan, what others use.

    ``also`` are keys that the legend explains for other sheets, ``pins`` are places marked for this
    document. ``snug`` leaves the rest of the room to what follows; ``apart`` lets the legend stand
    on the next page where the plan gains a scale by it; with ``far`` it does stand there, and the
    scale may be one that only a drawing without pegs can be read at; ``turn`` is the turn to use if
    the scale does not suffer; a ``whole_legend`` holds all key numbers, ``brief`` tells in a line
    or two what the legend has no room for; ``least`` is the N of the least scale, where that is not
    a crew's; links lead to ``anchor``.
    """

    room_mm: float
    show: frozenset[str]
    scale: float | None = None
    key: Drawing | None = None
    also: frozenset[str] = frozenset()
    findings: tuple[Finding, ...] = ()
    pins: tuple[Pin, ...] = ()
    snug: bool = False
    apart: bool = False
    far: bool = False
    turn: float | None = None
    whole_legend: bool = False
    least: float | None = None
    brief: bool = False
    anchor: str = "plan"

    @property
    def numbered(self) -> bool:
        """Whether pegs are numbered, so that their numbers say which scales are large enough."""
        return "peg-numbers" in self.show

    @property
    def key_mm(self) -> float:
        return self.key.height_mm if self.key else 0.0

    @property
    def key_width_mm(self) -> float:
        return self.key.width_mm if self.key else 0.0


def build(sheet: Sheet, use: PlanUse) -> tuple[Piece, ...]:
    """One page at the largest scale that a crew can read, else the overview and the tiles."""
    from renderer.drawing import LAYERS

    title = use.title or sheet.words("heading.plan")
    room = page_room(sheet, title)
    show = LAYERS | {"ellipses"} if use.ellipses else LAYERS
    page = PlanPage(room, show, sheet.scale, findings=listed(sheet), apart=True, snug=True)
    return one_page(sheet, title, page) or tile_pages(sheet, title, page)


def listed(sheet: Sheet) -> tuple[Finding, ...]:
    """The findings to mark: those that the document lists, or a mark would lead nowhere."""
    return sheet.job.findings if sheet.has("findings") else ()


def turn_of(sheet: Sheet, page: PlanPage) -> float | None:
    """The turn, in degrees, of the whole plan on a page; nothing where it cannot be read there."""
    scale, ways = _best(sheet, page)
    if not ways or scale > max(_scales(sheet, page)):
        return None
    return _fit(sheet, page, _lowest(sheet, page, ways)).rotation_deg


def page_room(sheet: Sheet, title: str) -> float:
    """What a page has for a plan under its heading, in mm."""
    return sheet.height_mm - heading(title, sheet.width_mm, "").height_mm


def one_page(sheet: Sheet, title: str, page: PlanPage) -> tuple[Piece, ...]:
    """The whole plan on a page; nothing where it could not be read there."""
    scale, ways = _best(sheet, page)
    if not ways or scale > max(_scales(sheet, page)):
        return ()
    way, (drawn, piece, listed) = _fullest(sheet, page, ways)
    if not _is_whole(sheet, page, (drawn,)):
        return ()
    head = plan_heading(sheet, title, page.anchor, drawn.scale)
    apart = _legend_apart(sheet, drawn.used) if way.legend == "apart" else ()
    if page.brief:
        return head, piece, *apart, *key_line(sheet, listed)
    return head, piece, *apart, *key_table(sheet, [("", *each) for each in listed])


def _fullest(
    sheet: Sheet, page: PlanPage, ways: Sequence[Arrangement]
) -> tuple[Arrangement, Filled]:
    """The arrangement to use and its page, another where only that leaves nothing out."""
    from renderer.drawing.plan import left_out

    first = _lowest(sheet, page, ways)
    filled = _filled(sheet, page, first)
    if not page.numbered or not left_out(sheet.job.lay, filled[:1]):
        return first, filled
    for way in ways:
        other = _filled(sheet, page, way) if way is not first else filled
        if not left_out(sheet.job.lay, other[:1]):
            return way, other
    return first, filled


def _lowest(sheet: Sheet, page: PlanPage, ways: Sequence[Arrangement]) -> Arrangement:
    """The arrangement to use: the lowest page where the rest of it is for what follows.

    Drawing a plan with its labels takes long, so that is told by its outline.
    """
    return min(ways, key=lambda each: _foreseen_mm(sheet, page, each)) if page.snug else ways[0]


def best_scale(sheet: Sheet, page: PlanPage) -> float | None:
    """The N of the scale 1:N at which the whole plan stands on a page; nothing where on none."""
    scale, ways = _best(sheet, page)
    return scale if ways and scale <= max(_scales(sheet, page)) else None


def whole_page(sheet: Sheet, page: PlanPage) -> tuple[PlanDrawing, Piece]:
    """The whole plan with a whole legend on a page, at the largest scale that there is room for.

    What finds no place on a drawing makes its legend longer, so a larger one may have no room.
    Raises DrawError where there is none, or not for the scale asked for.
    """
    from renderer.drawing.errors import DrawError

    ways = [way for _, way in _fitting(sheet, page)]
    for way in ways:
        try:
            return _filled(sheet, page, way)[:2]
        except DrawError as error:
            refused = error
    if ways:
        raise refused
    for way in _arrangements(sheet, page):
        _fit(sheet, page, way)
    raise DrawError(str(no_room(sheet.layout.document)))


def _least(sheet: Sheet, page: PlanPage) -> float:
    """The N of the least scale 1:N at which a page can be read."""
    from renderer.drawing.scale import readable_scale

    plan, inch = sheet.job.plan, sheet.inch_paper
    return sheet.scale or page.least or readable_scale(plan, inch_paper=inch, pegs=not page.far)


def _scales(sheet: Sheet, page: PlanPage) -> tuple[float, ...]:
    """The N of 1:N to try, the usual one first, then those that may save a sheet."""
    from renderer.drawing.scale import close_scales

    if sheet.scale or not page.numbered:
        return (_least(sheet, page),)
    control = "control-only" in page.show and not page.least
    closer = close_scales(sheet.job.plan, inch_paper=sheet.inch_paper, control=control)
    return (_least(sheet, page), *closer)


def _is_whole(sheet: Sheet, page: PlanPage, drawn: Sequence[PlanDrawing]) -> bool:
    """Whether drawings smaller than is usual leave nothing out that a reader looks for."""
    from renderer.drawing.plan import left_out

    if page.far:
        return _all_named(page, drawn)
    is_usual = drawn[0].scale <= _least(sheet, page)
    return is_usual or not left_out(sheet.job.lay, drawn)


def _all_named(page: PlanPage, drawn: Iterable[PlanDrawing]) -> bool:
    """Whether each place that this document marks has its name on one of the drawings."""
    items = (item for each in drawn for item in each.drawing.items)
    return {pin.text for pin in page.pins} <= {i.text for i in items if isinstance(i, Text)}


def _legend_apart(sheet: Sheet, used: Iterable[str]) -> tuple[Piece, ...]:
    told = legend(sheet, used, sheet.width_mm)
    head = subheading(drawing_words(sheet)["legend.title"], sheet.width_mm)
    return head, Piece(told.height_mm, told.items, gap_mm=GAP_MM)


def _best(sheet: Sheet, page: PlanPage) -> tuple[float, Sequence[Arrangement]]:
    """The scale that shows the whole plan largest, and the arrangements for it, best first."""
    fitting = _fitting(sheet, page)
    best = fitting[0][0] if fitting else (0.0, False)
    return best[0], [way for rank, way in fitting if rank == best]


def _fitting(sheet: Sheet, page: PlanPage) -> Sequence[tuple[tuple[float, bool], Arrangement]]:
    """The arrangements with room for the plan, best first: scale, whether the legend is apart."""
    from renderer.drawing.errors import DrawError

    fitting = []
    for rank, way in enumerate(_arrangements(sheet, page)):
        try:
            fit = _fit(sheet, page, way)
        except DrawError:
            continue
        apart = way.legend == "apart"
        fitting.append(((fit.scale, apart, fit.rotation_deg != 0.0, rank), way))
    fitting.sort(key=lambda each: each[0])
    return [(rank[:2], way) for rank, way in fitting]


def _fit(sheet: Sheet, page: PlanPage, way: Arrangement) -> Fit:
    """Scale and turn of the plan as arranged; raises DrawError where there is none."""
    from renderer.drawing.plan import fit_plan

    job, box = sheet.job, (way.width_mm, way.height_mm)
    return fit_plan(
        job.plan, job.lay, box, inch_paper=sheet.inch_paper, scale=page.scale, turn=page.turn
    )


def _foreseen_mm(sheet: Sheet, page: PlanPage, way: Arrangement) -> float:
    """How high the plan as arranged will be on its page, with its bars and legend."""
    from renderer.drawing.plan import drawn_height

    job, box = sheet.job, (way.width_mm, way.height_mm)
    high = drawn_height(job.plan, job.lay, _fit(sheet, page, way), box) + GAP_MM
    if way.legend == "beside":
        return min(max(high + BARS_MM, way.legend_mm), max(high, way.legend_mm) + ROW_OF_BARS_MM)
    return high + ROW_OF_BARS_MM + way.legend_mm


def _arrangements(sheet: Sheet, page: PlanPage) -> Iterator[Arrangement]:
    """The legend beneath the plan, beside it, and apart, where that leaves room enough."""
    from renderer.drawing.legend_keys import legend_keys

    apart = Arrangement(sheet.width_mm, page.room_mm - GAP_MM - ROW_OF_BARS_MM, "apart")
    if page.far:
        yield apart
        return
    job = sheet.job
    used = page.also | legend_keys(
        job.plan, job.lay, page.findings, page.show, page.pins, job.setting
    )
    row = legend(sheet, used, sheet.width_mm).height_mm + GAP_MM
    foot = max(BARS_MM, page.key_mm) if page.key else ROW_OF_BARS_MM
    height = page.room_mm - GAP_MM - foot - row
    if height >= LEAST_PLAN_MM:
        yield Arrangement(sheet.width_mm, height, "beneath", row)
    column = legend(sheet, used, LEGEND_COLUMN_MM).height_mm + GAP_MM + page.key_mm
    width = sheet.width_mm - LEGEND_COLUMN_MM - COLUMN_GAP_MM
    height = page.room_mm - GAP_MM - BARS_MM
    fits = column <= page.room_mm and page.key_width_mm <= LEGEND_COLUMN_MM
    if fits and min(width, height) >= LEAST_PLAN_MM:
        yield Arrangement(width, height, "beside", column)
    if page.apart:
        yield apart


def _filled(sheet: Sheet, page: PlanPage, way: Arrangement) -> Filled:
    """The page as arranged, and the key numbers that its legend has no room for."""
    from renderer.drawing.cropped import cropped

    whole = _whole(sheet, page, way)
    drawn = replace(whole, drawing=cropped(whole.drawing)) if page.snug else whole
    keys = list(drawn.keyed) if page.key else keyed(drawn)  # what is missing stands on the tiles
    choices: list[tuple[Keyed, Keyed]] = [([], keys)]
    if page.whole_legend:
        choices = [(keys, [])]
    elif len(keys) <= KEYS_IN_LEGEND and way.legend != "apart":
        choices.insert(0, (keys, []))
    over = 0.0
    for inside, listed in choices:
        piece, over = _composed(sheet, page, way, drawn, inside)
        if over <= ROUNDING_MM:
            return drawn, piece, listed
    # a box higher than the drawing would only give the same drawing again
    height = min(way.height_mm, whole.drawing.height_mm) - over
    return _filled(sheet, page, replace(way, height_mm=height))


def _composed(
    sheet: Sheet, page: PlanPage, way: Arrangement, drawn: PlanDrawing, keys: Keyed
) -> tuple[Piece, float]:
    """The page with its legend, and by how many mm it is too high."""
    if way.legend == "apart":
        foot = bars(sheet, drawn, row=True)
        return _placed(sheet, _room(page, drawn.drawing, foot), drawn.drawing, foot)
    width = LEGEND_COLUMN_MM if way.legend == "beside" else sheet.width_mm
    told = legend(sheet, drawn.used | page.also, width, keys)
    if way.legend == "beneath":
        foot = beneath((bars(sheet, drawn, page.key, row=True), told))
        return _placed(sheet, _room(page, drawn.drawing, foot), drawn.drawing, foot)
    column = beneath((told, page.key)) if page.key else told
    foot, needed = _lower_foot(sheet, drawn, column)
    room = min(page.room_mm, needed) if page.snug else page.room_mm
    piece, over = _placed(sheet, room, drawn.drawing, foot, column)
    return piece, max(over, needed - page.room_mm)


def _lower_foot(sheet: Sheet, drawn: PlanDrawing, column: Drawing) -> tuple[Drawing, float]:
    """The bars for a plan with its legend beside it, and how high all of it is with them.

    Beside the legend they stand above each other, beneath both side by side: whichever is lower.
    """
    high, told = drawn.drawing.height_mm, column.height_mm
    stacked, row = bars(sheet, drawn), bars(sheet, drawn, row=True)
    both = (
        (stacked, max(high + GAP_MM + stacked.height_mm, told)),
        (row, max(high, told) + GAP_MM + row.height_mm),
    )
    return min(both, key=lambda each: each[1])


def _room(page: PlanPage, drawing: Drawing, foot: Drawing) -> float:
    """The height of the page's part with the plan: all its room, or what is needed of it."""
    if not page.snug:
        return page.room_mm
    return min(page.room_mm, drawing.height_mm + GAP_MM + foot.height_mm)


def _placed(
    sheet: Sheet, room: float, drawing: Drawing, foot: Drawing, column: Drawing | None = None
) -> tuple[Piece, float]:
    """The drawing midway above its foot, a column at the right; and by how much it is too high."""
    spare = room - foot.height_mm - GAP_MM - drawing.height_mm
    width = drawing.width_mm if column else sheet.width_mm
    items = (
        *moved(_measured(sheet, drawing), (width - drawing.width_mm) / 2, max(0.0, spare) / 2),
        *moved(foot.items, 0.0, room - foot.height_mm),
        *(moved(column.items, sheet.width_mm - LEGEND_COLUMN_MM, 0.0) if column else ()),
    )
    return Piece(room, items), -spare


def _measured(sheet: Sheet, drawing: Drawing) -> Iterator[Primitive]:
    """What is drawn, and what lets a viewer measure on it."""
    yield from drawing.items
    if drawing.scale is not None:
        unit = sheet.job.plan.units
        yield Ruler((0.0, 0.0), drawing.width_mm, drawing.height_mm, drawing.scale, unit)


def _whole(sheet: Sheet, page: PlanPage, way: Arrangement) -> PlanDrawing:
    """The drawing as arranged, made once: a box higher than it needs only gives the same again."""
    from renderer.drawing import plan_drawing
    from renderer.drawing.plan import drawn_height

    job, box = sheet.job, (way.width_mm, way.height_mm)
    fit = _fit(sheet, page, way)
    high = round(drawn_height(job.plan, job.lay, fit, box) / ROUNDING_MM)
    marked = tuple(map(id, page.findings))  # which the job keeps
    return sheet.once(
        ("plan", fit, way.width_mm, high, page.show, page.pins, marked),
        lambda: plan_drawing(
            job.plan,
            job.lay,
            page.findings,
            box_mm=box,
            inch_paper=sheet.inch_paper,
            words=drawing_words(sheet),
            scale=page.scale,
            show=page.show,
            pins=page.pins,
            turn=page.turn,
            setting=job.setting,
        ),
    )


def tile_pages(sheet: Sheet, title: str, page: PlanPage) -> tuple[Piece, ...]:
    """The overview with the legend of all tiles, the tiles, the key numbers of all."""
    pages, explained = tile_parts(sheet, title, page)
    return *pages, *explained


def tile_parts(
    sheet: Sheet, title: str, page: PlanPage
) -> tuple[tuple[Piece, ...], tuple[Piece, ...]]:
    """The same: overview and tiles, then what explains them where they do not.

    Where each loop has its ground on one sheet, the tiles are overview enough.
    """
    words = sheet.words
    tiles, is_split = _fewest(sheet, page)
    if page.far and not _all_named(page, (tile.plan for tile in tiles.tiles)):
        return tile_parts(sheet, title, replace(page, far=False))
    if is_split:
        overview, explained, listed = _overview(sheet, title, page, tiles)
    else:
        overview, explained, listed = (), _legend_apart(sheet, tiles.used), ()
    pieces = list(overview)
    for number, tile in enumerate(tiles.tiles):
        name = words("plan.tile", title=title, name=tile.name, count=len(tiles.tiles))
        head = plan_heading(sheet, name, f"{page.anchor}-{tile.name}", tile.plan.scale)
        foot = bars(sheet, tile.plan, tile.key, row=True)
        room = tile.drawing.height_mm + GAP_MM + foot.height_mm
        piece, _ = _placed(sheet, room, tile.drawing, foot)
        pieces += [head, in_little_room(piece, number)]
    keys = [("", *each) for each in listed]
    keys += [(tile.name, *each) for tile in tiles.tiles for each in keyed(tile.plan)]
    return tuple(pieces), (*explained, *key_table(sheet, keys))


def _overview(
    sheet: Sheet, title: str, page: PlanPage, tiles: TileSet
) -> tuple[tuple[Piece, ...], tuple[Piece, ...], Keyed]:
    """The page of the whole plan; its legend, where it stands after the tiles; its key numbers."""
    far = PlanPage(
        page.room_mm, page.show - FROM_FAR, None, tiles.key, tiles.used, page.findings,
        apart=True,
    )  # fmt: skip
    _, ways = _best(sheet, far)
    if not ways:
        return (), (), ()
    turn = _fit(sheet, far, ways[0]).rotation_deg
    if turn != tiles.rotation_deg:  # the key plan has to lie as the overview does
        far = replace(far, key=tiles.key_turned(turn))
    drawn, piece, listed = _filled(sheet, far, ways[0])
    name = sheet.words("plan.overview", title=title)
    head = plan_heading(sheet, name, page.anchor, drawn.scale)
    is_apart = ways[0].legend == "apart"
    return (head, piece), _legend_apart(sheet, drawn.used | far.also) if is_apart else (), listed


class _Cut(NamedTuple):
    """How many pages a plan takes that is cut for a scale 1:``scale`` at a turn in degrees."""

    pages: int
    scale: float
    turn: float
    cutting: Cutting


def _fewest(sheet: Sheet, page: PlanPage) -> tuple[TileSet, bool]:
    """The tiles on the fewest pages, the largest of as many, at a scale that leaves nothing out.

    And whether the ground of a loop goes over several of them.
    """
    from renderer.drawing.cells import TURNS
    from renderer.drawing.errors import LeftOutError

    usual, *closer = (
        [_cut(sheet, page, scale, turn) for turn in TURNS] for scale in _scales(sheet, page)
    )
    best = min(usual, key=lambda each: each[:3])
    for each in sorted(itertools.chain.from_iterable(closer), key=lambda each: each[:3]):
        if each.pages < best.pages:
            try:
                tiles = _tiles(sheet, page, each.cutting, closer=True)
            except LeftOutError:
                continue
            if _is_whole(sheet, page, [tile.plan for tile in tiles.tiles]):
                return tiles, each.cutting.is_split
    return _tiles(sheet, page, best.cutting), best.cutting.is_split


def _cut(sheet: Sheet, page: PlanPage, scale: float, turn: float) -> _Cut:
    """The cut for a scale, each loop then as large as its pages allow.

    A sheet has all the height above a row of bars, or less where one needs a key plan under it.
    """
    from renderer.drawing.cells import cut, enlarged

    job = sheet.job
    for foot in (ROW_OF_BARS_MM + GAP_MM, STRIP_MM):
        box = (sheet.width_mm, page.room_mm - foot)
        cutting = cut(job.plan, job.lay, box, scale, turn)
        if _fits(sheet, page, cutting):
            break
    pages = _pages(sheet, page, cutting)
    larger = sorted(each for each in _scales(sheet, page) if each < scale)
    for number, wanted in itertools.product(range(len(cutting.cells)), larger):
        if cutting.cells[number][0].view.scale <= wanted:
            continue
        found = enlarged(cutting, number, box, wanted)
        if found and _fits(sheet, page, found) and _pages(sheet, page, found) <= pages:
            cutting = found
    return _Cut(pages, scale, turn, cutting)


def _fits(sheet: Sheet, page: PlanPage, cutting: Cutting) -> bool:
    return all(
        _tile_mm(sheet, cutting, cell) <= page.room_mm + ROUNDING_MM for cell in cutting.sheets
    )


def _tile_mm(sheet: Sheet, cutting: Cutting, cell: Cell) -> float:
    """How high a tile is with what stands under it."""
    from renderer.drawing.keyplan import KEY_MM

    key = Drawing(*KEY_MM, ()) if cutting.has_key_under(cell) else None
    return cell.rect.height + GAP_MM + bars(sheet, cell.view, key, row=True).height_mm


def _pages(sheet: Sheet, page: PlanPage, cutting: Cutting) -> int:
    """How many pages tiles take in their order, with the overview of ground that is split."""
    head = sheet.height_mm - page.room_mm
    pages, rest = int(cutting.is_split), 0.0
    for cell in cutting.sheets:
        needed = head + _tile_mm(sheet, cutting, cell)
        if needed > rest:
            pages, rest = pages + 1, sheet.height_mm
        rest -= needed
    return pages


def _tiles(sheet: Sheet, page: PlanPage, cutting: Cutting, *, closer: bool = False) -> TileSet:
    """The tiles of a plan as it is cut; given up early where a ``closer`` scale loses a number."""
    from renderer.drawing.tiles import tiles

    job = sheet.job
    small = cutting.sheets[0].view.scale > _least(sheet, page)  # else nothing is asked of it
    return tiles(
        job.plan,
        job.lay,
        page.findings,
        cutting,
        words=drawing_words(sheet),
        show=page.show,
        pins=page.pins,
        setting=job.setting,
        all_numbered=closer and small and not page.far,
    )
