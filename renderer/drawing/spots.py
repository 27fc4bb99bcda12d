"""Places that a label may take: about a point, along a line, inside an area, at a leader's end."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import cache, lru_cache, partial
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from renderer.drawing.boxes import CLEAR_MM, Box, disc, make_box, segment
from renderer.drawing.labels import LEADER_DOT_MM, Leader, Led, Opens, Places, Spot, everywhere
from renderer.drawing.pens import NARROW_MM
from renderer.geometry.lines import chain
from renderer.geometry.rects import bounds
from renderer.geometry.rings import are_inside, area, hatch, inside

if TYPE_CHECKING:
    from renderer.geometry.lines import Chain, Point, Segment

GAP_MM = 0.3
UPRIGHT = 0.17  # sine of 10 degrees
# A leader costs this, and this much more a mm, against a place beside the thing itself.
LEADER_COST = 2.5
LEADER_COST_MM = 0.25
LED_OUT = 1.0  # what a place outside an area costs besides its leader
ROUNDING = 1e-6
# From the edge of an area to a label outside it.
GAPS_MM = (1.5, 4.0, 7.0, 11.0, 16.0, 22.0)
BEYOND_MM = (3.0, 7.0, 12.0)
FAR_GAPS_MM = (30.0, 40.0, 52.0)


def reach(size: tuple[float, float], direction: Point) -> float:
    """Half the extent of an upright box of this size along a direction."""
    return (size[0] * abs(direction[0]) + size[1] * abs(direction[1])) / 2


def turned(direction: Point, degrees: float) -> Point:
    """A direction on paper turned clockwise as seen."""
    c, s = _cos_and_sin(degrees)
    return direction[0] * c - direction[1] * s, direction[0] * s + direction[1] * c


@lru_cache(maxsize=256)  # the same few turns are tried at every place
def _cos_and_sin(degrees: float) -> Point:
    angle = math.radians(degrees)
    return math.cos(angle), math.sin(angle)


def box_at(centre: Point, size: tuple[float, float]) -> Box:
    """An upright box of a size about its middle."""
    return make_box((centre[0], centre[1], size[0] / 2, size[1] / 2, 1.0, 0.0, False))


class _Way(NamedTuple):
    """A direction from a symbol: how far off are its edge and a label beside it, and the cost.

    ``gap`` is what lies between the two.
    """

    way: Point
    edge: float
    off: float
    cost: float
    gap: float


def about(
    room: Box,
    size: tuple[float, float],
    direction: Point,
    *,
    swing: Sequence[tuple[float, float]],
    far: Sequence[float] = (),
) -> Places:
    """Places round a symbol that takes the room, the favoured direction first.

    ``swing`` lists (turn in degrees, cost); ``far`` the extra distances in mm at which a
    leader joins label and symbol.
    """
    ways = _ways(room, size, direction, swing)
    near = tuple(Spot(each.cost, box_at(_off(room, each.way, each.off), size)) for each in ways)
    return Places(near, _led_ways(room, size, ways, far))


def led_about(
    room: Box,
    size: tuple[float, float],
    direction: Point,
    *,
    swing: Sequence[tuple[float, float]],
    far: Sequence[float],
    on_to: Box | None = None,
) -> tuple[Led, ...]:
    """Only those of them that a leader joins to the symbol.

    The leader is drawn on to what stands in the room, where that is less than it.
    """
    return _led_ways(room, size, _ways(room, size, direction, swing), far, on_to)


def _ways(
    room: Box, size: tuple[float, float], direction: Point, swing: Sequence[tuple[float, float]]
) -> list[_Way]:
    ways = []
    for turn, cost in swing:
        way = turned(direction, turn)
        half = reach(size, way)
        edge = _edge(room, way)
        off = min(edge + CLEAR_MM + half, _aside(room, size, way))
        ways.append(_Way(way, edge, off, cost, off - edge - half))
    return ways


def _edge(room: Box, way: Point) -> float:
    """How far from the middle of a symbol's room a line to it ends."""
    return (room.hw if room.round else reach((2 * room.hw, 2 * room.hh), way)) + GAP_MM


def _led_ways(
    room: Box,
    size: tuple[float, float],
    ways: Sequence[_Way],
    far: Sequence[float],
    on_to: Box | None = None,
) -> tuple[Led, ...]:
    cheapest = min((each.cost for each in ways), default=math.inf)
    shortest = min((each.gap for each in ways), default=math.inf)
    return tuple(
        Led(_dear(cheapest, shortest + extra), partial(_led_about, room, size, ways, extra, on_to))
        for extra in far
    )


def _led_about(
    room: Box,
    size: tuple[float, float],
    ways: Sequence[_Way],
    extra: float,
    on_to: Box | None,
    opens: Opens,
) -> tuple[Spot, ...]:
    return tuple(
        _carried_on(led(box, _off(room, way, edge), cost, dot=False), on_to, way)
        for way, edge, off, cost, _ in ways
        if opens(box := box_at(_off(room, way, off + extra), size))
    )


