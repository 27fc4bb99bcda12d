"""Which scale a plan is drawn at, and how it is turned on the paper."""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import shapely

from renderer.drawing.errors import DrawError
from renderer.drawing.paper import SIZES_MM
from renderer.units import MM_PER_M

if TYPE_CHECKING:
    from renderer.geometry.lines import Chain
    from renderer.plan.model import Plan

# ISO 5455 reductions.
METRIC = tuple(step * 10.0**power for power in range(1, 5) for step in (1, 2, 5))
# Those between them that a drawing office's rulers carry: common practice, no published source.
BETWEEN = (250.0, 300.0, 400.0, 600.0, 750.0)
OFFICE = tuple(sorted((*METRIC, *BETWEEN)))
# Engineer's scales: 1 in to 1..6, 10..60, 100..600 ft.
ENGINEER = tuple(12.0 * feet * 10.0**power for power in range(3) for feet in range(1, 7))
# Those that other rulers carry, the architect's for feet. Common practice, no published source;
# only for pictures that nothing is set out from, which may then be as large as their paper.
PICTURES = {
    False: tuple(sorted((*OFFICE, 75.0, 125.0, 150.0))),
    True: tuple(sorted((*ENGINEER, 96.0, 192.0))),
}

# The least readable scale: below it two pegs of the usual spacing run into each other and the
# wire into its edge. Common practice, no published source.
READABLE = {False: 200.0, True: 240.0}
LEAST_PEG_PITCH_MM = 2.0
# Down to these a plan with pegs may go where that saves a sheet and leaves no name and no number
# of a control peg out; common practice, no published source.
CLOSE = {False: 300.0, True: 360.0}
CLOSE_CONTROL = {False: 400.0, True: 480.0}  # with control pegs alone
# A plan is laid aslant only for a scale this many times as large; common practice, no published
# source: its sides then lie as no other drawing of the garden does.
SLANT_GAIN = 1.5
# Drawings of one garden lie the same way unless that makes one smaller by more than a step of the
# ISO 5455 series; common practice, no published source.
WAY_LOSS = 2.5
# Without pegs, wire and side stay distinct down to these; common practice, no published source.
READABLE_WITHOUT_PEGS = {False: 500.0, True: 600.0}


class Fit(NamedTuple):
    """A scale 1:N and the turn of the plan in degrees anticlockwise."""

    scale: float
    rotation_deg: float


def series(*, inch_paper: bool, units: str) -> tuple[float, ...]:
    """The N of the scales 1:N in use, largest scale first: engineer's for feet on inch paper."""
    return ENGINEER if inch_paper and units == "ft" else OFFICE


def picture_series(*, inch_paper: bool, units: str) -> tuple[float, ...]:
    """The N of the scales 1:N of pictures that nothing is set out from."""
    return PICTURES[inch_paper and units == "ft"]


def readable_scale(plan: Plan, *, inch_paper: bool, pegs: bool = True) -> float:
    """The N of the least scale that can still be read, with pegs or without, of the series."""
    inches = inch_paper and plan.units == "ft"
    most = READABLE_WITHOUT_PEGS[inches]
    if pegs:
        pitch = plan.machine.peg_spacing.final * MM_PER_M / LEAST_PEG_PITCH_MM
        most = min(READABLE[inches], pitch)
    known = series(inch_paper=inch_paper, units=plan.units)
    return max((n for n in known if n <= most), default=known[0])


def close_scales(plan: Plan, *, inch_paper: bool, control: bool = False) -> tuple[float, ...]:
    """The N of the smaller scales at which a plan with pegs can be read if nothing is left out.

    ``control`` is for a plan with control pegs alone.
    """
    least = readable_scale(plan, inch_paper=inch_paper)
    inches = inch_paper and plan.units == "ft"
    pitch = plan.machine.peg_spacing.final * MM_PER_M / LEAST_PEG_PITCH_MM
    most = CLOSE_CONTROL[inches] if control else min(CLOSE[inches], pitch)
    return tuple(n for n in series(inch_paper=inch_paper, units=plan.units) if least < n <= most)


def turned(points: Chain, degrees: float) -> Chain:
    """Points turned anticlockwise about the origin (y up)."""
    if degrees == 0:
        return points
    angle = math.radians(degrees)
    c, s = math.cos(angle), math.sin(angle)
    return np.column_stack((points @ (c, -s), points @ (s, c)))


SQUARE = (0.0, 90.0)  # as the plan lies, and with its left side down


def slants(points: Chain) -> tuple[float, ...]:
    """The turns that bring a side of the hull level, the least first."""
    return tuple(sorted(set(_level_turns(points)), key=lambda a: (abs(a), a)))


def _level_turns(points: Chain) -> Iterable[float]:
    hull = _hull(points)
    sizes = []
    for a, b in zip(hull, [*hull[1:], *hull[:1]], strict=True):
        angle = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
        size = np.ptp(turned(points, -angle), axis=0)
        sizes.append((round(float(size[0] * size[1]), 6), angle))
    for _, angle in sorted(sizes)[:1]:
        for quarter in (0.0, 90.0):
            yield round((quarter - angle + 90.0) % 180.0 - 90.0, 6)


def _hull(points: Chain) -> list[tuple[float, float]]:
    """Corners of the convex hull, none twice; the two ends where all points lie in a line."""
    around = shapely.get_coordinates(shapely.convex_hull(shapely.multipoints(points)))
    return list(dict.fromkeys((x, y) for x, y in around.tolist()))


