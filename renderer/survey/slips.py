"""Readings that do not fit, and what each may have been.

The likeliest slip is found one at a time. Where several readings of a point do not fit, geometry
alone often cannot tell which is wrong: with one reading too many all look the same (C. D. Ghilani,
Adjustment Computations, 2010, example 14.5). So each is left out in turn, and what it should have
read is compared with what it may have been before it was misread.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations
from statistics import NormalDist

import numpy as np

from renderer.progress import doing
from renderer.survey.adjust import CRITICAL_W, Adjusted, NotDetermined, adjust
from renderer.survey.misreadings import Slip, misreadings
from renderer.survey.network import Network, Reading

UNEXPLAINED = 9.0  # what a reading that no slip explains counts, as squared deviations
AS_LIKELY = 4.6  # candidates within this of the best are all named
FALSE_MOST = 0.01  # notebooks without a slip in which one is suspected
_MOST = 12
_PASSES = 3
_TRIED_MOST = 14  # of the readings of a point that do not fit, the worst


@dataclass(frozen=True, slots=True)
class Candidate:
    """A reading that may be wrong, what it was likely to read, and the slip that explains it.

    ``likely`` is in metres or degrees; where ``slip`` is empty it is what the other readings
    predict. ``foretold`` and ``within`` are that value and its deviation.
    """

    reading: Reading
    likely: float
    slip: Slip | None
    score: float
    foretold: float
    within: float
    instead: str = ""


@dataclass(frozen=True, slots=True)
class Suspect:
    """Readings of which one is wrong, likeliest first."""

    one_of: tuple[Candidate, ...]

    @property
    def readings(self) -> tuple[Reading, ...]:
        """The readings, each once."""
        return tuple(dict.fromkeys(each.reading for each in self.one_of))


def critical(readings: int) -> float:
    """The w beyond which one of that many ``readings`` is suspected; Baarda's for ten or fewer."""
    return max(CRITICAL_W, NormalDist().inv_cdf(1.0 - FALSE_MOST / max(1, readings) / 2.0))


def find_slips(network: Network, start: Adjusted) -> tuple[Suspect, ...]:
    """The suspects of a network, worst first; ``start`` is its adjustment."""
    suspects: list[Suspect] = []
    now: Adjusted | None = start
    with doing("slip") as at:
        while now is not None and len(suspects) < _MOST:
            at(len(suspects) + 1, 0)
            suspect = _suspect(now)
            if suspect is None:
                break
            suspects.append(suspect)
            now = _without(network, _likeliest(suspects), now)
    suspects = _settled(network, start, suspects)
    if len(suspects) > 1 and any(each.one_of[0].slip is None for each in suspects):
        suspects = _in_pairs(network, start, suspects)
    return tuple(suspects)


def _likeliest(suspects: Iterable[Suspect]) -> list[Reading]:
    return [each.one_of[0].reading for each in suspects]


def _in_pairs(network: Network, start: Adjusted, suspects: list[Suspect]) -> list[Suspect]:
    """Two slips at one point hide each other: what no slip explains is tried in pairs."""
    unclear = [each for each in suspects if each.one_of[0].slip is None]
    points = {name for each in unclear for reading in each.readings for name in reading.of}
    points -= set(network.fixed)
    near = [each for each in suspects if points & {p for r in each.readings for p in r.of}]
    others = [each for each in suspects if each not in near]
    off = dict(zip(network.readings, np.abs(start.w).tolist(), strict=True))
    tried = [each for each in network.readings if points & set(each.of) and off[each] > 1.0]
    tried = sorted(tried, key=lambda each: -off[each])[:_TRIED_MOST]
    before = _score(network, start, _likeliest(near), _likeliest(others))
    best = min(
        (_score(network, start, list(pair), _likeliest(others)), number, pair)
        for number, pair in enumerate(combinations(tried, 2))
    )
    if best[0] > before - AS_LIKELY:
        return suspects
    pair = [Suspect(tuple(_alone(network, start, each, best[2]))) for each in best[2]]
    return _settled(network, start, [*pair, *others])


def _score(network: Network, start: Adjusted, out: list[Reading], others: list[Reading]) -> float:
    """How badly the rest fits without some readings, what explains each, and how many there are."""
    left = _without(network, [*out, *others], start)
    if left is None:
        return math.inf
    told = sum(min([UNEXPLAINED, *(z2 for z2, *_ in _explained(left, r))]) for r in out)
    return left.rest + told + UNEXPLAINED * len(out)


def _alone(
    network: Network, start: Adjusted, reading: Reading, pair: tuple[Reading, ...]
) -> list[Candidate]:
    held = _without(network, [each for each in pair if each != reading], start)
    return _candidates(held if held is not None else start, reading)


