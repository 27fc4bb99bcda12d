"""The kinds of value a plan holds, read from text: lengths, points, texts, numbers, dates.

Each reader takes what the file parser gives (a `Scalar`) or a plain Python value. Lengths follow
the validation context ``{"units": "m" | "ft"}``; without one a bare number is metres.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from types import MappingProxyType
from typing import Annotated, Any, Literal, NoReturn, TypeVar, get_args

from pydantic import BeforeValidator, ValidationInfo, WithJsonSchema

from renderer.plan.errors import Problem, Problems, did_you_mean, nearest, refuse, shown
from renderer.plan.lengths import CURE, NUMBER_PATTERN, LengthError, metres, number
from renderer.plan.limits import Within, units_of
from renderer.plan.texts import to_line, to_name, to_text
from renderer.plan.tree import Scalar
from renderer.units import M_PER_FOOT

Units = Literal["m", "ft"]
Step = str | int
T = TypeVar("T")

COORDINATE_MAX = 1e7  # large enough for national grid coordinates, too small for a typing slip
LENGTH_MAX = 1e5
AREA_MAX_M2 = 1e7
AREA_UNITS_M2 = {
    **dict.fromkeys(("m", "m2", "m²"), 1.0),
    **dict.fromkeys(("ft", "ft2", "ft²", "sq ft"), M_PER_FOOT**2),
}
DIGEST_PATTERN = r"^sha256:[0-9a-f]{64}$"
AREA_PATTERN = rf"^\s*({NUMBER_PATTERN})\s*(m2|m²|ft2|ft²|sq ft)?\s*$"


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


def to_area(value: object, unit: str) -> float:
    """Square metres of an area: a bare number in the file's unit squared, or with its own unit.

    Raises Problems.
    """
    text = str(value).strip() if isinstance(value, str | int | float) else ""
    written = re.fullmatch(AREA_PATTERN, text)
    unit_m2 = AREA_UNITS_M2.get(written[2] or unit) if written else None
    if written is None or unit_m2 is None or isinstance(value, bool):
        refuse(f"{shown(value)} is not an area", "write an area such as 800, 800 m2 or 8600 sq ft")
    area = float(written[1]) * unit_m2
    if not 1.0 <= area <= AREA_MAX_M2:
        problem = f"{shown(value)} is too small or too large for a mown area"
        refuse(problem, "check the number and its unit")
    return area


Named = Mapping[str, tuple[float, float]]
_NO_POINTS: Named = MappingProxyType({})


def points_of(info: ValidationInfo) -> Named:
    """The surveyed points that the validation context names, in metres."""
    context = info.context
    found: Named = context.get("points", _NO_POINTS) if isinstance(context, dict) else _NO_POINTS
    return found


def to_point(value: object, unit: str, points: Named = _NO_POINTS) -> tuple[float, float]:
    """A point ``[x, y]``, or the name of one of ``points``, in metres.

    Raises Problems placed at the coordinate.
    """
    if points and isinstance(value, str):
        if value in points:
            return points[value]
        near = nearest(value, points)
        cure = f"did you mean '{near}'?" if near else "name a surveyed point, or write [x, y]"
        refuse(f"no point is named {shown(value)}", cure)
    if isinstance(value, list | tuple) and len(value) != 2:
        refuse(f"a point has two numbers, not {len(value)}", "write a point as [x, y]")
    if not isinstance(value, list | tuple):
        refuse(f"{shown(value)} is not a point", "write a point as [x, y]")
    found: list[float] = []
    for index, part in enumerate(value):
        try:
            found.append(to_metres(part, unit, COORDINATE_MAX))
        except Problems as problems:
            raise Problems(at(index, problems)) from None
    return (found[0], found[1])


def to_points(
    value: object, unit: str, points: Named = _NO_POINTS
) -> tuple[tuple[float, float], ...]:
    """A list of points in metres. Raises Problems, one for each bad point."""
    if not isinstance(value, list | tuple):
        refuse(f"{shown(value)} is not a list of points", "write [[x, y], [x, y], ...]")
    return tuple(each_read(enumerate(value), lambda _, part: to_point(part, unit, points)))


def each_read(parts: Iterable[tuple[Step, object]], read: Callable[[Step, object], T]) -> list[T]:
    """What ``read`` makes of each part. Raises Problems, those of all parts, each placed at it."""
    found: list[T] = []
    wrong: list[Problem] = []
    for step, part in parts:
        try:
            found.append(read(step, part))
        except Problems as problems:
            wrong.extend(at(step, problems))
    if wrong:
        raise Problems(wrong)
    return found


def at(step: Step, problems: Problems) -> list[Problem]:
    """The same problems, placed from one level further up."""
    return [problem._replace(loc=(step, *problem.loc)) for problem in problems.items]


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
            refuse(f"{shown(value)} is not a calendar date", "write a date such as 2026-05-04")
    raise Problems.of(f"{shown(value)} is not a date", "write year-month-day such as 2026-05-04")


def to_digest(value: object) -> str:
    """What pegline calls a plan: ``sha256:`` and 64 digits."""
    if not isinstance(value, str) or not re.fullmatch(DIGEST_PATTERN, value):
        refuse(f"{shown(value)} is not the digest of a plan", "copy it from the plan as it was")
    return str(value)


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
    cure = did_you_mean(value, names) or f"write one of: {', '.join(names)}"
    refuse(f"{shown(value)} is not a valid {what}", cure)


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


def read_area(value: object, info: ValidationInfo) -> float:
    return to_area(value, units_of(info))


def read_point(value: object, info: ValidationInfo) -> tuple[float, float]:
    return to_point(value, units_of(info), points_of(info))


def read_points(value: object, info: ValidationInfo) -> tuple[tuple[float, float], ...]:
    return to_points(value, units_of(info), points_of(info))


# Forms of the file that a schema gives once are named here and spelt out in file_schema.py.
Text = Annotated[str, BeforeValidator(to_text), WithJsonSchema({"form": "Text"})]
Line = Annotated[str, BeforeValidator(to_line), WithJsonSchema({"form": "Line"})]
Name = Annotated[str, BeforeValidator(to_name), WithJsonSchema({"form": "Name"})]
Number = Annotated[float, BeforeValidator(to_number)]
Whole = Annotated[int, BeforeValidator(to_whole)]
Day = Annotated[date, BeforeValidator(to_date), WithJsonSchema({"form": "Day"})]
YesNo = Annotated[bool, BeforeValidator(to_yes_no), WithJsonSchema({"form": "YesNo"})]
Digest = Annotated[str, BeforeValidator(to_digest), WithJsonSchema({"form": "Digest"})]
Length = Annotated[float, BeforeValidator(read_length), WithJsonSchema({"form": "Length"})]
Area = Annotated[float, BeforeValidator(read_area), WithJsonSchema({"form": "Area"})]
Point = Annotated[
    tuple[float, float], BeforeValidator(read_point), WithJsonSchema({"form": "Point"})
]
Points = Annotated[
    tuple[tuple[float, float], ...],
    BeforeValidator(read_points),
    WithJsonSchema({"form": "Points"}),
]
Share = Annotated[float, BeforeValidator(to_number), Within(0, 200, " %")]
