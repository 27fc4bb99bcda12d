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
SIGNED_SCALE = 400.0  # and with the sign-off on the same page


def signed_beside(sheet: Sheet) -> bool:
    """Whether the sign-off stands beside the drawing, which gains too little by all the width."""
    asked = any(getattr(use, "signed", False) for use in sheet.layout.uses)
    if not asked or sheet.page_mm:
        return False
    large = scale_in(sheet, (sheet.width_mm, sheet.height_mm - 3 * SMALL.pitch_mm))
    return scale_in(sheet, (half_mm(sheet), HALF_MM)) <= max(SIGNED_SCALE, large)


def half_mm(sheet: Sheet) -> float:
    return (sheet.width_mm - BESIDE_MM) / 2


def scale_in(sheet: Sheet, room: tuple[float, float]) -> float:
    """The N of 1:N at which the plan fits a room of so many mm."""
    from renderer.drawing.plan import fit_plan

    box_mm, job = box_in(room), sheet.job
    turn = plan_turn(sheet)
    return fit_plan(job.plan, job.lay, box_mm, inch_paper=sheet.inch_paper, turn=turn).scale


def box_in(room: tuple[float, float]) -> tuple[float, float]:
    """What the line under it leaves for the drawing, in mm."""
    return room[0], room[1] - 2 * SMALL.pitch_mm - 1.0
