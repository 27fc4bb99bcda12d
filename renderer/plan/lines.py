"""On which line of the plan file each thing of the plan is written."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from renderer.plan.errors import PlanError
from renderer.plan.files import tree_of
from renderer.plan.tree import Mapping, line_of

if TYPE_CHECKING:
    from renderer.plan.model import Plan

# Where the plan says what a rule looks at, by the words in the rule's id.
KEY_OF = {
    "splice": "wire",
    "spools": "wire",
    "spool": "wire",
    "stock": "wire",
    "slack": "wire",
    "services": "job",
    "references": "survey",
    "reference": "survey",
    "poorly": "survey",
    "figure": "machine",
    "setback": "machine",
    "tails": "machine",
    "acceptance": "acknowledged",
    "tree": "obstacles",
    "island": "obstacles",
    "islands": "obstacles",
    "socket": "loops",
    "supply": "loops",
    "dock": "loops",
}
NAMED = ("loops", "features", "obstacles", "lawns")  # whose names findings are about


class Place(NamedTuple):
    """A line and a column of a file, both from 1."""

    line: int
    column: int


class Lines:
    """Where things of a plan stand in its text, by the way to a value or by name."""

    def __init__(self, text: str, name: str, plan: Plan) -> None:
        self._lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
        try:
            self._tree: object = tree_of(text, name, "")
        except PlanError:  # saved again meanwhile; the next reading will tell
            self._tree = None
        self._named: dict[str, int] = {}
        for key in NAMED:
            for number, thing in enumerate(getattr(plan, key)):
                self._named[thing.name] = self.at(key, number)

    def at(self, *way: str | int) -> int:
        """The line of the value at a way such as ``lawns, 0``, or of what is above it; from 1."""
        return line_of(self._tree, way)

    def named(self, name: str) -> int:
        """The line where a thing of this name begins; 0 where there is none."""
        return self._named.get(name, 0)

    def place_of(self, about: str, rule: str) -> Place:
        """The place of what a finding is about: a thing by its name, or a key that the rule names.

        Where it is about the plan as a whole, that is the first line.
        """
        name = about.split(" + ")[0]  # the first of several
        line = self.named(name)
        if line:
            return Place(line, column_of(self._lines[line - 1 : line], name))
        keys = self._tree.key_lines if isinstance(self._tree, Mapping) else {}
        words = rule.split("-")
        meant = (keys.get(KEY_OF.get(word, word), 0) for word in words)
        return Place(next(filter(None, meant), 1), 1)


def column_of(lines: list[str], word: str) -> int:
    """The column where a word begins in the first of the lines, or where the line does; from 1."""
    line = lines[0] if lines else ""
    found = line.find(word) if word else -1
    return 1 + (found if found >= 0 else len(line) - len(line.lstrip(" -")))
