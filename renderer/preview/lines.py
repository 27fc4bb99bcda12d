"""On which line of the plan file each thing of the plan is written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.plan.errors import PlanError
from renderer.plan.files import tree_of
from renderer.plan.tree import line_of

if TYPE_CHECKING:
    from renderer.plan.model import Plan

AROUND = 3  # lines shown above and below the one that is meant
LETTERS_MOST = 200  # of a line that is shown


class Lines:
    """Lines by the way to a value, and by the names of lawns, obstacles, features and loops."""

    def __init__(self, text: str, name: str, plan: Plan) -> None:
        try:
            self._tree: object = tree_of(text, name, "")
        except PlanError:  # saved again meanwhile; the next reading will tell
            self._tree = None
        self._named: dict[str, int] = {}
        for key in ("loops", "features", "obstacles", "lawns"):
            for number, thing in enumerate(getattr(plan, key)):
                self._named[thing.name] = self.at(key, number)

    def at(self, *way: str | int) -> int:
        """The line of the value at a way such as ``lawns, 0``, or of what is above it; from 1."""
        return line_of(self._tree, way)

    def named(self, name: str) -> int:
        """The line where a thing of this name begins; 0 where there is none."""
        return self._named.get(name, 0)


def excerpt(text: str, line: int) -> list[tuple[int, str]]:
    """The lines about one of a text, each with its number."""
    lines = text.splitlines()
    first = max(1, line - AROUND)
    return [
        (number, lines[number - 1][:LETTERS_MOST])
        for number in range(first, min(len(lines), line + AROUND) + 1)
    ]
