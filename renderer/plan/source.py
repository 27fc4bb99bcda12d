"""Where the records of a plan stand in its file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from renderer.plan.errors import Loc, PlanError, Problem, key_path
from renderer.plan.tree import Items, line_of
from renderer.plan.tree import Mapping as Tree

RECORDS = ("as_built", "changes")


@dataclass(frozen=True, slots=True, eq=False)
class Source:
    """A file's name as the user wrote it, and the lines of its records by the way to each value.

    Two plans that say the same are equal whatever files they come from, so all sources are.
    """

    name: str = "plan"
    lines: Mapping[Loc, int] = field(default_factory=dict)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Source)

    def __hash__(self) -> int:
        return hash(Source)

    def error(self, problem: Problem) -> PlanError:
        """The problem as an error with its file and line."""
        loc = problem.loc
        known = (loc[:end] for end in range(len(loc), 0, -1))
        line = next((self.lines[each] for each in known if each in self.lines), 0)
        return PlanError(self.name, line, key_path(loc), problem.problem, problem.cure)


def source_of(name: str, tree: Tree) -> Source:
    """The source of a plan whose file was read as a tree."""
    lines = {loc: line_of(tree, loc) for key in RECORDS for loc in _ways((key,), tree.get(key))}
    return Source(name, lines)


def _ways(loc: Loc, value: object) -> Iterator[Loc]:
    """The way to a value and to all in it."""
    if value is None:
        return
    yield loc
    if isinstance(value, Tree):
        for key, each in value.items():
            yield from _ways((*loc, key), each)
    elif isinstance(value, Items):
        for index, each in enumerate(value):
            yield from _ways((*loc, index), each)
