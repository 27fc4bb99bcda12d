"""YAML text as a tree of scalars with lines. Nothing is guessed: ``1:30`` stays ``1:30``.

Read from parser events, not from a loader: no tags, anchors or aliases, so nothing in a file can
build objects or grow without bound, and duplicate keys are noticed.
"""

from __future__ import annotations

import re
from typing import Any

import yaml

from renderer.plan.errors import shown
from renderer.plan.tree import DEPTH_MAX, LIST_MAX, TOO_LONG, Items, Mapping, items, mapping, scalar

_NOTHING = {"", "~", "null"}
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class TextProblem(Exception):
    """What makes a text unreadable, and on which line."""

    def __init__(self, line: int, problem: str, cure: str = "", key: str = "") -> None:
        super().__init__(line, problem, cure, key)
        self.line = line
        self.problem = problem
        self.cure = cure
        self.key = key


def read_yaml(text: str) -> object:
    """The tree of a YAML text; ``None`` for an empty one. Raises TextProblem."""
    builder = _Builder()
    try:
        for event in yaml.parse(text, Loader=_LOADER):
            builder.take(event)
    except yaml.MarkedYAMLError as error:
        raise _syntax_problem(text, error) from None
    except (yaml.YAMLError, ValueError) as error:
        raise TextProblem(0, f"cannot be read as YAML ({error})") from None
    return builder.root


class _Builder:
    """Puts a tree together from parser events."""

    def __init__(self) -> None:
        self.root: object = None
        self._documents = 0
        self._open: list[Mapping | Items] = []
        self._keys: list[str | None] = []

    def take(self, event: Any) -> None:
        kind = type(event)
        if kind is yaml.ScalarEvent:
            self._scalar(event)
        elif kind is yaml.SequenceStartEvent:
            self._start(items(_line(event)), event)
        elif kind is yaml.MappingStartEvent:
            self._start(mapping(_line(event)), event)
        elif kind is yaml.SequenceEndEvent or kind is yaml.MappingEndEvent:
            self._open.pop()
            self._keys.pop()
        else:
            self._other(event)

    def _scalar(self, event: Any) -> None:
        if event.anchor is not None or event.tag is not None:
            self._plainly(event)
        line, text, plain = event.start_mark.line + 1, event.value, event.implicit[0]
        if self._awaits_key():
            self._key(text, line)
        elif plain and text in _NOTHING:
            self._put(None)
        else:
            self._put(scalar(text, line, plain))

    def _awaits_key(self) -> bool:
        return bool(self._open) and self._keys[-1] is None and type(self._open[-1]) is Mapping

    def _key(self, text: str, line: int) -> None:
        parent = self._open[-1]
        assert isinstance(parent, Mapping)
        if text in parent:
            first = parent.key_lines[text]
            raise TextProblem(
                line,
                f"the key {shown(text)} appears twice, first on line {first}",
                "keep one of the two",
            )
        if len(parent) >= LIST_MAX:
            raise TextProblem(line, TOO_LONG, "split the file")
        self._keys[-1] = text
        parent.key_lines[text] = line

    def _start(self, node: Mapping | Items, event: Any) -> None:
        if event.anchor is not None or event.tag is not None:
            self._plainly(event)
        if self._awaits_key():
            raise TextProblem(node.line, "a key is a list or a mapping", "write a word as the key")
        if len(self._open) >= DEPTH_MAX:
            raise TextProblem(
                node.line,
                f"lists and mappings are nested more than {DEPTH_MAX} deep",
                "close brackets",
            )
        self._put(node)
        self._open.append(node)
        self._keys.append(None)

    def _put(self, value: object) -> None:
        if not self._open:
            self.root = value
            return
        parent = self._open[-1]
        if isinstance(parent, Items):
            if len(parent) >= LIST_MAX:
                raise TextProblem(parent.line, TOO_LONG, "split the file")
            parent.append(value)
            return
        key = self._keys[-1]
        assert key is not None
        parent[key] = value
        self._keys[-1] = None

    def _other(self, event: Any) -> None:
        if type(event) is yaml.AliasEvent:
            self._plainly(event)
        if type(event) is yaml.DocumentStartEvent:
            self._documents += 1
            if self._documents > 1:
                raise TextProblem(
                    _line(event),
                    "a second document starts here",
                    "keep one plan in one file",
                )

    @staticmethod
    def _plainly(event: Any) -> None:
        if getattr(event, "tag", None) is not None:
            problem, cure = f"the tag {shown(event.tag)} is not supported", "remove it"
        else:
            problem = f"the anchor or alias {shown(event.anchor)} is not supported"
            cure = "write the value out (text that starts with & or * needs quotes)"
        raise TextProblem(_line(event), problem, cure)


def _line(event: Any) -> int:
    return int(event.start_mark.line) + 1


def _syntax_problem(text: str, error: yaml.MarkedYAMLError) -> TextProblem:
    lines = text.rstrip().split("\n")
    begun = error.context_mark.line + 1 if error.context_mark else 0
    line = error.problem_mark.line + 1 if error.problem_mark else begun
    if line > len(lines):  # something stays open to the end: where it begins is the place
        line = min(begun or len(lines), len(lines))
    if re.match(r" *\t", lines[line - 1]):
        return TextProblem(line, "the line starts with a tab", "indent with spaces")
    near = (number for number in (line, line - 1) if number and _DASHED.match(lines[number - 1]))
    if dashed := next(near, 0):
        key = lines[dashed - 1].partition(":")[0].strip().removeprefix("-")
        problem, cure = "there is no space after the dash", f"write '- {key}: ...'"
        return TextProblem(dashed, problem, cure)
    context = f" {error.context}" if error.context else ""
    since = f" begun on line {begun}" if context and begun != line else ""
    problem = error.problem or "cannot be read"
    return TextProblem(line, f"not valid YAML{context}{since}: {problem}", _cure(problem))


_DASHED = re.compile(r" *-[A-Za-z_]+:")

_CURES = {
    "mapping values are not allowed": "put text that holds a colon in quotes",
    "expected ',' or": "close the bracket, add the missing comma, or put text with ': ' in quotes",
    "expected <document start>": "leave out what follows the end of the plan",
    "expected '-' indicator": "begin the line as far in as the lines that belong with it",
    "expected <block end>": "indent the keys of a mapping equally; start list items with '- '",
    "could not find expected ':'": "write 'key: value' with a colon and a space",
    "cannot start any token": "put the text in quotes",
    "unexpected end of stream": "close the quotes",
    "expected node content": "close the brackets, each after its last value",
    "nesting depth": "remove the extra brackets",
}
_LOOK = "look at this line and the one before it"


def _cure(problem: str) -> str:
    return next((cure for start, cure in _CURES.items() if start in problem), _LOOK)
