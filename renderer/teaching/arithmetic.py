"""Arithmetic as it is printed: a formula in letters, the same with numbers, and what it gives.

A line computes with exactly what it prints: numbers are rounded first, and the result is that of
the printed numbers, so that a reader with a pocket calculator gets the same.
"""

from __future__ import annotations

import ast
import math
import operator
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

SIGNS = {"×": "*", "÷": "/", "−": "-", "²": "**2", "√": "sqrt", "π": "pi"}
NEAR = 1e-9  # how far rounding alone may put a quotient off a whole number

OPERATORS: Mapping[type[ast.operator], Callable[[float, float], float]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
}
FUNCTIONS: Mapping[str, Callable[[float], float]] = {
    "up": lambda value: math.ceil(value - NEAR),
    "down": lambda value: math.floor(value + NEAR),
    "sqrt": math.sqrt,
    "sin": lambda degrees: math.sin(math.radians(degrees)),
    "cos": lambda degrees: math.cos(math.radians(degrees)),
    "tan": lambda degrees: math.tan(math.radians(degrees)),
}


def evaluate(expression: str) -> float:
    """What a printed expression comes to; angles in degrees, ``up`` and ``down`` round to wholes.

    Raises ``ValueError`` for what is not arithmetic.
    """
    for sign, plain in SIGNS.items():
        expression = expression.replace(sign, plain)
    try:
        return _value(ast.parse(expression, mode="eval").body)
    except SyntaxError as error:
        raise ValueError(f"{expression} is no arithmetic") from error


def _value(node: ast.expr) -> float:
    if isinstance(node, ast.Constant) and isinstance(node.value, int | float):
        return float(node.value)
    if isinstance(node, ast.Name) and node.id == "pi":
        return math.pi
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        return -_value(node.operand)
    if isinstance(node, ast.BinOp) and type(node.op) in OPERATORS:
        return OPERATORS[type(node.op)](_value(node.left), _value(node.right))
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and len(node.args) == 1:
        function = FUNCTIONS.get(node.func.id)
        if function is not None:
            return function(_value(node.args[0]))
    raise ValueError(f"{ast.dump(node)} is no arithmetic")


@dataclass(frozen=True, slots=True)
class Number:
    """A number as it is printed."""

    value: float
    decimals: int

    @property
    def text(self) -> str:
        return f"{self.value:.{self.decimals}f}".replace("-", "−")

    @property
    def term(self) -> str:
        """The number inside an expression: in brackets where it is negative."""
        return f"({self.text})" if self.text.startswith("−") else self.text


def number(value: float, decimals: int) -> Number:
    """The number rounded as it will be printed, never minus zero."""
    return Number(round(value, decimals) + 0.0, decimals)


@dataclass(frozen=True, slots=True, eq=False)
class Step:
    """One line of a computation.

    ``key`` names its words; ``formula`` is a template such as ``{L} − {a} − {b}``, empty where the
    figure is read off the lay; ``laid`` is the lay's own figure in the printed unit, and the result
    has to be within ``within`` of it. ``letters`` is whether the formula is worth printing.
    """

    key: str
    formula: str
    put_in: Mapping[str, Number]
    laid: float
    decimals: int
    unit: str
    within: float
    facts: Mapping[str, str] = field(default_factory=dict)
    letters: bool = True

    @property
    def lettered(self) -> str:
        return self.formula.format_map({letter: letter for letter in self.put_in})

    @property
    def numbers(self) -> str:
        return self.formula.format_map({key: each.term for key, each in self.put_in.items()})

    @property
    def result(self) -> Number:
        if not self.formula:
            return number(self.laid, self.decimals)
        return number(evaluate(self.numbers), self.decimals)

    @property
    def agrees(self) -> bool:
        """Whether the printed arithmetic gives the lay's own figure."""
        return abs(self.result.value - self.laid) <= self.within + NEAR
