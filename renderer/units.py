"""Unit factors, each in its one home."""

from __future__ import annotations

MM_PER_INCH = 25.4
POINTS_PER_INCH = 72.0
M_PER_FOOT = 0.3048
INCHES_PER_FOOT = 12
POINTS_PER_MM = POINTS_PER_INCH / MM_PER_INCH
MM_PER_M = 1000.0

# How finely findings write lengths, coarse to fine: the next where two must not read alike.
WRITTEN_DECIMALS_M = (2, 3, 4)
WRITTEN_PARTS_INCH = (4, 16, 64)