def _carried_on(spot: Spot, to: Box | None, way: Point) -> Spot:
    """The place with its leader drawn as far as a symbol."""
    if to is None or spot.leader is None:
        return spot
    return spot._replace(leader=spot.leader._replace(end=_off(to, way, _edge(to, way))))


def _dear(cost: float, off: float) -> float:
    """What a place costs at least whose label, seen along its leader's way, is so far off."""
    return cost + LEADER_COST + LEADER_COST_MM * max(0.0, off - math.sqrt(2) * CLEAR_MM - ROUNDING)


def _aside(room: Box, size: tuple[float, float], way: Point) -> float:
    """How far a box has to be in a direction to lie wholly above, below or beside a symbol."""
    clear = GAP_MM + CLEAR_MM
    wide, high = room.hw + size[0] / 2 + clear, room.hh + size[1] / 2 + clear
    return min(wide / max(abs(way[0]), 1e-9), high / max(abs(way[1]), 1e-9))


def _off(room: Box, way: Point, by: float) -> Point:
    return room.x + way[0] * by, room.y + way[1] * by


def led(box: Box, to: Point, cost: float, *, dot: bool) -> Spot:
    """A place whose label a leader joins to a point, with a dot if the point lies in an area."""
    start = nearest_on(box, to)
    span = math.hypot(start[0] - to[0], start[1] - to[1])
    strokes: tuple[Box, ...] = (segment(start, to, NARROW_MM + 2 * GAP_MM),)
    if dot:
        strokes += (disc(to, LEADER_DOT_MM + CLEAR_MM),)
    dear = cost + LEADER_COST + LEADER_COST_MM * span
    return Spot(dear, box, strokes, leader=Leader(start, to, dot))


def nearest_on(box: Box, to: Point) -> Point:
    """The point a hair outside an upright box that a leader from ``to`` meets."""
    mid_x, mid_y, hw, hh, *_ = box
    hw, hh = hw + CLEAR_MM, hh + CLEAR_MM
    x, y = to
    if abs(x - mid_x) > hw and abs(y - mid_y) <= hh:
        hh = hh / 2
    return min(max(x, mid_x - hw), mid_x + hw), min(max(y, mid_y - hh), mid_y + hh)


def within(ring: Chain, size: tuple[float, float], *, most: int = 9) -> tuple[Spot, ...]:
    """Places inside an area, the roomiest middle first; empty where the label is larger than it."""
    box = bounds([ring])
    if box.width < size[0] or box.height < size[1]:
        return ()
    found = []
    middle = centroid(ring)
    boxes = [box_at(at, size) for at in (middle, *_mesh(ring, size))]
    corners = chain([corner for each in boxes for corner in each.grown(CLEAR_MM).corners()])
    fitting: list[bool] = np.all(are_inside(corners, ring).reshape(-1, 4), axis=1).tolist()
    for number, spot in enumerate(boxes):
        if fitting[number]:
            off = math.hypot(spot.x - middle[0], spot.y - middle[1])
            found.append(Spot(0.2 * off / max(size[1], 1.0), spot))
    found.sort(key=lambda spot: spot.cost)
    return tuple(found[:most])


def _mesh(ring: Chain, size: tuple[float, float]) -> Iterable[Point]:
    box = bounds([ring])
    nx = min(7, max(1, int(box.width / size[0] * 2)))
    ny = min(7, max(1, int(box.height / size[1])))
    for j in range(ny):
        for i in range(nx):
            yield box.x0 + (i + 0.5) * box.width / nx, box.y0 + (j + 0.5) * box.height / ny


def centroid(ring: Chain) -> Point:
    """Middle of mass of an area; the mean of its points where it has none."""
    size = area(ring)
    if abs(size) < 1e-9:
        x, y = ring.mean(axis=0)
        return float(x), float(y)
    origin = ring[0]
    p = ring - origin
    q = np.roll(p, -1, axis=0)
    cross = p[:, 0] * q[:, 1] - q[:, 0] * p[:, 1]
    x, y = ((p + q) * cross[:, None]).sum(axis=0) / (6 * size) + origin
    return float(x), float(y)


def outside(
    ring: Chain,
    size: tuple[float, float],
    *,
    gaps: Sequence[float] = GAPS_MM,
    dot: Point | None = None,
) -> tuple[Led, ...]:
    """Places outside an area with a leader that ends in it with a dot: in its middle, or there."""

    @cache
    def dot_at() -> Point:
        if dot is not None:
            return dot
        to = centroid(ring)
        return to if inside(to, ring) else _mid_inside(ring, to)

    return tuple(
        Led(
            _dear(LED_OUT, gap),
            lambda opens, gap=gap: _led_from(ring, size, (gap,), dot_at(), opens),  # type: ignore[misc]
        )
        for gap in gaps
    )


