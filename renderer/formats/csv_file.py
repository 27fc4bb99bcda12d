"""CSV: a table of points or a table of ties, as the names of its columns say."""

from __future__ import annotations

from renderer.formats import table, ties
from renderer.formats.cells import read_cells
from renderer.formats.found import Found, Options
from renderer.plan.errors import PlanError


def read(path: str, data: bytes, options: Options) -> Found:
    """What a CSV file holds. Raises PlanError."""
    if options.units not in (None, "m", "ft"):
        raise PlanError(path, 0, "--units", "a table must be in m or ft", "write m or ft")
    cells = read_cells(path, data, options.order)
    if ties.are_ties(cells.names):
        return ties.tied(cells, options)
    return table.points(cells, options)
