"""Whether dock and splices are found again by tapes, and the points they are taped from."""

from __future__ import annotations

import math
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.checks.rule import Hit, Rule
from renderer.ground.barriers import reached
from renderer.ground.tapes import Along, tapes_of
from renderer.trade import REFERENCES_LEAST_M, TAPE_M

if TYPE_CHECKING:
    from collections.abc import Iterator

    from renderer.checks.case import Case
    from renderer.ground.lay import Point
    from renderer.ground.tapes import Tapes

STEP_M = 1.0  # steps in which a side is tried for another point


def poorly_found(case: Case) -> Iterator[Hit]:
    """Docks and splices to which no two tapes cross well and no side leads."""
    places = [
        (name, case.words(f"taped.{kind}", name=name), (x, y), at_m)
        for loop in case.lay.loops
        for kind, name, (x, y), at_m in (
            ("start", loop.name, loop.start, loop.tail_m),
            *(("splice", each.id, (each.x, each.y), each.at_m) for each in loop.splices),
        )
    ]
    if not places:
        return
    tapes = tapes_of(case.plan, case.lay.lawns)
    ways = tapes.found(np.array([at for _, _, at, _ in places]))
    for (name, what, at, at_m), way in zip(places, ways, strict=True):
        if isinstance(way, Along) or (way and way.quality != "poor"):
            continue
        key = "poorly-found.askew" if way else "poorly-found.none"
        angle = f"{way.angle_deg:.0f}" if way else ""
        message = " ".join((case.words(key, what=what, angle=angle), _help(case, tapes, at)))
        yield Hit(message.strip(), at, name, at_m)


def _help(case: Case, tapes: Tapes, place: Point) -> str:
    """A point on a side whose tape crosses one at hand best, some way off, in words."""
    here = np.array([place])
    have = np.array([each.at for each in tapes.references]).reshape(-1, 2)
    have = have[reached(have, here, tapes.blocked)[0]] - here
    best: tuple[float, str] | None = None
    for lawn in case.lay.lawns:
        for side in lawn.sides:
            close = shapely.segmentize(shapely.linestrings(side.points), STEP_M)
            tried = shapely.get_coordinates(close)
            for x, y in tried[reached(tried, here, tapes.blocked)[0]] - here:
                far = math.hypot(x, y)
                if far < 1.0:
                    continue
                across = (
                    np.abs(have[:, 0] * y - have[:, 1] * x)
                    / np.maximum(np.hypot(*have.T), 1e-9)
                    / far
                )
                handy = abs(far - TAPE_M / 2.0) / TAPE_M
                worth = float(across.max(initial=0.0)) - 0.1 * handy
                if best is None or worth > best[0] + 1e-6:
                    kind = case.words(f"kind.{side.kind}")
                    facts = {"kind": kind, "lawn": lawn.name, "away": case.show.length(far)}
                    best = worth, case.words("poorly-found.help", **facts)
    return best[1] if best else ""


def references_near(case: Case) -> Iterator[Hit]:
    """Points of the survey so near to each other that no two tapes from them cross well."""
    for one, two in combinations(case.plan.survey.points, 2):
        apart = math.dist(one.at, two.at)
        if apart < REFERENCES_LEAST_M:
            is_m, least = case.show.lengths(apart, REFERENCES_LEAST_M)
            facts = {"one": one.name, "two": two.name, "apart": is_m, "least": least}
            message = case.words("references-too-near.found", **facts)
            yield Hit(message, two.at, two.name)


RULES = (
    Rule(
        "references-too-near",
        "warn",
        references_near,
        "Tapes from two points close together run side by side, and small errors grow.",
    ),
    Rule(
        "poorly-found",
        "note",
        poorly_found,
        "Whoever mends the wire in years to come has to find its dock and its splices.",
    ),
)
