"""Whether dock and splices are found again by tapes, and the points they are taped from."""

from __future__ import annotations

import math
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.checks.fact import Facts, Phrase, kind
from renderer.checks.rule import Hit, Rule
from renderer.ground.barriers import reached
from renderer.ground.tapes import OnWire, found_by_pegs, sound
from renderer.ground.ties import Tie
from renderer.trade import REFERENCES_LEAST_M, TAPE_M

if TYPE_CHECKING:
    from collections.abc import Iterator

    from renderer.checks.case import Case
    from renderer.ground.lay import Point
    from renderer.ground.tapes import Found, Tapes

STEP_M = 1.0  # steps in which a side is tried for another point


def poorly_found(case: Case) -> Iterator[Hit]:
    """Docks and splices where no two tapes cross well and that cannot be found along a side."""
    tapes = case.setting.tapes
    for loop in case.lay.loops:
        places = [("start", loop.name, loop.start, loop.tail_m)]
        places += [("splice", each.id, (each.x, each.y), each.at_m) for each in loop.splices]
        points = np.array([at for _, _, at, _ in places])
        direct = tapes.found(points)
        if all(way is not None and sound(way) for way in direct):
            continue
        ways = found_by_pegs(tapes, loop, points, [at_m for *_, at_m in places])
        for (sort, name, at, at_m), first, way in zip(places, direct, ways, strict=True):
            if first is None or not sound(first):
                key, facts = _instead(way)
                helps = _help(case, tapes, at)
                what = Phrase(f"taped.{sort}", {"name": name})
                told = {"what": what, **facts, **helps}
                yield Hit(f"{key}-help" if helps else key, told, at, name, at_m)


def _instead(way: Found | None) -> tuple[str, Facts]:
    """How the sheets find a place that no two tapes from fixed points reach well."""
    if isinstance(way, OnWire):
        return "poorly-found.on", {"length_m": abs(way.on_m), "peg": way.name}
    if isinstance(way, Tie) and any(way.hops):
        one, two = (
            Phrase("taped.peg", {"peg": name}) if hops else name
            for name, hops in zip((way.a, way.b), way.hops, strict=True)
        )
        return "poorly-found.pegs", {"one": one, "two": two}
    if isinstance(way, Tie):
        return "poorly-found.askew", {"angle_deg": round(way.angle_deg)}
    return "poorly-found.none", {}


def far_along(case: Case) -> Iterator[Hit]:
    """Control pegs that are measured on along the wire for longer than one tape, the worst."""
    tapes = case.setting.tapes
    for loop in case.lay.loops:
        pegs = [peg for peg in loop.pegs if peg.control]
        points = np.array([(peg.x, peg.y) for peg in pegs]).reshape(-1, 2)
        ways = found_by_pegs(tapes, loop, points, [peg.at_m for peg in pegs])
        far = [
            (abs(way.on_m), peg)
            for way, peg in zip(ways, pegs, strict=True)
            if isinstance(way, OnWire) and abs(way.on_m) > TAPE_M
        ]
        if far:
            length, peg = max(far, key=lambda each: each[0])
            facts: Facts = {
                "loop": loop.name,
                "count": len(far),
                "length_m": length,
                "id": peg.id,
            }
            yield Hit("pegs-far-along.found", facts, (peg.x, peg.y), loop.name, peg.at_m)


def _help(case: Case, tapes: Tapes, place: Point) -> Facts:
    """The side with a point whose tape crosses one at hand best, some way off."""
    here = np.array([place])
    have = np.array([each.at for each in tapes.references]).reshape(-1, 2)
    have = have[reached(have, here, tapes.blocked)[0]] - here
    best: tuple[float, Facts] | None = None
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
                    best = worth, {"kind": kind(side.kind), "lawn": lawn.name, "away_m": far}
    return best[1] if best else {}


def references_near(case: Case) -> Iterator[Hit]:
    """Points of the survey so near to each other that no two tapes from them cross well."""
    for one, two in combinations(case.plan.survey.points, 2):
        apart = math.dist(one.at, two.at)
        if apart < REFERENCES_LEAST_M:
            facts: Facts = {
                "one": one.name,
                "two": two.name,
                "apart_m": apart,
                "least_m": REFERENCES_LEAST_M,
            }
            fine = ("apart_m", "least_m")
            yield Hit("references-too-near.found", facts, two.at, two.name, apart=fine)


RULES = (
    Rule("references-too-near", "warn", references_near),
    Rule("poorly-found", "note", poorly_found),
    Rule("pegs-far-along", "warn", far_along, figure="length_m"),
)
