"""The proof: mown, kept-out and hand-trimmed ground shaded, and the verdict on the walk."""

from __future__ import annotations

from renderer.sheets.blocks.furniture import drawing_words, legend, scale_aside
from renderer.sheets.kit import paragraph
from renderer.sheets.layout import BlockUse
from renderer.sheets.piece import Piece, held_together
from renderer.sheets.sheet import Sheet
from renderer.sheets.type import BODY, SMALL

MOST_MM = 120.0  # no picture stands higher; it is for the eye, not for the scale rule


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """The shaded picture with its legend, the verdict of each loop, the ground to trim by hand."""
    if not sheet.job.lay.loops:
        return ()
    from renderer.drawing.proof import proof

    made = proof(
        sheet.job.plan,
        sheet.job.lay,
        box_mm=(sheet.width_mm, min(MOST_MM, sheet.height_mm / 2)),
        inch_paper=sheet.inch_paper,
        words=drawing_words(sheet),
    )
    drawing = made.plan.drawing
    key = legend(sheet, made.plan.used, sheet.width_mm)
    trim_m2 = sum(lawn.trim.area for lawn in sheet.job.lay.lawns)
    texts = (*made.texts, sheet.words("proof.trim", area=sheet.measure.area(trim_m2)))
    told = tuple(piece for text in texts for piece in paragraph(text, sheet.width_mm, BODY))
    scale = SMALL.line(scale_aside(sheet, made.plan.scale), sheet.width_mm, 0.0, "end")
    picture = Piece(drawing.height_mm, (*drawing.items, scale), gap_mm=1.0, keep=True)
    return held_together(
        (sheet.heading(use), picture, Piece(key.height_mm, key.items, gap_mm=2.0), *told)
    )
