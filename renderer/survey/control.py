"""Which points nothing checks, and the one further tape that would help most."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from renderer.survey.adjust import NONCENTRALITY, UNCHECKED, Adjusted
from renderer.survey.model import Floats, arrays, places_of
from renderer.survey.network import Reading
from renderer.trade import SURVEY_UNSEEN_M, TAPE_ERROR_M, TAPE_M


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
    """The tape that would help most; nothing where none of a tape's length helps."""
    tapes = list(_not_taken(adjusted))
    if not tapes:
        return None
    held = arrays(tuple(adjusted.at), 0, tuple(tapes))
    lengths, slopes = held.predicted(places_of(held.names, adjusted.at))
    columns = [2 * held.names.index(name) + part for name in adjusted.names for part in (0, 1)]
    now = np.array(list(unseen(adjusted).values()))
    before = _rank(now)
    best: tuple[tuple[float, ...], int, Floats] | None = None
    for index, row in enumerate(slopes[:, columns]):
        if lengths[index] > TAPE_M:
            continue
        then = _unseen_with(adjusted, row, tapes[index].sigma)
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


def _unseen_with(adjusted: Adjusted, row: Floats, sigma: float) -> Floats:
    """The same as ``unseen`` with one more reading, by an update of the covariance."""
    lean = adjusted.covariance @ row
    covariance = adjusted.covariance - np.outer(lean, lean) / (sigma**2 + row @ lean)
    slopes = np.vstack((adjusted.slopes, row))
    sigmas = np.append(adjusted.sigma, sigma)
    taken = ((slopes @ covariance) * slopes).sum(1) / sigmas**2
    return _unseen(_pulls(covariance, slopes, sigmas), np.clip(1.0 - taken, 0.0, 1.0))
