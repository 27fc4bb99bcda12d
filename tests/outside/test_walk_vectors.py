"""Worked lengths of walks as crews reckon them: common practice, no published source.

Where that practice and this project's definition of the wire differ, both are computed and the
difference is named.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from tests.ground.gardens import box, figures, lay_of, round_bed
from tests.ground.plain import winding

MACHINE = figures(corner_radius=0.30, passage_min=0.8, tail=2.0)


def walk_of(things: list[Any]) -> Any:
    return lay_of(box(20, 12), things, machine=MACHINE, dock=(20, 12))[1].loops[0]


def lengths(loop: Any, kind: str) -> float:
    return sum(leg.length_m for leg in loop.legs if leg.kind == kind)


def test_a_lawn_with_rounded_corners() -> None:
    """20 x 12, setbacks and least radius 0.30: boundary 61.085 m. Practice and definition agree."""
    assert lengths(walk_of([]), "outer") == pytest.approx(61.085, abs=2e-3)


def test_a_round_bed_and_its_pair() -> None:
    """Bed r 1.0 at (10, 6): island 8.168, pair 2 x 4.4, running 78.053, tails 82.053, laid 86.156.

    Practice orders 97 m: as laid and 10 m of repair stock, rounded up to the metre. The definition
    here orders length and slack, 86.156 m; repair stock is left to the spools.
    """
    loop = walk_of([round_bed(10, 6, 1.0)])
    assert lengths(loop, "island") == pytest.approx(8.168, abs=2e-3)
    assert lengths(loop, "lead") == pytest.approx(2 * 4.4, abs=2e-3)
    assert loop.length_m - 2 * 2.0 == pytest.approx(78.053, abs=4e-3)
    assert loop.length_m == pytest.approx(82.053, abs=4e-3)
    assert loop.order_length_m == pytest.approx(86.156, abs=5e-3)
    assert math.ceil(loop.order_length_m + 10) == 97


def test_winding_of_that_walk() -> None:
    """At (2, 6), (10, 6), (25, 6) it winds 1, 0, 0; with the leads crossed 1, 2, 0."""
    loop = walk_of([round_bed(10, 6, 1.0)])
    places = np.array([[2.0, 6.0], [10.0, 6.0], [25.0, 6.0]])
    assert winding(loop.path, places).tolist() == [1, 0, 0]
    leg = next(leg for leg in loop.legs if leg.kind == "island")
    first, last = (int(abs(loop.at_m - at).argmin()) for at in (leg.from_m, leg.to_m))
    crossed = loop.path.copy()
    crossed[first : last + 1] = crossed[first : last + 1][::-1]
    assert winding(crossed, places).tolist() == [1, 2, 0]


def test_a_bed_near_the_edge_is_a_bay_and_a_small_one_alone_is_none() -> None:
    """Bed r 1.0 at (1.8, 6): its wire would lie 0.20 m from the boundary's, so it becomes a bay.

    A ring 0.6 m across on open ground is no gap of its own.
    """
    _, lay = lay_of(box(20, 12), [round_bed(1.8, 6, 1.0)], machine=MACHINE, dock=(20, 12))
    assert [ring.kind for ring in lay.loops[0].rings] == ["outer"]
    (cut,) = lay.cuts
    assert cut.kind == "bay"
    assert cut.width_m == pytest.approx(0.20, abs=1e-3)
    _, alone = lay_of(box(20, 12), [round_bed(10, 6, 0.001)], machine=MACHINE, dock=(20, 12))
    assert [ring.kind for ring in alone.loops[0].rings] == ["outer", "island"]
    assert alone.cuts == ()
