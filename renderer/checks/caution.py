"""The value that states a danger at work."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from datetime import date
from typing import Literal

from renderer.frozen import dataclass

Fact = str | float | date | tuple[str, ...]  # a text, a figure, a day, or several names
Signal = Literal["DANGER", "WARNING", "CAUTION", "NOTICE"]
SIGNALS: tuple[Signal, ...] = ("DANGER", "WARNING", "CAUTION", "NOTICE")


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution that a fact of the plan calls for, by the signal words of ANSI Z535.

    The text stands in the word catalogue under ``caution.`` and ``text_key``; ``facts`` fill it.
    """

    id: str
    signal: Signal
    text_key: str
    facts: Mapping[str, Fact] = field(default_factory=dict)
    about: str = ""  # name of the lawn, obstacle, feature or loop it comes from
    everyday: bool = False  # said on every job, whatever the plan
