"""The kinds of value a plan holds, read from text: lengths, points, texts, numbers, dates.

Each reader takes what the file parser gives (a `Scalar`) or a plain Python value. Lengths follow
the validation context ``{"units": "m" | "ft"}``; without one a bare number is metres.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Annotated, Any, Literal, NoReturn, TypeVar, get_args

from pydantic import (
    BeforeValidator,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    ValidationInfo,
    WithJsonSchema,
)
from pydantic_core.core_schema import (
    CoreSchema,
    no_info_before_validator_function,
    with_info_after_validator_function,
)

from renderer.plan.errors import Problem, Problems, nearest, refuse, shown
from renderer.plan.lengths import CURE, UNITS, LengthError, metres, number
from renderer.plan.tree import Scalar

Units = Literal["m", "ft"]

COORDINATE_MAX = 1e7  # grid coordinates of a country fit, a slip of the keyboard does not
LENGTH_MAX = 1e5
TEXT_MAX = 2000
NAME_MAX = 100

_N = TypeVar("_N", int, float)

_FOLDED = re.compile(r"[ \t]*[\r\n]+[ \t\r\n]*")
_UNPRINTABLE = {"Cc", "Cs", "Zl", "Zp", "Cn"}
_BIDI = {*range(0x202A, 0x202F), *range(0x2066, 0x206A)}


def units_of(info: ValidationInfo) -> str:
    """The file's unit, "m" or "ft", that the validation context names."""
    context = info.context
    return context.get("units", "m") if isinstance(context, dict) else "m"


def told_length(metres: float, unit: str) -> str:
    """A length as a message tells it, in the file's unit."""
    return f"{metres / UNITS[unit]:.6g} {unit}"


def to_metres(value: object, unit: str, most: float = LENGTH_MAX) -> float:
    """Metres of one length of the file, at most ``most`` either way. Raises Problems."""
    try:
        if isinstance(value, str):
            length = metres(value, unit)
        elif isinstance(value, int | float) and not isinstance(value, bool):
            length = float(value) if unit == "m" else metres(repr(value), unit)
        else:
            refuse(f"{shown(value)} is not a length", CURE)
    except LengthError as error:
        refuse(error.problem, error.cure)
    if not abs(length) <= most:  # also refuses what is not a number
        refuse(f"{shown(value)} is beyond {most:,.0f} m", "check the number and its unit")
    return length + 0.0


def to_point(value: object, unit: str) -> tuple[float, float]:
    """A point ``[x, y]`` in metres. Raises Problems placed at the coordinate."""
    if not isinstance(value, list | tuple) or len(value) != 2:
        refuse(f"{shown(value)} is not a point", "write a point as [x, y]")
    found: list[float] = []
    for index, part in enumerate(value):
        try:
            found.append(to_metres(part, unit, COORDINATE_MAX))
        except Problems as problems:
            raise Problems(at(index, problems)) from None
    return (found[0], found[1])


def to_points(value: object, unit: str) -> tuple[tuple[float, float], ...]:
    """A list of points in metres. Raises Problems, one for each bad point."""
    if not isinstance(value, list | tuple):
        refuse(f"{shown(value)} is not a list of points", "write [[x, y], [x, y], ...]")
    found, wrong = [], []
    for index, part in enumerate(value):
        try:
            found.append(to_point(part, unit))
        except Problems as problems:
            wrong.extend(at(index, problems))
    if wrong:
        raise Problems(wrong)
    return tuple(found)


def at(step: str | int, problems: Problems) -> list[Problem]:
    """The same problems seen from one step further out."""
    return [problem._replace(loc=(step, *problem.loc)) for problem in problems.items]


def to_text(value: object) -> str:
    """Text without control characters, line ends folded to spaces, in Unicode form C."""
    return _clean(_FOLDED.sub(" ", _written(value).strip()), TEXT_MAX)


def to_name(value: object) -> str:
    """A name: text on one line that is not empty and fits a label."""
    text = _written(value).strip()
    if not text:
        refuse("it is empty", "write a name")
    return _clean(text, NAME_MAX)


def _written(value: object) -> str:
    if isinstance(value, str):
        return str(value)
    if isinstance(value, int | float) and not isinstance(value, bool):
        return str(value)
    raise Problems.of(f"{shown(value)} is not a text", "write a word or a text in quotes")


def _clean(text: str, most: int) -> str:
    if len(text) > most:
        refuse(f"it has {len(text)} characters", f"keep it to {most} at most")
    if text.isascii() and text.isprintable():
        return text
    for char in text:
        if unicodedata.category(char) in _UNPRINTABLE or ord(char) in _BIDI:
            refuse(f"it holds the unprintable character U+{ord(char):04X}", "take it out")
    return unicodedata.normalize("NFC", text)


def to_number(value: object) -> float:
    """A plain number without a unit."""
    found: float | None = None
    if isinstance(value, Scalar):
        found = number(value) if value.plain else None
    elif isinstance(value, int | float) and not isinstance(value, bool):
        found = float(value)
    if found is None:
        hint = ", without quotes" if isinstance(value, Scalar) and not value.plain else ""
        refuse(f"{shown(value)} is not a number", f"write a plain number such as 5{hint}")
    if not math.isfinite(found):
        refuse(f"{shown(value)} is not a usable number", "write a plain number such as 5")
    return found + 0.0


def to_whole(value: object) -> int:
    """A whole number."""
    found = to_number(value)
    if found != int(found):
        refuse(f"{shown(value)} is not a whole number", "write a whole number such as 18")
    return int(found)


