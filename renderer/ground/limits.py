"""The tolerances of the wire engine, each stated once, in metres and degrees."""

from __future__ import annotations

from renderer.plan.arcs import ARC_SAG_M

GRID_M = 1e-4  # the walk is rounded to 0.1 mm before anything is measured on it
FLATTEN_M = ARC_SAG_M  # most that a flattened arc departs from the true one
WIDTH_M = 1e-3  # a passage this much under the least passage still counts as wide enough
SEPARATE_M = 2e-4  # cut pieces are grown by this, so that what they part does not touch
UNION_GRID_M = 1e-8  # grid of the union that serves where the fast one fails
SLIVER_M2 = 1e-5  # ground smaller than this is noise of the arithmetic
CORNER_DEG = 20.0  # a corner of the wire turns by this or more
LEAD_GAP_M = 0.05  # two lead pairs leave a ring at least this far apart
DEAD_END_PASSAGES = 2  # a dead end deeper than so many least passages is cut off
PART_PASSAGES = 4  # a part of less than so many squares of the least passage is left out
DOCK_GAP_M = 0.10  # a lead pair keeps this far from the dock's straight run
