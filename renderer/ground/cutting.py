"""The search for the order of spools with the fewest splices, then the least waste.

Stage by stage: each stage draws one more piece of wire, so the first stage in which all loops are
complete has the fewest pieces and with them the fewest splices.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from renderer.ground.stations import SAME_M

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

EXACT_STATES = 4000  # kept in one stage; more than that and only the best of them go on
BEAM_STATES = 100

Pool = tuple[tuple[float, int], ...]  # length, and number of the spool, 0 while it is whole


class Demanding(Protocol):
    """What the search needs to know of a loop."""

    @property
    def length_m(self) -> float: ...

    @property
    def looser(self) -> Sequence[object]: ...

    def place(self, from_m: float, end_m: float) -> tuple[float, int] | None: ...


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
class State:
    """How far the lay has come: loop and place, what is in stock, and what it cost so far."""

    loop: int
    at: float
    laid: float
    pool: Pool
    opened: int = 0
    tight: int = 0
    cut: float = 0.0
    last: Draw | None = None
    before: State | None = None

    def draws(self) -> list[Draw]:
        """All pieces up to here, first to last."""
        found: list[Draw] = []
        state: State | None = self
        while state is not None:
            if state.last is not None:
                found.append(state.last)
            state = state.before
        return found[::-1]

    @property
    def over(self) -> float:
        """Wire cut off before splices, or left on spools that were begun."""
        return self.cut + sum(length for length, spool in self.pool if spool)


def search(demands: Sequence[Demanding], spools: Sequence[float]) -> tuple[State, bool]:
    """The best state reached, and whether it is proven best.

    Splices in lead pairs are allowed only where there is no complete lay without them.
    """
    state, proven = _staged(demands, spools, in_leads=False)
    if state.loop == len(demands):
        return state, proven
    other, other_proven = _staged(demands, spools, in_leads=True)
    if other.loop < len(demands) and other.laid <= state.laid + SAME_M:
        return state, proven
    return other, other_proven


def _staged(
    demands: Sequence[Demanding], spools: Sequence[float], *, in_leads: bool
) -> tuple[State, bool]:
    start = State(0, 0.0, 0.0, tuple(sorted((float(length), 0) for length in spools)))
    stage, furthest, proven = [start], start, True
    while stage:
        following = [after for state in stage for after in _draws(demands, state, in_leads, proven)]
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
    whole = sum(length * length for length, _ in state.pool)
    return -state.laid, state.tight, state.cut, -whole


def _undominated(states: Sequence[State]) -> list[State]:
    """The states that no other beats: same loop and stock, as far, and with no tighter splices."""
    best: dict[tuple[int, tuple[tuple[float, bool], ...]], list[State]] = {}
    for state in sorted(states, key=lambda state: (state.tight, -state.at)):
        key = (state.loop, tuple((round(length, 4), spool > 0) for length, spool in state.pool))
        rivals = best.setdefault(key, [])
        if not rivals or rivals[-1].at < state.at - SAME_M:
            rivals.append(state)
    return [state for rivals in best.values() for state in rivals]


def _draws(
    demands: Sequence[Demanding], state: State, in_leads: bool, everything: bool
) -> Iterator[State]:
    """The states after one more piece off each kind of spool in stock."""
    need = demands[state.loop].length_m - state.at
    tried: set[tuple[float, bool]] = set()
    for index in _candidates(state.pool, need, everything):
        length, spool = state.pool[index]
        if (length, spool > 0) in tried:
            continue
        tried.add((length, spool > 0))
        after = _drawn(demands, state, index, in_leads)
        if after is not None:
            yield after


def _candidates(pool: Pool, need: float, everything: bool) -> Sequence[int]:
    """Which of the stock to try: all of it, or whole spools and the best of the remains."""
    if everything:
        return range(len(pool))
    whole = [i for i, (_, spool) in enumerate(pool) if not spool]
    begun = [i for i, (_, spool) in enumerate(pool) if spool]
    enough = [i for i in begun if pool[i][0] >= need - SAME_M]
    less = [i for i in begun if pool[i][0] < need - SAME_M]
    return [*enough[:1], *less[-1:], *whole]


def _drawn(demands: Sequence[Demanding], state: State, index: int, in_leads: bool) -> State | None:
    """The state after laying one spool, or what is left of one, as far as it goes."""
    demand = demands[state.loop]
    length, spool = state.pool[index]
    rest = state.pool[:index] + state.pool[index + 1 :]
    opened = state.opened + (spool == 0)
    number = spool or opened
    size = length if spool == 0 else _size(state, spool)
    need = demand.length_m - state.at
    if length >= need - SAME_M:
        draw = Draw(number, size, state.loop, state.at, demand.length_m, None, 0.0)
        left = length - need
        pool = tuple(sorted((*rest, (left, number)))) if left > SAME_M else rest
        loop, at, tight, cut = state.loop + 1, 0.0, state.tight, state.cut
    else:
        place = demand.place(state.at, state.at + length)
        if place is None or (place[1] == len(demand.looser) > 0 and not in_leads):
            return None
        at, level = place
        draw = Draw(number, size, state.loop, state.at, at, level, state.at + length - at)
        pool, loop = rest, state.loop
        tight, cut = state.tight + level, state.cut + draw.cut_m
    laid = state.laid + draw.to_m - draw.from_m
    return State(loop, at, laid, pool, opened, tight, cut, draw, state)


def _size(state: State, spool: int) -> float:
    return next(draw.spool_length_m for draw in state.draws() if draw.spool == spool)
