"""The tree of lead pairs against least spanning trees by networkx (Kruskal) and scipy.

Distances between rings are reckoned apart: for round beds and a rectangle by arithmetic, for other
rings by shapely from the laid rings. Rules that lengthen the tree (the dock's run, corners, firm
things) are left out, but for the 50 mm between pairs, which cost centimetres.
"""

from __future__ import annotations

import itertools
import math
import random
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
import shapely

from renderer.plan import load
from tests.ground.gardens import box, figures, lay_of, round_bed
from tests.ground.wire_rules import violations
from tests.shared import lay_plan

if TYPE_CHECKING:
    from pathlib import Path

    from renderer.ground.lay import Lay

networkx = pytest.importorskip("networkx")
csgraph = pytest.importorskip("scipy.sparse.csgraph")

SAME_M = 0.1
WIDE, HIGH, BACK = 60.0, 40.0, 0.3


def least_trees(distances: np.ndarray) -> tuple[float, float]:
    """Total length of the least spanning tree by both libraries."""
    graph = networkx.Graph()
    for i, j in itertools.combinations(range(len(distances)), 2):
        graph.add_edge(i, j, weight=float(distances[i, j]))
    tree = networkx.minimum_spanning_tree(graph)
    by_networkx = float(tree.size(weight="weight"))
    by_scipy = float(csgraph.minimum_spanning_tree(np.triu(distances, 1)).sum())
    return by_networkx, by_scipy


def leads_total(lay: Lay) -> float:
    return sum(lead.length_m for loop in lay.loops for lead in loop.leads)


def scattered(seed: int, count: int, least_gap_m: float) -> list[tuple[float, float, float]]:
    """Centres and ring radii of round beds that keep a gap from each other and from the edge."""
    rng = random.Random(seed)
    found: list[tuple[float, float, float]] = []
    for _ in range(20_000):
        r = BACK + rng.uniform(0.1, 1.5)
        edge = BACK + least_gap_m + r
        x, y = rng.uniform(edge, WIDE - edge), rng.uniform(edge, HIGH - edge)
        if all(math.hypot(x - u, y - v) - r - q > least_gap_m for u, v, q in found):
            found.append((x, y, r))
        if len(found) == count:
            return found
    raise AssertionError("no room for so many beds")


def ring_distances(beds: list[tuple[float, float, float]]) -> np.ndarray:
    """Wire to wire: node 0 is the edge of the lawn, the others are the beds."""
    n = len(beds) + 1
    d = np.zeros((n, n))
    for i, (x, y, r) in enumerate(beds, 1):
        d[0, i] = d[i, 0] = min(x, y, WIDE - x, HIGH - y) - BACK - r
        for j, (u, v, q) in enumerate(beds, 1):
            if i != j:
                d[i, j] = math.hypot(x - u, y - v) - r - q
    return d


@pytest.mark.parametrize(
    ("seed", "count"), [(s, c) for s in range(6) for c in (2, 7, 20)] + [(9, 60), (10, 120)]
)
def test_round_beds_in_a_rectangle(seed: int, count: int) -> None:
    gap = 1.1 if count < 100 else 0.55
    beds = scattered(seed, count, gap)
    machine = figures(back=BACK, passage_min=min(1.0, gap - 0.05))
    things = [round_bed(x, y, r - BACK, f"Bed {k}") for k, (x, y, r) in enumerate(beds)]
    plan, lay = lay_of(box(WIDE, HIGH), things, dock=(0, 0), machine=machine)
    assert len(lay.loops[0].rings) == count + 1
    assert len(lay.loops[0].leads) == count
    one, two = least_trees(ring_distances(beds))
    assert one == pytest.approx(two)
    assert leads_total(lay) == pytest.approx(one, abs=SAME_M)
    if count <= 20:
        assert violations(plan, lay) == []


@pytest.mark.parametrize("seed", range(5))
def test_angular_beds_in_an_angular_lawn(seed: int) -> None:
    """Distances are shapely's between the rings as laid."""
    rng = random.Random(seed)
    lawn = [(0, 0), (40, 0), (40, 14), (26, 12), (25, 30), (11, 24), (0, 30)]
    things: list[dict[str, Any]] = []
    for k, (x, y, r) in enumerate(scattered(40 + seed, 14, 1.6)):
        count = rng.randint(3, 7)
        angles = [math.tau * (n + rng.uniform(0, 0.7)) / count for n in range(count)]
        ring = [[x + r * math.cos(a), y + r * math.sin(a)] for a in angles]
        things.append({"name": f"Bed {k}", "kind": "bed", "polygon": ring})
    plan, lay = lay_of(lawn, things, dock=(0, 0))
    assert len(lay.lawns[0].working.geoms) == 1
    rings = [shapely.LineString(ring.points) for ring in lay.loops[0].rings]
    distances = np.array([[one.distance(two) for two in rings] for one in rings])
    one, two = least_trees(distances)
    assert one == pytest.approx(two)
    assert leads_total(lay) == pytest.approx(one, abs=SAME_M)
    assert violations(plan, lay) == []


def test_plans_of_real_look_are_near_the_least_tree(any_plan: Path) -> None:
    """With all rules on, pairs outgrow the least tree by a few per cent or the run's width."""
    plan = load(any_plan)
    for loop in lay_plan(plan).loops:
        if any(lead.kind == "crossing" for lead in loop.leads) or len(loop.rings) < 2:
            continue
        rings = [shapely.LineString(ring.points) for ring in loop.rings]
        distances = np.array([[one.distance(two) for two in rings] for one in rings])
        least, _ = least_trees(distances)
        total = sum(lead.length_m for lead in loop.leads)
        assert least - 1e-3 <= total <= 1.1 * least + 1.0


def test_a_tree_that_is_too_long_is_seen() -> None:
    beds = scattered(3, 20, 1.1)
    distances = ring_distances(beds)
    star = float(distances[0].sum())
    assert star > least_trees(distances)[0] + SAME_M
