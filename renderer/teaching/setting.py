"""Splices, tapes to pegs and narrow places: worked out step by step."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from renderer.teaching.arithmetic import Number, Step
from renderer.teaching.ground import Ground
from renderer.teaching.lengths import wire_step
from renderer.teaching.reckoner import SUM_WITHIN_M, Reckoner
from renderer.teaching.rings import between

if TYPE_CHECKING:
    from renderer.ground.joints import Joints
    from renderer.ground.lay import Lay, LoopLay, Peg
    from renderer.ground.narrows import Narrow
    from renderer.ground.tapes import Tapes
    from renderer.ground.ties import Reference, Tie
    from renderer.plan.model import Obstacle

MOST_TIES = 4
ALONE_M = 0.5  # a corner peg nearer to another cannot be told from it by its corner
ON_SETBACK_M = 0.002


def narrow_steps(ground: Ground, narrow: Narrow) -> tuple[Step, Step]:
    """The width that is needed from thing to thing, and the width that there is."""
    reckon = ground.reckon
    put_in = {
        "a": reckon.length(narrow.one.setback_m),
        "p": reckon.length(ground.plan.machine.passage_min),
        "b": reckon.length(narrow.two.setback_m),
    }
    needed = reckon.step("narrow.needed", "{a} + {p} + {b}", put_in, narrow.needed_m)
    places = between(reckon, "narrow.places", *narrow.ends, {})
    return needed, reckon.first_right(*_by_middle(ground, narrow), places)


def _by_middle(ground: Ground, narrow: Narrow) -> Iterator[Step]:
    """From the middle of a round thing to a side or to the middle of another."""
    reckon = ground.reckon
    one, two = _round_of(ground, narrow.one.of), _round_of(ground, narrow.two.of)
    if one is None or one.circle is None or not narrow.one.obstacle:
        return
    radius = reckon.length(one.circle.radius)
    if two is not None and two.circle is not None and narrow.two.obstacle:
        apart = math.dist(one.circle.at, two.circle.at)
        put_in = {"D": reckon.length(apart), "R": radius, "Q": reckon.length(two.circle.radius)}
        yield reckon.step("narrow.rounds", "{D} − {R} − {Q}", put_in, narrow.width_m)
    elif not narrow.two.obstacle:
        put_in = {"D": reckon.length(narrow.width_m + one.circle.radius), "R": radius}
        yield reckon.step("narrow.round", "{D} − {R}", put_in, narrow.width_m)


def _round_of(ground: Ground, name: str) -> Obstacle | None:
    return next((o for o in ground.plan.obstacles if o.name == name and o.circle), None)


def splice_steps(ground: Ground, loop: LoopLay, found: Joints, index: int) -> tuple[Step, ...]:
    """How far along a splice may lie at the most and at the least, for each order of spools."""
    reckon, steps = ground.reckon, []
    splice = loop.splices[index].id
    for order in found.orders:
        before, after = order[: index + 1], order[index + 1 :]
        facts = {"splice": splice, "spools": " + ".join(reckon.length(each).text for each in order)}
        put_in = {f"R{number}": reckon.length(each) for number, each in enumerate(before, 1)}
        steps.append(_chained(reckon, "splice.latest", " + ", put_in, sum(before), facts))
        put_in = {"W": wire_step(ground, loop).result}
        put_in |= {
            f"R{number}": reckon.length(each) for number, each in enumerate(after, index + 2)
        }
        least = loop.length_m - sum(after)
        steps.append(_chained(reckon, "splice.earliest", " − ", put_in, least, facts))
    return tuple(steps)


def _chained(
    reckon: Reckoner,
    key: str,
    sign: str,
    put_in: Mapping[str, Number],
    laid_m: float,
    facts: Mapping[str, str],
) -> Step:
    formula = sign.join(f"{{{name}}}" for name in put_in)
    return reckon.step(key, formula, put_in, laid_m, facts, SUM_WITHIN_M)


@dataclass(frozen=True, slots=True)
class TaskPeg:
    """A peg to tape: how it is described (a key of the words and its facts), and its tapes."""

    key: str
    facts: Mapping[str, str]
    peg: Peg
    tie: Tie


def task_pegs(
    ground: Ground, lay: Lay, tapes: Tapes, names: Mapping[str, Mapping[str, str]]
) -> tuple[TaskPeg, ...]:
    """Pegs that a learner can name before there is a peg list, the best kinds to tape first.

    ``names`` are, for each loop by its name, what its pairs lead to by their ids.
    """
    import numpy as np

    from renderer.ground.ties import ties

    told = [each for loop in lay.loops for each in _told(ground, loop, names[loop.name])]
    if not told:
        return ()
    points = np.array([(peg.x, peg.y) for _, _, peg in told])
    found = [
        TaskPeg(key, facts, peg, tie)
        for (key, facts, peg), tie in zip(
            told, ties(points, tapes.references, tapes.blocked), strict=True
        )
        if tie is not None
    ]
    good = [each for each in found if each.tie.quality != "poor"]
    return tuple((good or found)[:MOST_TIES])


Told = tuple[str, Mapping[str, str], "Peg"]


def _told(ground: Ground, loop: LoopLay, named: Mapping[str, str]) -> Iterator[Told]:
    """The start, the ends of lead pairs, and corners where the wire turns without a bend."""
    by_at = {round(peg.at_m, 3): peg for peg in loop.pegs}
    yield "start", {"name": loop.name}, loop.pegs[0]
    corners = [peg for peg in loop.pegs if peg.reason == "corner"]
    for leg in loop.legs:
        if leg.kind in ("lead", "crossing") and not leg.back:
            for key, at in (("leaves", leg.from_m), ("arrives", leg.to_m)):
                peg = by_at.get(round(at, 3))
                if peg is not None:
                    yield key, {"of": named[leg.part]}, peg
    outer = [leg for leg in loop.legs if leg.kind == "outer"]
    for peg in corners:
        near = sum(math.dist((peg.x, peg.y), (each.x, each.y)) < ALONE_M for each in corners)
        if near == 1 and any(leg.from_m < peg.at_m < leg.to_m for leg in outer):
            sides = _corner_of(ground, (peg.x, peg.y))
            if sides is not None:
                yield "corner", {"one": str(sides[0]), "two": str(sides[1])}, peg


def _corner_of(ground: Ground, at: tuple[float, float]) -> tuple[int, int] | None:
    """The numbers of the two sides at the nearest corner, where a peg keeps both their setbacks."""
    from renderer.ground.sides import foot

    own = [(side, math.dist(side.points[0], at)) for side in ground.sides]
    side, _ = min(own, key=lambda each: each[1])
    before = [each for each in ground.sides if each.lawn == side.lawn]
    previous = before[before.index(side) - 1]
    setback = ground.plan.machine.setback
    off = [abs(foot(at, [each]).off_m - setback[each.kind]) for each in (previous, side)]
    if max(off) > ON_SETBACK_M:
        return None
    return previous.number, side.number


def tie_steps(reckon: Reckoner, each: TaskPeg, fixed: Sequence[Reference]) -> tuple[Step, Step]:
    """The two tapes to a peg."""
    places = {reference.name: reference.at for reference in fixed}
    peg = (each.peg.x, each.peg.y)
    one, two = (
        between(reckon, "tie.tape", places[name], peg, {"name": name})
        for name in (each.tie.a, each.tie.b)
    )
    return one, two
