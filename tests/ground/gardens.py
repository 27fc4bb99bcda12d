"""Random gardens as plan files: many shapes of lawn, obstacles of all kinds, loops and crossings.

Numbers fall on a grid of centimetres or millimetres as a tape gives them, which also brings sides
that are parallel, in line, or exactly at a threshold.
"""

from __future__ import annotations

import itertools
import json
import math
import os
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any

from hypothesis import HealthCheck, Phase, assume, given, settings
from hypothesis import strategies as st

from renderer.plan import PlanError, loads
from renderer.plan.kinds import SETBACK_KINDS, SIDE_KINDS
from tests.shared import lay_plan, once

if TYPE_CHECKING:
    from collections.abc import Callable

    from renderer.ground.lay import Lay
    from renderer.plan import Plan

    Draw = Callable[[st.SearchStrategy[Any]], Any]
    XY = tuple[float, float]

# PEGLINE_EXAMPLES_N=5000 runs the same tests over that many gardens
EXAMPLES = int(os.environ.get("PEGLINE_EXAMPLES_N", "60"))
over_gardens = settings(
    max_examples=EXAMPLES,
    deadline=None,
    derandomize=True,
    database=None,
    suppress_health_check=list(HealthCheck),
)
CELL_M = 45  # lawns stand in a row of cells this wide


def share(low: float, high: float) -> st.SearchStrategy[float]:
    """A number between two, in a hundred steps."""
    return st.integers(0, 100).map(lambda n: low + (high - low) * n / 100)


def _moved(points: list[XY], turn_deg: float, by: XY) -> list[XY]:
    c, s = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    return [(by[0] + c * x - s * y, by[1] + s * x + c * y) for x, y in points]


def star(draw: Draw, radius_m: float, least: int, most: int) -> list[XY]:
    """A ring round the origin with one corner in each of some equal sectors."""
    count = draw(st.integers(least, most))
    spread = draw(st.sampled_from([0.0, 0.5, 0.8]))
    ring = []
    for i in range(count):
        angle = math.tau * (i + spread * draw(share(0, 1))) / count
        far = radius_m * draw(share(0.35, 1.2))
        ring.append((far * math.cos(angle), far * math.sin(angle)))
    return ring


def notched(draw: Draw) -> list[XY]:
    """A rectangle with bays, tongues and waists on its long sides."""
    width, height = draw(share(6, 30)), draw(share(4, 16))
    lower, upper = _edge(draw, width, height), _edge(draw, width, height)
    ring = [*lower, *((x, height - y) for x, y in reversed(upper))]
    return [(x - width / 2, y - height / 2) for x, y in ring]


def _edge(draw: Draw, width_m: float, height_m: float) -> list[XY]:
    """The lower side from left to right; what sticks in stays below half of the height."""
    slots = draw(st.integers(0, 4))
    line = [(0.0, 0.0)]
    for i in range(slots):
        left, room = width_m * (i + 0.15) / slots, width_m * 0.7 / slots
        wide = room * draw(share(0.05, 1))
        deep = draw(st.one_of(share(0.02, 0.49).map(lambda s: s * height_m), share(-6, -0.1)))
        line += [(left, 0), (left, deep), (left + wide, deep), (left + wide, 0)]
    return [*line, (width_m, 0.0)]


def outline(draw: Draw, centre: XY, firm_of: tuple[str, ...]) -> list[dict[str, Any]]:
    """The sides of a lawn, either way round, some of them arcs."""
    ring = star(draw, draw(share(5, 16)), 4, 16) if draw(st.booleans()) else notched(draw)
    ring = _moved(ring, draw(st.sampled_from([0, 0, 90, 17, 33.3, 61])), centre)
    arcs = draw(st.sampled_from([0, 0, 3]))
    kinds = st.sampled_from(firm_of)
    sides: list[dict[str, Any]] = []
    for i, (x, y) in enumerate(ring):
        sides.append({"at": [round(x, 3), round(y, 3)], "side": draw(kinds)})
        if arcs and draw(st.integers(0, arcs)) == 0:
            bulge = draw(share(-0.4, 0.4))
            (u, v) = ring[(i + 1) % len(ring)]
            through = ((x + u) / 2 + bulge * (v - y), (y + v) / 2 - bulge * (u - x))
            sides[-1]["through"] = [round(c, 3) for c in through]
    return turned_round(sides) if draw(st.booleans()) else sides


