"""The take-off adds up, rounds to packs and lists what a crew packs."""

from __future__ import annotations

import math
from collections import defaultdict
from itertools import combinations

import pytest

from renderer.ground.gauges import gauge_of, gauges
from renderer.ground.lay import Item
from renderer.plan import Plan, load
from tests.ground.jobs import plan_of
from tests.shared import lay_plan


def quantities(plan: Plan) -> dict[str, float]:
    found: dict[str, float] = defaultdict(float)
    for item in lay_plan(plan).takeoff:
        found[item.item] += item.quantity
    return found


def test_wire_by_kind_adds_up_to_what_is_laid_and_ordered(any_plan: object) -> None:
    plan = load(any_plan)  # type: ignore[arg-type]
    lay = lay_plan(plan)
    found = quantities(plan)
    kinds = ("outer", "island", "lead", "crossing", "tail")
    assert sum(found[f"wire.{kind}"] for kind in kinds) == pytest.approx(
        found["wire.laid"], abs=1e-3
    )
    assert found["wire.laid"] == pytest.approx(sum(loop.length_m for loop in lay.loops), abs=1e-3)
    order = found["wire.laid"] + found["wire.slope"] + found["wire.slack"]
    assert found["wire.order"] == pytest.approx(order, abs=1e-3)
    slack = plan.wire.slack_percent / 100 * found["wire.laid"]
    assert found["wire.slack"] == pytest.approx(slack, abs=1e-3)


def test_pegs_are_counted_by_round_with_spares() -> None:
    plan = plan_of(wire__peg_spare_percent=10)
    pegs = lay_plan(plan).loops[0].pegs
    found = quantities(plan)
    assert found["peg.round1"] == sum(peg.round == 1 for peg in pegs)
    assert found["peg.round2"] == sum(peg.round == 2 for peg in pegs)
    assert found["peg.spare"] == math.ceil(len(pegs) / 10)
    assert found["peg.order"] == len(pegs) + found["peg.spare"]


def test_orders_are_rounded_up_to_packs() -> None:
    packs = {"pegs": 100, "connectors": 5, "terminals": 4}
    plan = plan_of(wire__packs=packs, wire__spools=[50, 50])
    loose, packed = quantities(plan_of(wire__spools=[50, 50])), quantities(plan)
    assert packed["peg.order"] == math.ceil(loose["peg.order"] / 100) * 100
    assert (loose["connector.splice"], loose["connector.spare"]) == (1, 2)
    assert (loose["connector.order"], packed["connector.order"]) == (3, 5)
    assert (loose["terminal.end"], packed["terminal.order"]) == (2, 4)


def test_a_plan_without_slopes_or_crossings_lists_neither() -> None:
    found = quantities(plan_of())
    assert "wire.slope" not in found
    assert "wire.crossing" not in found
    assert "tool.wet_saw" not in found


def test_hard_ground_under_a_crossing_calls_for_a_saw_and_what_protects_from_it() -> None:
    places = {"Rear": [(0, 0), (20, 0), (20, 9), (0, 9)]}
    places["Front"] = [(0, -12), (9, -12), (9, -3), (0, -3)]
    lawns = [
        {"name": name, "outline": [[x, y, "wall"] for x, y in corners]}
        for name, corners in places.items()
    ]
    crossing = {"between": ["Rear", "Front"], "via": [[8, -1]], "under": "block paving"}
    loops = [{"name": "main", "dock": {"at": [4, 0.3]}, "crossings": [crossing]}]
    found = quantities(plan_of(lawns=lawns, loops=loops, obstacles=[]))
    assert found["wire.crossing"] > 0
    assert found["tool.wet_saw"] == 1
    assert found["tool.dust_mask"] == found["tool.hearing_protection"] == 2


def test_each_loop_has_labels_for_its_two_ends_and_clips_for_its_lead() -> None:
    lawns = [
        {
            "name": name,
            "loop": name,
            "outline": [[0, y, "wall"], [9, y, "wall"], [9, y + 9, "wall"]],
        }
        for name, y in (("Rear", 0), ("Front", 20), ("Side", 40))
    ]
    loops = [
        {"name": lawn["name"], "dock": {"at": [5, 20 * k + 0.3]}} for k, lawn in enumerate(lawns)
    ]
    one = quantities(plan_of(lawns=lawns[:1], loops=loops[:1], obstacles=[]))
    three = quantities(plan_of(lawns=lawns, loops=loops, obstacles=[]))
    assert three["tool.label"] - one["tool.label"] == 2 * 2
    assert one["tool.label"] >= 2 and three["tool.clips"] == 3 * one["tool.clips"]
    assert three["tool.mallet"] == one["tool.mallet"]


def test_spools_and_gauges_are_listed_by_length() -> None:
    plan = plan_of(wire__spools=[50, 200, 50])
    items = lay_plan(plan).takeoff
    assert [item for item in items if item.item == "spool"] == [Item("spool", 200.0, "m", "1")]
    assert [item for item in items if item.item == "gauge"] == [Item("gauge", 0.3, "m", "G1")]


def test_gauges_are_the_setbacks_numbered_from_the_shortest() -> None:
    sides = [[0, 0, "wall"], [20, 0, "flush"], [20, 12, "wall"], [0, 12, "wall"]]
    pond = {"name": "Pond", "kind": "water", "circle": {"at": [10, 6], "radius": 1.0}}
    setback = {"wall": 0.32, "flush": 0.1, "water": 1.0}
    plan = plan_of(
        lawns=[{"name": "Rear", "outline": sides}], obstacles=[pond], machine__setback=setback
    )
    assert gauge_of(plan) == {"flush": ("G1", 0.1), "wall": ("G2", 0.32), "water": ("G3", 1.0)}


def test_a_plan_in_feet_cuts_gauges_to_the_setback() -> None:
    plan = plan_of(units="ft", machine__setback={"wall": "12 in", "bed": "9 1/4 in"})
    assert gauge_of(plan) == {
        "bed": ("G1", pytest.approx(0.23495, abs=1e-4)),
        "wall": ("G2", 0.3048),
    }


def test_no_job_has_more_than_four_gauges_and_none_is_too_short() -> None:
    kinds = ["wall", "flush", "fence", "hedge", "kerb", "bed", "road", "neighbour"]
    setback = dict(zip(kinds, [0.3, 0.1, 0.4, 0.25, 0.2, 0.35, 1.2, 0.45], strict=True))
    outline = [
        [10 + 10 * math.cos(i * math.tau / 8), 10 + 10 * math.sin(i * math.tau / 8), kind]
        for i, kind in enumerate(kinds)
    ]
    plan = plan_of(
        lawns=[{"name": "Rear", "outline": outline}], obstacles=[], machine__setback=setback
    )
    found = gauges(plan)
    assert [gauge.name for gauge in found] == ["G1", "G2", "G3", "G4"]
    assert sorted(kind for gauge in found for kind in gauge.kinds) == sorted(kinds)
    for gauge in found:
        own = sorted(setback[kind] for kind in gauge.kinds)
        assert gauge.length_m == own[-1]
        assert gauge.marks_m == tuple(own[:-1])
    fewest = min(
        sum(min(x for x in some if x >= own) - own for own in setback.values())
        for some in combinations(setback.values(), 4)
        if max(some) == 1.2
    )
    added = sum(gauge.length_m - setback[kind] for gauge in found for kind in gauge.kinds)
    assert added == pytest.approx(fewest)
