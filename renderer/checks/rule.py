"""What a rule is, and what it hands back where the plan breaks it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from renderer.checks.case import Case
    from renderer.checks.finding import Level
    from renderer.ground.lay import Point


@dataclass(frozen=True, slots=True)
class Hit:
    """One place where a rule is broken: message with its numbers, place, what it is about."""

    message: str
    at: Point | None = None
    about: str = ""
    at_m: float | None = None


@dataclass(frozen=True, slots=True)
class Rule:
    """A check: id in words, level, the function that looks, and why it matters to the reader.

    What it says, and what to do about it, stands in the catalogue of findings under its id.
    """

    id: str
    level: Level
    look: Callable[[Case], Iterable[Hit]]
    why: str
