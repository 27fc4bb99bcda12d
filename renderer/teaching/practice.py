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
# A garden up to this size can be laid out in most yards: how long, how wide.
YARD_M = {"m": (15.0, 10.0), "ft": (50 * M_PER_FOOT, 33 * M_PER_FOOT)}
# Points of each part, a hundred in all, in the order of the work on paper.
POINTS = {
    "setbacks": 10,
    "islands": 20,
    "corners": 15,
    "records": 10,
    "splices": 10,
    "set-out": 20,
    "safety": 15,
}

# The easier sheets, the yard and the meter.
PAPER_MM = 50  # of a line on the plan whose length on the ground is asked for
PAPER_IN = 2
SQUARES = {  # legs of a square corner, so that the tape across is whole
    "m": ((3.0, 4.0), (1.5, 2.0), (6.0, 8.0)),
    "ft": tuple((a * M_PER_FOOT, b * M_PER_FOOT) for a, b in ((6, 8), (3, 4), (9, 12))),
}
DISTANCE_M = {"m": 0.05, "ft": 3 * _INCH}  # to which that of a distance by meter is rounded up
YARD_PEGS = 8
YARD_APART_M = 1.0  # from any peg of the yard sheet to the next, at the least
YARD_OFF_M = {  # how far off a peg may stand for the points of YARD_SCORES
    "m": (0.05, 0.10, 0.20),
    "ft": (2 * _INCH, 4 * _INCH, 8 * _INCH),
}
YARD_SCORES = (5, 3, 1)
MARK_ANSWER = 1  # of an answer on the easier sheets
MARK_TAPE = 2  # of a tape, a sum or a reading
SHORT_SHARE = 0.08  # of the wire, from each terminal to where bare wires touch
ISLANDS_APART = 0.10  # by which the wire of one island differs from any other's, to be told
POOR_SPLICE_OHM = 1.6  # that a poor joint adds to a reading, at the least
# Minutes of a lesson, for a class that works in pairs.
ANSWER_MINUTES = 2  # an answer of the easier sheets
QUESTION_MINUTES = 4  # a question of the full exercise, its drawing included
YARD_PEG_MINUTES = 5  # a peg set out by two tapes, checked and scored
READING_MINUTES = 4
MARK_MINUTES = 2  # a corner, an obstacle or a point marked on the ground
OPENING_MINUTES = 15
CLOSING_MINUTES = 15
