"""The kinds of value a plan holds, read from text: lengths, points, texts, numbers, dates.

Each reader takes what the file parser gives (a `Scalar`) or a plain Python value. Lengths follow
the validation context ``{"units": "m" | "ft"}``; without one a bare number is metres.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Callable, Iterable, Sequence
from datetime import date
from typing import Annotated, Any, Literal, NoReturn, TypeVar, get_args

from pydantic import AfterValidator, BeforeValidator, ValidationInfo

from renderer.plan.errors import Problem, Problems, nearest, refuse, shown
from renderer.plan.lengths import CURE, LengthError, metres, number
from renderer.plan.tree import Scalar

Units = Literal["m", "ft"]

COORDINATE_MAX = 1e7  # grid coordinates of a country fit, a slip of the keyboard does not
LENGTH_MAX = 1e5
TEXT_MAX = 2000
NAME_MAX = 100

_N = TypeVar("_N", int, float)

_FOLDED = re.compile(r"[ \t]*[\r\n]+[ \t\r\n]*")
_BIDI = {*range(0x202A, 0x202F), *range(0x2066, 0x206A)}


def units_of(info: ValidationInfo) -> str:
    """The file's unit, "m" or "ft", that the validation context names."""
    context = info.context
    return context.get("units", "m") if isinstance(context, dict) else "m"


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
        refuse(f"{shown(value)} is larger than {most:,.0f} m", "check the number and its unit")
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
    text = _written(value)
    text = _FOLDED.sub(" ", text.strip())
    _printable(text)
    if len(text) > TEXT_MAX:
        refuse(f"the text has {len(text)} characters", f"keep it under {TEXT_MAX}")
    return text if text.isascii() else unicodedata.normalize("NFC", text)


def to_name(value: object) -> str:
    """A name: text on one line that is not empty and fits a label."""
    text = _written(value).strip()
    _printable(text)
    if not text:
        refuse("the name is empty", "give it a name")
    if len(text) > NAME_MAX:
        refuse(f"the name has {len(text)} characters", f"keep it under {NAME_MAX}")
    return text if text.isascii() else unicodedata.normalize("NFC", text)


def _written(value: object) -> str:
    if isinstance(value, str):
        return str(value)
    if isinstance(value, int | float) and not isinstance(value, bool):
        return str(value)
    raise Problems.of(f"{shown(value)} is not a text", "write a word or a text in quotes")


def _printable(text: str) -> None:
    if text.isascii() and text.isprintable():
        return
    for char in text:
        bad = unicodedata.category(char) in {"Cc", "Cs", "Zl", "Zp", "Cn"} or ord(char) in _BIDI
        if bad:
            refuse(
                f"the text holds the unprintable character U+{ord(char):04X}",
                "take the character out",
            )


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


def within(least: float, most: float, unit: str = "", above: bool = False) -> Callable[[_N], _N]:
    """A check that a value lies between two limits; ``above`` refuses ``least`` itself."""

    def check(value: _N) -> _N:
        if value < least or (above and value == least):
            than = "more than" if above else "at least"
            refuse(f"{value:g}{unit} is too small", f"it must be {than} {least:g}{unit}")
        if value > most:
            refuse(f"{value:g}{unit} is too large", f"it must be at most {most:g}{unit}")
        return value

    return check


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


def word_of(kinds: Any, what: str) -> BeforeValidator:
    """The reader of a ``Literal`` of words."""
    return BeforeValidator(one_of(get_args(kinds), what))


def read_length(value: object, info: ValidationInfo) -> float:
    return to_metres(value, units_of(info))


def read_point(value: object, info: ValidationInfo) -> tuple[float, float]:
    return to_point(value, units_of(info))


def read_points(value: object, info: ValidationInfo) -> tuple[tuple[float, float], ...]:
    return to_points(value, units_of(info))


Text = Annotated[str, BeforeValidator(to_text)]
Name = Annotated[str, BeforeValidator(to_name)]
Number = Annotated[float, BeforeValidator(to_number)]
Whole = Annotated[int, BeforeValidator(to_whole)]
Day = Annotated[date, BeforeValidator(to_date)]
YesNo = Annotated[bool, BeforeValidator(to_yes_no)]
Length = Annotated[float, BeforeValidator(read_length)]
Point = Annotated[tuple[float, float], BeforeValidator(read_point)]
Points = Annotated[tuple[tuple[float, float], ...], BeforeValidator(read_points)]
Share = Annotated[float, BeforeValidator(to_number), AfterValidator(within(0, 200, " %"))]