class _Extent(NamedTuple):
    """The points that tell how much room all of them take, however they are turned.

    With turns worth trying, as they lie and aslant: degrees, width and height in metres of each.
    """

    points: Chain
    square: tuple[tuple[float, float, float], ...]
    aslant: tuple[tuple[float, float, float], ...]


def _extent(points: Chain) -> _Extent:
    return _extent_of(np.ascontiguousarray(points, dtype=np.float64).tobytes())


@lru_cache(maxsize=8)  # a garden is fitted into many boxes, one after the other
def _extent_of(data: bytes) -> _Extent:
    points = np.frombuffer(data).reshape(-1, 2)
    corners = np.asarray(_hull(points), dtype=np.float64)
    outermost = corners if len(corners) > 2 else points
    square, aslant = (
        tuple((turn, *span_m(outermost, turn)) for turn in choices)
        for choices in (SQUARE, slants(outermost))
    )
    return _Extent(outermost, square, aslant)


def size_mm(points: Chain, fit: Fit) -> tuple[float, float]:
    """Width and height on paper of the ground points."""
    w, h = span_m(points, fit.rotation_deg)
    return _paper_mm(w, fit.scale), _paper_mm(h, fit.scale)


def span_m(points: Chain, degrees: float) -> tuple[float, float]:
    """Width and height of the ground points in metres when they are turned."""
    w, h = np.ptp(turned(points, degrees), axis=0)
    return float(w), float(h)


def _paper_mm(length_m: float, scale: float) -> float:
    return length_m * MM_PER_M / scale


def fits(points: Chain, fit: Fit, box_mm: tuple[float, float]) -> bool:
    """Whether the ground points fit the box at this scale and turn."""
    return _is_within(size_mm(points, fit), box_mm)


def _is_within(size: tuple[float, float], box_mm: tuple[float, float]) -> bool:
    return size[0] <= box_mm[0] + 1e-6 and size[1] <= box_mm[1] + 1e-6


def best_fit(points: Chain, box_mm: tuple[float, float], known: tuple[float, ...]) -> Fit:
    """The largest scale at which the points fit the box; turned only where that gains a scale.

    It is laid aslant only for a plainly larger one. ``points`` are on the ground in metres. Raises
    ``DrawError`` where none of the known scales is small enough.
    """
    extent = _extent(points)
    square = _largest(extent.square, box_mm, known)
    aslant = _largest(extent.aslant, box_mm, known)
    if aslant and (square is None or aslant.scale * SLANT_GAIN <= square.scale):
        return aslant
    if square:
        return square
    _, w, h = extent.square[0]
    raise DrawError(
        f"{w:.0f} x {h:.0f} m does not fit {box_mm[0]:.0f} x {box_mm[1]:.0f} mm"
        f" at any scale down to {scale_text(max(known))}"
    )


def _largest(
    spans: Iterable[tuple[float, float, float]],
    box_mm: tuple[float, float],
    known: Iterable[float],
) -> Fit | None:
    """The largest of the known scales, at the first of the turns, at which the points fit.

    ``spans`` are the turns in degrees with the width and height in metres of the points.
    """
    return next(
        (
            Fit(scale, turn)
            for scale in sorted(known)
            for turn, wide, high in spans
            if _is_within((_paper_mm(wide, scale), _paper_mm(high, scale)), box_mm)
        ),
        None,
    )


def same_way(
    points: Chain, box_mm: tuple[float, float], known: tuple[float, ...], turn: float, best: Fit
) -> Fit:
    """The largest scale at a turn, unless the best fit is plainly larger; then that."""
    same = _largest([(turn, *span_m(_extent(points).points, turn))], box_mm, known)
    return same if same and same.scale <= best.scale * WAY_LOSS else best


def demanded_fit(
    points: Chain, box_mm: tuple[float, float], scale: float, known: tuple[float, ...]
) -> Fit:
    """The turn at which the points fit at a demanded scale.

    Raises a ``DrawError`` that says by how much they do not, and what would work.
    """
    if not (math.isfinite(scale) and scale >= 1):
        raise DrawError(f"scale 1:{scale:g} is not a reduction; give the N of 1:N, 1 or more")
    extent = _extent(points)
    found = _largest((*extent.square, *extent.aslant), box_mm, (scale,))
    if found:
        return found
    w, h = size_mm(points, Fit(scale, 0.0))
    raise DrawError(
        f"at {scale_text(scale)} the plan needs {w:.0f} x {h:.0f} mm and the sheet has"
        f" {box_mm[0]:.0f} x {box_mm[1]:.0f} mm for it; {_cure(points, box_mm, scale, known)}"
    )


def _cure(
    points: Chain, box_mm: tuple[float, float], scale: float, known: tuple[float, ...]
) -> str:
    try:
        largest = (
            f"the largest scale that fits is {scale_text(best_fit(points, box_mm, known).scale)}"
        )
    except DrawError:
        largest = "no known scale fits"
    needed = size_mm(points, Fit(scale, 0.0))
    for name, size in SIZES_MM.items():
        # A sheet keeps about this much for borders, margins and legend.
        room = (min(size) - 60.0, max(size) - 90.0)
        larger = room[0] > min(box_mm) and room[1] > max(box_mm)
        if larger and min(needed) <= room[0] and max(needed) <= room[1]:
            return f"{largest}, or take {name} or larger"
    return largest


def scale_text(scale: float) -> str:
    """``1:N`` as printed."""
    return f"1:{scale:g}" if scale < 1e6 else f"1:{scale:.0f}"
