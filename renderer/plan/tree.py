"""What was read, before it is interpreted: text, lists and mappings that know their lines."""

from __future__ import annotations

from renderer.plan.errors import Loc

DEPTH_MAX = 40  # a plan goes seven deep
LIST_MAX = 20_000  # items of a list, keys of a mapping
TOO_LONG = f"a list or mapping holds more than {LIST_MAX:,} things"


class Scalar(str):
    """A value as it is written. ``plain`` is false where it stood in quotes."""

    __slots__ = ("line", "plain")

    line: int
    plain: bool


class Items(list[object]):
    """A list and the line it starts on."""

    __slots__ = ("line",)

    line: int


class Mapping(dict[str, object]):
    """A mapping, the line it starts on and the line of each key."""

    __slots__ = ("key_lines", "line")

    line: int
    key_lines: dict[str, int]


def scalar(text: str, line: int, plain: bool) -> Scalar:
    """A scalar with its 1-based line."""
    value = Scalar(text)
    value.line = line
    value.plain = plain
    return value


def items(line: int) -> Items:
    """An empty list that starts on ``line``."""
    value = Items()
    value.line = line
    return value


def mapping(line: int) -> Mapping:
    """An empty mapping that starts on ``line``."""
    value = Mapping()
    value.line = line
    value.key_lines = {}
    return value


def line_of(root: object, loc: Loc) -> int:
    """The line of the value at ``loc``, or of the nearest thing above it that exists."""
    node, line = root, int(getattr(root, "line", 1))
    for part in loc:
        if isinstance(node, Mapping) and isinstance(part, str) and part in node:
            line, node = node.key_lines[part], node[part]
        elif isinstance(node, Items) and isinstance(part, int) and 0 <= part < len(node):
            node = node[part]
            line = getattr(node, "line", line)
        else:
            break
    return line
