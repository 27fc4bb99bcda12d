"""The rules and the figures that they go by, with the source of each figure."""

from __future__ import annotations

import ast
import inspect
import re
import tokenize
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from io import StringIO
from types import ModuleType
from typing import TYPE_CHECKING, Any, ClassVar

from docutils import nodes
from sphinx.util.docutils import SphinxDirective

from renderer import trade
from renderer.checks import case
from renderer.checks.finding import LEVELS
from renderer.checks.registry import RULES
from renderer.job.practice import COMMON
from renderer.plan.descriptions import DESCRIPTIONS
from renderer.plan.machine import Machine

if TYPE_CHECKING:
    from sphinx.util.typing import OptionSpec

PRACTICE = "common practice"
NO_SOURCE = "From here on: common practice"
STANDARD = re.compile(r"\b(IEC \d+|ASTM [A-Z]\d+|ISO \d+(?:-\d)?|NEC chapter \d+ table \d+)")
HEADING = re.compile(r"[^.,:;]+\.")  # the one line above that stands for all that follow
UNITS = {"M": "m", "MM": "mm", "M2": "m²", "DEG": "°", "PERCENT": "%", "DAYS": "days", "C": "°C"}
UNITS |= {"MIN": "min", "H": "h"}
# Attributes in the code of rules that come from the machine's figures by another name.
OF_MACHINE = {"setback_m": "setback"}
NO_FIGURE = {"label", "from_manual"}


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure of ``trade.py``: its name there, what it is for, and where it comes from."""

    name: str
    means: str
    source: str

    @property
    def words(self) -> str:
        """The name as words, without its unit."""
        parts = self.name.lower().split("_")
        return " ".join(parts[:-1] if self.unit else parts)

    @property
    def unit(self) -> str:
        return "" if "_PER_" in self.name else UNITS.get(self.name.rpartition("_")[2], "")

    @property
    def value(self) -> str:
        """What it is, with its unit."""
        return _value(getattr(trade, self.name), self.unit)


class Rules(SphinxDirective):
    """A table of all rules, stops first."""

    option_spec: ClassVar[OptionSpec] = {}

    def run(self) -> list[nodes.Node]:
        rows = []
        for rule in sorted(RULES.values(), key=lambda each: (LEVELS.index(each.level), each.id)):
            rows.append(
                (rule.level, f"[{rule.id}](#{rule.id})", looks_at(rule.id), goes_by(rule.id))
            )
        return self.parse_text_to_nodes(table(("level", "rule", "looks at", "goes by"), rows))


class Figures(SphinxDirective):
    """A table of the figures of the trade and of standards."""

    option_spec: ClassVar[OptionSpec] = {}

    def run(self) -> list[nodes.Node]:
        rows = [(each.words, each.value, each.means, each.source) for each in figures().values()]
        return self.parse_text_to_nodes(table(("figure", "value", "what it is", "source"), rows))


class Practice(SphinxDirective):
    """A table of the figures that the sheets print with an asterisk."""

    option_spec: ClassVar[OptionSpec] = {}

    def run(self) -> list[nodes.Node]:
        rows = [(f"`{key}`", DESCRIPTIONS[f"Practice.{key}"]) for key in COMMON]
        return self.parse_text_to_nodes(table(("under practice", "what it is"), rows))


def table(head: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> str:
    """Rows of Markdown as a table."""
    lines = ["```{list-table}", ":header-rows: 1", ":class: keys", ""]
    for row in (head, *rows):
        first, *rest = (cell or " " for cell in row)
        lines += [f"* - {first}", *(f"  - {cell}" for cell in rest)]
    return "\n".join([*lines, "```"])


@cache
def figures() -> dict[str, Figure]:
    """The figures of ``trade.py`` that are numbers, or numbers by name, by their names there.

    What a figure means is the comment beside it or above it; its source is the standard that either
    names, of one without a comment that of the figure before, else common practice.
    """
    source = inspect.getsource(trade)
    comments = {
        token.start[0]: token.string.lstrip("# ")
        for token in tokenize.generate_tokens(StringIO(source).readline)
        if token.type == tokenize.COMMENT
    }
    turn = next(line for line, text in comments.items() if text.startswith(NO_SOURCE))
    found: dict[str, Figure] = {}
    standard = ""
    for node in ast.parse(source).body:
        if not (isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name)):
            continue
        name, last = node.targets[0].id, node.end_lineno or node.lineno
        above = " ".join(_above(comments, node.lineno, source))
        beside = " ".join(comments[at] for at in range(node.lineno, last + 1) if at in comments)
        means = " ".join([beside] if beside and HEADING.fullmatch(above) else [above, beside])
        named = STANDARD.findall(means)
        standard = ", ".join(dict.fromkeys(named)) or (
            "" if means.strip() or last > turn else standard
        )
        if not name.startswith("_") and _is_number(getattr(trade, name)):
            found[name] = Figure(name, _sentence(means), standard or PRACTICE)
    return found


def _above(comments: Mapping[int, str], line: int, source: str) -> list[str]:
    """The lines of comment right above a line, the first first."""
    lines = source.split("\n")
    found: list[str] = []
    at = line - 1
    while at in comments and lines[at - 1].startswith("#"):
        found.insert(0, comments[at])
        at -= 1
    return found


def _is_number(value: Any) -> bool:
    """Whether it is a number, or numbers by name; what a van carries is counted elsewhere."""
    if isinstance(value, Mapping):
        loaded = any(str(key).startswith("tool.") for key in value)
        return not loaded and all(map(_is_number, value.values()))
    return isinstance(value, int | float)


def _value(value: Any, unit: str) -> str:
    if isinstance(value, Mapping):
        parts = (f"{key}: {_value(each, unit)}" for key, each in value.items())
        nested = any(isinstance(each, Mapping) for each in value.values())
        return "; ".join(f"class {part}" if nested else part for part in parts)
    space = "" if unit in ("", "°", "%") else " "
    return f"{value:g}{space}{unit}" if unit != "%" else f"{value:g} %"


def _sentence(text: str) -> str:
    """A comment as a cell: without the words that the source says, and with a capital."""
    short = re.sub(r"[;,:]? ?common practice, no published source", "", text).strip(" .;,:")
    return short[:1].upper() + short[1:]


def looks_at(rule: str) -> str:
    """What a rule looks at, in a sentence."""
    return " ".join((RULES[rule].look.__doc__ or "").partition("\n\n")[0].split())


def goes_by(rule: str) -> str:
    """The figures that a rule goes by: the machine's, and those of the trade with their source."""
    of_trade, of_machine = used(rule)
    known = figures()
    told = [f"the machine's {', '.join(f'`{each}`' for each in of_machine)}"] if of_machine else []
    told += [
        f"{known[each].words}, {known[each].value} ({known[each].source})"
        for each in of_trade
        if each in known
    ]
    return "; ".join(told)


