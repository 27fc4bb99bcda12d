"""Figures of the teaching sheets that no standard gives; common practice, no published source."""

from __future__ import annotations

from renderer.units import M_PER_FOOT

LENGTH_M = 0.05  # a distance or a tape within this is right
ORDER_M = {"m": 1.0, "ft": 3 * M_PER_FOOT}  # so much off in what is ordered is still right
PASS_POINTS = 80  # of a hundred
YARD_M = (15.0, 10.0)  # a garden no larger can be laid out on most yards
# Points of each part, a hundred in all, in the order of the work on paper.
POINTS = {
    "setbacks": 15,
    "islands": 20,
    "corners": 15,
    "records": 10,
    "splices": 10,
    "set-out": 20,
    "safety": 10,
}
