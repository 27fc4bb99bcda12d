"""Line widths, dashes and letter heights of the drawings, each in its one place.

Widths are of the ISO 128 series: wire 0.7, things 0.5, outlines and symbols 0.35, dimensions and
leaders 0.18, hatching 0.13 mm. Dashes follow ISO 128 in multiples of the line width: dash 12,
gap 3, long dash 24, dot 0.5; those of hatching are as long as those of an outline, so that its
patterns can be told apart on a copy. Pens name the ink that they have in a print in colour.
Letters are of the ISO 3098 series (2.5, 3.5, 5 mm). The figures are in ``trade.py``.
"""

from __future__ import annotations

from typing import NamedTuple

from ..primitives import FaceName, Pen
from ..trade import LETTER_MM, LINE_MM

WIDE_MM = LINE_MM["wire"]
MIDDLE_MM = LINE_MM["edge"]
NARROW_MM = LINE_MM["outline"]
FINE_MM = LINE_MM["dimension"]
HATCH_MM = LINE_MM["hatch"]
# From the middle of one wire of a lead pair to that of the other.
PAIR_APART_MM = 1.15
# Clear paper on either side of a line that breaks the hatching below it.
HALO_MM = 0.5

WHITE = "#ffffff"
BAND_GREY = "#e2e2e2"  # a tint that says nothing alone: what it means is said in words too
TRIM_GREY = "#8c8c8c"  # dark enough to survive a copy


def dashes(width_mm: float, *units: float) -> tuple[float, ...]:
    """Dash lengths in mm from multiples of the line width."""
    return tuple(round(width_mm * unit, 3) for unit in units)


WIRE = Pen(WIDE_MM, ink="wire")
WIRE_ELSEWHERE = Pen(WIDE_MM, dashes(WIDE_MM, 3, 2), ink="wire")
OUTLINE = Pen(NARROW_MM)
THIN = Pen(NARROW_MM)
MIDDLE = Pen(MIDDLE_MM)
ROUND = Pen(NARROW_MM, cap="round")
WAVES = Pen(NARROW_MM, cap="round", ink="water")
THIN_WIRE = Pen(NARROW_MM, ink="wire")
FINE = Pen(FINE_MM)  # dimensions and leaders
HALO = Pen(FINE_MM + 2 * HALO_MM, colour=WHITE)
HATCH = Pen(HATCH_MM)
HATCH_WATER = Pen(HATCH_MM, dashes(NARROW_MM, 12, 3), ink="water")
HATCH_SHORT_DASHED = Pen(HATCH_MM, dashes(NARROW_MM, 6, 3))
HATCH_DOTTED = Pen(HATCH_MM, dashes(NARROW_MM, 1, 5))
HATCH_CHAIN = Pen(HATCH_MM, dashes(NARROW_MM, 24, 3, 0.5, 3))
DASHED = Pen(NARROW_MM, dashes(NARROW_MM, 12, 3))
PIPE = Pen(NARROW_MM, dashes(NARROW_MM, 12, 3), ink="services")
SHORT_DASHED = Pen(NARROW_MM, dashes(NARROW_MM, 6, 3))
CHAIN = Pen(NARROW_MM, dashes(NARROW_MM, 24, 3, 0.5, 3), cap="butt")
CABLE = Pen(NARROW_MM, dashes(NARROW_MM, 24, 3, 0.5, 3), cap="butt", ink="services")
DOUBLE_CHAIN = Pen(NARROW_MM, dashes(NARROW_MM, 24, 3, 0.5, 3, 0.5, 3))
GATE = Pen(MIDDLE_MM, dashes(MIDDLE_MM, 3, 2))
SUPPLY = Pen(MIDDLE_MM, dashes(MIDDLE_MM, 12, 3, 3, 3), ink="services")
SUSPECT = Pen(WIDE_MM, dashes(WIDE_MM, 6, 3))
# A lead pair is a black line with a white one in it, which leaves two of an outline's width.
PAIR_PEN = Pen(PAIR_APART_MM + NARROW_MM, ink="wire")
PAIR_CORE = Pen(PAIR_APART_MM - NARROW_MM, colour=WHITE)
PAIR_COVER = Pen(PAIR_APART_MM + 2 * NARROW_MM, colour=WHITE)
MATCH = Pen(WIDE_MM, dashes(WIDE_MM, 24, 3, 3, 3))


class Lettering(NamedTuple):
    """A letter style: face and the height of its capitals in mm."""

    face: FaceName
    cap_mm: float


PEG_TEXT = Lettering("condensed", LETTER_MM["text"])
NAME_TEXT = Lettering("regular", LETTER_MM["text"])
SIDE_TEXT = Lettering("bold", LETTER_MM["text"])
VALUE_TEXT = Lettering("regular", LETTER_MM["text"])
MARK_TEXT = Lettering("bold", LETTER_MM["mark"])
LEGEND_TEXT = Lettering("condensed", LETTER_MM["text"])
NOTE_TEXT = Lettering("italic", LETTER_MM["text"])
TITLE_TEXT = Lettering("bold", LETTER_MM["title"])
