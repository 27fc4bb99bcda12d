"""Pegs along one loop: where, in which order, on which pass, and which of them are control pegs.

The rule: a peg at each corner, at both ends of each lead pair and crossing, and at the dock; on
straights no further apart than the spacing, on curves close enough for the sag. A lead pair is
pegged once for both its wires. Pegs of the first pass alone keep its spacing, all pegs together
that of the final pass. None but those of corners, joints and splices stands in the strip of a
service: the wire crosses it unpegged, where spacing of the first pass and sag allow that.
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from renderer.frozen import dataclass
from renderer.geometry.lines import points_at, stretch
from renderer.ground.lay import Peg
from renderer.ground.limits import CORNER_DEG
from renderer.ground.spacing import (
    SAG_LEAST_M,
    SPACING_TOLERANCE_M,
    Limits,
    bends,
    chord_sags,
    first_pass,
    on_curve,
    on_straight,
)
from renderer.ground.stations import SAME_M, TOGETHER_M, corner_indices, pairs
from renderer.ground.strips import between_stops, shut_stretches
from renderer.trade import CONTROL_MOST_M, HOLD_AT_M, HOLD_MOST_M

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from shapely.geometry.base import BaseGeometry

    from renderer.ground.lay import Leg, PegReason, Points
    from renderer.ground.spacing import Bends
    from renderer.ground.stations import Floats

ONE_HOLE_M = 0.01  # two pegs nearer to each other than this would go into one hole
CURVE_TURN_RAD = math.radians(5.0)  # a piece of wire that turns less is called a straight


@dataclass(frozen=True, slots=True)
class _Mark:
    """A peg before it has a number."""

    at: float
    reason: PegReason
    first: bool = True
    control: bool = True
    also: float | None = None


def set_pegs(
    path: Points,
    at_m: Floats,
    legs: Sequence[Leg],
    splices: Iterable[float],
    *,
    spacing_first: float,
    spacing_final: float,
    sag: float,
    first_number: int = 1,
    keep_off: BaseGeometry | None = None,
) -> tuple[Peg, ...]:
    """All pegs of one loop in order along the wire, numbered from ``first_number``.

    ``path`` is the closed walk (n, 2) and ``at_m`` its running distances (n,), both in metres;
    ``splices`` are running distances. A peg that holds both wires of a pair, or the ring where a
    pair leaves it, or the loop's start and end, has its second distance in ``also_at_m``.
    ``keep_off`` is the ground that pegs stand clear of where they can.
    """
    limits = Limits(spacing_first, spacing_final, max(sag, SAG_LEAST_M))
    both = pairs(legs)
    held = [_on_way_out(at, both) for at in splices]
    marks = _joint_marks(legs, both)
    for leg in legs:
        if leg.kind == "tail" or (leg.back and leg.part in both) or leg.length_m <= SAME_M:
            continue
        inner = _with_controls(leg, _inner_marks(path, at_m, leg, held, limits, keep_off))
        back = both[leg.part][1] if leg.part in both else None
        marks += [
            replace(mark, also=float(back.to_m - (mark.at - leg.from_m))) if back else mark
            for mark in inner
        ]
    marks.sort(key=lambda mark: mark.at)
    return _numbered(path, at_m, marks, first_number)


def _numbered(
    path: Points, at_m: Floats, marks: Sequence[_Mark], first_number: int
) -> tuple[Peg, ...]:
    places = points_at(path, at_m, [mark.at for mark in marks]).tolist() if marks else []
    return tuple(
        Peg(
            id=str(number),
            at_m=mark.at,
            x=x,
            y=y,
            round=1 if mark.first else 2,
            reason=mark.reason,
            also_at_m=mark.also,
            control=mark.control,
        )
        for number, (mark, (x, y)) in enumerate(zip(marks, places, strict=True), first_number)
    )


def _on_way_out(at: float, both: Mapping[str, tuple[Leg, Leg]]) -> float:
    """A place on the second wire of a pair, given as the place on the first beside it."""
    for out, back in both.values():
        if back.from_m < at < back.to_m:
            return out.from_m + (back.to_m - at)
    return at


def _joint_marks(legs: Sequence[Leg], both: Mapping[str, tuple[Leg, Leg]]) -> list[_Mark]:
    """One peg at each place where legs meet: the loop's start, and the ends of each pair."""
    walked = [leg for leg in legs if leg.kind != "tail"]
    if not walked:
        return []
    reasons: dict[float, PegReason] = {}
    for leg in walked:
        for at in (leg.from_m, leg.to_m):
            kind: PegReason = "lead" if leg.kind in ("lead", "crossing") else "spacing"
            if reasons.get(_key(at)) != "lead":
                reasons[_key(at)] = kind
    start, end = walked[0].from_m, walked[-1].to_m
    reasons[_key(start)] = reasons[_key(end)] = "dock"
    same = [(start, end)]
    for out, back in both.values():
        same += [(out.from_m, back.to_m), (out.to_m, back.from_m)]
    return [
        _Mark(group[0], _strongest(reasons[at] for at in group), also=_last(group))
        for group in _groups(reasons, same)
    ]


