"""Real parcel and building outlines laid as lawns, each with beds sown from a seed.

Source: the data set ``bubenec`` that momepy ships (layers ``plots`` and ``buildings`` of a quarter
of Prague); it is read where momepy is installed and not copied. Outlines are scaled to 200 to
5000 m2 and turned, by a seed that is their number.
"""

from __future__ import annotations

import json
import math
import random
import time
from functools import cache
from importlib.util import find_spec
from typing import Any

import numpy as np
import pytest
import shapely
from shapely import affinity

from renderer.ground import lay_plan
from renderer.plan import PlanError, loads
from renderer.plan.kinds import SETBACK_KINDS, SIDE_KINDS
from tests.ground import wire_rules

if find_spec("momepy") is None:
    pytest.skip("momepy is not installed", allow_module_level=True)

LAYERS = {"plots": 407, "buildings": 144}
BATCH = 40  # outlines a test
SLOWEST_S = 2.0  # of processor time, for one outline


@cache
def outlines(layer: str) -> tuple[shapely.Polygon, ...]:
    """All outlines of a layer, as they stand in the file.

    The libraries load slowly, so that only the process that reads them does so.
    """
    import geopandas
    import momepy

    frame = geopandas.read_file(momepy.datasets.get_path("bubenec"), layer=layer)
    return tuple(frame.geometry)


def turned(outline: shapely.Polygon, rng: random.Random) -> shapely.Polygon:
    """The outline about the origin, at a random size and turn, to the millimetre."""
    size = math.exp(rng.uniform(math.log(200), math.log(5000)))
    centre = outline.centroid
    about = affinity.translate(outline, -centre.x, -centre.y)
    factor = math.sqrt(size / about.area)
    about = affinity.scale(about, factor, factor, origin=(0, 0))
    return affinity.rotate(about, rng.uniform(0, 360), origin=(0, 0))


def ring_of(ring: Any) -> list[list[float]]:
    """Corners to the millimetre, without those that fall together."""
    points = [[round(x, 3), round(y, 3)] for x, y in ring.coords[:-1]]
    return [p for k, p in enumerate(points) if p != points[k - 1]]


def sown(lawn: shapely.Polygon, rng: random.Random) -> list[dict[str, Any]]:
    """Round and square beds, ponds and trees here and there on a lawn."""
    left, low, right, high = lawn.bounds
    things: list[dict[str, Any]] = []
    for k in range(rng.randint(0, 9)):
        x, y = round(rng.uniform(left, right), 2), round(rng.uniform(low, high), 2)
        kind = rng.choice(["bed", "tree", "tree", "water", "firm", "low"])
        half = round(rng.uniform(0.1, 1.8), 2)
        thing: dict[str, Any] = {"name": f"Thing {k}", "kind": kind}
        if rng.random() < 0.6:
            thing["circle"] = {"at": [x, y], "radius": half}
        else:
            corners = ((-half, -half), (half, -0.4 * half), (half, half), (-0.7 * half, half))
            thing["polygon"] = [[x + u, y + v] for u, v in corners]
        things.append(thing)
    return things


def plan_text(layer: str, number: int) -> str:
    """The plan of one outline: its holes are beds, its sides of random kinds."""
    rng = random.Random(f"{layer} {number}")
    lawn = turned(outlines(layer)[number], rng)
    sides = [[x, y, rng.choice(SIDE_KINDS)] for x, y in ring_of(lawn.exterior)]
    holes = [
        {"name": f"Yard {k}", "kind": "wall", "polygon": ring_of(hole)}
        for k, hole in enumerate(lawn.interiors)
    ]
    longest = max(
        zip(sides, sides[1:] + sides[:1], strict=True),
        key=lambda ends: math.dist(*(e[:2] for e in ends)),
    )
    dock = [(longest[0][i] + longest[1][i]) / 2 for i in (0, 1)]
    back = dict.fromkeys(SETBACK_KINDS, 0.3) | {
        "flush": 0.1,
        "water": 1.0,
        "drop": 0.5,
        "road": 1.0,
    }
    return json.dumps(
        {
            "plan": 1,
            "job": {"number": f"{layer}-{number}"},
            "machine": {
                "label": "Training machine",
                "lay_direction": rng.choice(["anticlockwise", "clockwise"]),
                "setback": back,
                "passage_min": rng.choice([0.8, 1.0, 1.5]),
                "corner_radius": rng.choice([0, 0, 0.3]),
                "loop_max": 5000,
            },
            "lawns": [{"name": "Lawn", "outline": sides}],
            "obstacles": [*holes, *sown(lawn, rng)],
            "loops": [{"dock": {"at": dock}}],
            "wire": {"conductor_mm2": 0.75, "spools": [250] * 4},
        }
    )


def batches() -> list[Any]:
    return [
        pytest.param(layer, first, id=f"{layer}-{first}")
        for layer, count in LAYERS.items()
        for first in range(0, count, BATCH)
    ]


@pytest.mark.parametrize(("layer", "first"), batches())
def test_every_outline_is_laid_right_and_fast(layer: str, first: int) -> None:
    """Every rule of the wire (setbacks to 1 mm, winding, legs, necks ...), each in two seconds."""
    wrong: list[str] = []
    for number in range(first, min(first + BATCH, LAYERS[layer])):
        text = plan_text(layer, number)
        try:
            plan = loads(text, "outline.json")
        except PlanError as error:
            wrong.append(f"{number}: {error}")
            continue
        begun = time.process_time()
        lay = lay_plan(plan)
        gone = time.process_time() - begun
        if gone > SLOWEST_S:
            wrong.append(f"{number}: {gone:.1f} s for {len(plan.lawns[0].outline)} sides")
        wrong.extend(f"{number}: {text}" for text in wire_rules.violations(plan, lay))
    assert wrong == []


def test_all_outlines_are_there() -> None:
    """The counts that this data set had when it was chosen; fewer would mean less was shown."""
    for layer, count in LAYERS.items():
        assert len(outlines(layer)) >= count
    corners = [shapely.get_num_coordinates(shape) for shape in outlines("plots")]
    assert max(corners) > 200
    assert float(np.median(corners)) > 8
