"""What a rule is, and what it hands back where the plan breaks it."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from renderer.frozen import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from renderer.checks.case import Case
    from renderer.checks.fact import Facts
    from renderer.checks.finding import Level
    from renderer.ground.lay import Point


@dataclass(frozen=True, slots=True)
class Hit:
    """One place where a rule is broken: the key of its text and the facts that fill it, the place.

    ``about`` names the lawn, obstacle, loop or feature concerned, ``at_m`` is the running distance
    on the wire. The lengths that ``apart`` names are written finely enough to be distinguished.
    """

    key: str
    facts: Facts = field(default_factory=dict)
    at: Point | None = None
    about: str = ""
    at_m: float | None = None
    apart: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Rule:
    """A check: id in words, level, and the function that looks.

    What it says, what to do about it, and why it matters stand in the catalogue of findings under
    its id. ``figure`` names the fact that an acceptance may state, where that is not the first one
    measured.
    """

    id: str
    level: Level
    look: Callable[[Case], Iterable[Hit]]
    figure: str = ""
