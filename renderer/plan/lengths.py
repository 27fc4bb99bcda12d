"""Lengths as people write them: ``30 cm``, ``12 ft 6 1/2 in``, ``12' 6"``, or a bare number."""

from __future__ import annotations

import math
import re

from renderer.units import M_PER_FOOT, MM_PER_INCH, MM_PER_M

M_PER_INCH = MM_PER_INCH / MM_PER_M

UNITS: dict[str, float] = {"m": 1.0, "ft": M_PER_FOOT}
"""Units of a whole file, as metres."""

_METRIC = {"m": 1.0, "cm": 0.01, "mm": 1.0 / MM_PER_M}
_FEET = r"(?:feet|foot|ft|['′’])"
_INCHES = r"(?:inches|inch|in|[\"″”]|''|′′|’’)"

# JSON and YAML both write 1e-07 for small numbers, so an exponent counts as a number.
NUMBER_PATTERN = r"[0-9]+(?:\.[0-9]*)?(?:[eE][-+]?[0-9]+)?|\.[0-9]+(?:[eE][-+]?[0-9]+)?"
_FRACTION = r"(?:[0-9]+[ -])?[0-9]+/[0-9]+"
_AMOUNT = rf"(?:{_FRACTION}|{NUMBER_PATTERN})"

LENGTH_PATTERN = (
    rf"^\s*[-+−]?\s*(?:"
    rf"{_AMOUNT}(?:\s*(?:m|cm|mm|{_FEET}|{_INCHES}))?"
    rf"|[0-9]+\s*{_FEET}\s*-?\s*{_AMOUNT}\s*{_INCHES}"
    rf")\s*$"
)
"""A pattern of everything that `metres` reads; it is stricter only about sizes."""

_BARE = re.compile(rf"[-+]?(?:{NUMBER_PATTERN})")
_SINGLE = re.compile(rf"(?P<amount>{_AMOUNT})\s*(?P<unit>m|cm|mm|{_FEET}|{_INCHES})?")
_DOUBLE = re.compile(rf"(?P<feet>[0-9]+)\s*{_FEET}\s*-?\s*(?P<inches>{_AMOUNT})\s*{_INCHES}")
_IS_FEET = re.compile(_FEET)

# A nanometre: below anything that can be measured, above the noise of a unit's factor, so that
# 1 ft, 12 in and 30.48 cm are one and the same number.
_DECIMALS = 9

CURE = "write a length such as 0.3, 30 cm, 12 in or 12 ft 6 in"


class LengthError(ValueError):
    """Text that is not a length; ``problem`` and ``cure`` are in plain words."""

    def __init__(self, problem: str, cure: str = CURE) -> None:
        super().__init__(f"{problem}; {cure}")
        self.problem = problem
        self.cure = cure


def metres(text: str, unit: str = "m") -> float:
    """Metres of a written length; a bare number is in ``unit``, "m" or "ft".

    Takes ``0.3``, ``30 cm``, ``1/2 in``, ``3 1/2 in``, ``12 ft 6 in``, ``12' 6"``, each with a
    sign. The result is rounded to a nanometre. Raises LengthError.
    """
    if _BARE.fullmatch(text):
        return _rounded(float(text) * UNITS[unit], text)
    body = text.strip()
    sign = 1.0
    if body[:1] in {"-", "+", "−"}:
        sign = 1.0 if body[0] == "+" else -1.0
        body = body[1:].lstrip()
    return _rounded(sign * _unsigned(body, text, unit), text)


def number(text: str) -> float | None:
    """The number that ``text`` is, plainly written (``0.75``, ``-3``, ``1e-07``), or ``None``."""
    return float(text) if _BARE.fullmatch(text) else None


def _unsigned(body: str, text: str, unit: str) -> float:
    double = _DOUBLE.fullmatch(body)
    if double:
        inches = _amount(double["inches"], text)
        if inches >= 12.0:
            raise LengthError(f"{_quoted(text)} has 12 inches or more after the feet")
        return (12.0 * float(double["feet"]) + inches) * M_PER_INCH
    single = _SINGLE.fullmatch(body)
    if single:
        return _amount(single["amount"], text) * _factor(single["unit"], unit)
    if re.search(r"[0-9],[0-9]", text):
        problem = f"{_quoted(text)} has a comma in the number"
        raise LengthError(problem, "write a decimal point: 0.3")
    raise LengthError(f"{_quoted(text)} is not a length")


def _factor(written: str | None, unit: str) -> float:
    if written is None:
        return UNITS[unit]
    if written in _METRIC:
        return _METRIC[written]
    return M_PER_FOOT if _IS_FEET.fullmatch(written) else M_PER_INCH


def _amount(written: str, text: str) -> float:
    if "/" not in written:
        return float(written)
    whole, _, rest = written.replace("-", " ").rpartition(" ")
    over, under = rest.split("/")
    if float(under) == 0.0:
        raise LengthError(f"{_quoted(text)} divides by zero")
    return (float(whole) if whole else 0.0) + float(over) / float(under)


def _rounded(value: float, text: str) -> float:
    if not math.isfinite(value):
        raise LengthError(f"{_quoted(text)} is too large for a length")
    return round(value, _DECIMALS) + 0.0  # adding zero turns -0.0 into 0.0


def _quoted(text: str) -> str:
    from renderer.plan.errors import shown

    return shown(text)
