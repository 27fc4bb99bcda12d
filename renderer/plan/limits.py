"""Limits that a value or a list keeps, for the reader and for the schema alike."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeVar

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler, ValidationInfo
from pydantic_core.core_schema import (
    CoreSchema,
    no_info_before_validator_function,
    with_info_after_validator_function,
)

from renderer.plan.errors import refuse
from renderer.plan.lengths import UNITS

_N = TypeVar("_N", int, float)


def units_of(info: ValidationInfo) -> str:
    """The file's unit, "m" or "ft", that the validation context names."""
    context = info.context
    return context.get("units", "m") if isinstance(context, dict) else "m"


def told_length(metres: float, unit: str) -> str:
    """A length as a message gives it, in the file's unit."""
    return f"{metres / UNITS[unit]:.6g} {unit}"


@dataclass(frozen=True, slots=True)
class Within:
    """Limits of a number or a length, in metres where it is one; ``above`` excludes the least."""

    least: float
    most: float
    unit: str = ""
    above: bool = False

    def check(self, value: _N, units: str = "m") -> _N:
        """The value, or Problems where it lies outside; lengths are given in ``units``."""
        if value < 0 <= self.least:
            refuse(f"{self._told(value, units)} is negative", "check the sign")
        if value < self.least or (self.above and value == self.least):
            than = "more than" if self.above else "at least"
            least = self._bound(self.least, units, math.ceil)
            refuse(f"{self._told(value, units)} is too small", f"it must be {than} {least}")
        if value > self.most:
            most = self._bound(self.most, units, math.floor)
            refuse(f"{self._told(value, units)} is too large", f"it must be at most {most}")
        return value

    def _bound(self, value: float, units: str, whole: Callable[[float], int]) -> str:
        """A limit in figures that are easy to read and that lie within it."""
        if self.unit != " m" or units == "m":
            return self._told(value, units)
        size = value / UNITS[units]
        step = 10.0 ** (math.floor(math.log10(size)) - 2) if size else 1.0
        return f"{whole(round(size / step, 6)) * step:.3g} {units}"

    def _told(self, value: float, units: str) -> str:
        return told_length(value, units) if self.unit == " m" else f"{value:,.12g}{self.unit}"

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        def check(value: Any, info: ValidationInfo) -> Any:
            return self.check(value, units_of(info))

        return with_info_after_validator_function(check, handler(source))

    def __get_pydantic_json_schema__(
        self, inner: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """The limits as far as a schema can state them: lengths may be written in any unit."""
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
        # checked before its items, so that one bad item is not reported as none
        return no_info_before_validator_function(_not_empty, handler(source))

    def __get_pydantic_json_schema__(
        self, inner: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return handler(inner) | {"minItems": 1}


@dataclass(frozen=True, slots=True)
class AtMost:
    """A list that holds no more than so many things, which the checks and sheets can cope with."""

    most: int
    cure: str = "a plan holds at most {most}; split the garden into plans"

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return no_info_before_validator_function(self._few, handler(source))

    def __get_pydantic_json_schema__(
        self, inner: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return handler(inner) | {"maxItems": self.most}

    def _few(self, value: object) -> object:
        if isinstance(value, list | tuple) and len(value) > self.most:
            problem = f"the list holds {len(value):,} things"
            refuse(problem, self.cure.format(most=f"{self.most:,}"))
        return value


def _not_empty(value: object) -> object:
    if isinstance(value, list | tuple) and not value:
        refuse("the list is empty", "give at least one")
    return value
