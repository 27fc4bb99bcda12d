"""Setbacks: no wire nearer to a side or an obstacle than the machine's figure for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.checks.fact import kind
from renderer.checks.rule import Hit, Rule
from renderer.ground.parts import part_at
from renderer.plan.kinds import BORDERS

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

    from renderer.checks.case import Case, LaidLeg
    from renderer.checks.fact import Facts
    from renderer.checks.measured import Bound, Places

SHARES = 101  # places looked at along the piece of wire that is nearest
TOLERANCE_M = 1e-3  # a wire that is short of its setback by less than this keeps it
HAZARD, SIDE = "wire-too-near-hazard", "wire-too-near-side"


def too_near_hazard(case: Case) -> Iterator[Hit]:
    """Wire too near to water, a drop or a road."""
    return _too_near(case, HAZARD, [each for each in case.bounds if BORDERS[each.kind].hazard])


def too_near_side(case: Case) -> Iterator[Hit]:
    """Wire too near to any other side or obstacle."""
    return _too_near(case, SIDE, [each for each in case.bounds if not BORDERS[each.kind].hazard])


def _too_near(case: Case, rule: str, found: Sequence[Bound]) -> Iterator[Hit]:
    """The worst place of each lawn's sides of one kind, and of each obstacle."""
    legs = [(each, each.points) for each in case.walked if each.leg.kind != "crossing"]
    worst: dict[tuple[str, str], tuple[float, Bound, LaidLeg, complex, complex]] = {}
    if not legs:
        return
    starts = np.concatenate([points[:-1] for _, points in legs])
    ends = np.concatenate([points[1:] for _, points in legs])
    owner = np.repeat(np.arange(len(legs)), [len(points) - 1 for _, points in legs])
    pieces = _indexed(starts, ends)
    for bound in found:
        near = _near(bound, pieces)
        near = near[[_keeps_off(case, legs[k][0], bound) for k in owner[near].tolist()]]
        if not len(near):
            continue
        short = bound.setback_m - bound.shape.off(starts[near], ends[near])
        k = int(np.argmax(short))
        key = (bound.of, bound.kind)
        if short[k] > TOLERANCE_M and (key not in worst or short[k] > worst[key][0]):
            i = int(near[k])
            worst[key] = (float(short[k]), bound, legs[owner[i]][0], starts[i], ends[i])
    for short_m, bound, each, start, end in sorted(worst.values(), key=lambda row: -row[0]):
        places = np.linspace(start, end, SHARES, dtype=np.complex128)
        spot = places[int(np.argmin(bound.shape.off(places, places)))]
        off_m = max(0.0, bound.setback_m - short_m)
        yield _hit(rule, bound, each, off_m, (float(spot.real), float(spot.imag)))


def _indexed(starts: Places, ends: Places) -> shapely.STRtree:
    """The boxes of pieces of wire."""
    low_x, high_x = np.minimum(starts.real, ends.real), np.maximum(starts.real, ends.real)
    low_y, high_y = np.minimum(starts.imag, ends.imag), np.maximum(starts.imag, ends.imag)
    return shapely.STRtree(shapely.box(low_x, low_y, high_x, high_y))


def _near(bound: Bound, pieces: shapely.STRtree) -> NDArray[np.intp]:
    """Indices of the pieces that come as near as the setback to what bounds something."""
    left, low, right, high = bound.box
    reach = bound.setback_m
    about = shapely.box(left - reach, low - reach, right + reach, high + reach)
    near: NDArray[np.intp] = np.sort(pieces.query(about))
    return near


def _keeps_off(case: Case, each: LaidLeg, bound: Bound) -> bool:
    """Whether a leg has to keep the setback: from all obstacles, and from its own lawn's sides."""
    return bound.obstacle or bound.of in case.lawns_at(each)


def _hit(rule: str, bound: Bound, each: LaidLeg, off_m: float, spot: tuple[float, float]) -> Hit:
    key = f"{rule}.{'obstacle' if bound.obstacle else 'side'}"
    of = bound.of if bound.obstacle else part_at(each.loop, bound.of, spot)
    facts: Facts = {
        "distance_m": off_m,
        "of": of,
        "needed_m": bound.setback_m,
        "kind": kind(bound.kind),
    }
    return Hit(key, facts, spot, bound.of, each.at_m(spot), apart=("distance_m", "needed_m"))


RULES = (
    Rule(HAZARD, "stop", too_near_hazard),
    Rule(SIDE, "warn", too_near_side),
)
