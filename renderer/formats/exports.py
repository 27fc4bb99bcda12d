"""What is written for other programs, by the ending of the file."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

    from renderer.job import Job

# The module that writes each ending, imported when such a file is written.
WRITERS = {"geojson": "geojson_out", "csv": "csv_out", "dxf": "dxf_out", "gpx": "gpx_out"}


def export(job: Job, ending: str, path: str) -> bytes:
    """The laid wire as the bytes of a file for another program; ``path`` is the plan's, for errors.

    Lengths and coordinates are metres to 0.1 mm, in the coordinates of the plan file; degrees
    where the plan has a position and the format is one of degrees. The same job gives the same
    bytes. Raises PlanError where the format needs a position that the plan does not have.
    """
    write: Callable[[Job, str], bytes] = import_module(f"renderer.formats.{WRITERS[ending]}").write
    return write(job, path)
