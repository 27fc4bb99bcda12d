"""How the plan of a document lies on its page, which its other drawings follow."""

from __future__ import annotations

from renderer.sheets.blocks.carry import carried_turn
from renderer.sheets.blocks.plan import PlanPage, listed, page_room, turn_of
from renderer.sheets.sheet import Sheet


def plan_turn(sheet: Sheet) -> float | None:
    """The turn, in degrees, of a plan that has a page for itself; other drawings lie as it does.

    It is that of the carry sheet, where the document has one, else of the plan block. Nothing where
    the plan is on several sheets.
    """
    page = sheet.whole
    return page.once("turn", lambda: _turn(page))


def _turn(sheet: Sheet) -> float | None:
    from renderer.drawing import LAYERS

    if sheet.has("carry"):
        return carried_turn(sheet)
    room = page_room(sheet, sheet.words("heading.plan"))
    return turn_of(sheet, PlanPage(room, LAYERS, sheet.scale, findings=listed(sheet), apart=True))
