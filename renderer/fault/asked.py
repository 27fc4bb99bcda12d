"""What somebody in the garden has measured so far, and wants to be told about."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from renderer.fault.search import Answer


@dataclass(frozen=True, slots=True)
class Asked:
    """The reading of a loop: ``ohms``, none where the meter shows an open wire, at ``celsius``.

    Without a ``loop`` it is the first of the plan. ``answers`` say of places, by the names of the
    wiring map, whether the wire is whole from its start up to there.
    """

    loop: str = ""
    ohms: float | None = None
    celsius: float = 20.0
    answers: Mapping[str, Answer] = field(default_factory=lambda: MappingProxyType({}))
