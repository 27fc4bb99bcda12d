"""Where points roughly lie, found one after the other, and on which side of a line.

Two tapes meet in two points. Which of the two is meant is settled by any further reading that fits
only one of them, else by the side that was stated; failing both, the side is asked for.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from itertools import combinations

from renderer.survey.network import XY, Network, Reading, Sight, SurveyError, Trouble

_APART_M = 0.25  # places nearer to each other are one
_CAP = 30.0  # deviations beyond which a reading counts no further against a place
_TELLS = 12.0  # this much more misfit, in deviations, rules a place out
_ROUNDS = 12
_CROSSED_MOST = 12  # readings of a point whose meetings are looked at; it seldom has ten
_NEAR_M = 3.0  # the adjustment can choose between places no further apart than this


def start_places(network: Network) -> dict[str, XY]:
    """A place for each point, near enough to adjust from. Raises SurveyError."""
    found = dict(network.fixed)
    waiting = list(network.unknown)
    of_point = {
        name: [reading for reading in network.readings if name in reading.of] for name in waiting
    }
    use_sides = False
    while waiting:
        placed = _placed_next(network, found, waiting, of_point, use_sides)
        if placed is not None:
            name, at = placed
            found[name] = at
            waiting.remove(name)
            use_sides = False
        elif use_sides:
            raise SurveyError(_troubles(network, found, waiting, of_point))
        else:
            use_sides = True
    return found


def _placed_next(
    network: Network,
    found: dict[str, XY],
    waiting: list[str],
    of_point: dict[str, list[Reading]],
    use_sides: bool,
) -> tuple[str, XY] | None:
    """The next point that can be placed for certain, or by the side that holds for all."""
    for name in waiting:
        places = _places(name, found, of_point[name])
        told = network.sights.get(name)
        if told is not None and len(places) > 1:
            places = _by_side(name, places, told, found)
        if not places:
            continue
        if not _rivals(places, near=told is not None):
            return name, places[0][1]
        if use_sides and network.sight is not None:
            on_side = _by_side(name, places, network.sight, found)
            if on_side and not _rivals(on_side, near=True):
                return name, on_side[0][1]
    return None


def _rivals(places: list[tuple[float, XY]], *, near: bool) -> list[XY]:
    """Places that the point may be at as well as the first.

    One that fits no better than a slip allows is no rival where it lies ``near`` the first: the
    adjustment gets from the one to the other.
    """
    best, at = places[0]
    return [
        other
        for cost, other in places[1:]
        if cost - best <= _TELLS
        and (cost <= _TELLS or not (near or math.dist(at, other) < _NEAR_M))
    ]


def _by_side(
    name: str, places: list[tuple[float, XY]], told: Sight, found: dict[str, XY]
) -> list[tuple[float, XY]]:
    """The places on the stated side; all, where the line has not been found yet."""
    if any(end not in found for end in told.line):
        return places
    start, end = (found[end] for end in told.line)
    return [
        (cost, at) for cost, at in places if (_turn(start, end, at) > 0) == (told.side == "left")
    ]


def _places(name: str, found: dict[str, XY], readings: Iterable[Reading]) -> list[tuple[float, XY]]:
    """The places that readings from found points allow, each with its misfit, best first."""
    usable = [each for each in readings if all(p in found or p == name for p in each.of)]
    kept: list[tuple[float, XY]] = []
    for first in _meetings(name, found, _some(usable)):
        at = _settled(name, first, found, usable)
        if all(math.dist(at, other) > _APART_M for _, other in kept):
            kept.append((_misfit(name, at, found, usable), at))
    return sorted(kept)


def _some(readings: list[Reading]) -> list[Reading]:
    """All readings of a point, or that many evenly from first to last, each once."""
    alone = list({(each.kind, each.of, each.value): each for each in readings}.values())
    if len(alone) <= _CROSSED_MOST:
        return alone
    return [alone[index * len(alone) // _CROSSED_MOST] for index in range(_CROSSED_MOST)]


def _meetings(name: str, found: dict[str, XY], readings: list[Reading]) -> Iterator[XY]:
    """Every place where two readings meet, and where one reading alone leads."""
    circles = []
    for reading in readings:
        if reading.kind == "tape":
            other = reading.of[0] if reading.of[1] == name else reading.of[1]
            circles.append((found[other], reading.value))
    yield from _set_off(name, found, readings)
    rays = list(_rays(name, found, readings))
    for centre, radius in circles:
        yield from (_along(start, turn, radius) for start, turn in rays if start == centre)
    for one, two in combinations(circles, 2):
        yield from _crossings(*one, *two)
    for ray in rays:
        for circle in circles:
            yield from _ray_and_circle(*ray, *circle)
    for (a, turn_a), (b, turn_b) in combinations(rays, 2):
        yield from _ray_and_ray(a, turn_a, b, turn_b)


def _set_off(name: str, found: dict[str, XY], readings: list[Reading]) -> Iterator[XY]:
    """Where a length along a line and one square off it lead."""
    runs = {each.of: each.value for each in readings if each.kind == "along"}
    for each in readings:
        if each.kind == "off" and each.of in runs and each.of[2] == name:
            start, end = found[each.of[0]], found[each.of[1]]
            length = math.dist(start, end)
            if length > 0:
                ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
                run, off = runs[each.of], each.value
                yield (start[0] + run * ux - off * uy, start[1] + run * uy + off * ux)


def _rays(name: str, found: dict[str, XY], readings: list[Reading]) -> Iterator[tuple[XY, float]]:
    """Directions in which the point lies, from found points; radians clockwise from y."""
    for reading in readings:
        turn = math.radians(reading.value)
        if reading.kind == "bearing":
            back = reading.of[0] == name
            start = found[reading.of[1] if back else reading.of[0]]
            yield start, turn + (math.pi if back else 0.0)
        elif reading.kind == "angle" and reading.of[0] != name:
            corner, first, second = reading.of
            if second == name:
                yield found[corner], _bearing(found[corner], found[first]) + turn
            else:
                yield found[corner], _bearing(found[corner], found[second]) - turn


def _bearing(start: XY, end: XY) -> float:
    return math.atan2(end[0] - start[0], end[1] - start[1])


def _along(start: XY, turn: float, length: float) -> XY:
    return (start[0] + length * math.sin(turn), start[1] + length * math.cos(turn))


def _crossings(one: XY, r1: float, two: XY, r2: float) -> Iterator[XY]:
    """Where two tapes meet; one place on the line between where they just miss each other."""
    apart = math.dist(one, two)
    if apart < 1e-6:
        return
    along = (apart * apart + r1 * r1 - r2 * r2) / (2.0 * apart)
    height = math.sqrt(max(0.0, r1 * r1 - along * along))
    ux, uy = (two[0] - one[0]) / apart, (two[1] - one[1]) / apart
    for off in (height, -height) if height > 0 else (0.0,):
        yield (one[0] + along * ux - off * uy, one[1] + along * uy + off * ux)


def _ray_and_circle(start: XY, turn: float, centre: XY, radius: float) -> Iterator[XY]:
    ux, uy = math.sin(turn), math.cos(turn)
    along = (centre[0] - start[0]) * ux + (centre[1] - start[1]) * uy
    foot = (start[0] + along * ux, start[1] + along * uy)
    half = math.sqrt(max(0.0, radius * radius - math.dist(foot, centre) ** 2))
    for step in (along - half, along + half):
        if step > 0:
            yield (start[0] + step * ux, start[1] + step * uy)


def _ray_and_ray(a: XY, turn_a: float, b: XY, turn_b: float) -> Iterator[XY]:
    ax, ay, bx, by = math.sin(turn_a), math.cos(turn_a), math.sin(turn_b), math.cos(turn_b)
    cross = ax * by - ay * bx
    if abs(cross) > 0.05:
        step = ((b[0] - a[0]) * by - (b[1] - a[1]) * bx) / cross
        if step > 0:
            yield (a[0] + step * ax, a[1] + step * ay)


def _settled(name: str, at: XY, found: dict[str, XY], readings: list[Reading]) -> XY:
    """The place moved to where the readings near it fit best; one far off does not pull."""
    for _ in range(_ROUNDS):
        xx = xy = yy = x = y = 0.0
        for reading in readings:
            apart, along = _told(name, at, found, reading)
            weight = 1.0 / reading.sigma**2 / max(1.0, abs(apart) / (3.0 * reading.sigma))
            xx += weight * along[0] * along[0]
            xy += weight * along[0] * along[1]
            yy += weight * along[1] * along[1]
            x += weight * along[0] * apart
            y += weight * along[1] * apart
        det = xx * yy - xy * xy
        if det <= 1e-12 * max(1e-300, xx * yy):
            return at
        step = (yy * x - xy * y) / det, (xx * y - xy * x) / det
        at = (at[0] + step[0], at[1] + step[1])
        if math.hypot(*step) < 1e-4:
            break
    return at


def _told(
    name: str, at: XY, found: dict[str, XY], reading: Reading
) -> tuple[float, tuple[float, float]]:
    """A reading less what it should read with the point at ``at``, and its derivatives there."""

    def reads(x: float, y: float) -> float:
        return _reads(reading, [(x, y) if p == name else found[p] for p in reading.of])

    value = reads(*at)
    apart = reading.value - value
    if not reading.is_length:
        apart = (apart + 180.0) % 360.0 - 180.0
    step = 1e-5
    slopes = []
    for dx, dy in ((step, 0.0), (0.0, step)):
        moved = reads(at[0] + dx, at[1] + dy) - value
        if not reading.is_length:
            moved = (moved + 180.0) % 360.0 - 180.0
        slopes.append(moved / step)
    return apart, (slopes[0], slopes[1])


def _reads(reading: Reading, points: list[XY]) -> float:
    if reading.kind == "tape":
        return math.dist(*points)
    if reading.kind == "bearing":
        return math.degrees(_bearing(*points)) % 360.0
    if reading.kind == "angle":
        turn = _bearing(points[0], points[2]) - _bearing(points[0], points[1])
        return math.degrees(turn) % 360.0
    start, end, point = points
    length = max(math.dist(start, end), 1e-9)
    if reading.kind == "off":
        return _turn(start, end, point) / length
    dx, dy = end[0] - start[0], end[1] - start[1]
    return (dx * (point[0] - start[0]) + dy * (point[1] - start[1])) / length


def _turn(start: XY, end: XY, point: XY) -> float:
    """Plus where ``point`` lies left of the line."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    return dx * (point[1] - start[1]) - dy * (point[0] - start[0])


