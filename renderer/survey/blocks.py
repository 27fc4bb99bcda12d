"""The parts of a network that no reading joins, and their equations, each solved by itself.

Points that are tied to fixed points only are such parts: a garden of a hundred of them is a
hundred small systems and not one large one. Parts of one size are solved together. A reading
joins few points, so that of its derivatives only those by their coordinates are looked at.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from renderer.survey.model import Equations, Floats, Whole


@dataclass(frozen=True, slots=True, eq=False)
class Block:
    """Parts of one size: n of them, with r readings and c coordinates each.

    ``rows`` are the numbers of their readings (n, r), ``columns`` those of the coordinates (n, c)
    among all that are to be found. ``own`` are the coordinates that each reading depends on,
    counted in its part (n, r, k), and ``used`` says which of these count, where some have fewer.
    """

    rows: Whole
    columns: Whole
    own: Whole
    used: Floats

    def of(self, slopes: Floats, sigma: Floats) -> Floats:
        """The derivatives of each reading by its own coordinates, in its deviations, (n, r, k)."""
        parts = np.arange(len(self.rows))[:, None, None]
        found: Floats = slopes[self.rows[:, :, None], self.columns[parts, self.own]] * self.used
        return found / sigma[self.rows][:, :, None]

    def normal(self, lean: Floats) -> Floats:
        """The matrix of the normal equations of each part, (n, c, c), from ``of``."""
        count, size = self.columns.shape
        parts = np.arange(count)[:, None, None, None]
        cells = (parts * size + self.own[:, :, :, None]) * size + self.own[:, :, None, :]
        weights = lean[:, :, :, None] * lean[:, :, None, :]
        sums = np.bincount(cells.ravel(), weights.ravel(), count * size * size)
        return np.asarray(sums, float).reshape(count, size, size)

    def pull(self, lean: Floats, apart: Floats) -> Floats:
        """The right-hand side of the normal equations, (n, c), by what the readings are apart."""
        count, size = self.columns.shape
        cells = np.arange(count)[:, None, None] * size + self.own
        weights = lean * apart[self.rows][:, :, None]
        sums = np.bincount(cells.ravel(), weights.ravel(), count * size)
        return np.asarray(sums, float).reshape(count, size)

    def taken(self, lean: Floats, covariance: Floats) -> Floats:
        """The variance of what each reading should read, (n, r), in its own variances."""
        parts = np.arange(len(self.rows))[:, None, None, None]
        spread = covariance[parts, self.own[:, :, :, None], self.own[:, :, None, :]]
        found: Floats = np.einsum("nrk,nrkl,nrl->nr", lean, spread, lean)
        return found


class Blocks:
    """The parts of a network, by size; readings between fixed points alone are in none."""

    def __init__(self, held: Equations) -> None:
        self._blocks = tuple(_by_size(held))

    def __iter__(self) -> Iterator[Block]:
        return iter(self._blocks)


def _by_size(held: Equations) -> Iterator[Block]:
    number = {int(point): index for index, point in enumerate(held.free)}
    ends = _ends(held, number)
    rows, points = _parts(ends, len(number))
    groups: dict[tuple[int, int], list[int]] = defaultdict(list)
    for part in points:
        groups[len(rows[part]), len(points[part])].append(part)
    for parts in groups.values():
        yield _block([rows[part] for part in parts], [points[part] for part in parts], ends)


def _block(rows: list[list[int]], points: list[list[int]], ends: dict[int, list[int]]) -> Block:
    most = max(len(ends[row]) for own in rows for row in own)
    own = np.zeros((len(rows), len(rows[0]), 2 * most), np.int64)
    used = np.zeros(own.shape)
    for part, (of_part, named) in enumerate(zip(rows, points, strict=True)):
        place = {point: index for index, point in enumerate(named)}
        for row, reading in enumerate(of_part):
            for end, point in enumerate(ends[reading]):
                own[part, row, 2 * end : 2 * end + 2] = 2 * place[point], 2 * place[point] + 1
                used[part, row, 2 * end : 2 * end + 2] = 1.0
    firsts = 2 * np.array(points, np.int64)
    columns = np.stack((firsts, firsts + 1), axis=2).reshape(len(points), -1)
    return Block(np.array(rows, np.int64), columns, own, used)


def _ends(held: Equations, number: dict[int, int]) -> dict[int, list[int]]:
    """By reading: the points to be found that it depends on, each once, counted among these."""
    found = {}
    for lines, of in held.rows.values():
        for row, names in zip(lines.tolist(), of.tolist(), strict=True):
            found[row] = list(dict.fromkeys(number[name] for name in names if name in number))
    return found


def _parts(
    ends: dict[int, list[int]], count: int
) -> tuple[dict[int, list[int]], dict[int, list[int]]]:
    """By a point of each part: its readings, and its points."""
    leader = list(range(count))

    def root(point: int) -> int:
        while leader[point] != point:
            leader[point] = leader[leader[point]]
            point = leader[point]
        return point

    for joined in ends.values():
        for other in joined[1:]:
            leader[root(other)] = root(joined[0])
    rows: dict[int, list[int]] = defaultdict(list)
    points: dict[int, list[int]] = defaultdict(list)
    for row in sorted(ends):
        if ends[row]:
            rows[root(ends[row][0])].append(row)
    for point in range(count):
        points[root(point)].append(point)
    return rows, points
