"""The adjustment: the points that fit all readings best, and how far each reading is checked.

Gauss-Newton on the sum of squared residuals over squared standard deviations; the deviations are
those stated for the readings, never scaled by how well they happen to fit. Statistics follow
W. Baarda, A testing procedure for use in geodetic networks (1968): w, the share of a slip that
shows in its own reading (redundancy), and the smallest slip that shows.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from renderer.survey.blocks import Blocks
from renderer.survey.model import Equations, Floats, equations, places_of
from renderer.survey.network import XY, Network, Reading

CRITICAL_W = 3.2905  # Baarda: one sound reading in a thousand has a larger w
NONCENTRALITY = 4.132  # a slip this many deviations large, over root r, shows in 8 cases of 10
_STEPS_MOST = 60
_SHIFT_LEAST_M = 1e-9
_SINGULAR = 1e12


class NotDetermined(Exception):
    """Readings that leave some points free to move; ``names`` are those points."""

    def __init__(self, names: tuple[str, ...]) -> None:
        super().__init__(names)
        self.names = names


@dataclass(frozen=True, slots=True, eq=False)
class Adjusted:
    """Points and readings of a network after its adjustment; arrays follow its readings.

    ``covariance`` is of x and y of the unknown points in their order, square metres. Residuals are
    what a reading should read less what it reads. ``slopes`` are the derivatives of the readings
    by the unknown coordinates.
    """

    network: Network
    names: tuple[str, ...]
    at: dict[str, XY]
    covariance: Floats
    slopes: Floats
    sigma: Floats
    residual: Floats
    redundancy: Floats

    @property
    def degrees_of_freedom(self) -> int:
        """Readings beyond those that are needed."""
        return len(self.residual) - len(self.covariance)

    @property
    def rest(self) -> float:
        """The sum of the squared residuals over the squared deviations."""
        return float(((self.residual / self.sigma) ** 2).sum())

    @property
    def sigma0(self) -> float:
        """How the residuals compare with the stated deviations: about 1 where both are right."""
        free = self.degrees_of_freedom
        return math.sqrt(self.rest / free) if free > 0 else 0.0

    @property
    def w(self) -> Floats:
        """Residuals in terms of their own deviations; zero where a reading is not checked."""
        own = self.sigma * np.sqrt(np.maximum(self.redundancy, UNCHECKED))
        return np.where(self.redundancy > UNCHECKED, self.residual / own, 0.0)

    def of_point(self, name: str) -> Floats:
        """The covariance of x and y of a point, (2, 2), square metres; nothing for a fixed one."""
        if name not in self.names:
            return np.zeros((2, 2))
        first = 2 * self.names.index(name)
        return self.covariance[first : first + 2, first : first + 2]

    def foretold(self, reading: Reading) -> tuple[float, float]:
        """What a reading that took no part in this should read, and the deviation of that."""
        from renderer.survey.model import arrays

        held = arrays(tuple(self.at), 0, (reading,))
        reads, slopes = held.predicted(places_of(held.names, self.at))
        columns = [
            2 * index + part
            for name in self.names
            for index in (held.names.index(name),)
            for part in (0, 1)
        ]
        row = slopes[0, columns]
        return float(reads[0]), math.sqrt(max(0.0, float(row @ self.covariance @ row)))


UNCHECKED = 1e-6  # a smaller redundancy is none


def adjust(network: Network, start: Mapping[str, XY]) -> Adjusted:
    """The network adjusted from points near where they belong. Raises NotDetermined."""
    held = equations(network)
    blocks = Blocks(held)
    home = places_of(held.names, start).mean(axis=0)
    places = places_of(held.names, start) - home
    columns = held.columns
    damping = 0.0
    reads, slopes = held.predicted(places)
    apart = held.misclosure(reads) / held.sigma
    for _ in range(_STEPS_MOST):
        step = _step(held, blocks, slopes[:, columns], apart, damping)
        moved = places.copy()
        moved[held.free] += step.reshape(-1, 2)
        reads, moved_slopes = held.predicted(moved)
        moved_apart = held.misclosure(reads) / held.sigma
        if moved_apart @ moved_apart > (apart @ apart) * (1 + 1e-9) + 1e-12 and damping < 1e6:
            damping = max(1e-3, damping * 10)
            continue
        places, slopes, apart = moved, moved_slopes, moved_apart
        damping = 0.0 if damping < 1e-2 else damping / 10
        if np.abs(step).max(initial=0.0) < _SHIFT_LEAST_M:
            break
    slopes = slopes[:, columns]
    return _judged(network, held, blocks, places + home, slopes, -apart * held.sigma)


def _step(held: Equations, blocks: Blocks, slopes: Floats, apart: Floats, damping: float) -> Floats:
    step = np.zeros(slopes.shape[1])
    for block in blocks:
        own = block.of(slopes, held.sigma)
        normal = block.normal(own)
        if damping:
            steep = np.diagonal(normal, axis1=1, axis2=2) + 1e-12
            normal = normal + damping * steep[:, None, :] * np.eye(steep.shape[1])
        pull = block.pull(own, apart)[:, :, None]
        try:
            step[block.columns] = np.linalg.solve(normal, pull)[:, :, 0]
        except np.linalg.LinAlgError:
            raise NotDetermined(_loose(held, slopes)) from None
    return step


def _judged(
    network: Network,
    held: Equations,
    blocks: Blocks,
    places: Floats,
    slopes: Floats,
    residual: Floats,
) -> Adjusted:
    found = _covariance(blocks, slopes, held.sigma)
    if found is None:
        raise NotDetermined(_loose(held, slopes))
    covariance, redundancy = found
    names = tuple(held.names[index] for index in held.free)
    at = {name: (float(x), float(y)) for name, (x, y) in zip(held.names, places, strict=True)}
    return Adjusted(
        network,
        names,
        at,
        covariance,
        slopes,
        held.sigma,
        residual,
        np.clip(redundancy, 0.0, 1.0),
    )


def _covariance(blocks: Blocks, slopes: Floats, sigma: Floats) -> tuple[Floats, Floats] | None:
    """The covariance of the coordinates and the redundancy of the readings; none if singular."""
    covariance = np.zeros((slopes.shape[1], slopes.shape[1]))
    redundancy = np.ones(len(slopes))
    sizes, bounds = [], []
    for block in blocks:
        own = block.of(slopes, sigma)
        normal = block.normal(own)
        size = np.sqrt(np.diagonal(normal, axis1=1, axis2=2))
        if not size.all():
            return None
        scaled = normal / (size[:, :, None] * size[:, None, :])
        try:
            inverse = np.linalg.inv(scaled)
        except np.linalg.LinAlgError:
            return None
        bounds.append((_norm(scaled), _norm(inverse)))
        sizes.append(scaled)
        inverse /= size[:, :, None] * size[:, None, :]
        covariance[block.columns[:, :, None], block.columns[:, None, :]] = inverse
        redundancy[block.rows] -= block.taken(own, inverse)
    # the norm used here is never below that of the eigenvalues, which take longer to find
    if bounds and max(a for a, _ in bounds) * max(b for _, b in bounds) > _SINGULAR:
        values = np.concatenate([np.linalg.eigvalsh(each).ravel() for each in sizes])
        if values.min() <= 0 or values.max() / values.min() > _SINGULAR:
            return None
    return covariance, redundancy


def _norm(matrices: Floats) -> float:
    """The largest 1-norm of some matrices (n, k, k)."""
    return float(np.abs(matrices).sum(1).max())


def _loose(held: Equations, slopes: Floats) -> tuple[str, ...]:
    """The points that can move without any reading showing it."""
    _, sizes, turns = np.linalg.svd(slopes / held.sigma[:, None])
    sizes = np.concatenate((sizes, np.zeros(len(turns) - len(sizes))))
    still = turns[sizes < max(sizes.max(initial=0.0), 1.0) * 1e-6]
    share = np.abs(still).max(axis=0, initial=0.0).reshape(-1, 2).max(axis=1)
    found = [held.names[i] for i, each in zip(held.free, share, strict=True) if each > 0.1]
    return tuple(found) or tuple(held.names[index] for index in held.free)