def farther(ring: Chain, size: tuple[float, float]) -> tuple[Spot, ...]:
    """More places outside, for an area whose middle is taken: from its ends, and farther off."""
    row = _widest_row(ring, 1.0)
    if row is None:
        return Places((), outside(ring, size, gaps=FAR_GAPS_MM)).all()
    (ax, ay), (bx, by) = row
    middle, *ends = [(ax + share * (bx - ax), ay + share * (by - ay)) for share in (0.5, 0.2, 0.8)]
    near = [spot for to in ends for spot in _led_from(ring, size, GAPS_MM[::2], to)]
    return *near, *_led_from(ring, size, FAR_GAPS_MM, middle)


def _led_from(
    ring: Chain,
    size: tuple[float, float],
    gaps: Sequence[float],
    to: Point,
    opens: Opens = everywhere,
) -> tuple[Spot, ...]:
    """Places all round an area, joined by a leader to a point in it."""
    box = bounds([ring])
    spots = []
    for gap in gaps:
        for i in range(16):
            way = turned((1.0, 0.0), i * 22.5)
            off = _exit(box, to, way) + gap + reach(size, way)
            place = box_at((to[0] + way[0] * off, to[1] + way[1] * off), size)
            if opens(place):
                spots.append(led(place, to, LED_OUT + 0.1 * (i % 4), dot=True))
    return tuple(spots)


def _mid_inside(ring: Chain, near: Point) -> Point:
    """A point inside the ring, in the middle of the widest row; ``near`` where there is none."""
    for pitch in (4.0, 1.0, 0.25):
        row = _widest_row(ring, pitch)
        if row is not None:
            (ax, ay), (bx, by) = row
            return (ax + bx) / 2, (ay + by) / 2
    return near


def _widest_row(ring: Chain, pitch: float) -> Segment | None:
    """The longest of some rows across an area, level or upright."""
    rows = [row for angle in (0.0, 90.0) for row in hatch([ring], pitch, angle)]
    return max(rows, key=lambda row: math.dist(*row), default=None)


def _exit(box: tuple[float, float, float, float], at: Point, way: Point) -> float:
    """How far it is from a point in a rectangle to its edge, in a direction."""
    x0, y0, x1, y1 = box
    reach_x = ((x1 if way[0] > 0 else x0) - at[0]) / way[0] if abs(way[0]) > 1e-9 else math.inf
    reach_y = ((y1 if way[1] > 0 else y0) - at[1]) / way[1] if abs(way[1]) > 1e-9 else math.inf
    return min(reach_x, reach_y)


def beside(
    places: Iterable[tuple[Point, Point, float]],
    size: tuple[float, float],
    offset: float,
    *,
    along: bool = False,
) -> tuple[Spot, ...]:
    """Places beside a line: (point on it, unit normal to the wanted side, cost) each.

    ``along`` turns the text along the line, to be read from below or from the right.
    """
    spots = []
    for at, normal, cost in places:
        if along:
            off = offset + CLEAR_MM + size[1] / 2
            c, s = readable((-normal[1], normal[0]))
            x, y = at[0] + normal[0] * off, at[1] + normal[1] * off
            spots.append(Spot(cost, Box(x, y, size[0] / 2, size[1] / 2, c, s)))
            continue
        off = offset + CLEAR_MM + reach(size, normal)
        spots.append(Spot(cost, box_at((at[0] + normal[0] * off, at[1] + normal[1] * off), size)))
    return tuple(spots)


def beyond(
    places: Sequence[tuple[Point, Point, float]],
    size: tuple[float, float],
    gaps: Sequence[float] = BEYOND_MM,
) -> tuple[Led, ...]:
    """Places off a line, joined to it by a leader."""
    cheapest = min((cost for _, _, cost in places), default=0.0)
    return tuple(Led(_dear(cheapest, gap), partial(_led_off, places, size, gap)) for gap in gaps)


def _led_off(
    places: Sequence[tuple[Point, Point, float]],
    size: tuple[float, float],
    gap: float,
    opens: Opens,
) -> tuple[Spot, ...]:
    spots = []
    for at, normal, cost in places:
        off = gap + CLEAR_MM + reach(size, normal)
        place = box_at((at[0] + normal[0] * off, at[1] + normal[1] * off), size)
        if opens(place):
            spots.append(led(place, at, cost, dot=False))
    return tuple(spots)


def readable(way: Point) -> Point:
    """The direction of text along a line, to be read from below or, upright, from the right."""
    # Lines a little off upright read upwards too, as upright ones do.
    if way[0] < -UPRIGHT or (way[0] <= UPRIGHT and way[1] > 0):
        return -way[0], -way[1]
    return way
