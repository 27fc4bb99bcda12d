"""Sizes of type, lines and boxes on the sheets.

Common practice of site paperwork, no published source, but for the line widths,
which are of the ISO 128-2 series. Least sizes: 8 pt in tables and labels, 10 pt
in steps and cautions; a box to tick has 7 mm, a row to write in 9 mm.
"""

from __future__ import annotations

from renderer.frozen import dataclass
from renderer.primitives import Anchor, FaceName, Pen, Text
from renderer.text import cap_height_mm, line_height_mm, width_mm, wrap
from renderer.trade import LINE_MM

RULE = Pen(LINE_MM["outline"])
HEAVY = Pen(LINE_MM["wire"])
LIGHT = Pen(LINE_MM["rule"])
DASHED = Pen(LINE_MM["outline"], (1.5, 1.0))
# Squared paper, and every fourth or so of its lines: grey, to be drawn over.
GRID = Pen(LINE_MM["hatch"], colour="#7f7f7f")
GRID_STRONG = Pen(LINE_MM["rule"], colour="#7f7f7f")

TICK_MM = 7.0
WRITE_ROW_MM = 9.0


@dataclass(frozen=True, slots=True)
class Style:
    """A face at a size, with the pitch of its lines as a share of the face's own height."""

    face: FaceName
    size_pt: float
    lead: float = 1.0

    @property
    def pitch_mm(self) -> float:
        return line_height_mm(self.face, self.size_pt) * self.lead

    def width_mm(self, text: str) -> float:
        return width_mm(text, self.face, self.size_pt)

    def wrap(self, text: str, limit_mm: float) -> tuple[str, ...]:
        return wrap(text, self.face, self.size_pt, limit_mm)

    def height_mm(self, text: str, limit_mm: float) -> float:
        return len(self.wrap(text, limit_mm)) * self.pitch_mm

    def line(self, text: str, x: float, top: float, anchor: Anchor = "start") -> Text:
        """One line of text whose capitals stand midway in the pitch below ``top``."""
        cap = cap_height_mm(self.face, self.size_pt)
        baseline = top + (self.pitch_mm + cap) / 2
        return Text((x, baseline), text, self.size_pt, self.face, anchor)

    def lines(
        self, text: str, x: float, top: float, limit_mm: float, anchor: Anchor = "start"
    ) -> tuple[Text, ...]:
        """A text wrapped to ``limit_mm``; ``x`` is where the anchor of each line stands."""
        return tuple(
            self.line(line, x, top + number * self.pitch_mm, anchor)
            for number, line in enumerate(self.wrap(text, limit_mm))
            if line
        )


LEAD = 0.9  # lines 1.2 times the size apart; the face's own 1.36 is for screens
POSTER = Style("bold", 24)
TITLE = Style("regular", 15)
HEADING = Style("bold", 14)
SUBHEADING = Style("bold", 11)
BODY = Style("regular", 10.5, LEAD)
STRONG = Style("bold", 10.5, LEAD)
CELL = Style("regular", 10, LEAD)
CELL_STRONG = Style("bold", 10, LEAD)
SMALL = Style("regular", 9, LEAD)
SMALL_STRONG = Style("bold", 9, LEAD)
LABEL = Style("regular", 8, LEAD)
TEXT = Style("condensed", 10, LEAD)
TEXT_STRONG = Style("condensed_bold", 10, LEAD)

CLOSE_PAD_MM = 0.6  # above and below the text of a row that holds only figures and words
