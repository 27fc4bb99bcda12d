"""At which scale the drawing as built is drawn, and whether the sign-off stands beside it."""

from __future__ import annotations

from renderer.sheets.blocks.turn import plan_turn
from renderer.sheets.sheet import Sheet
from renderer.sheets.type import SMALL

BESIDE_MM = 6.0  # between the drawing and the sign-off
HALF_MM = 140.0  # the most that a drawing beside its rows is high
LOW_MM = 80.0  # no higher than the sign-off beside it,
LOW_SCALE = 300.0  # where that leaves this N of 1:N or a smaller one
SMALL_SCALE = 250.0  # the N of 1:N that is enough to draw changes on,
# And with the sign-off on the same page, on metric and on inch paper (40 ft to the inch).
SIGNED_SCALE = {False: 400.0, True: 480.0}


def signed_beside(sheet: Sheet) -> bool:
    """Whether the sign-off stands beside the drawing, which gains too little by all the width."""
    asked = any(getattr(use, "signed", False) for use in sheet.layout.uses)
    if not asked or sheet.page_mm:
        return False
    large = scale_in(sheet, (sheet.width_mm, sheet.height_mm - 3 * SMALL.pitch_mm))
    return scale_in(sheet, (half_mm(sheet), HALF_MM)) <= signed_scale(sheet, large)


def signed_scale(sheet: Sheet, large: float) -> float:
    """The N of the smallest 1:N that will do with the sign-off on the page; ``large`` without."""
    return max(SIGNED_SCALE[sheet.inch_paper], large)


def half_mm(sheet: Sheet) -> float:
    return (sheet.width_mm - BESIDE_MM) / 2


def scale_in(sheet: Sheet, room: tuple[float, float]) -> float:
    """The N of 1:N at which the plan fits a room of so many mm."""
    return _fit(sheet, room, built_turn(sheet, room))


def built_turn(sheet: Sheet, room: tuple[float, float]) -> float | None:
    """The turn of the drawing: that of the plan, but where only another is large enough to sign by.

    Nothing is any turn.
    """
    turn, enough = plan_turn(sheet), SIGNED_SCALE[sheet.inch_paper]
    return None if _fit(sheet, room, None) <= enough < _fit(sheet, room, turn) else turn


def _fit(sheet: Sheet, room: tuple[float, float], turn: float | None) -> float:
    from renderer.drawing.plan import fit_plan

    box_mm, job = box_in(room), sheet.job
    return fit_plan(job.plan, job.lay, box_mm, inch_paper=sheet.inch_paper, turn=turn).scale


def box_in(room: tuple[float, float]) -> tuple[float, float]:
    """What the line under it leaves for the drawing, in mm."""
    return room[0], room[1] - 2 * SMALL.pitch_mm - 1.0
