"""Line widths, dashes and letter heights of the drawings, each in its one place.

Widths are of the ISO 128 series (0.35, 0.5, 0.7 mm), wide to narrow 2:1. No line
that carries a meaning is thinner than 0.35 mm: common practice for a sheet that is
read in the rain and copied once, no published source. Dashes follow ISO 128 in
multiples of the line width: dash 12, gap 3, long dash 24, dot 0.5. Letters are of
the ISO 3098 series (2.5, 3.5, 5 mm).
"""

from __future__ import annotations

from typing import NamedTuple

from ..primitives import FaceName, Pen

WIDE_MM = 0.7
MIDDLE_MM = 0.5
NARROW_MM = 0.35

WHITE = "#ffffff"
BAND_GREY = "#e2e2e2"  # a tint that says nothing alone: what it means is said in words too
TRIM_GREY = "#8c8c8c"  # dark enough to survive a copy


def dashes(width_mm: float, *units: float) -> tuple[float, ...]:
    """Dash lengths in mm from multiples of the line width."""
    return tuple(round(width_mm * unit, 3) for unit in units)


WIRE = Pen(WIDE_MM)
OUTLINE = Pen(NARROW_MM)
THIN = Pen(NARROW_MM)
MIDDLE = Pen(MIDDLE_MM)
ROUND = Pen(NARROW_MM, cap="round")
HATCH = Pen(NARROW_MM)
DASHED = Pen(NARROW_MM, dashes(NARROW_MM, 12, 3))
SHORT_DASHED = Pen(NARROW_MM, dashes(NARROW_MM, 6, 3))
CHAIN = Pen(NARROW_MM, dashes(NARROW_MM, 24, 3, 0.5, 3), cap="butt")
DOUBLE_CHAIN = Pen(NARROW_MM, dashes(NARROW_MM, 24, 3, 0.5, 3, 0.5, 3))
GATE = Pen(MIDDLE_MM, dashes(MIDDLE_MM, 3, 2))
SUPPLY = Pen(MIDDLE_MM, dashes(MIDDLE_MM, 12, 3, 3, 3))
SUSPECT = Pen(WIDE_MM, dashes(WIDE_MM, 6, 3))
MATCH = Pen(WIDE_MM, dashes(WIDE_MM, 24, 3, 3, 3))


class Lettering(NamedTuple):
    """A letter style: face and the height of its capitals in mm."""

    face: FaceName
    cap_mm: float


PEG_TEXT = Lettering("condensed", 2.5)
NAME_TEXT = Lettering("regular", 2.5)
SIDE_TEXT = Lettering("bold", 2.5)
VALUE_TEXT = Lettering("regular", 2.8)  # 11 pt: common practice for figures, no published source
MARK_TEXT = Lettering("bold", 3.5)
LEGEND_TEXT = Lettering("condensed", 2.5)
NOTE_TEXT = Lettering("italic", 2.5)
TITLE_TEXT = Lettering("bold", 5.0)
