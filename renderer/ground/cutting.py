"""The search for the order of spools with the fewest splices, then the least waste.

Stage by stage: each stage draws one more piece of wire, so the first stage in which all loops are
complete has the fewest pieces and with them the fewest splices.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import replace
from itertools import groupby
from operator import itemgetter
from typing import TYPE_CHECKING, Protocol

from renderer.frozen import dataclass
from renderer.ground.stations import SAME_M

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

EXACT_STATES = 4000  # kept in one stage; more than that and only the best of them go on
BEAM_STATES = 100

Whole = tuple[tuple[float, int], ...]  # lengths of the spools not begun yet, and how many of each
Begun = tuple[tuple[float, int, float], ...]  # what is left, the spool's number, its length once


class Demanding(Protocol):
    """What the search needs to know of a loop."""

    @property
    def length_m(self) -> float: ...

    @property
    def looser(self) -> Sequence[object]: ...

    def places(self, from_m: float, end_m: float) -> Sequence[tuple[float, int]]: ...


@dataclass(frozen=True, slots=True)
class Draw:
    """One piece taken off a spool; ``level`` is that of the splice at its end, if there is one."""

    spool: int
    spool_length_m: float
    loop: int
    from_m: float
    to_m: float
    level: int | None
    cut_m: float


@dataclass(frozen=True, slots=True)
class Trail:
    """A piece and those before it; states that parted late share most of theirs."""

    draw: Draw
    before: Trail | None


@dataclass(frozen=True, slots=True)
class State:
    """How far the lay has come: loop and place, what is in stock, and what it cost so far.

    Both parts of the stock are in order of length. ``marks`` are the begun lengths, rounded, by
    which states are compared; ``begun_m`` is their sum, ``squares`` that of all squared lengths.
    """

    loop: int
    at: float
    laid: float
    whole: Whole
    squares: float
    begun: Begun = ()
    marks: tuple[float, ...] = ()
    begun_m: float = 0.0
    opened: int = 0
    tight: int = 0
    cut: float = 0.0
    trail: Trail | None = None

    def draws(self) -> list[Draw]:
        """All pieces up to here, first to last."""
        found: list[Draw] = []
        trail = self.trail
        while trail is not None:
            found.append(trail.draw)
            trail = trail.before
        return found[::-1]

    @property
    def over(self) -> float:
        """Wire cut off before splices, or left on spools that were begun."""
        return self.cut + self.begun_m


def search(demands: Sequence[Demanding], spools: Sequence[float]) -> tuple[State, bool]:
    """The best state reached, and whether it is proven best.

    Splices with less clearance than there might be further back, and those in lead pairs, are
    allowed only where there is no complete lay without them.
    """
    best, proven = _staged(demands, spools, _Leave())
    for leave in (_Leave(closer=True), _Leave(closer=True, in_leads=True)):
        if best.loop == len(demands):
            break
        other, other_proven = _staged(demands, spools, leave)
        if other.loop == len(demands) or other.laid > best.laid + SAME_M:
            best, proven = other, other_proven
    return best, proven


@dataclass(frozen=True, slots=True)
class _Leave:
    """What splices may do: lie closer to something than they need to, or in lead pairs."""

    closer: bool = False
    in_leads: bool = False


def _staged(
    demands: Sequence[Demanding], spools: Sequence[float], leave: _Leave
) -> tuple[State, bool]:
    lengths = sorted(map(float, spools))
    whole = tuple((length, len(list(same))) for length, same in groupby(lengths))
    start = State(0, 0.0, 0.0, whole, sum(length * length for length in lengths))
    stage, furthest, proven = [start], start, True
    while stage:
        following = [after for state in stage for after in _draws(demands, state, leave, proven)]
        complete = [state for state in following if state.loop == len(demands)]
        if complete:
            return min(complete, key=_cost), proven
        furthest = min((furthest, *following), key=_shortage)
        stage = _undominated(following)
        if len(stage) > (EXACT_STATES if proven else BEAM_STATES):
            proven = False
            stage = sorted(stage, key=_promise)[:BEAM_STATES]
    return furthest, proven


def _cost(state: State) -> tuple[int, float, float]:
    return state.tight, round(state.over, 4), round(state.cut, 4)


def _shortage(state: State) -> tuple[float, ...]:
    return -round(state.laid, 4), *_cost(state)


def _promise(state: State) -> tuple[float, ...]:
    """Furthest first, then cheapest, then with the stock least broken up."""
    return -state.laid, state.tight, state.cut, -round(state.squares, 3)


def _undominated(states: Sequence[State]) -> list[State]:
    """The states that no other beats: same loop and stock, as far, and with no tighter splices."""
    best: dict[tuple[int, Whole, tuple[float, ...]], list[State]] = {}
    for state in sorted(states, key=lambda state: (state.tight, -state.at)):
        rivals = best.setdefault((state.loop, state.whole, state.marks), [])
        if not rivals or rivals[-1].at < state.at - SAME_M:
            rivals.append(state)
    return [state for rivals in best.values() for state in rivals]


def _draws(
    demands: Sequence[Demanding], state: State, leave: _Leave, everything: bool
) -> Iterator[State]:
    """The states after one more piece off each kind of spool in stock."""
    need = demands[state.loop].length_m - state.at
    for is_begun, index in _candidates(state, need, everything):
        yield from _drawn(demands, state, is_begun, index, leave)


def _candidates(state: State, need: float, everything: bool) -> Iterator[tuple[bool, int]]:
    """Which of the stock to try, as begun or not and its place there.

    All of it, each length once, or whole spools and the best of the remains: the shortest that is
    enough and the longest that is not.
    """
    if everything:
        parts = [(length, False, i) for i, (length, _) in enumerate(state.whole)]
        parts += [(length, True, i) for i, (length, _, _) in enumerate(state.begun)]
        for (_, is_begun), same in groupby(sorted(parts), key=itemgetter(0, 1)):
            yield is_begun, next(same)[2]
        return
    enough = bisect_left(state.begun, (need - SAME_M, 0, 0.0))
    if enough < len(state.begun):
        yield True, enough
    if enough:
        yield True, enough - 1
    yield from ((False, index) for index in range(len(state.whole)))


def _drawn(
    demands: Sequence[Demanding], state: State, is_begun: bool, index: int, leave: _Leave
) -> Iterator[State]:
    """The states after laying one spool, or what is left of one, as far as it goes."""
    demand = demands[state.loop]
    if is_begun:
        length, number, size = state.begun[index]
    else:
        length = size = state.whole[index][0]
        number = state.opened + 1
    taken = _without(state, is_begun, index)
    need = demand.length_m - state.at
    if length >= need - SAME_M:
        draw = Draw(number, size, state.loop, state.at, demand.length_m, None, 0.0)
        yield _after(_with_rest(taken, length - need, number, size), state, draw)
        return
    end = state.at + length
    places = demand.places(state.at, end)
    for at, level in places if leave.closer else places[:1]:
        if level < len(demand.looser) or level == 0 or leave.in_leads:
            yield _after(
                taken, state, Draw(number, size, state.loop, state.at, at, level, end - at)
            )


def _after(stock: State, state: State, draw: Draw) -> State:
    """The state after a piece is laid, with the stock that is left then."""
    done = draw.level is None
    return replace(
        stock,
        loop=state.loop + done,
        at=0.0 if done else draw.to_m,
        laid=state.laid + draw.to_m - draw.from_m,
        tight=state.tight + (draw.level or 0),
        cut=state.cut + draw.cut_m,
        trail=Trail(draw, state.trail),
    )


def _without(state: State, is_begun: bool, index: int) -> State:
    """The state with one spool, or what was left of one, taken out of its stock."""
    if is_begun:
        length = state.begun[index][0]
        return replace(
            state,
            begun=state.begun[:index] + state.begun[index + 1 :],
            marks=state.marks[:index] + state.marks[index + 1 :],
            begun_m=state.begun_m - length,
            squares=state.squares - length * length,
        )
    length, count = state.whole[index]
    others = ((length, count - 1),) if count > 1 else ()
    return replace(
        state,
        whole=state.whole[:index] + others + state.whole[index + 1 :],
        opened=state.opened + 1,
        squares=state.squares - length * length,
    )


def _with_rest(state: State, left: float, number: int, size: float) -> State:
    """The state with what is left of a spool put back, where it is worth a name."""
    if left <= SAME_M:
        return state
    rest = (left, number, size)
    place = bisect_left(state.begun, rest)
    return replace(
        state,
        begun=(*state.begun[:place], rest, *state.begun[place:]),
        marks=(*state.marks[:place], round(left, 4), *state.marks[place:]),
        begun_m=state.begun_m + left,
        squares=state.squares + left * left,
    )