def _misfit(name: str, at: XY, found: dict[str, XY], readings: list[Reading]) -> float:
    """How many deviations all readings are off in total, each counted up to a limit."""
    total = 0.0
    for reading in readings:
        apart, _ = _told(name, at, found, reading)
        total += min(_CAP, abs(apart) / reading.sigma)
    return total


def _troubles(
    network: Network,
    found: dict[str, XY],
    waiting: list[str],
    of_point: dict[str, list[Reading]],
) -> Iterator[Trouble]:
    """What is missing, one trouble per point."""
    for name in waiting:
        where = of_point[name][0].where
        places = _places(name, found, of_point[name])
        told = network.sights.get(name) or network.sight
        if len(places) > 1 and told is None:
            a, b = _line_of(name, found, of_point[name])
            problem = f"the readings of {name} fit on either side of the line from {a} to {b}"
            yield Trouble(where, problem, "add 'side: left' or 'side: right', or one more tape")
        elif len(places) > 1 and told is not None:
            line = " to ".join(told.line)
            problem = f"'side' does not settle which of two places {name} is, seen from {line}"
            a, b = _line_of(name, found, of_point[name])
            cure = f"write side: [{a}, {b}, left] or [{a}, {b}, right], or add one more tape"
            yield Trouble(where, problem, cure)
    if all(len(_places(name, found, of_point[name])) < 2 for name in waiting):
        for name in waiting:
            count = sum(all(p in found or p == name for p in each.of) for each in of_point[name])
            told_count = "one reading" if count == 1 else "no reading"
            problem = f"{name} cannot be placed: {told_count} from points that are known"
            yield Trouble(of_point[name][0].where, problem, "measure it from one more point")


def _line_of(name: str, found: dict[str, XY], readings: list[Reading]) -> tuple[str, str]:
    """The first two found points that readings of the point start from."""
    others = [p for each in readings for p in each.of if p != name and p in found]
    named = list(dict.fromkeys(others))
    return (named[0], named[1]) if len(named) > 1 else (named[0], named[0])