def to_date(value: object) -> date:
    """A day written year-month-day."""
    if isinstance(value, date):
        return value
    if isinstance(value, str) and re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value):
        try:
            return date.fromisoformat(value)
        except ValueError:
            refuse(f"there is no day {shown(value)}", "write an existing day such as 2026-05-04")
    raise Problems.of(f"{shown(value)} is not a date", "write year-month-day such as 2026-05-04")


def to_yes_no(value: object) -> bool:
    """Yes or no."""
    if isinstance(value, bool):
        return value
    word = str(value).lower() if isinstance(value, str) else ""
    if word in {"yes", "true"}:
        return True
    if word in {"no", "false"}:
        return False
    raise Problems.of(f"{shown(value)} is neither yes nor no", "write yes or no")


def one_of(known: Sequence[str], what: str) -> Callable[[object], str]:
    """A reader of a word out of ``known``; the error names the nearest."""

    def read(value: object) -> str:
        word = str(value) if isinstance(value, str) else ""
        if word not in known:
            unknown_word(value, known, what)
        return word

    return read


def unknown_word(value: object, known: Iterable[str], what: str) -> NoReturn:
    """Refuse a word that is not known, naming the nearest or all."""
    names = list(known)
    near = nearest(value, names) if isinstance(value, str) else None
    cure = f"did you mean '{near}'?" if near else f"write one of: {', '.join(names)}"
    refuse(f"{shown(value)} is no {what}", cure)


def read_version(value: object) -> int:
    """The version of the plan file."""
    if value != 1 and value != "1":
        refuse(f"this program reads plan files of version 1, not {shown(value)}", "write plan: 1")
    return 1


def read_pair(value: object) -> object:
    """Two values in a list."""
    if not isinstance(value, list | tuple) or len(value) != 2:
        refuse(f"{shown(value)} is not a pair", "write two names: [Rear, Front]")
    return tuple(value)


read_units = one_of(get_args(Units), "unit of a file")
"""The unit of a file, "m" or "ft"."""


@dataclass(frozen=True, slots=True)
class Within:
    """Limits of a number or a length, in metres where it is one; ``above`` excludes the least."""

    least: float
    most: float
    unit: str = ""
    above: bool = False

    def check(self, value: _N, units: str = "m") -> _N:
        """The value, or Problems where it lies outside; lengths are told in ``units``."""
        if value < 0 <= self.least:
            refuse(f"{self._told(value, units)} is negative", "check the sign")
        if value < self.least or (self.above and value == self.least):
            than = "more than" if self.above else "at least"
            least = self._told(self.least, units)
            refuse(f"{self._told(value, units)} is too small", f"it must be {than} {least}")
        if value > self.most:
            most = self._told(self.most, units)
            refuse(f"{self._told(value, units)} is too large", f"it must be at most {most}")
        return value

    def _told(self, value: float, units: str) -> str:
        return told_length(value, units) if self.unit == " m" else f"{value:g}{self.unit}"

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        def check(value: Any, info: ValidationInfo) -> Any:
            return self.check(value, units_of(info))

        return with_info_after_validator_function(check, handler(source))

    def __get_pydantic_json_schema__(
        self, inner: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """The limits as far as a schema can tell them: lengths may be written in any unit."""
        form = handler(inner)
        if form.get("type") in {"number", "integer"}:
            least = "exclusiveMinimum" if self.above else "minimum"
            form = form | {least: self.least, "maximum": self.most}
        return form


@dataclass(frozen=True, slots=True)
class NotEmpty:
    """A list that holds at least one thing."""

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        # looked at before the things in it, so that one bad thing is not told as none
        return no_info_before_validator_function(_not_empty, handler(source))

    def __get_pydantic_json_schema__(
        self, inner: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return handler(inner) | {"minItems": 1}


def _not_empty(value: object) -> object:
    if isinstance(value, list | tuple) and not value:
        refuse("the list is empty", "give at least one")
    return value


def word_of(kinds: Any, what: str) -> BeforeValidator:
    """The reader of a ``Literal`` of words."""
    return BeforeValidator(one_of(get_args(kinds), what))


def read_length(value: object, info: ValidationInfo) -> float:
    return to_metres(value, units_of(info))


def read_point(value: object, info: ValidationInfo) -> tuple[float, float]:
    return to_point(value, units_of(info))


def read_points(value: object, info: ValidationInfo) -> tuple[tuple[float, float], ...]:
    return to_points(value, units_of(info))


# Forms of the file that a schema tells once are named here and spelt out in file_schema.py.
Text = Annotated[str, BeforeValidator(to_text), WithJsonSchema({"form": "Text"})]
Name = Annotated[str, BeforeValidator(to_name), WithJsonSchema({"form": "Name"})]
Number = Annotated[float, BeforeValidator(to_number)]
Whole = Annotated[int, BeforeValidator(to_whole)]
Day = Annotated[date, BeforeValidator(to_date), WithJsonSchema({"form": "Day"})]
YesNo = Annotated[bool, BeforeValidator(to_yes_no), WithJsonSchema({"form": "YesNo"})]
Length = Annotated[float, BeforeValidator(read_length), WithJsonSchema({"form": "Length"})]
Point = Annotated[
    tuple[float, float], BeforeValidator(read_point), WithJsonSchema({"form": "Point"})
]
Points = Annotated[
    tuple[tuple[float, float], ...],
    BeforeValidator(read_points),
    WithJsonSchema({"form": "Points"}),
]
Share = Annotated[float, BeforeValidator(to_number), Within(0, 200, " %")]
