"""What the readings should read where the points lie, and how that changes as points move."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from renderer.survey.network import XY, Kind, Network, Reading

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
_DEGREES = 180.0 / np.pi


@dataclass(frozen=True, slots=True, eq=False)
class Equations:
    """The readings of a network by kind, as arrays: rows of readings, numbers of their points."""

    names: tuple[str, ...]
    free: Whole
    value: Floats
    sigma: Floats
    turning: NDArray[np.bool_]
    rows: dict[Kind, tuple[Whole, Whole]]

    def predicted(self, places: Floats) -> tuple[Floats, Floats]:
        """What each reading should read with points at ``places`` (n, 2), and its derivatives.

        The derivatives are by x and y of each point, (readings, 2n).
        """
        reads = np.zeros(len(self.value))
        slopes = np.zeros((len(self.value), 2 * len(self.names)))
        for kind, (rows, of) in self.rows.items():
            _KINDS[kind](places, rows, of, reads, slopes)
        return reads, slopes

    def misclosure(self, reads: Floats) -> Floats:
        """Readings less what they should read; angles within half a turn."""
        apart = self.value - reads
        apart[self.turning] = (apart[self.turning] + 180.0) % 360.0 - 180.0
        return apart

    @property
    def columns(self) -> slice:
        """The columns of the points to be found, which come last; x before y."""
        return slice(2 * (len(self.names) - len(self.free)), None)


def equations(network: Network) -> Equations:
    """The arrays of a network, its fixed points first."""
    names = (*network.fixed, *network.unknown)
    return arrays(names, len(network.fixed), network.readings)


def arrays(names: tuple[str, ...], fixed: int, readings: tuple[Reading, ...]) -> Equations:
    """The arrays of some readings between named points, the first ``fixed`` of them known."""
    number = {name: index for index, name in enumerate(names)}
    by_kind: dict[Kind, tuple[list[int], list[list[int]]]] = {}
    for row, reading in enumerate(readings):
        rows, points = by_kind.setdefault(reading.kind, ([], []))
        rows.append(row)
        points.append([number[name] for name in reading.of])
    return Equations(
        names,
        np.arange(fixed, len(names)),
        np.array([reading.value for reading in readings], float),
        np.array([reading.sigma for reading in readings], float),
        np.array([not reading.is_length for reading in readings], bool),
        {kind: (np.array(rows), np.array(of)) for kind, (rows, of) in by_kind.items()},
    )


def places_of(names: tuple[str, ...], at: Mapping[str, XY]) -> Floats:
    """Points as an array (n, 2)."""
    return np.array([at[name] for name in names], float).reshape(-1, 2)


def _into(slopes: Floats, rows: Whole, points: Whole, by: Floats) -> None:
    slopes[rows, 2 * points] += by[:, 0]
    slopes[rows, 2 * points + 1] += by[:, 1]


def _unit(apart: Floats) -> tuple[Floats, Floats]:
    length = np.maximum(np.hypot(apart[:, 0], apart[:, 1]), 1e-9)
    return apart / length[:, None], length


def _left(along: Floats) -> Floats:
    return np.stack((-along[:, 1], along[:, 0]), axis=1)


def _tape(places: Floats, rows: Whole, of: Whole, reads: Floats, slopes: Floats) -> None:
    start, end = of.T
    along, length = _unit(places[end] - places[start])
    reads[rows] = length
    _into(slopes, rows, end, along)
    _into(slopes, rows, start, -along)


def _line(places: Floats, of: Whole) -> tuple[Floats, ...]:
    start, end, point = of.T
    along, length = _unit(places[end] - places[start])
    left = _left(along)
    apart = places[point] - places[start]
    return along, left, length, (apart * along).sum(1), (apart * left).sum(1)


def _along(places: Floats, rows: Whole, of: Whole, reads: Floats, slopes: Floats) -> None:
    along, left, length, run, off = _line(places, of)
    turn = left * (off / length)[:, None]
    reads[rows] = run
    _into(slopes, rows, of[:, 2], along)
    _into(slopes, rows, of[:, 1], turn)
    _into(slopes, rows, of[:, 0], -along - turn)


def _off(places: Floats, rows: Whole, of: Whole, reads: Floats, slopes: Floats) -> None:
    _, left, length, run, off = _line(places, of)
    turn = left * (run / length)[:, None]
    reads[rows] = off
    _into(slopes, rows, of[:, 2], left)
    _into(slopes, rows, of[:, 1], -turn)
    _into(slopes, rows, of[:, 0], turn - left)


def _bearing(places: Floats, rows: Whole, of: Whole, reads: Floats, slopes: Floats) -> None:
    _turned(places, rows, of[:, 0], of[:, 1], 1.0, reads, slopes)


def _angle(places: Floats, rows: Whole, of: Whole, reads: Floats, slopes: Floats) -> None:
    _turned(places, rows, of[:, 0], of[:, 2], 1.0, reads, slopes)
    _turned(places, rows, of[:, 0], of[:, 1], -1.0, reads, slopes)
    reads[rows] %= 360.0


def _turned(
    places: Floats,
    rows: Whole,
    start: Whole,
    end: Whole,
    sign: float,
    reads: Floats,
    slopes: Floats,
) -> None:
    """Adds a bearing in degrees clockwise from y, or takes it away."""
    apart = places[end] - places[start]
    along, length = _unit(apart)
    reads[rows] += sign * _DEGREES * np.arctan2(apart[:, 0], apart[:, 1])
    across = -_left(along) * (sign * _DEGREES / length)[:, None]
    _into(slopes, rows, end, across)
    _into(slopes, rows, start, -across)


_KINDS = {"tape": _tape, "along": _along, "off": _off, "bearing": _bearing, "angle": _angle}
