"""The first page of the wiring map: garden and wire in a few words, then the plan without pegs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from renderer.plan.values import YesNo
from renderer.sheets.blocks.furniture import plan_heading
from renderer.sheets.blocks.plan import PlanPage, one_page, page_room, tile_pages
from renderer.sheets.layout import PageShare
from renderer.sheets.map_head import map_head, points_to_tape_from
from renderer.sheets.piece import Piece, height_of, with_gap
from renderer.sheets.places import pins
from renderer.sheets.sheet import Sheet
from renderer.sheets.use import BlockUse

GAP_MM = 1.5
STEP_PERCENT = 3
# Down to these the owner's plan goes beside what to do there; the second are of engineer's rulers.
# Those that ISO 5455 does not list, and the least: common practice, no published source.
LEAST = {False: 400.0, True: 360.0}
BETWEEN = {False: (250.0, 300.0, 400.0), True: ()}
# And at these an estate goes on one page.
ESTATE = {False: (250.0, 300.0, 400.0, 500.0, 600.0, 750.0), True: (360.0, 480.0, 600.0, 720.0)}
CREW_MARKS = frozenset({"pegs", "peg-numbers", "findings", "unsure"})
OWNER_MARKS = frozenset({"keep-off", "house"})


class MapPlanUse(BlockUse):
    """``site`` prints the address; leave it out of a copy for a gardener.

    ``share`` is how much of a page, in percent, head and plan take where the plan can be read
    at that size; else it has the page for itself, or several. Where that saves the document a page
    it takes less, down to ``least``; where it costs none, more, up to ``most``. ``laid`` prints the
    row of when and by whom it was laid. ``key_first`` puts legend, head and points before a plan
    that has the page for itself, as on a leaf with room left on the page before.
    """

    site: YesNo = True
    share: PageShare = 100
    least: PageShare = 100
    most: PageShare = 100
    laid: YesNo = True
    key_first: YesNo = False

    @property
    def gives(self) -> float:
        """The difference of the two shares."""
        return (self.share - self.least) / 100

    def tighter(self) -> Iterator[BlockUse]:
        """With less and less of the page."""
        for share in range(self.share - STEP_PERCENT, self.least - 1, -STEP_PERCENT):
            yield self.model_copy(update={"share": share})

    def roomier(self) -> Iterator[BlockUse]:
        """With the most of the page, then with what lies half way to it."""
        for share in (self.most, (self.most + self.share) // 2):
            if share > self.share:
                yield self.model_copy(update={"share": share})


def build(sheet: Sheet, use: MapPlanUse) -> tuple[Piece, ...]:
    """Head and plan, with the test points and ends of pairs marked that the tables name."""
    from renderer.drawing import LAYERS

    title = use.title or sheet.words("heading.map-plan")
    strip, points = map_head(sheet, site=use.site, laid=use.laid), points_to_tape_from(sheet)
    room, taken = page_room(sheet, title), height_of((strip, *points)) + GAP_MM
    show, marked = LAYERS - CREW_MARKS | OWNER_MARKS, pins(sheet)
    alone = PlanPage(room, show, sheet.scale, pins=marked, brief=True)
    whole = replace(alone, room_mm=room - taken)
    part = replace(whole, room_mm=room * use.share / 100 - taken, snug=True)
    far = replace(alone, far=True)
    for page, fill in ((part, _part), (whole, one_page), (alone, one_page), (far, _estate)):
        found = fill(sheet, title, page)
        if found and page.room_mm < room:
            head, plan, *others = found
            return head, strip, replace(plan, keep=bool(points)), *with_gap(points, GAP_MM), *others
        if found and use.key_first:
            head, plan, *others = found
            key = (*others, *with_gap((strip, *points), 2 * GAP_MM))
            return *key, replace(head, new_page=True), plan
        if found:
            return *found, *with_gap((strip, *points), 2 * GAP_MM)
    tiles = tile_pages(sheet, title, far)
    return *tiles, *with_gap((strip, *points), 2 * GAP_MM)


def _part(sheet: Sheet, title: str, page: PlanPage) -> tuple[Piece, ...]:
    """The plan on a part of a page, as large as leaves room to tell what it has no room for."""
    from renderer.drawing.scale import series

    inch = _engineer(sheet)
    known = {*series(inch_paper=inch, units=sheet.job.plan.units), *BETWEEN[inch]}
    scales = [sheet.scale] if sheet.scale else sorted(n for n in known if n <= LEAST[inch])
    most = plan_heading(sheet, title, "plan", 1.0).height_mm + page.room_mm
    found: list[tuple[Piece, ...]] = []
    for pieces in filter(None, (_at(sheet, title, page, scale) for scale in scales)):
        if height_of(pieces) <= most:
            return pieces
        found.append(pieces)
    return min(found, key=height_of, default=())


def _engineer(sheet: Sheet) -> bool:
    """Whether the scales are those of an engineer's ruler, for feet on inch paper."""
    return sheet.inch_paper and sheet.job.plan.units == "ft"


def _at(sheet: Sheet, title: str, page: PlanPage, scale: float) -> tuple[Piece, ...]:
    """The plan on its page at a scale 1:``scale``; nothing where it does not fit."""
    from renderer.drawing.errors import DrawError

    try:
        return one_page(sheet, title, replace(page, scale=scale, least=scale))
    except DrawError:
        return ()


def _estate(sheet: Sheet, title: str, page: PlanPage) -> tuple[Piece, ...]:
    """The plan of a large garden on a page, the legend after it, where no place loses its name."""
    if sheet.scale:
        return one_page(sheet, title, page)
    return next(filter(None, (_at(sheet, title, page, n) for n in ESTATE[_engineer(sheet)])), ())
