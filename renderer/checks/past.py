"""What was recorded of a wire that lies, as far as rules look at it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from renderer.ground.bands import Band


@dataclass(frozen=True, slots=True)
class Read:
    """The last reading of a loop: what it showed, and what sound wire as it lay then shows.

    ``when`` is the day, or the key of the record where it has none. Ohms, and Mohm of insulation.
    """

    loop: str
    when: str
    celsius: float
    ohm: float | None
    good: Band
    insulation_megohm: float | None
    least_megohm: float


@dataclass(frozen=True, slots=True)
class Past:
    """What was recorded: the code of the design laid from, and that of the plan's design now.

    ``pins`` is whether pegs, splices or islands are recorded by what the design calls them.
    """

    laid_from: str
    design: str
    pins: bool
    readings: Sequence[Read] = ()
