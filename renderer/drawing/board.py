"""What is occupied while labels are placed, and what each place would cost.

What was drawn before stays, so a place is looked at against it once; labels come and go. What
is asked first of a place is what most often refuses it, and costs least to ask.
"""

from __future__ import annotations

import math
from operator import attrgetter
from typing import TYPE_CHECKING

from renderer.drawing.boxes import CLEAR_MM, LINE, PEG, STROKE, SYMBOL, TEXT, Grid, bounds_about
from renderer.drawing.squares import CLEAR, TAKEN, Squares
from renderer.geometry.lines import are_crossing

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from renderer.drawing.boxes import Bounds, Box, Occupied
    from renderer.drawing.labels import Label, Led, Spot
    from renderer.geometry.rects import Rect

# What a leader pays to cross a line or another leader, compared with text that covers it.
STROKE_SHARE = 0.3
WIRE_WEIGHT = 10.0  # what a text pays to hide a wire
STROKE_CROSSING = 3.0
# How much worse a place may get for a label that makes room for another.
PATIENCE = 12.0
PATIENCE_UNLISTED = 2.5
# The same, and how many may move, for one that is needed and else would stand nowhere.
PATIENCE_LAST, MOST_LAST = 60.0, 4
MOST = 2


class Site:
    """A place of a label on the board, and what is known of it by now.

    ``room`` is its box with clear paper about it, ``bounds`` the upright rectangle about that, both
    there once it ``is_seen``; ``marks`` is what its strokes cost for marks that they cross,
    ``whole`` that and what all of it costs for lines.
    """

    __slots__ = ("bounds", "cost", "is_seen", "marks", "room", "spot", "whole")
    room: Box
    bounds: Bounds

    def __init__(self, spot: Spot) -> None:
        self.spot = spot
        self.cost = spot.cost
        self.is_seen = False
        self.marks = -1.0
        self.whole = -1.0

    def see(self) -> None:
        """Works out what the text takes."""
        self.is_seen = True
        self.room = self.spot.box.grown(CLEAR_MM)
        self.bounds = bounds_about(self.spot.box, CLEAR_MM)


class Choice:
    """Places by rising cost; those with leaders are made when it is their turn."""

    def __init__(self, board: Board, spots: Iterable[Spot], led: Iterable[Led] = ()) -> None:
        self._board = board
        self._made = sorted(map(Site, spots), key=_cost)
        self._later = sorted(led, key=_least, reverse=True)

    def get(self, number: int, limit: float) -> Site | None:
        """The place of a number, counted from the cheapest at 0, if it costs less than a limit.

        Places that never will be free are left out.
        """
        made, later = self._made, self._later
        while True:
            while later and later[-1].least < limit:
                if number < len(made) and made[number].cost < later[-1].least:
                    break
                self._make(number)
            if number >= len(made):
                return None
            site = made[number]
            if site.cost >= limit:
                return None
            if site.is_seen:
                return site
            site.see()
            if self._board.is_open(site.spot.box, site.bounds):
                return site
            del made[number]

    def _make(self, number: int) -> None:
        """Makes the cheapest of the places that are still to be made, all of which are open."""
        found = [Site(spot) for spot in self._later.pop().make(self._board.opens)]
        for site in found:
            site.see()
        self._made[number:] = sorted((*self._made[number:], *found), key=_cost)

    def drop(self, number: int) -> None:
        """Forgets a place that never will be free."""
        del self._made[number]

    @property
    def least(self) -> float:
        """What the cheapest place costs, or is sure not to cost less than."""
        made = self._made[0].cost if self._made else math.inf
        return min(made, self._later[-1].least) if self._later else made


_cost = attrgetter("cost")
_least = attrgetter("least")


