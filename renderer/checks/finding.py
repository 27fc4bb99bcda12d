"""The value that a check gives."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Level = Literal["stop", "warn", "note"]
LEVELS: tuple[Level, ...] = ("stop", "warn", "note")


@dataclass(frozen=True, slots=True)
class Finding:
    """What a check has to say: rule, level, message in plain words with numbers, place, cure."""

    rule: str  # an id in words, such as "wire-crosses-itself"
    level: Level
    message: str
    at: tuple[float, float] | None = None
    cure: str = ""
    about: str = ""  # name of the lawn, obstacle, loop or feature concerned
    at_m: float | None = None  # running distance on the wire, where there is one
    acknowledged: str = ""  # "name: reason", for a warning that was accepted in the plan
