"""Figures of common practice that steps and test record carry; none has a published source.

Each prints with an asterisk, and the maker's manual comes before it.
"""

from __future__ import annotations

from renderer.units import M_PER_FOOT, MM_PER_INCH, MM_PER_M

GRASS_M = 0.05  # grass along the wire is mown to this before the wire is laid
STRIP_TERMINAL_M = 0.006  # stripped for a screw terminal
STRIP_SPLICE_M = 0.015  # stripped and twisted under a connector
TIE_WITHIN_M = 0.05  # a peg set out by two tapes
LAP_FROM_M = {"m": 2.0, "ft": 7 * M_PER_FOOT}  # from the dock to where the first lap starts
DOCKINGS = 3  # dockings in a row that count as good
OHM_SHARE = 0.10  # a reading is good within this share of the expected one,
OHM_LEAST = 0.5  # or within this many ohms where that is more
TEMPERATURES_C = (0, 10, 20, 30)  # of the wire, for which readings are printed
AS_BUILT_GRID_M = {"m": 1.0, "ft": 5 * M_PER_FOOT}  # field of the as-built grid
KEEP_OFF_M = {"m": 0.5, "ft": 20 * MM_PER_INCH / MM_PER_M}  # no digging so near to the wire
CABLE_OFF_M = {"m": 1.0, "ft": 3.5 * M_PER_FOOT}  # other cables and mesh alongside the wire
DAY_MAX_MIN = 9 * 60  # a crew's day with driving
REPAIR_STOCK_M = 25.0  # an offcut of this length or more is kept, tagged, for repairs
