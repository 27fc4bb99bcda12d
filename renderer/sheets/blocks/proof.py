"""The proof: mown, kept-out and hand-trimmed ground shaded, and the verdict on the walk."""

from __future__ import annotations

from renderer.sheets.blocks.furniture import cornered, drawing_words, legend, scale_aside
from renderer.sheets.kit import paragraph
from renderer.sheets.piece import Piece, held_together
from renderer.sheets.sheet import Sheet
from renderer.sheets.type import BODY, SMALL
from renderer.sheets.use import BlockUse

MOST_MM = 120.0  # the most for a picture that leaves room on its page
OTHERS_MM = 75.0  # for heading, legend and verdict beside a picture that does not


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """The shaded picture with its legend, the verdict of each loop, the ground to trim by hand."""
    if not sheet.job.lay.loops:
        return ()
    from renderer.drawing.proof import proof

    made = proof(
        sheet.job.plan,
        sheet.job.lay,
        box_mm=_box(sheet),
        inch_paper=sheet.inch_paper,
        words=drawing_words(sheet),
    )
    drawing = made.plan.drawing
    key = legend(sheet, made.plan.used, sheet.width_mm)
    trim_m2 = sum(lawn.trim.area for lawn in sheet.job.lay.lawns)
    texts = (*made.texts, sheet.words("proof.trim", area=sheet.measure.area(trim_m2)))
    told = tuple(piece for text in texts for piece in paragraph(text, sheet.width_mm, BODY))
    scale = SMALL.line(scale_aside(sheet, made.plan.scale), sheet.width_mm, 0.0, "end")
    marks = (scale, *cornered(sheet, made.plan, SMALL.pitch_mm + 0.5))
    picture = Piece(drawing.height_mm, (*drawing.items, *marks), gap_mm=1.0, keep=True)
    return held_together(
        (sheet.heading(use), picture, Piece(key.height_mm, key.items, gap_mm=2.0), *told)
    )


def _box(sheet: Sheet) -> tuple[float, float]:
    """Half a page for the picture, or nearly all of one where that shows it larger."""
    from renderer.drawing.plan import fit_plan

    boxes = [
        (sheet.width_mm, height)
        for height in (min(MOST_MM, sheet.height_mm / 2), sheet.height_mm - OTHERS_MM)
    ]
    job = sheet.job
    scales = [fit_plan(job.plan, job.lay, box, inch_paper=sheet.inch_paper).scale for box in boxes]
    return boxes[1] if scales[1] < scales[0] else boxes[0]