class Board:
    """Marks and lines drawn before, and the labels that have a place by now."""

    def __init__(self, labels: Sequence[Label], obstacles: Iterable[Occupied], frame: Rect) -> None:
        self.listed = [label.listed for label in labels]
        self.frame = frame
        self.marks = Grid()
        self.lines = Grid()
        self.grid = Grid()
        self.squares = Squares(frame)
        self.taken: dict[int, Site] = {}
        self.costs: dict[int, float] = {}
        for box, kind, weight in obstacles:
            if kind == LINE:
                self.lines.add(box, kind, weight)
            else:
                self.marks.add(box, kind, weight)
                self.squares.add(box)
        self.choices = [Choice(self, label.spots, label.led) for label in labels]

    def opens(self, box: Box) -> bool:
        """Whether a text in the box would lie in the frame and on no mark."""
        return self.is_open(box, bounds_about(box, CLEAR_MM))

    def is_open(self, box: Box, bounds: Bounds) -> bool:
        """The same of a box whose bounds, with clear paper about it, are known."""
        if not self.within(bounds):
            return False
        state = self.squares.state(bounds)
        if state == CLEAR:
            return True
        if state == TAKEN and not (box.s or box.round):
            return False
        return not self.marks.is_hit(box.grown(CLEAR_MM), bounds)

    def within(self, bounds: Bounds) -> bool:
        x0, y0, x1, y1 = self.frame
        left, top, right, low = bounds
        return left >= x0 and top >= y0 and right <= x1 and low <= y1

    def settle(self, index: int, choice: Choice, least: float = math.inf) -> bool:
        """Take the cheapest free place, where one costs less than ``least``."""
        best, number = None, 0
        while (site := choice.get(number, least)) is not None:
            if self.grid.is_hit(site.room, site.bounds):
                number += 1
                continue
            if not self._crosses_marks(site):
                choice.drop(number)
                continue
            number += 1
            cost = self.cost(site, least)
            if cost < least:
                best, least = site, cost
        if best is not None:
            self.take(index, best, least)
        return best is not None

    def take(self, index: int, site: Site, cost: float) -> None:
        self.taken[index] = site
        self.costs[index] = cost
        self.grid.add(site.room, TEXT, 1.0, index)
        for stroke in site.spot.strokes:
            self.grid.add(stroke, STROKE, 1.0, index)

    def release(self, index: int) -> Site:
        site = self.taken.pop(index)
        self.grid.drop((site.room, *site.spot.strokes), index)
        return site

    def cost(self, site: Site, limit: float) -> float:
        """What a place costs in all, if its text is free.

        Infinite where its leader strikes another text, or crosses another leader.
        Where it comes to ``limit`` or more, it is not added up any further.
        """
        own, crossed = site.spot.cost, 0
        for stroke in site.spot.strokes:
            for kind, _, owner in self.grid.hits(stroke):
                if kind == TEXT or self._leaders_cross(site, owner):
                    return math.inf
                crossed += 1
        if site.whole < 0:
            fixed = self._lines_cost(site, limit - own - crossed * STROKE_CROSSING)
            if fixed is None:
                return math.inf
            site.whole = fixed
        return own + (site.whole + crossed * STROKE_CROSSING)

    def _crosses_marks(self, site: Site) -> bool:
        """Works out what a place's strokes cost for marks; whether they may cross what they do."""
        if site.marks >= 0:
            return True
        cost = 0.0
        for stroke in site.spot.strokes:
            bounds = bounds_about(stroke)
            if not self.within(bounds):
                return False
            if self.squares.state(bounds) == CLEAR:
                continue
            for kind, weight, _ in self.marks.hits(stroke, bounds):
                if kind in (TEXT, SYMBOL):
                    return False
                cost += weight * STROKE_SHARE if kind == PEG else STROKE_CROSSING
        site.marks = cost
        return True

    def _lines_cost(self, site: Site, limit: float) -> float | None:
        """What marks and lines across the strokes and below the text cost, if less than a limit."""
        cost = site.marks
        if cost >= limit:
            return None
        for _, weight, _ in self.lines.hits(site.room, site.bounds):
            cost += weight
            if cost >= limit:
                return None
        for stroke in site.spot.strokes:
            for _, weight, _ in self.lines.hits(stroke):
                cost += weight * STROKE_SHARE
                if cost >= limit:
                    return None
        return cost

    def in_the_way(self, site: Site) -> set[int]:
        """The labels that keep a place from being free."""
        found = {owner for _, _, owner in self.grid.hits(site.room, site.bounds)}
        for stroke in site.spot.strokes:
            found.update(
                owner
                for kind, _, owner in self.grid.hits(stroke)
                if kind == TEXT or self._leaders_cross(site, owner)
            )
        return found

    def _leaders_cross(self, site: Site, owner: int) -> bool:
        """Whether a place's leader crosses that of a label that has its place.

        Those to one and the same point meet there: both belong to what lies there.
        """
        one, other = site.spot.leader, self.taken[owner].spot.leader
        if one is None or other is None or one.end == other.end:
            return False
        return are_crossing((one.start, one.end), (other.start, other.end))

    def off_the_wire(self, index: int) -> None:
        """Moves a label that hides a wire, and a few others for it, where none of them then does.

        All of it must not cost more than the place on the wire did.
        """
        if not self._hides_wire(index):
            return
        before, costs = dict(self.taken), dict(self.costs)
        self.release(index)
        self.make_room(index, below=costs[index])
        moved = [i for i, site in before.items() if self.taken.get(i) is not site]
        if not moved or (index in self.taken and not any(map(self._hides_wire, moved))):
            return
        for i in moved:
            if i in self.taken:
                self.release(i)
        for i in moved:
            self.take(i, before[i], costs[i])

    def _hides_wire(self, index: int) -> bool:
        hit = self.lines.hits(self.taken[index].spot.box)
        return any(weight == WIRE_WEIGHT for _, weight, _ in hit)

    def make_room(self, index: int, *, last: bool = False, below: float = 0.0) -> bool:
        """Settle a label by moving a few others to places that are not much worse.

        As a ``last`` resort more of them move, to places that are worse; ``below`` is what all of
        it has to cost less than instead.
        """
        least = PATIENCE if self.listed[index] else PATIENCE_UNLISTED
        if last:
            least = PATIENCE_LAST
        least = below or least
        most = MOST_LAST if last else MOST
        choice = self.choices[index]
        best, number = None, 0
        while (site := choice.get(number, least)) is not None:
            if not self._crosses_marks(site):
                choice.drop(number)
                continue
            number += 1
            cost = self.push(index, site, least, most, keep=False)
            if cost is not None:
                best, least = site, cost
        if best is not None:
            self.push(index, best, math.inf, most, keep=True)
        return best is not None

    def push(self, index: int, site: Site, least: float, most: int, *, keep: bool) -> float | None:
        """What it costs in all to take a place and move what is in its way.

        ``None`` where that cannot be done, or not for less than ``least``, or would move more
        labels than ``most``.
        """
        blocking = self.in_the_way(site)
        if len(blocking) > most:
            return None
        # what the others cost at best, then what they do
        cost = site.spot.cost + sum(self.choices[i].least - self.costs[i] for i in blocking)
        if cost >= least:
            return None
        before = {other: (self.release(other), self.costs[other]) for other in sorted(blocking)}
        self.take(index, site, site.spot.cost)
        moved = []
        for other in before:
            choice = self.choices[other]
            at_best = choice.least
            if not self.settle(other, choice, least - cost + at_best):
                break
            cost += self.costs[other] - at_best
            moved.append(other)
        can = len(moved) == len(before) and cost < least
        if can and keep:
            return cost
        for other in (*moved, index):
            self.release(other)
        for other, (old, price) in before.items():
            self.take(other, old, price)
        return cost if can else None

    def covers(self, site: Site) -> bool:
        """Whether a line runs below the text of a place."""
        return self.lines.is_hit(site.room, site.bounds)
