"""Figures of the teaching sheets that no standard gives; common practice, no published source."""

from __future__ import annotations

from renderer.units import M_PER_FOOT, MM_PER_INCH, MM_PER_M

_INCH = MM_PER_INCH / MM_PER_M

# How near to the key an answer is right.
LENGTH_M = {"m": 0.05, "ft": 2 * _INCH}  # a distance or a tape
STEP_M = {"m": 0.01, "ft": _INCH}  # to which a tolerance is rounded up
SUM_PERCENT = 0.5  # of a length added up from several; the above at least
ORDER_M = {"m": 1.0, "ft": 3 * M_PER_FOOT}  # what is ordered
ORDER_PERCENT = 1.0  # of a large order; the above at least
PEG_PERCENT = 3.0  # of a number of pegs; one at least
OHM = 0.05  # a resistance
MINUTES = 2  # of two people
PASS_POINTS = 80  # of a hundred
YARD_M = (15.0, 10.0)  # a garden up to this size can be laid out in most yards
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
