"""A plan and its lay made by hand, a rectangle with a round bed, to test drawing alone."""

from __future__ import annotations

import json
import math

import numpy as np
from shapely import MultiPolygon, Point, Polygon, box

from renderer.ground.lay import (
    LawnGround,
    Lay,
    Lead,
    Leg,
    LoopLay,
    Peg,
    Ring,
    Side,
    Splice,
    SpoolPlan,
)
from renderer.plan import Plan, loads

WIDTH, HEIGHT, SETBACK, TAIL = 20.0, 12.0, 0.3, 0.3
BED, RADIUS = (10.0, 6.0), 1.0
KINDS = ("wall", "bed", "flush", "hedge")


def plan_data(**changes: object) -> dict[str, object]:
    """The file form of the hand-made plan."""
    corners = [(0, 0), (WIDTH, 0), (WIDTH, HEIGHT), (0, HEIGHT)]
    data: dict[str, object] = {
        "plan": 1,
        "units": "m",
        "job": {"number": "HM-1", "title": "Hand-made"},
        "machine": {
            "label": "Figures for tests",
            "setback": dict.fromkeys((*KINDS, "fence", "water"), SETBACK),
            "passage_min": 1.0,
            "loop_max": 400,
            "peg_spacing": {"first": 3.0, "final": 0.75},
        },
        "survey": {"points": [{"name": "P", "at": [0, 0]}, {"name": "Q", "at": [20, 0]}]},
        "lawns": [
            {
                "name": "Rear",
                "outline": [[x, y, k] for (x, y), k in zip(corners, KINDS, strict=True)],
            }
        ],
        "obstacles": [
            {"name": "Round bed", "kind": "bed", "circle": {"at": list(BED), "radius": RADIUS}}
        ],
        "features": [{"name": "Sprinkler", "kind": "sprinkler", "at": [4, 9], "radius": 2}],
        "loops": [
            {"name": "main", "dock": {"at": [6, 0.3]}, "supply": {"at": [6, -1.0], "lead": 3}}
        ],
        "wire": {"conductor_mm2": 0.75, "spools": [50, 50]},
    }
    return {**data, **changes}


def plan(**changes: object) -> Plan:
    """The hand-made plan."""
    return loads(json.dumps(plan_data(**changes)), "handmade.json")


def _pegs(path: np.ndarray, at_m: np.ndarray, pair: tuple[float, float, float]) -> tuple[Peg, ...]:
    """Pegs every 0.75 m or less; the lead pair's once. A test's helper, not the rule itself."""
    out_from, out_to, back_to = pair
    length = float(at_m[-1])
    wanted = sorted({*np.arange(TAIL, length - 0.2, 0.75).round(4).tolist(), out_from, out_to})
    kept = [d for d in wanted if not back_to - (out_to - out_from) - 1e-6 < d <= back_to + 1e-6]
    pegs = []
    for i, d in enumerate(kept):
        x, y = (float(np.interp(d, at_m, path[:, k])) for k in (0, 1))
        corner = d in (out_from, out_to) or i == 0
        pegs.append(
            Peg(
                str(i + 1),
                d,
                x,
                y,
                1 if i % 4 == 0 else 2,
                "lead" if corner else "spacing",
                control=corner,
            )
        )
    return tuple(pegs)


def lay() -> Lay:
    """The hand-made lay: outer ring anticlockwise, lead pair from (10, 0.3), bed clockwise."""
    s, reach = SETBACK, RADIUS + SETBACK
    angles = -math.pi / 2 - np.linspace(0, 2 * math.pi, 181)
    island = np.column_stack((BED[0] + reach * np.cos(angles), BED[1] + reach * np.sin(angles)))
    foot, tip = np.array([10.0, s]), np.array([10.0, BED[1] - reach])
    outer = np.array(
        [[6, s], [10, s], [WIDTH - s, s], [WIDTH - s, HEIGHT - s], [s, HEIGHT - s], [s, s], [6, s]]
    )
    path = np.concatenate((outer[:1], foot[None], island, foot[None], outer[2:])).round(4)
    at_m = np.concatenate(([TAIL], TAIL + np.cumsum(np.hypot(*np.diff(path, axis=0).T))))
    a, b, c, d = (float(at_m[i]) for i in (1, 2, 182, 183))
    end = float(at_m[-1])
    legs = (
        Leg("tail", "main", 0.0, TAIL, "tail"),
        Leg("outer", "Rear", TAIL, a, "outer-1"),
        Leg("lead", "Round bed", a, b, "lead-1"),
        Leg("island", "Round bed", b, c, "island-1"),
        Leg("lead", "Round bed", c, d, "lead-1", back=True),
        Leg("outer", "Rear", d, end, "outer-1"),
        Leg("tail", "main", end, end + TAIL, "tail"),
    )
    working = MultiPolygon([Polygon(outer).difference(Point(BED).buffer(reach, 64))])
    loop = LoopLay(
        name="main",
        path=path,
        at_m=at_m,
        tail_m=TAIL,
        length_m=end + TAIL,
        order_length_m=(end + TAIL) * 1.05,
        slope_extra_m=0.0,
        resistance_ohm=2.0,
        working=working,
        working_area_m2=working.area,
        rings=(
            Ring("outer-1", "outer", "Rear", "Rear", outer),
            Ring("island-1", "island", "Round bed", "Rear", island, ("Round bed",)),
        ),
        leads=(
            Lead(
                "lead-1",
                "lead",
                "outer-1",
                "island-1",
                "Round bed",
                np.array([foot, tip]),
                float(b - a),
            ),
        ),
        legs=legs,
        pegs=_pegs(path, at_m, (a, b, d)),
        splices=(Splice("S1", 50.0, *(float(np.interp(50.0, at_m, path[:, k])) for k in (0, 1))),),
    )
    outline = box(0, 0, WIDTH, HEIGHT)
    ring = np.asarray(outline.exterior.coords)[::-1]
    corners = np.array([(0, 0), (WIDTH, 0), (WIDTH, HEIGHT), (0, HEIGHT), (0, 0)], dtype=float)
    sides = tuple(Side(kind, corners[i : i + 2]) for i, kind in enumerate(KINDS))
    rest = outline.difference(working)
    ground = LawnGround(
        "Rear",
        "main",
        Polygon(ring),
        sides,
        working,
        working,
        MultiPolygon(list(getattr(rest, "geoms", [rest]))),
    )
    return Lay((ground,), (loop,), (), SpoolPlan((), ()), (), 0.026)
