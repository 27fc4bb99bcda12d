"""Other programs' files, turned into the text of a plan file for a person to complete."""

from __future__ import annotations

import os
from importlib import import_module
from typing import TYPE_CHECKING

from renderer.formats.found import Options
from renderer.plan.errors import PlanError

if TYPE_CHECKING:
    from renderer.formats.found import Found

__all__ = ["ENDINGS", "Options", "import_plan", "read_back"]

BYTES_MOST = 5_000_000

# The module that reads each ending, imported when such a file is read.
ENDINGS = {"csv": "csv_file", "geojson": "geojson", "gpx": "gpx", "kml": "kml", "dxf": "dxf"}


def import_plan(path: str, options: Options) -> str:
    """The text of a plan file with what a file of another program holds.

    Raises PlanError with file, line, key and cure where it cannot be read, or only by guessing.
    """
    from renderer.formats.draft import draft_of
    from renderer.formats.written import written

    ending = os.path.splitext(path)[1].lower().removeprefix(".")
    if ending not in ENDINGS:
        known = ", ".join(f".{each}" for each in ENDINGS)
        raise PlanError(path, 0, "", "files of this type cannot be read", f"use one of {known}")
    read = import_module(f"renderer.formats.{ENDINGS[ending]}").read
    found: Found = read(path, _bytes(path), options)
    if found.tied is None and (options.fixed or options.side):
        key = "--fixed" if options.fixed else "--side"
        raise PlanError(
            path, 0, key, "goes with a table of ties, which this is not", "leave it out"
        )
    text = written(draft_of(path, found, options))
    read_back(path, text)
    return text


def read_back(path: str, text: str) -> None:
    """Reads the text as the plan file that it is to be; PlanError names ``path``, not the text."""
    from renderer.plan import loads

    try:
        loads(text, "new.plan.yaml")
    except PlanError as error:
        raise PlanError(path, 0, error.key, error.problem, error.cure) from None


def _bytes(path: str) -> bytes:
    with open(path, "rb") as file:
        data = file.read(BYTES_MOST + 1)
    if len(data) > BYTES_MOST:
        most = f"{BYTES_MOST // 1_000_000} MB"
        raise PlanError(path, 0, "", f"holds more than {most}", "export the garden by itself")
    return data
