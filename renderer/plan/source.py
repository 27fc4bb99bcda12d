"""The files that a plan was read from, and where its records stand in its own."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from renderer.plan.errors import Loc, PlanError, Problem, key_path
from renderer.plan.tree import Items, line_of
from renderer.plan.tree import Mapping as Tree

RECORDS = ("as_built", "changes")


@dataclass(frozen=True, slots=True)
class SourceFile:
    """A file: its name as the user gave it, its text, and the line that names a machine's file.

    ``line`` is 1-based, 0 where no line does.
    """

    name: str
    text: str
    line: int = 0


@dataclass(frozen=True, slots=True, eq=False)
class Source:
    """A file's name as the user wrote it, and the lines of its records by the way to each value.

    ``files`` are the plan's own, and its machine's where that is another; none where the plan was
    made or changed by code.

    Two plans that say the same are equal whatever files they come from, so all sources are.
    """

    name: str = "plan"
    lines: Mapping[Loc, int] = field(default_factory=dict)
    files: tuple[SourceFile, ...] = ()

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Source)

    def __hash__(self) -> int:
        return hash(Source)

    @property
    def without_files(self) -> Source:
        """The same of a plan that no longer is what its files say."""
        return replace(self, files=())

    def error(self, problem: Problem) -> PlanError:
        """The problem as an error with its file and line."""
        loc = problem.loc
        known = (loc[:end] for end in range(len(loc), 0, -1))
        line = next((self.lines[each] for each in known if each in self.lines), 0)
        return PlanError(self.name, line, key_path(loc), problem.problem, problem.cure)


def source_of(name: str, tree: Tree, files: tuple[SourceFile, ...]) -> Source:
    """The source of a plan whose file was read as a tree, with the texts of all its files."""
    lines = {loc: line_of(tree, loc) for key in RECORDS for loc in _ways((key,), tree.get(key))}
    return Source(name, lines, files)


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
