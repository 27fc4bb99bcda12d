"""Which points nothing checks, and the one further tape that would help most."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from renderer.survey.adjust import NONCENTRALITY, UNCHECKED, Adjusted
from renderer.survey.blocks import Blocks
from renderer.survey.model import Floats, Whole, arrays, equations, places_of
from renderer.survey.network import Reading
from renderer.trade import SURVEY_UNSEEN_M, TAPE_ERROR_M, TAPE_M

if TYPE_CHECKING:
    from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class Advice:
    """A tape that was not taken, about ``length_m`` long, and what it would do for ``point``.

    ``unseen_m`` is how far the point can be off now without it showing, ``None`` where there is no
    limit; ``unseen_then_m`` with the tape. ``uncontrolled`` counts the points that nothing checks,
    now and then.
    """

    of: tuple[str, str]
    length_m: float
    point: str
    unseen_m: float | None
    unseen_then_m: float | None
    uncontrolled: tuple[int, int]


def smallest_slips(adjusted: Adjusted) -> list[float | None]:
    """The smallest slip of each reading that would show; nothing where none would."""
    return [
        NONCENTRALITY * sigma / math.sqrt(share) if share > UNCHECKED else None
        for sigma, share in zip(adjusted.sigma, adjusted.redundancy, strict=True)
    ]


def unseen(adjusted: Adjusted) -> dict[str, float]:
    """How far each point can be off by one slip that does not show, metres; may be infinite."""
    pulls = _pulls(adjusted.covariance, adjusted.slopes, adjusted.sigma)
    worst = _unseen(pulls, adjusted.redundancy)
    return dict(zip(adjusted.names, worst.tolist(), strict=True))


def uncontrolled(adjusted: Adjusted) -> frozenset[str]:
    """Points that one slip could move further than is tolerable without it showing."""
    return frozenset(name for name, far in unseen(adjusted).items() if far > SURVEY_UNSEEN_M)


def advice(adjusted: Adjusted) -> Advice | None:
    """The tape that would help most; nothing where none of a tape's length helps.

    Only a tape to a part of the network that holds one of the worst points can help. Where more
    than ``TRIED_MOST`` could, those to the worst points are tried.
    """
    now = np.array(list(unseen(adjusted).values()))
    parts = _Parts(adjusted)
    tapes = _worth_trying(adjusted, parts, now)
    if not tapes:
        return None
    held = arrays(tuple(adjusted.at), 0, tuple(tapes))
    lengths, slopes = held.predicted(places_of(held.names, adjusted.at))
    columns = [2 * held.names.index(name) + part for name in adjusted.names for part in (0, 1)]
    before = _rank(now)
    best: tuple[tuple[float, ...], int, Floats] | None = None
    for index, row in enumerate(slopes[:, columns]):
        then = parts.unseen_with(now, row, tapes[index].sigma)
        rank = (*_rank(then), round(float(lengths[index]), 2))
        if best is None or rank < best[0]:
            best = (rank, index, then)
    if best is None or best[0][:2] >= before:
        return None
    _, index, then = best
    # reported for the point that gains most: one that nothing checked, then what moved furthest
    of = [k for k, name in enumerate(adjusted.names) if name in tapes[index].of]
    point = max(of, key=lambda k: (_least(float(now[k])) - _least(float(then[k])), -k))
    return Advice(
        (tapes[index].of[0], tapes[index].of[1]),
        float(lengths[index]),
        adjusted.names[point],
        _told(now[point]),
        _told(then[point]),
        (int((now > SURVEY_UNSEEN_M).sum()), int((then > SURVEY_UNSEEN_M).sum())),
    )


TRIED_MOST = 300  # tapes not taken that are tried: a second's work in a large network


def _worth_trying(adjusted: Adjusted, parts: _Parts, now: Floats) -> list[Reading]:
    """Tapes not taken, short enough, that touch a part of the network with one of the worst."""
    far = now > SURVEY_UNSEEN_M
    worst = far if far.any() else now >= now.max(initial=0.0)
    in_reach = parts.with_any(worst)
    number = {name: index for index, name in enumerate(adjusted.names)}
    found: list[tuple[float, Reading]] = []
    for tape in _not_taken(adjusted):
        ends = [number[name] for name in tape.of if name in number]
        if any(in_reach[end] for end in ends):
            apart = math.dist(adjusted.at[tape.of[0]], adjusted.at[tape.of[1]])
            if apart <= TAPE_M:
                found.append((max(float(now[end]) for end in ends), tape))
    if len(found) > TRIED_MOST:
        least = sorted((at for at, _ in found), reverse=True)[TRIED_MOST - 1]
        found = [each for each in found if each[0] >= least][:TRIED_MOST]
    return [tape for _, tape in found]


_ENDLESS_M = 1e3


def _least(far: float) -> float:
    return min(float(far), _ENDLESS_M)


def _told(far: float) -> float | None:
    return float(far) if far < _ENDLESS_M else None


def _rank(far: Floats) -> tuple[float, float]:
    """How bad a survey is: the points that nothing checks, then how far all can be off."""
    count = int((far > SURVEY_UNSEEN_M).sum())
    return (float(count), round(float(np.minimum(far, _ENDLESS_M).max(initial=0.0)), 3))


def _not_taken(adjusted: Adjusted) -> Iterator[Reading]:
    """Tapes from the fixed points to the others, and between the others."""
    taken = {frozenset(r.of) for r in adjusted.network.readings if r.kind == "tape"}
    fixed, names = list(adjusted.network.fixed), adjusted.names
    for index, name in enumerate(names):
        for other in (*fixed, *names[:index]):
            if frozenset((other, name)) not in taken:
                yield Reading("tape", (other, name), 0.0, TAPE_ERROR_M)


def _pulls(covariance: Floats, slopes: Floats, sigma: Floats) -> Floats:
    """How far each point moves with a slip of one deviation, (points, readings), metres."""
    moved = (covariance @ slopes.T) / sigma
    return np.hypot(moved[0::2], moved[1::2])


def _unseen(pulls: Floats, redundancy: Floats) -> Floats:
    checked = np.where(redundancy > UNCHECKED, redundancy, 1e-12)
    far = NONCENTRALITY * pulls / np.sqrt(checked)
    # a reading that does not touch a point does not move it, however little it is checked
    return np.asarray(np.where(pulls > 1e-6, far, 0.0).max(axis=1, initial=0.0), float)


@dataclass(frozen=True, slots=True, eq=False)
class _Part:
    """Some parts of a network: their points, the columns of these, and what is known of them.

    ``told`` are the derivatives of their readings times the covariance, ``taken`` what the points
    take of each reading's variance.
    """

    points: Whole
    columns: Whole
    covariance: Floats
    told: Floats
    sigma: Floats
    taken: Floats


class _Parts:
    """The parts of a network that no reading joins, which a further tape can join by two."""

    def __init__(self, adjusted: Adjusted) -> None:
        self._adjusted = adjusted
        self._rows: list[Whole] = []
        self._part_of = np.zeros(len(adjusted.names), np.int64)
        for block in Blocks(equations(adjusted.network)):
            for rows, columns in zip(block.rows, block.columns, strict=True):
                self._part_of[columns[::2] // 2] = len(self._rows)
                self._rows.append(rows)
        self._known: dict[tuple[int, ...], _Part] = {}

    def with_any(self, points: NDArray[np.bool_]) -> NDArray[np.bool_]:
        """The points of all parts that hold one of those."""
        return np.isin(self._part_of, self._part_of[points])

    def unseen_with(self, now: Floats, row: Floats, sigma: float) -> Floats:
        """``unseen`` with one more reading, by an update of the covariance of the parts it joins.

        ``now`` is without it, ``row`` its derivatives by the coordinates.
        """
        joined = np.unique(self._part_of[np.flatnonzero(row) // 2])
        part = self._part(tuple(joined.tolist()))
        own = row[part.columns]
        lean, swing = part.covariance @ own, part.told @ own
        spread = sigma**2 + float(own @ lean)
        moved = (part.told.T - np.outer(lean, swing) / spread) / part.sigma
        moved = np.column_stack((moved, lean * (sigma / spread)))
        taken = part.taken - swing**2 / (spread * part.sigma**2)
        redundancy = np.clip(1.0 - np.append(taken, float(own @ lean) / spread), 0.0, 1.0)
        then = now.copy()
        then[part.points] = _unseen(np.hypot(moved[0::2], moved[1::2]), redundancy)
        return then

    def _part(self, joined: tuple[int, ...]) -> _Part:
        known = self._known.get(joined)
        if known is None:
            known = self._known[joined] = self._made(joined)
        return known

    def _made(self, joined: tuple[int, ...]) -> _Part:
        adjusted = self._adjusted
        rows = np.concatenate([self._rows[part] for part in joined])
        points = np.flatnonzero(np.isin(self._part_of, joined))
        columns = np.stack((2 * points, 2 * points + 1), axis=1).ravel()
        covariance = adjusted.covariance[np.ix_(columns, columns)]
        slopes = adjusted.slopes[np.ix_(rows, columns)]
        sigma = adjusted.sigma[rows]
        told = slopes @ covariance
        taken = (told * slopes).sum(1) / sigma**2
        return _Part(points, columns, covariance, told, sigma, taken)