def _key(at: float) -> float:
    return round(float(at), 6)


def _last(group: Sequence[float]) -> float | None:
    return group[-1] if len(group) > 1 else None


def _strongest(reasons: Iterable[PegReason]) -> PegReason:
    order: tuple[PegReason, ...] = ("dock", "lead", "spacing")
    return min(reasons, key=order.index)


def _groups(
    places: Iterable[float], same: Sequence[tuple[float, float]]
) -> list[tuple[float, ...]]:
    """Running distances gathered by place, each group in order along the wire."""
    group_of = {at: {at} for at in places}
    for one, two in same:
        joined = group_of[_key(one)] | group_of[_key(two)]
        for at in joined:
            group_of[at] = joined
    distinct = {id(group): group for group in group_of.values()}
    return sorted(tuple(sorted(group)) for group in distinct.values())


def _inner_marks(
    path: Points,
    at_m: Floats,
    leg: Leg,
    splices: Sequence[float],
    limits: Limits,
    keep_off: BaseGeometry | None,
) -> list[_Mark]:
    """The pegs of one leg between its two ends."""
    points, at = stretch(path, at_m, leg.from_m, leg.to_m)
    fixed, turning = _fixed_marks(points, at, limits)
    held = [splice for splice in splices if leg.from_m <= splice <= leg.to_m]
    fixed = _holding(fixed, held, leg)
    bare = _bare(points, at, fixed, keep_off, limits)
    fixed = _beside(fixed, bare, leg)
    stops = [leg.from_m, *(mark.at for mark in fixed), leg.to_m]
    marks = list(fixed)
    for from_m, to_m in pairwise(stops):
        middle = (from_m + to_m) / 2.0
        if not any(first < middle < last for first, last in bare):
            marks += _between(points, at, turning.over(from_m, to_m), from_m, to_m, limits)
    return sorted(marks, key=lambda mark: mark.at)


def _bare(
    points: Points,
    at: Floats,
    fixed: Sequence[_Mark],
    keep_off: BaseGeometry | None,
    limits: Limits,
) -> list[tuple[float, float]]:
    """The stretches that stay without a peg between corners and splices, as no peg may stand there.

    Wire that runs along a service, or bends over it, needs pegs even there; a check reports it.
    """
    firm = [mark.at for mark in fixed if mark.reason != "curve"]
    parts = between_stops(shut_stretches(points, at, keep_off), firm)
    return [
        (first, last)
        for first, last in parts
        if last - first <= limits.first + SPACING_TOLERANCE_M
        and chord_sags(points, at, np.array([first, last]))[0] <= limits.sag
    ]


def _beside(fixed: Sequence[_Mark], bare: Sequence[tuple[float, float]], leg: Leg) -> list[_Mark]:
    """The fixed pegs with those on bare stretches moved to the ends of these."""
    marks = [mark for mark in fixed if not any(first < mark.at < last for first, last in bare)]
    for end in (end for both in bare for end in both):
        stands = [leg.from_m, *(mark.at for mark in marks), leg.to_m]
        if all(abs(end - stand) > TOGETHER_M for stand in stands):
            marks.append(_Mark(end, "spacing", control=False))
    return sorted(marks, key=lambda mark: mark.at)


