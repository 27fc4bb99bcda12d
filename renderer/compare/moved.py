"""Which places and which stretches of wire lie elsewhere than before."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely

from renderer.geometry.lines import points_at
from renderer.trade import MOVED_M

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from renderer.geometry.lines import Floats
    from renderer.geometry.point import Point
    from renderer.ground.lay import Leg, LoopLay

STEP_M = 0.05  # between places of a wire at which it is compared, half of what counts as moved


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of a loop's wire by running distances, how far off it lies at most, and where."""

    from_m: float
    to_m: float
    off_m: float
    at: Point
    of: str

    @property
    def length_m(self) -> float:
        """How long it is."""
        return self.to_m - self.from_m


def moved(loop: LoopLay, others: Sequence[LoopLay]) -> tuple[Stretch, ...]:
    """The stretches of a loop's wire further than ``MOVED_M`` from all wire of ``others``.

    Their ends are found to ``STEP_M``; without other wire it is the whole loop.
    """
    start, end = float(loop.at_m[0]), float(loop.at_m[-1])
    count = max(2, int(np.ceil((end - start) / STEP_M)) + 1)
    at_m = np.unique(np.concatenate((np.linspace(start, end, count), loop.at_m)))
    places = points_at(loop.path, loop.at_m, at_m)
    off = _distances(places, others)
    found = []
    for first, last in _runs(off > MOVED_M):
        worst = first + int(np.argmax(off[first : last + 1]))
        x, y = places[worst].tolist()
        far, of = float(off[worst]), _leg_at(loop, float(at_m[worst])).of
        found.append(Stretch(float(at_m[first]), float(at_m[last]), far, (x, y), of))
    return tuple(found)


def _leg_at(loop: LoopLay, at_m: float) -> Leg:
    """The leg of the wire that a running distance lies on, but for the tails."""
    on_ground = [leg for leg in loop.legs if leg.kind != "tail"]
    return next((leg for leg in on_ground if at_m <= leg.to_m), on_ground[-1])


def _distances(places: NDArray[np.float64], others: Sequence[LoopLay]) -> Floats:
    """How far each place lies from the nearest wire; infinite where there is none."""
    parts = [np.stack((loop.path[:-1], loop.path[1:]), axis=1) for loop in others]
    if not parts:
        return np.full(len(places), np.inf)
    tree = shapely.STRtree(shapely.linestrings(np.concatenate(parts)))
    points = shapely.points(places)
    found: Floats = tree.query_nearest(points, return_distance=True, all_matches=False)[1]
    return found


def _runs(marked: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """First and last index of each run of marks."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], marked.astype(np.int8), [0]))))
    return [(int(a), int(b) - 1) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def apart(old: Sequence[Point], new: Sequence[Point]) -> tuple[list[int], list[int]]:
    """The new places without an old one within ``MOVED_M``, and the old without a new one."""
    pairs = paired(old, new)
    kept = set(pairs.values())
    return (
        [index for index in range(len(new)) if index not in pairs],
        [index for index in range(len(old)) if index not in kept],
    )


def paired(old: Sequence[Point], new: Sequence[Point]) -> dict[int, int]:
    """New places by their numbers, each with the number of an old one within ``MOVED_M``.

    Places are paired one to one, the nearest first.
    """
    if not old or not new:
        return {}
    tree = shapely.STRtree(shapely.points(np.array(old, float)))
    points = shapely.points(np.array(new, float))
    pairs = tree.query(points, predicate="dwithin", distance=MOVED_M)
    far = np.hypot(*(np.array(new)[pairs[0]] - np.array(old)[pairs[1]]).T)
    found: dict[int, int] = {}
    taken: set[int] = set()
    for index in np.argsort(far, kind="stable"):
        mine, its = int(pairs[0][index]), int(pairs[1][index])
        if mine not in found and its not in taken:
            found[mine] = its
            taken.add(its)
    return found
