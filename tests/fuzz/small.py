"""Small random gardens: a few sides, up to three obstacles, what a plan states beside them.

They are cheap to lay and draw, so that many can be looked at; also in feet and at the coordinates
of a national grid.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from hypothesis import assume
from hypothesis import strategies as st

from renderer.plan.kinds import SIDE_KINDS
from tests.ground.gardens import (
    as_text,
    box,
    machine,
    neighbour_of,
    obstacle,
    plan_of,
    share,
    star,
    turned_round,
)

if TYPE_CHECKING:
    from tests.ground.gardens import XY, Draw

FOOT_M = 0.3048
GRIDS = ((451_000.0, 5_412_000.0), (-30_000.5, 250_000.25))
NO_LENGTHS = {"plan", "corner_angle_min", "conductor_mm2", "percent", "lead_max"}
SPACINGS = ((3, 1), (6, 3), (10, 5))
POINTED = ("sprinkler", "gate", "socket", "play", "metal", "neighbour wire", "building")
LINED = ("buried cable", "buried pipe", "neighbour wire", "metal", "gate")
SPREAD = ("slope", "paving", "play", "building")


def ring(draw: Draw) -> list[XY]:
    """A box, a box without a corner, or a star; its sides in metres."""
    shape = draw(st.sampled_from(["box", "bent", "star", "star"]))
    if shape == "star":
        return star(draw, draw(share(2, 7)), 3, 7)
    wide, deep = draw(share(2.5, 12)), draw(share(2.5, 10))
    if shape == "box":
        return box(wide, deep)
    x, y = wide * draw(share(0.1, 0.9)), deep * draw(share(0.1, 0.9))
    return [(0, 0), (wide, 0), (wide, y), (x, y), (x, deep), (0, deep)]


def sides_of(draw: Draw) -> list[dict[str, Any]]:
    """The sides of a lawn, either way round, seldom one of them an arc."""
    corners, kinds = ring(draw), st.sampled_from(SIDE_KINDS)
    if draw(st.booleans()):
        corners = [(-x, y) for x, y in corners]
    sides: list[dict[str, Any]] = [
        {"at": [round(x, 2), round(y, 2)], "side": draw(kinds)} for x, y in corners
    ]
    if draw(st.integers(0, 3)) == 0:
        bulge = draw(share(-0.4, 0.4))
        (x, y), (u, v) = corners[:2]
        through = ((x + u) / 2 + bulge * (v - y), (y + v) / 2 - bulge * (u - x))
        sides[0]["through"] = [round(each, 3) for each in through]
    return turned_round(sides) if draw(st.booleans()) else sides


def features(draw: Draw, lawn: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """None, one or two of any kind on or near the lawn."""
    found: list[dict[str, Any]] = []
    xs, ys = [side["at"][0] for side in lawn], [side["at"][1] for side in lawn]
    for number in range(draw(st.sampled_from([0, 0, 1, 2]))):
        low, high = draw(share(-0.2, 0.8)), draw(share(0.1, 1.2))
        one = [round(min(each) + low * (max(each) - min(each)), 2) for each in (xs, ys)]
        two = [round(min(each) + high * (max(each) - min(each)), 2) for each in (xs, ys)]
        form = draw(st.sampled_from(["at", "line", "polygon"]))
        where: dict[str, Any] = {"at": one}
        kinds = POINTED
        if form == "line":
            where, kinds = {"line": [one, two]}, LINED
        elif form == "polygon":
            where, kinds = {"polygon": [one, [two[0], one[1]], two]}, SPREAD
        thing = {"name": f"Thing to see {number}", "kind": draw(st.sampled_from(kinds)), **where}
        if thing["kind"] == "slope":
            thing["percent"] = draw(st.sampled_from([5, 20, 35, 60]))
        found.append(thing)
    return found


def obstacles(draw: Draw, lawn: list[dict[str, Any]], figures: Any) -> list[dict[str, Any]]:
    """Up to three, some as near to the one before as wires may be."""
    things: list[dict[str, Any]] = []
    for number in range(draw(st.sampled_from([0, 0, 1, 1, 2, 3]))):
        last, name = things[-1] if things else {}, f"Thing {number}"
        if "circle" in last and draw(st.booleans()):
            things.append(neighbour_of(draw, name, last, figures))
        else:
            things.append(obstacle(draw, name, lawn))
    return things


def in_feet(held: Any) -> Any:
    """The same garden with all its lengths in feet, to a thousandth."""
    if isinstance(held, dict):
        return {key: each if key in NO_LENGTHS else in_feet(each) for key, each in held.items()}
    if isinstance(held, list):
        return [in_feet(each) for each in held]
    return round(held / FOOT_M, 3) if isinstance(held, (int, float)) else held


def moved(held: Any, by: XY) -> Any:
    """The same garden elsewhere: every pair of numbers is a place, but for lengths of spools."""
    if isinstance(held, dict):
        return {key: each if key == "spools" else moved(each, by) for key, each in held.items()}
    if not isinstance(held, list):
        return held
    if len(held) == 2 and all(isinstance(each, (int, float)) for each in held):
        return [round(each + add, 3) for each, add in zip(held, by, strict=True)]
    return [moved(each, by) for each in held]


@st.composite
def small_gardens(draw: Draw) -> str:
    """A valid plan file as JSON text: one lawn, most often in metres near the origin."""
    chosen = machine(draw)
    first, final = draw(st.sampled_from(SPACINGS))
    chosen["peg_spacing"] = {"first": first, "final": final}
    lawn = sides_of(draw)
    x, y = draw(st.sampled_from(lawn))["at"]
    loop: dict[str, Any] = {
        "name": "main",
        draw(st.sampled_from(["dock", "dock", "generator"])): {
            "at": [x + draw(share(-1, 1)), y + draw(share(-1, 1))]
        },
    }
    if draw(st.integers(0, 2)) == 0:
        loop["supply"] = {"at": [x - 1, y - 2], "lead": draw(st.sampled_from([1, 4, 10]))}
    things = obstacles(draw, lawn, chosen)
    lawns = [{"name": "Lawn", "outline": lawn, "loop": "main"}]
    held = json.loads(as_text(chosen, lawns, things, [loop]))
    held["features"] = features(draw, lawn)
    held["wire"]["spools"] = draw(st.sampled_from([[250], [30, 20, 100], [12, 12, 12, 12, 12, 12]]))
    if draw(st.integers(0, 5)) == 0:
        held = {**in_feet(held), "units": "ft"}
    if draw(st.integers(0, 5)) == 0:
        held = moved(held, draw(st.sampled_from(GRIDS)))
    text = json.dumps(held)
    assume(plan_of(text) is not None)
    return text
