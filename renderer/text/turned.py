"""Where a line of text stands on a page, by its anchor and angle."""

from __future__ import annotations

import math

from renderer.text.faces import FaceName
from renderer.text.measure import ink_box, width_mm

Place = tuple[float, float]

_SHIFT = {"start": 0.0, "middle": 0.5, "end": 1.0}


def baseline_start(
    text: str, face_name: FaceName, size_pt: float, at: Place, anchor: str, angle_deg: float
) -> Place:
    """Where the baseline starts, in mm; ``at`` is its start, middle or end, as ``anchor`` says."""
    share = _SHIFT[anchor]
    if not share:
        return at
    return _along(at, angle_deg, -share * width_mm(text, face_name, size_pt), 0.0)


def ink_corners(
    text: str, face_name: FaceName, size_pt: float, at: Place, anchor: str, angle_deg: float
) -> tuple[Place, Place, Place, Place]:
    """The corners, in mm, of the box round the ink of a line, turned as it is."""
    x0, y0, x1, y1 = ink_box(text, face_name, size_pt)
    back = _SHIFT[anchor] * width_mm(text, face_name, size_pt)
    return (
        _along(at, angle_deg, x0 - back, y0),
        _along(at, angle_deg, x1 - back, y0),
        _along(at, angle_deg, x1 - back, y1),
        _along(at, angle_deg, x0 - back, y1),
    )


def _along(at: Place, angle_deg: float, right: float, down: float) -> Place:
    """The place so far right and down from another, as a text at that angle is read."""
    x, y = at
    if not angle_deg:
        return x + right, y + down
    turn = math.radians(angle_deg)
    cos, sin = math.cos(turn), math.sin(turn)
    return x + right * cos + down * sin, y - right * sin + down * cos
