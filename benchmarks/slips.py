"""How often two slips in the notebook of a garden are named, over seeded gardens."""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, fields
from itertools import pairwise

from benchmarks.table import Table
from renderer.batch.workers import Workers, cores
from renderer.survey.ellipse import Ellipse
from renderer.survey.network import XY, Network, Reading, Sight, SurveyError
from renderer.survey.solve import Solution, solve
from renderer.trade import ELLIPSE_95

POINTS = 25
SIGMA_M = 0.03
SLIPS = 2
HOUSES = {
    3: ((0.0, 0.0), (9.0, 0.0), (15.0, 14.0)),
    4: ((0.0, 0.0), (9.0, 0.0), (17.0, 16.0), (-6.0, 15.0)),
}


@dataclass(frozen=True, slots=True)
class Garden:
    """A garden as it is, the network of what was read in it, and by how much readings slipped."""

    true: dict[str, XY]
    network: Network
    slipped: dict[tuple[str, ...], float]


@dataclass(slots=True)
class Tally:
    """Counts over many gardens."""

    slips: int = 0
    named: int = 0
    shown: int = 0
    shown_named: int = 0
    alone: int = 0
    names: int = 0
    false: int = 0
    sure: int = 0
    inside: int = 0
    points: int = 0

    def count(self, garden: Garden, solved: Solution) -> None:
        """Adds one garden."""
        groups = [{each.of for each in suspect.readings} for suspect in solved.suspects]
        least = {each.reading.of: each.smallest_slip for each in solved.readings}
        for of, by_m in garden.slipped.items():
            named = any(of in group for group in groups)
            shows = least[of] is not None and by_m >= least[of]
            self.slips += 1
            self.named += named
            self.shown += shows
            self.shown_named += named and shows
            self.alone += {of} in groups
        self.names += len(groups)
        self.false += sum(group.isdisjoint(garden.slipped) for group in groups)
        for point in solved.points:
            self.points += 1
            if point.state == "controlled":
                self.sure += 1
                self.inside += _inside(point.at, garden.true[point.name], point.ellipse)

    def refuse(self, garden: Garden) -> None:
        """Adds one that cannot be placed before somebody says on which side a point lies."""
        self.slips += len(garden.slipped)
        self.points += len(garden.true)

    def add(self, other: Tally) -> None:
        """Adds what was counted elsewhere."""
        for each in fields(self):
            setattr(self, each.name, getattr(self, each.name) + getattr(other, each.name))

    def shares(self) -> tuple[str, ...]:
        """The shares as the table shows them, in percent."""
        found = (
            (self.named, self.slips),
            (self.shown_named, self.shown),
            (self.alone, self.slips),
            (self.false, self.names),
            (self.sure, self.points),
            (self.inside, self.sure),
        )
        return tuple(f"{100 * part / max(1, whole):.1f}" for part, whole in found)


def _inside(at: XY, true: XY, ellipse: Ellipse) -> bool:
    turn = math.radians(ellipse.azimuth_deg)
    dx, dy = true[0] - at[0], true[1] - at[1]
    along = dx * math.sin(turn) + dy * math.cos(turn)
    across = dx * math.cos(turn) - dy * math.sin(turn)
    return math.hypot(along / ellipse.major, across / ellipse.minor) <= ELLIPSE_95


def garden(seed: int, ties: int, sides: bool, slip: str) -> Garden:
    """A garden of 25 points round a lawn, taped with noise to whole centimetres."""
    dice = random.Random(f"{seed} {ties} {sides} {slip}")
    fixed = dict(zip("ABCD", HOUSES[ties], strict=False))
    true = {f"p{n}": _corner(n, dice) for n in range(1, POINTS + 1)}
    place = fixed | true
    wanted = [(house, point) for point in true for house in fixed]
    if sides:
        wanted += [*pairwise(true), (f"p{POINTS}", "p1")]
    reads = {
        of: round(math.dist(place[of[0]], place[of[1]]) + dice.gauss(0, SIGMA_M), 2)
        for of in wanted
    }
    slipped: dict[tuple[str, ...], float] = {}
    while len(slipped) < SLIPS:
        of = dice.choice(wanted)
        wrong = _slip(reads[of], slip, dice)
        if of not in slipped and wrong is not None:
            slipped[of] = wrong
    rows = tuple(
        Reading("tape", of, slipped.get(of, value), SIGMA_M) for of, value in reads.items()
    )
    network = Network(fixed, rows, {}, Sight(("A", "B"), "left"))
    by_m = {of: abs(wrong - reads[of]) for of, wrong in slipped.items()}
    return Garden(true, network, by_m)