def turned_round(sides: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """The same sides listed the other way round the lawn."""
    count = len(sides)
    return [
        {key: sides[i][key] for key in sides[i] if key != "at"}
        | {"at": sides[(i + 1) % count]["at"]}
        for i in reversed(range(count))
    ]


def obstacle(draw: Draw, name: str, lawn: list[dict[str, Any]]) -> dict[str, Any]:
    """A thing somewhere in the box of a lawn: round, square, three-cornered or jagged."""
    xs, ys = [side["at"][0] for side in lawn], [side["at"][1] for side in lawn]
    x = round(min(xs) + (max(xs) - min(xs)) * draw(share(0, 1)), 2)
    y = round(min(ys) + (max(ys) - min(ys)) * draw(share(0, 1)), 2)
    kind = draw(st.sampled_from([*SETBACK_KINDS, "bed", "tree", "firm", "firm"]))
    shape = draw(st.sampled_from(["circle", "circle", "box", "star"]))
    if shape == "circle":
        ring = {"at": [x, y], "radius": draw(st.integers(5, 200)) / 100}
        return {"name": name, "kind": kind, "circle": ring}
    if shape == "box":
        half_x, half_y = draw(share(0.1, 2.5)), draw(share(0.1, 2.5))
        corners = [(-half_x, -half_y), (half_x, -half_y), (half_x, half_y), (-half_x, half_y)]
        ring = _moved(corners, draw(st.sampled_from([0, 0, 45, 10, 77.7])), (x, y))
    else:
        ring = _moved(star(draw, draw(share(0.2, 2.5)), 4, 8), 0, (x, y))
    if draw(st.booleans()):
        ring.reverse()
    return {"name": name, "kind": kind, "polygon": [[round(u, 3), round(v, 3)] for u, v in ring]}


def neighbour_of(draw: Draw, name: str, other: dict[str, Any], machine: dict[str, Any]) -> Any:
    """A round bed near another round thing: their wires a part of the least passage apart."""
    (x, y), radius = other["circle"]["at"], draw(st.integers(5, 200)) / 100
    setbacks = machine["setback"]["bed"] + machine["setback"].get(other["kind"], 0.0)
    far = radius + other["circle"]["radius"] + setbacks + machine["passage_min"] * draw(share(0, 2))
    angle = math.tau * draw(share(0, 1))
    at = [round(x + far * math.cos(angle), 4), round(y + far * math.sin(angle), 4)]
    return {"name": name, "kind": "bed", "circle": {"at": at, "radius": radius}}


def machine(draw: Draw) -> dict[str, Any]:
    """Figures of some machine."""
    passage = draw(st.sampled_from([0.8, 1.0, 1.5]))
    pick = st.sampled_from
    return {
        "label": "Random machine",
        "lay_direction": draw(pick(["anticlockwise", "clockwise"])),
        "setback": {k: draw(pick([0.0, 0.1, 0.2, 0.3, 0.35, 1.0])) for k in SETBACK_KINDS},
        "passage_min": passage,
        "corner_radius": draw(pick([0, 0, 0, 0.2, passage / 2])),
        "corner_angle_min": draw(pick([None, None, 60, 90])),
        "lead_clear_of_corner": draw(pick([0, 0, 0.3])),
        "loop_max": 10_000,
        "tail": draw(pick([0, 0.3, 2])),
        "peg_spacing": {"first": 3, "final": 1},
        "dock": {"straight_before": draw(pick([0, 1])), "straight_after": draw(pick([0, 1, 2]))},
    }


def _loops(draw: Draw, lawns: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """A loop for each name that the lawns bear, its dock near one of its lawns, and crossings."""
    loops = []
    for name in dict.fromkeys(lawn["loop"] for lawn in lawns):
        mine = [lawn for lawn in lawns if lawn["loop"] == name]
        x, y = draw(st.sampled_from(draw(st.sampled_from(mine))["outline"]))["at"]
        home = {"at": [x + draw(share(-1, 1)), y + draw(share(-1, 1))]}
        loop = {"name": name, draw(st.sampled_from(["dock", "dock", "generator"])): home}
        loop["crossings"] = [
            {"between": [one["name"], two["name"]]}
            | ({"via": [_between(one, two)]} if draw(st.booleans()) else {})
            for one, two in itertools.pairwise(mine)
            if draw(st.integers(0, 4))
        ]
        if draw(st.integers(0, 3)) == 0:
            loop["crossings"].append({"between": [mine[0]["name"]] * 2})
        loops.append(loop)
    return loops


def _between(one: dict[str, Any], two: dict[str, Any]) -> XY:
    """A place between two lawns that stand side by side."""
    left = max(side["at"][0] for side in one["outline"])
    right = min(side["at"][0] for side in two["outline"])
    return (left + right) / 2, 0.0


@st.composite
def gardens(draw: Draw, lawns_most: int = 3) -> str:
    """A valid plan file as JSON text."""
    chosen = machine(draw)
    lawns = []
    for i in range(draw(st.sampled_from([1, 1, 1, lawns_most]))):
        sides = outline(draw, (CELL_M * i, 0.0), SIDE_KINDS)
        lawns.append({"name": f"Lawn {i}", "outline": sides, "loop": "main"})
    if len(lawns) > 1 and draw(st.booleans()):
        lawns[-1]["loop"] = "other"
    things: list[dict[str, Any]] = []
    for i in range(draw(st.sampled_from([0, 2, 4, 8, 12]))):
        last = things[-1] if things else {}
        if "circle" in last and draw(st.booleans()):
            things.append(neighbour_of(draw, f"Thing {i}", last, chosen))
        else:
            lawn = draw(st.sampled_from(lawns))["outline"]
            things.append(obstacle(draw, f"Thing {i}", lawn))
    text = as_text(chosen, lawns, things, _loops(draw, lawns))
    assume(plan_of(text) is not None)
    return text


def as_text(
    machine: dict[str, Any],
    lawns: list[dict[str, Any]],
    things: list[dict[str, Any]],
    loops: list[dict[str, Any]],
) -> str:
    """The whole plan file."""
    return json.dumps(
        {
            "plan": 1,
            "job": {"number": "R-1"},
            "machine": machine,
            "lawns": lawns,
            "obstacles": things,
            "loops": loops,
            "wire": {"conductor_mm2": 0.75, "spools": [250, 250, 250]},
        }
    )


def figures(**changes: Any) -> dict[str, Any]:
    """Figures of a plain machine, every setback 0.3 unless ``back`` says otherwise."""
    back = changes.pop("back", 0.3)
    setback = back if isinstance(back, dict) else dict.fromkeys(SETBACK_KINDS, back)
    plain = {"label": "Plain machine", "setback": setback, "passage_min": 1.0, "loop_max": 10_000}
    return plain | changes


def ring_of(points: list[XY], kinds: str | list[str] = "wall") -> list[list[Any]]:
    """An outline in the short form, each side with its kind."""
    given = [kinds] * len(points) if isinstance(kinds, str) else kinds
    return [[x, y, kind] for (x, y), kind in zip(points, given, strict=True)]


def round_bed(x: float, y: float, radius: float, name: str = "", kind: str = "bed") -> Any:
    """A round obstacle."""
    return {
        "name": name or f"Bed at {x:g} {y:g}",
        "kind": kind,
        "circle": {"at": [x, y], "radius": radius},
    }


def box_bed(left: float, low: float, right: float, high: float, kind: str = "bed") -> Any:
    """An upright rectangular obstacle."""
    ring = [[left, low], [right, low], [right, high], [left, high]]
    return {"name": f"{kind} {left:g} {low:g} to {right:g} {high:g}", "kind": kind, "polygon": ring}


def box(width: float, height: float) -> list[XY]:
    """An upright rectangle from the origin."""
    return [(0, 0), (width, 0), (width, height), (0, height)]


def lay_of(
    outline: list[XY] | list[list[Any]],
    things: list[Any] | None = None,
    dock: XY | None = None,
    machine: dict[str, Any] | None = None,
) -> tuple[Plan, Lay]:
    """The plan and laid wire of one lawn."""
    sides = [
        [*side, "wall"] if len(side) == 2 and isinstance(side, tuple) else side for side in outline
    ]
    lawn = {"name": "Lawn", "outline": sides}
    home = {"generator": {"at": list(dock or outline[0][:2])}}
    return laid(as_text(machine or figures(), [lawn], things or [], [home]))


@cache
def some_gardens() -> tuple[str, ...]:
    """As many gardens as a test looks at, drawn once for all tests of a run."""
    return once(_drawn, EXAMPLES)


def _drawn(count: int) -> tuple[str, ...]:
    found: list[str] = []

    @settings(over_gardens, max_examples=count, phases=[Phase.generate])
    @given(gardens())
    def collect(text: str) -> None:
        found.append(text)

    collect()
    return tuple(found)


@lru_cache(maxsize=400)
def plan_of(text: str) -> Plan | None:
    """The plan of a text, or ``None`` where a random outline is no shape."""
    try:
        return loads(text, "garden.json")
    except PlanError:
        return None


@lru_cache(maxsize=400)
def laid(text: str) -> tuple[Plan, Lay]:
    """A garden's plan and its laid wire; kept, since several tests look at the same gardens."""
    plan = plan_of(text)
    assert plan is not None
    return plan, lay_plan(plan)