def _settled(network: Network, start: Adjusted, suspects: list[Suspect]) -> list[Suspect]:
    """Each suspect judged again with the others left out; one that then fits is dropped."""
    for _ in range(_PASSES if len(suspects) > 1 else 0):
        before = [each.readings for each in suspects]
        for index in reversed(range(len(suspects))):
            others = [each for i, each in enumerate(suspects) if i != index]
            held = _without(network, _likeliest(others), start)
            again = _suspect(held, suspects[index]) if held is not None else suspects[index]
            if again is None:
                del suspects[index]
            else:
                suspects[index] = again
        if before == [each.readings for each in suspects]:
            break
    return suspects


def _without(network: Network, out: list[Reading], near: Adjusted) -> Adjusted | None:
    """The adjustment without some readings; ``None`` where they are needed."""
    kept = network.only(each for each in network.readings if each not in out)
    if kept.unknown != network.unknown and set(kept.unknown) != set(network.unknown):
        return None
    try:
        return adjust(kept, near.at)
    except NotDetermined:
        return None


def _suspect(now: Adjusted, about: Suspect | None = None) -> Suspect | None:
    """The readings of the worst point that do not fit, judged; nothing where all fit.

    ``about`` keeps to the points of a suspect that was found before.
    """
    readings, off = now.network.readings, np.abs(now.w)
    order = [int(index) for index in np.argsort(-off) if off[index] > CRITICAL_W]
    if order and off[order[0]] <= critical(len(readings)):
        return None
    if about is not None:
        known = {name for each in about.readings for name in each.of} - set(now.network.fixed)
        order = [index for index in order if known & set(readings[index].of)]
    if not order:
        return None
    points = set(readings[order[0]].of) - set(now.network.fixed)
    found: list[Candidate] = []
    near = [readings[index] for index in order if points & set(readings[index].of)]
    for reading in near[:_TRIED_MOST]:
        found += _candidates(now, reading)
    if not found:
        return None
    best = min(each.score for each in found)
    kept = [each for each in found if each.score <= best + AS_LIKELY]
    return Suspect(tuple(sorted(kept, key=lambda each: each.score)))


def _candidates(now: Adjusted, reading: Reading) -> list[Candidate]:
    """What the reading may have been, by every slip that explains it, else by none."""
    left = _without(now.network, [reading], now)
    if left is None:
        return []
    foretold, within = left.foretold(reading)
    spread = math.hypot(within, reading.sigma)
    found = _explained(left, reading) or [(UNEXPLAINED, foretold / reading.level, None, "")]
    return [
        Candidate(reading, value, slip, left.rest + z2, foretold, spread, instead)
        for z2, value, slip, instead in found
    ]


def _explained(left: Adjusted, reading: Reading) -> list[tuple[float, float, Slip | None, str]]:
    """The slips that explain a reading which had no part in ``left``, each with its score."""
    foretold, within = left.foretold(reading)
    spread = math.hypot(within, reading.sigma)
    found: list[tuple[float, float, Slip | None, str]] = []
    for each in misreadings(reading, left.network.unit):
        z2 = (_apart(each.value * reading.level - foretold, reading) / spread) ** 2 + each.rarer
        if z2 < UNEXPLAINED:
            found.append((z2, each.value, each.slip, ""))
    return [*found, *_held_elsewhere(left, reading, foretold)]


def _apart(value: float, reading: Reading) -> float:
    return value if reading.is_length else (value + 180.0) % 360.0 - 180.0


def _held_elsewhere(
    left: Adjusted, reading: Reading, foretold: float
) -> list[tuple[float, float, Slip | None, str]]:
    """Other points that the tape may have been held on: it reads what it should read from there."""
    if reading.kind != "tape":
        return []
    found: list[tuple[float, float, Slip | None, str]] = []
    fixed = left.network.fixed
    for end, other in (reading.of, reading.of[::-1]):
        if end not in fixed or other not in left.at:
            continue
        # no length from a fixed point is less sure than its other end is in all directions
        most = math.hypot(math.sqrt(np.trace(left.of_point(other))), reading.sigma)
        for point in fixed:
            apart = abs(reading.value - math.dist(fixed[point], left.at[other]))
            if point in reading.of or apart > 1.001 * most * math.sqrt(UNEXPLAINED):
                continue
            instead = Reading("tape", (point, other), reading.reads, reading.sigma)
            length, within = left.foretold(instead)
            z2 = ((reading.value - length) / math.hypot(within, reading.sigma)) ** 2 + 3.0
            if z2 < UNEXPLAINED:
                found.append((z2, foretold / reading.level, "wrong-point", point))
    return found