def used(rule: str) -> tuple[list[str], list[str]]:
    """The names of ``trade.py`` and the keys of the machine's file that a rule's code names."""
    look = inspect.unwrap(RULES[rule].look)
    of_trade: set[str] = set()
    of_machine: set[str] = set()
    for module, node in _reached(look.__module__, look.__name__, set()):
        if isinstance(node, ast.Name) and node.id in _from_trade(module):
            of_trade.add(node.id)
        elif isinstance(node, ast.Attribute):
            of_machine |= _machine_keys(node)
    whole = {each.partition(".")[0] for each in of_machine if "." in each}
    return sorted(of_trade), sorted(of_machine - whole)


def _machine_keys(node: ast.Attribute) -> set[str]:
    """The key of the machine's file that ``machine.KEY`` or ``machine.KEY.INNER`` stands for."""
    if node.attr in OF_MACHINE:
        return {OF_MACHINE[node.attr]}
    fields = Machine.model_fields
    if _is_machine(node.value):
        return {node.attr} & (set(fields) - NO_FIGURE)
    inner = node.value
    if isinstance(inner, ast.Attribute) and _is_machine(inner.value) and inner.attr in fields:
        held = getattr(fields[inner.attr].annotation, "model_fields", {})
        return {f"{inner.attr}.{node.attr}"} if node.attr in held else set()
    return set()


def _is_machine(node: ast.expr) -> bool:
    name = node.attr if isinstance(node, ast.Attribute) else getattr(node, "id", "")
    return name == "machine"


def _reached(
    module: str, name: str, seen: set[tuple[str, str]]
) -> Iterator[tuple[ModuleType, ast.AST]]:
    """The nodes of a function of ``checks/``, and of those there and of the case that it calls."""
    if (module, name) in seen or not module.startswith("renderer.checks"):
        return
    seen.add((module, name))
    held = import_module(module)
    function = _functions(held).get(name)
    if function is None:
        return
    for node in ast.walk(function):
        yield held, node
        if isinstance(node, ast.Name):
            called = getattr(held, node.id, None)
            if inspect.isfunction(called):
                yield from _reached(called.__module__, called.__name__, seen)
        elif isinstance(node, ast.Attribute) and getattr(node.value, "id", "") in ("case", "self"):
            yield from _reached(case.__name__, node.attr, seen)


@cache
def _functions(module: ModuleType) -> dict[str, ast.FunctionDef]:
    """The functions of a module by name, and the methods of its classes."""
    tree = ast.parse(inspect.getsource(module))
    return {node.name: node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)}


@cache
def _from_trade(module: ModuleType) -> frozenset[str]:
    """The names that a module has from ``trade.py``."""
    body = ast.walk(ast.parse(inspect.getsource(module)))
    return frozenset(
        each.name
        for node in body
        if isinstance(node, ast.ImportFrom) and node.module == trade.__name__
        for each in node.names
    )
