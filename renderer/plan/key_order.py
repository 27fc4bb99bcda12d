"""A plan's text with its keys in one order; all else of it stays as it was typed.

Whole entries change places, with the remarks above them; no value is written anew. Remarks at the
top of the file stay there, and a mapping over several lines in braces keeps its order.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Any, get_args

import yaml

from renderer.plan.base import Model
from renderer.plan.day import DayPlan
from renderer.plan.model import Plan
from renderer.plan.records import Placed
from renderer.plan.yaml_text import TextProblem, read_yaml

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

Kind = type[Model] | None


class OrderError(ValueError):
    """The keys of a text cannot be put in order without changing what it says."""


def in_order(text: str) -> str:
    """The text of a plan or a day, which is valid, with the keys as the models have them.

    What it says stays the same, and a second time changes nothing. Raises OrderError.
    """
    root: Any = yaml.compose(text, Loader=yaml.SafeLoader)
    kind = DayPlan if any(key.value == "day" for key, _ in root.value) else Plan
    begin = root.start_mark.index
    done = text[:begin] + _Text(text).node(root, kind, begin, len(text))
    if not _says_the_same(done, text):
        raise OrderError("its keys cannot be put in order without changing what it says")
    return done


def _says_the_same(one: str, other: str) -> bool:
    try:
        return read_yaml(one) == read_yaml(other)
    except TextProblem:
        return False


@dataclass(frozen=True, slots=True)
class _Text:
    """The text that is put in order, by the places of its nodes."""

    text: str

    def node(self, node: Any, kind: Kind, begin: int, end: int) -> str:
        """The text of a node between two places, its own mappings in order."""
        if isinstance(node, yaml.MappingNode) and node.value:
            if node.flow_style:
                return self._braces(node, kind) + self.text[node.end_mark.index : end]
            return self._block(node, kind, begin, end)
        if isinstance(node, yaml.SequenceNode) and node.value:
            return self._list(node, kind, begin, end)
        return self.text[begin:end]

    def _list(self, node: Any, kind: Kind, begin: int, end: int) -> str:
        stops = [self._line(each.start_mark.index) for each in node.value[1:]]
        told, at = "", begin
        for each, stop in zip(node.value, [*stops, end], strict=True):
            first = each.start_mark.index
            last = each.end_mark.index if node.flow_style else stop
            told += self.text[at:first] + self.node(each, kind, first, last)
            at = last
        return told + self.text[at:end]

    def _braces(self, node: Any, kind: Kind) -> str:
        """A mapping in braces; only what is on one line changes places."""
        begin, end = node.start_mark.index, node.end_mark.index
        parts = [
            self.text[key.start_mark.index : value.start_mark.index]
            + self.node(value, _kind_of(kind, key.value), *_span(value))
            for key, value in node.value
        ]
        stops = [(key.start_mark.index, value.end_mark.index) for key, value in node.value]
        gaps = [self.text[a[1] : b[0]] for a, b in pairwise(stops)]
        if "\n" not in self.text[begin:end]:
            parts = [parts[index] for index in _order(node, kind)]
        body = "".join(part + gap for part, gap in zip(parts, [*gaps, ""], strict=True))
        return self.text[begin : stops[0][0]] + body + self.text[stops[-1][1] : end]

    def _block(self, node: Any, kind: Kind, begin: int, end: int) -> str:
        indent = node.start_mark.column
        tail = self._tail(begin, end)
        starts = [begin]
        starts += (self._above(key.start_mark.index, indent) for key, _ in node.value[1:])
        entries = []
        for (key, value), start, stop in zip(node.value, starts, [*starts[1:], tail], strict=True):
            first = max(value.start_mark.index, key.end_mark.index)
            inner = self.node(value, _kind_of(kind, key.value), first, stop)
            whole = " " * indent * (start == begin) + self.text[start:first] + inner
            entries.append(whole if whole.endswith("\n") else f"{whole}\n")
        order = _order(node, kind)
        beside = self.text[self._line(begin) : begin].strip()  # a dash of a list
        if beside and entries[order[0]].lstrip().startswith("#"):
            order = list(range(len(entries)))
        return "".join(entries[index] for index in order)[indent:] + self.text[tail:end]

    def _line(self, index: int) -> int:
        """Where the line of a place begins."""
        return self.text.rfind("\n", 0, index) + 1

    def _above(self, index: int, indent: int) -> int:
        """Where an entry begins, with the remarks straight above it."""
        start = self._line(index)
        while start:
            above = self._line(start - 1)
            line = self.text[above:start]
            if not line.startswith(" " * indent + "#"):
                break
            start = above
        return start

    def _tail(self, begin: int, end: int) -> int:
        """Where the empty lines and remarks begin with which a mapping ends."""
        while True:
            above = self._line(end - 1)
            line = self.text[above:end].strip()
            if above <= begin or (line and not line.startswith("#")):
                return end
            end = above


def _span(node: Any) -> tuple[int, int]:
    return node.start_mark.index, node.end_mark.index


def _order(node: Any, kind: Kind) -> Sequence[int]:
    """The places of a mapping's entries in their order; as they are where a key is not known."""
    known = _keys(kind) if kind else {}
    names = [key.value for key, _ in node.value]
    if not all(name in known for name in names):
        return range(len(names))
    return sorted(range(len(names)), key=lambda index: known[names[index]])


def _keys(kind: type[Model]) -> dict[str, int]:
    names = list(kind.model_fields)
    if issubclass(kind, Placed):  # what stands somewhere comes before where it stands
        names.sort(key=lambda name: name in Placed.model_fields)
    if kind is Plan:
        names.insert(names.index("units") + 1, "shown_in")
    return {name: place for place, name in enumerate(names)}


def _kind_of(kind: Kind, key: str) -> Kind:
    """The model of what stands under a key, where it is one and no other."""
    field = kind.model_fields.get(key) if kind else None
    found = set(_models(field.annotation)) if field else set()
    return found.pop() if len(found) == 1 else None


def _models(annotation: Any) -> Iterator[type[Model]]:
    if isinstance(annotation, type) and issubclass(annotation, Model):
        yield annotation
    for each in get_args(annotation):
        yield from _models(each)
