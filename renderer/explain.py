"""What an error is called on the command line: one line each, with file, line, key and cure."""

from __future__ import annotations

import os
from collections.abc import Iterable
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from renderer.plan.errors import PlanError

MISTAKES_MOST = 20  # of one file that are listed


class Usage(Exception):
    """Arguments that argparse accepts but that do not go together; the text gives the cure."""


def explanations(error: Exception, files: Iterable[str] = ()) -> list[str]:
    """The error as one line, or a line for each mistake of the files that were read."""
    from renderer.plan.errors import PlanError

    if not isinstance(error, PlanError) or os.environ.get("PEGLINE_TRACEBACK"):
        return [explained(error, files)]
    return [
        line
        for path, mistakes in groupby(error.all, key=lambda mistake: mistake.path)
        for line in _listed(path, list(mistakes))
    ]


def _listed(path: str, mistakes: list[PlanError]) -> list[str]:
    lines = [str(mistake) for mistake in mistakes[:MISTAKES_MOST]]
    more = len(mistakes) - MISTAKES_MOST
    return [*lines, f"{path}: and {more} more"] if more > 0 else lines


def explained(error: Exception, files: Iterable[str] = ()) -> str:
    """The error as one line; an internal one says so, and how to see where it arose.

    A character that no face has is looked up in the ``files`` that were read. With
    ``PEGLINE_TRACEBACK`` set in the environment it raises the error instead.
    """
    if os.environ.get("PEGLINE_TRACEBACK"):
        raise error
    from renderer.plan.errors import PlanError

    if isinstance(error, PlanError | Usage):
        return str(error)
    if isinstance(error, OSError):
        said = error.strerror or str(error)
        return f"{error.filename}: {said}" if error.filename else said
    if (known := _ended_from_outside(error)) is not None:
        return known
    from renderer.drawing import DrawError
    from renderer.language import WordError
    from renderer.sheets import SheetError
    from renderer.teaching import LessonError
    from renderer.text import MissingGlyph

    if isinstance(error, MissingGlyph):
        return _place_of(error.character, files) + str(error)
    if isinstance(error, DrawError | LessonError | SheetError | WordError):
        return str(error)
    return (
        f"internal error, a bug in pegline ({type(error).__name__}: {error}); "
        "run it again with PEGLINE_TRACEBACK=1 to see where"
    )


def _ended_from_outside(error: Exception) -> str | None:
    """What to do where the machine gave out, not the program."""
    from concurrent.futures.process import BrokenProcessPool

    if isinstance(error, MemoryError):
        return "there is not enough memory for this; print fewer jobs at once"
    if isinstance(error, BrokenProcessPool):
        problem = "a worker process was ended from outside, perhaps for lack of memory"
        return f"{problem}; print with --processes 1, or fewer jobs at once"
    return None


def _place_of(character: str, files: Iterable[str]) -> str:
    """The file and line of a character; of one that is written as an escape only the file."""
    names = list(files)
    for name in names:
        lines = Path(name).read_text("utf-8", errors="replace").split("\n")
        line = next((number for number, text in enumerate(lines, 1) if character in text), 0)
        if line:
            return f"{name}:{line}: "
    return f"{names[0]}: " if len(names) == 1 else ""
