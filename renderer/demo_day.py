"""The demo's day, written into a folder: for whoever has the package but no clone."""

from __future__ import annotations

import os
from pathlib import Path

from renderer import resources
from renderer.output.files import OutputError, write_whole


def write_demo(folder: str | os.PathLike[str]) -> tuple[str, ...]:
    """Writes the plans, the machine's file and the day file, and gives their names.

    The folder is made where it is not there; nothing in it is written over: raises OutputError if
    one of the files is there already, before anything is written.
    """
    target = Path(folder)
    sources = sorted(resources.demo().glob("*.yaml"))
    there = [each.name for each in sources if os.path.lexists(target / each.name)]
    if there:
        problem = f"{target / there[0]} is there already and is left as it is"
        raise OutputError(f"{problem}; name another folder, or one that is not there yet")
    try:
        target.mkdir(exist_ok=True)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise OutputError(f"cannot make the folder {os.fspath(folder)}: {reason}") from error
    for each in sources:
        write_whole(target / each.name, each.read_bytes())
    return tuple(each.name for each in sources)
