"""A break narrowed down by what was tested so far, and the place to test next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from renderer.ground.breaks import middle_place

if TYPE_CHECKING:
    from renderer.ground.breaks import Probe
    from renderer.ground.lay import Leg, LoopLay

Answer = Literal["whole", "open"]


class Contradiction(Exception):
    """Answers that no single break explains; the text names two of them."""


@dataclass(frozen=True, slots=True)
class Search:
    """Where the break lies by now, from one running distance to another, and what is there.

    ``first`` and ``last`` name the places at its ends, empty for the ends of the wire; ``next`` is
    the place that halves it, ``None`` where it lies in one segment. ``tests`` counts those that are
    still needed at the most.
    """

    first: str
    last: str
    from_m: float
    to_m: float
    legs: tuple[Leg, ...]
    splices: tuple[str, ...]
    next: tuple[str, Probe] | None
    tests: int


def search(
    loop: LoopLay, places: Sequence[tuple[str, Probe]], answers: Mapping[str, Answer]
) -> Search:
    """The stretch that holds a break.

    ``answers`` say of places whether the wire is whole from its start up to there. Raises
    Contradiction where a place further on is whole and one before it is open.
    """
    numbers = {name: number for number, (name, _) in enumerate(places, 1)}
    whole = max((n for name, n in numbers.items() if answers.get(name) == "whole"), default=0)
    broken = min(
        (n for name, n in numbers.items() if answers.get(name) == "open"), default=len(places) + 1
    )
    if broken <= whole:
        raise Contradiction(
            f"the wire is whole up to {places[whole - 1][0]}, yet open before it, at "
            f"{places[broken - 1][0]}; measure both again, there may be two breaks"
        )
    from_m = places[whole - 1][1].at_m if whole else 0.0
    to_m = places[broken - 1][1].at_m if broken <= len(places) else loop.length_m
    segments = broken - whole
    following = places[middle_place(whole + 1, broken) - 1] if segments > 1 else None
    return Search(
        places[whole - 1][0] if whole else "",
        places[broken - 1][0] if broken <= len(places) else "",
        from_m,
        to_m,
        tuple(leg for leg in loop.legs if leg.to_m > from_m and leg.from_m < to_m),
        tuple(splice.id for splice in loop.splices if from_m <= splice.at_m <= to_m),
        following,
        (segments - 1).bit_length(),
    )