class _Turning:
    """How much a leg turns in all between any two running distances."""

    def __init__(self, pieces: Sequence[Bends]) -> None:
        self.places = np.concatenate([piece.places for piece in pieces])
        turns = np.abs(np.concatenate([piece.turns for piece in pieces]))
        self.sums = np.concatenate(([0.0], np.cumsum(turns)))

    def over(self, from_m: float, to_m: float) -> float:
        """Radians turned either way strictly between two places; 0.0 on a straight."""
        lo, hi = np.searchsorted(self.places, (from_m + SAME_M, to_m - SAME_M))
        return float(self.sums[hi] - self.sums[lo]) if hi > lo else 0.0


def _fixed_marks(points: Points, at: Floats, limits: Limits) -> tuple[list[_Mark], _Turning]:
    """Corners and tangent points of a leg in order, and how it turns between its corners."""
    corners = [
        int(i) for i in corner_indices(points) if at[0] + TOGETHER_M < at[i] < at[-1] - TOGETHER_M
    ]
    marks = [_Mark(float(at[i]), "corner") for i in corners]
    pieces = []
    for start, end in zip([0, *corners], [*corners, len(at) - 1], strict=True):
        piece = slice(start, end + 1)
        found = bends(points[piece], at[piece], limits.sag, math.radians(CORNER_DEG))
        pieces.append(found)
        stops = (float(at[start]), float(at[end]))
        marks += [
            _Mark(float(where), "curve", control=bool(marked))
            for where, marked in zip(found.tangents, found.marked, strict=True)
            if min(where - stops[0], stops[1] - where) > ONE_HOLE_M
        ]
    return sorted(marks, key=lambda mark: mark.at), _Turning(pieces)


def _holding(fixed: list[_Mark], splices: Sequence[float], leg: Leg) -> list[_Mark]:
    """The fixed pegs with one added on each side of a splice where none stands near enough."""
    marks = list(fixed)
    for splice in splices:
        stands = [leg.from_m, *(mark.at for mark in marks), leg.to_m]
        for side in (-1.0, 1.0):
            away = [side * (at - splice) for at in stands]
            if any(TOGETHER_M < distance <= HOLD_MOST_M for distance in away):
                continue
            marks.append(_Mark(splice + side * HOLD_AT_M, "splice"))
    return sorted(
        (mark for mark in marks if leg.from_m < mark.at < leg.to_m), key=lambda mark: mark.at
    )


def _between(
    points: Points, at: Floats, turn: float, from_m: float, to_m: float, limits: Limits
) -> list[_Mark]:
    """The pegs between two neighbouring fixed ones, where the wire turns by ``turn`` radians."""
    if turn == 0.0:
        cuts, chosen = on_straight(from_m, to_m, limits)
    else:
        near, near_at = stretch(points, at, from_m, to_m)
        cuts = on_curve(near, near_at, limits)
        chosen = first_pass(near, near_at, cuts, limits)
    reason: PegReason = "curve" if turn >= CURVE_TURN_RAD else "spacing"
    return [
        _Mark(where, reason, first=first, control=False)
        for where, first in zip(cuts[1:-1].tolist(), chosen[1:-1].tolist(), strict=True)
    ]


def _with_controls(leg: Leg, inner: Sequence[_Mark]) -> list[_Mark]:
    """A leg's pegs with more of the first pass made control pegs, none too far from the next."""
    marks = list(inner)
    last, candidate = leg.from_m, -1
    for i, mark in enumerate([*marks, _Mark(leg.to_m, "spacing")]):
        if candidate >= 0 and mark.at - last > CONTROL_MOST_M:
            marks[candidate] = replace(marks[candidate], control=True)
            last, candidate = marks[candidate].at, -1
        if mark.control:
            last, candidate = mark.at, -1
        elif mark.first:
            candidate = i
    return marks
