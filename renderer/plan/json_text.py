"""JSON text as the same tree that YAML gives, with lines; duplicate keys are noticed."""

from __future__ import annotations

import json
import re

from renderer.plan.errors import shown
from renderer.plan.tree import DEPTH_MAX, LIST_MAX, TOO_LONG, Items, Mapping, items, mapping, scalar
from renderer.plan.yaml_text import TextProblem

_BLANK = re.compile(r"[ \t\n]*")
_NUMBER = re.compile(r"-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?(?:[eE][-+]?[0-9]+)?")
_WORD = re.compile(r"[A-Za-z]+")
_STRINGS = json.JSONDecoder()


def read_json(text: str) -> object:
    """The tree of a JSON text with ``\\n`` line ends. Raises TextProblem."""
    return _Reader(text).read()


class _Reader:
    """Walks the text once, without recursion."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._at = 0
        self._line = 1

    def read(self) -> object:
        root = self._value(0)
        open_nodes: list[Mapping | Items] = []
        if isinstance(root, Mapping | Items):
            open_nodes.append(root)
        while open_nodes:
            child = self._next_child(open_nodes[-1], len(open_nodes))
            if child is _END:
                open_nodes.pop()
            elif isinstance(child, Mapping | Items):
                open_nodes.append(child)
        if self._peek():
            raise self._wrong("there is text after the end")
        return root

    def _next_child(self, parent: Mapping | Items, depth: int) -> object:
        close = "}" if isinstance(parent, Mapping) else "]"
        char = self._peek()
        if char == close:
            self._at += 1
            return _END
        if len(parent) >= LIST_MAX:
            raise TextProblem(self._line, TOO_LONG, "split the file")
        if parent:
            if char != ",":
                raise self._wrong(f"a comma or '{close}' is missing")
            self._at += 1
            self._peek()
        if isinstance(parent, Items):
            child = self._value(depth)
            parent.append(child)
            return child
        key = self._key(parent)
        child = self._value(depth)
        parent[key] = child
        return child

    def _key(self, parent: Mapping) -> str:
        if self._peek() != '"':
            last = self._peek() == "}" and self._text[: self._at].rstrip().endswith(",")
            cure = "leave out the comma after the last value" if last else ""
            raise self._wrong("a key in double quotes is missing", cure)
        key = self._string()
        if key in parent:
            first = parent.key_lines[key]
            raise TextProblem(
                self._line,
                f"the key {shown(key)} appears twice, first on line {first}",
                "keep one of the two",
            )
        parent.key_lines[key] = self._line
        if self._peek() != ":":
            raise self._wrong("a colon is missing after the key")
        self._at += 1
        return key

    def _value(self, depth: int) -> object:
        char = self._peek()
        if char == '"':
            return scalar(self._string(), self._line, False)
        if char in {"{", "["}:
            if depth >= DEPTH_MAX:
                raise self._wrong(f"lists and mappings are nested more than {DEPTH_MAX} deep")
            self._at += 1
            return mapping(self._line) if char == "{" else items(self._line)
        found = _NUMBER.match(self._text, self._at)
        if found:
            self._at = found.end()
            return scalar(found.group(), self._line, True)
        return self._word()

    def _word(self) -> object:
        found = _WORD.match(self._text, self._at)
        if found is None or found.group() not in {"true", "false", "null"}:
            raise self._wrong("a value is missing or is not JSON")
        self._at = found.end()
        return None if found.group() == "null" else scalar(found.group(), self._line, True)

    def _string(self) -> str:
        try:
            value, self._at = _STRINGS.raw_decode(self._text, self._at)
        except json.JSONDecodeError as error:
            if error.msg.startswith("Unterminated"):
                cure = "close the quotes, or fetch the file again if it was cut short"
                raise self._wrong("a text has no closing quotes", cure) from None
            raise self._wrong(f"a text cannot be read ({error.msg.lower()})") from None
        assert isinstance(value, str)
        return value

    def _peek(self) -> str:
        found = _BLANK.match(self._text, self._at)
        assert found is not None
        if found.end() > self._at:
            self._line += self._text.count("\n", self._at, found.end())
            self._at = found.end()
        return self._text[self._at : self._at + 1]

    def _wrong(self, problem: str, cure: str = "") -> TextProblem:
        found = self._text[self._at : self._at + 1]
        where = f"near {shown(found)}" if found else "at the end"
        return TextProblem(self._line, f"not valid JSON: {problem} {where}", cure)


class _End:
    pass


_END = _End()