def _corner(number: int, dice: random.Random) -> XY:
    turn = math.tau * number / POINTS
    far = dice.uniform(0.75, 1.1)
    return (5.0 + 13.0 * far * math.cos(turn), 11.0 + 9.0 * far * math.sin(turn))


def _slip(value: float, slip: str, dice: random.Random) -> float | None:
    if slip == "a whole metre":
        wrong = value + dice.choice((-1.0, 1.0))
        return round(wrong, 2) if wrong > 0 else None
    text = f"{value:.2f}"
    dot = text.index(".")
    first, second = (dot - 1, dot + 1) if slip == "digits at the point" else (dot + 1, dot + 2)
    if text[first] == text[second]:
        return None
    chars = list(text)
    chars[first], chars[second] = chars[second], chars[first]
    return float("".join(chars))


SURVEYS = (
    ("three ties and sides", 3, True, "a whole metre"),
    ("three ties and sides", 3, True, "digits at the point"),
    ("three ties and sides", 3, True, "last two digits"),
    ("four ties and sides", 4, True, "a whole metre"),
    ("four ties and sides", 4, True, "digits at the point"),
    ("four ties and sides", 4, True, "last two digits"),
    ("three ties", 3, False, "a whole metre"),
    ("three ties", 3, False, "digits at the point"),
)
HEAD = (
    "measured by",
    "slip",
    "named",
    "of those that show",
    "named alone",
    "false names",
    "points sure",
    "in 95 %",
)


AT_ONCE = 10  # gardens that a process takes at a time


def slips(gardens: int) -> list[Table]:
    """How often each of two slips is named, and how well sure points keep what they promise."""
    tallies = [Tally() for _ in SURVEYS]
    shares = [
        (row, range(first, min(first + AT_ONCE, gardens)))
        for row in range(len(SURVEYS))
        for first in range(0, gardens, AT_ONCE)
    ]
    with Workers(min(cores(), len(shares)) if gardens > AT_ONCE else 1) as workers:
        for (row, _), counted in zip(shares, workers.map(_counted, shares), strict=True):
            tallies[row].add(counted)
    rows = tuple(
        (ties, kind, *tally.shares())
        for (ties, _, _, kind), tally in zip(SURVEYS, tallies, strict=True)
    )
    notes = (
        f"{gardens} gardens a row, {POINTS} points each, {SLIPS} slips, noise {SIGMA_M * 100:g} cm,"
        " readings to 1 cm; all in percent.",
        "Digits at the point: 9.60 for 6.90. Last two digits: 9.60 for 9.06, a slip of 9 cm or a"
        " multiple of it.",
        "Of those that show: slips no less than the smallest that shows in their reading, which the"
        " survey states; with noise of 3 cm that is some 17 cm. 9.12 for 9.21 lies below it, as a"
        " third of all exchanges of the last two digits do.",
        "False names: of all that are named. In 95 %: sure points within their 95 % ellipse.",
        "A garden whose places need another side stated counts as one with nothing named or sure.",
    )
    return [Table("Slips in the notebook", HEAD, rows, notes)]


def _counted(share: tuple[int, range]) -> Tally:
    """Some gardens of a row, counted."""
    row, seeds = share
    _, count, sides, kind = SURVEYS[row]
    tally = Tally()
    for seed in seeds:
        made = garden(seed, count, sides, kind)
        try:
            tally.count(made, solve(made.network, advise=False))
        except SurveyError:
            tally.refuse(made)
    return tally
