"""The first page of the wiring map: garden and wire in a few words, then the plan without pegs."""

from __future__ import annotations

from dataclasses import replace

from renderer.plan.values import YesNo
from renderer.sheets.blocks.plan import PlanPage, one_page, page_room, tile_pages
from renderer.sheets.layout import PageShare
from renderer.sheets.map_head import map_head, points_to_tape_from
from renderer.sheets.piece import Piece, height_of, with_gap
from renderer.sheets.places import pins
from renderer.sheets.sheet import Sheet
from renderer.sheets.use import BlockUse

GAP_MM = 1.5
CREW_MARKS = frozenset({"pegs", "peg-numbers", "findings"})
OWNER_MARKS = frozenset({"keep-off"})


class MapPlanUse(BlockUse):
    """``site`` prints the address; leave it out of a copy for a gardener.

    ``share`` is how much of a page, in percent, head and plan take where the plan can be read
    at that size; else it has the page for itself, or several.
    """

    site: YesNo = True
    share: PageShare = 100


def build(sheet: Sheet, use: MapPlanUse) -> tuple[Piece, ...]:
    """Head and plan, with the test points and ends of pairs marked that the tables name."""
    from renderer.drawing import LAYERS

    title = use.title or sheet.words("heading.map-plan")
    strip, points = map_head(sheet, site=use.site), points_to_tape_from(sheet)
    room, taken = page_room(sheet, title), height_of((strip, *points)) + GAP_MM
    show, marked = LAYERS - CREW_MARKS | OWNER_MARKS, pins(sheet)
    alone = PlanPage(room, show, sheet.scale, pins=marked)
    whole = replace(alone, room_mm=room - taken)
    part = replace(whole, room_mm=room * use.share / 100 - taken, snug=True)
    for page in (part, whole, alone, replace(whole, far=True), replace(alone, far=True)):
        found = one_page(sheet, title, page)
        if found and page.room_mm < room:
            head, plan, *others = found
            return head, strip, replace(plan, keep=bool(points)), *with_gap(points, GAP_MM), *others
        if found:
            return *found, *with_gap((strip, *points), 2 * GAP_MM)
    tiles = tile_pages(sheet, title, replace(alone, far=True))
    return *tiles, *with_gap((strip, *points), 2 * GAP_MM)
