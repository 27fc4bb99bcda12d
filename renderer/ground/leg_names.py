"""Names of pegs by leg and order, which stay when something is changed on another leg.

The printed numbers run on through a plan, so those after a change change with it, unless the wire
lies already; ``Pond 3`` is the third peg round the pond whatever becomes of the rest.
"""

from __future__ import annotations

from collections import Counter
from functools import lru_cache
from typing import TYPE_CHECKING

from renderer.ground.parts import part_names

if TYPE_CHECKING:
    from collections.abc import Mapping

    from renderer.ground.lay import Leg, LoopLay


@lru_cache(maxsize=16)
def peg_names(loop: LoopLay) -> Mapping[str, str]:
    """The name of each peg of a loop by its number: ring or pair, and its order on it.

    Pegs of a ring are counted from where the wire comes to it, those of a pair from its near end:
    ``Rear 12``, ``Pond 3``, ``to Pond 2``. A peg at a joint belongs to what the wire comes from.
    """
    parts = part_names(loop)
    legs = [leg for leg in loop.legs if leg.kind != "tail"]
    counted: Counter[str] = Counter()
    names = {}
    at = 0
    for peg in sorted(loop.pegs, key=lambda each: each.at_m):
        while at < len(legs) - 1 and peg.at_m > legs[at].to_m + 1e-6:
            at += 1
        name = _leg_name(legs[at], parts) if legs else loop.name
        counted[name] += 1
        between = "." if name[-1:].isdigit() else " "
        names[peg.id] = f"{name}{between}{counted[name]}"
    return names


def _leg_name(leg: Leg, parts: Mapping[str, str]) -> str:
    of = parts.get(leg.part, leg.of)
    return f"to {of}" if leg.kind in ("lead", "crossing") else of
