"""Detail plates, side sections and the proof picture."""

from __future__ import annotations

import dataclasses
import math
from pathlib import Path

import numpy as np
import pytest
from shapely import LineString, Point, Polygon

from renderer.drawing import drawing_words
from renderer.drawing.closeup import Plate
from renderer.drawing.edges import EDGES
from renderer.drawing.plates import PLATES, plates
from renderer.drawing.proof import proof
from renderer.drawing.scale import turned
from renderer.drawing.section import ABOVE_MM, LEFT_MM, section
from renderer.plan import load, loads
from renderer.plan.kinds import SETBACK_KINDS
from renderer.primitives import Area, Circle, Line, Text
from tests.drawing import handmade
from tests.drawing.audit import faults
from tests.plans import ROOT
from tests.shared import lay_plan

WORDS = drawing_words()
UNDER = ("plate.crossing", "label.crossing")
DIRECTIONS = {False: "anticlockwise", True: "clockwise"}


def made() -> dict[str, list]:  # type: ignore[type-arg]
    found: dict[str, list] = {}  # type: ignore[type-arg]
    for plate in plates(handmade.plan(), handmade.lay(), (), height_mm=120.0):
        found.setdefault(plate.kind, []).append(plate)
    return found


def test_there_is_a_plate_for_each_thing_that_needs_one() -> None:
    found = made()
    assert {kind: len(several) for kind, several in found.items()} == {
        "dock": 1,
        "island": 1,
        "splice": 1,
        "section": 4,
    }
    assert set(found) <= set(PLATES)


def test_plates_are_larger_than_the_plan_and_keep_to_their_size() -> None:
    shown = plates(handmade.plan(), handmade.lay(), (), width_mm=90.0, height_mm=80.0)
    assert len(shown) > 3
    for plate in shown:
        assert plate.drawing.width_mm <= 92.0
        assert plate.drawing.height_mm <= 80.0
        assert plate.drawing.scale is not None and plate.drawing.scale <= 100
        assert faults(plate.drawing) == []


def test_plates_carry_no_ids_that_the_plan_has_already() -> None:
    shown = plates(handmade.plan(), handmade.lay(), ())
    assert [plate.title for plate in shown if plate.drawing.items]
    assert not any(getattr(item, "id", None) for each in shown for item in each.drawing.items)


def test_the_island_is_walked_in_order_with_the_pair_apart() -> None:
    (plate,) = made()["island"]
    (walk,) = (i for i in plate.drawing.items if isinstance(i, Line) and i.role == "wire-apart")
    points = np.array(walk.points)
    loop = handmade.lay().loops[0]
    mm = 1000.0 / plate.drawing.scale
    run = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))))
    ring = 2 * math.pi * (handmade.RADIUS + handmade.SETBACK) * mm
    pair = 2 * loop.leads[0].length_m * mm
    assert run[-1] > ring + pair
    # a tail, the edge as far as the pair, out, round, back, the edge, a tail
    assert badges(plate) == [2, 3, 4, 5, 6]


def badges(plate: Plate) -> list[int]:
    """The numbers in rings, by the roles of their texts."""
    found = [
        int(item.text)
        for item in plate.drawing.items
        if isinstance(item, Text) and item.role.startswith("label walk ")
    ]
    return sorted(found)


def test_each_island_plate_on_disk_numbers_its_legs_as_the_wire_list_does(any_plan: Path) -> None:
    """Out, round and back, and the rings that the pair joins; a ring in several legs has each."""
    plan = load(any_plan)
    lay = lay_plan(plan)
    shown = plates(plan, lay, (), width_mm=89.5, height_mm=78.0)
    islands = [plate for plate in shown if plate.kind == "island"]
    assert islands or all(ring.kind == "outer" for loop in lay.loops for ring in loop.rings)
    listed = [(loop, lead) for loop in lay.loops for lead in loop.leads if lead.kind == "lead"]
    for plate, (loop, lead) in zip(islands, listed, strict=True):
        numbers = {part: [n for n, leg in enumerate(loop.legs, 1) if leg.part == part]
                   for part in (lead.id, lead.to_ring, lead.from_ring)}  # fmt: skip
        found = badges(plate)
        assert set(numbers[lead.id]) <= set(found), plate.title
        assert set(found) & set(numbers[lead.to_ring]), plate.title
        assert set(found) <= {number for part in numbers.values() for number in part}
        assert len(found) == len(set(found))


def test_a_pair_to_another_part_of_a_lawn_names_the_part_that_it_leads_to() -> None:
    """A lawn of three parts has two such plates; both under one title would tell neither."""
    plan = loads(
        """
plan: 1
units: m
job: {number: P-1}
machine: {label: M, setback: {wall: 0.3}, passage_min: 1.5, loop_max: 400, corner_radius: 0.2}
lawns:
  - name: Lawn
    outline: [[0, 0, wall], [8, 0, wall], [8, 3, wall], [10, 3, wall], [10, 0, wall], [18, 0, wall],
      [18, 3, wall], [20, 3, wall], [20, 0, wall], [28, 0, wall], [28, 8, wall], [20, 8, wall],
      [20, 5, wall], [18, 5, wall], [18, 8, wall], [10, 8, wall], [10, 5, wall], [8, 5, wall],
      [8, 8, wall], [0, 8, wall]]
loops: [{dock: {at: [4, 0.3]}}]
wire: {conductor_mm2: 0.75}
""",
        "parts.plan.yaml",
    )
    titles = [plate.title for plate in plates(plan, lay_plan(plan), ()) if plate.kind == "island"]
    assert sorted(titles) == ["Lead pair to Lawn 2", "Lead pair to Lawn 3"]


def test_islands_made_one_are_told_on_the_plate_of_their_ring() -> None:
    """Two birches of the park share a ring; the yew in its bay has no ring and so its own plate."""
    plan = load(ROOT / "demo" / "hollin-park.plan.yaml")
    shown = plates(plan, lay_plan(plan), ())
    (birches,) = (plate for plate in shown if "Birch" in plate.title)
    assert birches.kind == "island"
    assert "The machine needs 1.20." in birches.notes
    assert any(isinstance(item, Line) and item.role == "cut" for item in birches.drawing.items)
    assert [plate.title.split(":")[0] for plate in shown if plate.kind == "neck"] == [
        "Yew by the fence"
    ]


def test_a_bed_whose_setback_reaches_that_of_the_edge_is_told_as_a_bay_and_two_beds_as_a_ring() -> (
    None
):
    beds = [
        {"name": "Sill bed", "kind": "bed", "circle": {"at": [3.0, 1.0], "radius": 0.6}},
        {"name": "North", "kind": "bed", "circle": {"at": [10.0, 4.0], "radius": 0.6}},
        {"name": "South", "kind": "bed", "circle": {"at": [10.0, 2.7], "radius": 0.6}},
    ]
    plan = handmade.plan(obstacles=beds, features=[])
    told = [" ".join((plate.title, *plate.notes)) for plate in plates(plan, lay_plan(plan), ())]
    assert any("Sill bed: taken into the edge" in text for text in told)
    assert not any("Sill bed: one ring" in text for text in told)
    assert any("one ring, setbacks overlap" in text and "North" in text for text in told)


@pytest.mark.parametrize("clockwise", [False, True])
@pytest.mark.parametrize("bend", [0.0, 0.8, -0.8])
def test_drawn_apart_the_walk_never_crosses_itself(clockwise: bool, bend: float) -> None:
    """Out and back lie on that side of the pair from which the walk can go on."""
    machine = {**handmade.plan_data()["machine"], "lay_direction": DIRECTIONS[clockwise]}
    lay = bent(reversed_lay() if clockwise else handmade.lay(), bend)
    made_here = plates(handmade.plan(machine=machine), lay, (), height_mm=120.0)
    (plate,) = (p for p in made_here if p.kind == "island")
    (walk,) = (i for i in plate.drawing.items if isinstance(i, Line) and i.role == "wire-apart")
    assert LineString(walk.points).is_simple


def bent(lay, by: float):  # type: ignore[no-untyped-def]
    """The lay with its lead pair led round something by so many metres."""
    loop = lay.loops[0]
    a, b = loop.leads[0].points
    middle = (a + b) / 2 + np.array((by, 0.0))
    lead = dataclasses.replace(loop.leads[0], points=np.array((a, middle, b)))
    return dataclasses.replace(lay, loops=(dataclasses.replace(loop, leads=(lead,)),))


def reversed_lay():  # type: ignore[no-untyped-def]
    """The hand-made lay walked the other way round."""
    lay = handmade.lay()
    loop = lay.loops[0]
    rings = tuple(dataclasses.replace(ring, points=ring.points[::-1]) for ring in loop.rings)
    turned = dataclasses.replace(loop, rings=rings, path=loop.path[::-1])
    return dataclasses.replace(lay, loops=(turned,))


def test_a_generator_stands_on_its_plate_even_where_its_supply_is_far() -> None:
    loop = {"name": "main", "generator": {"at": [6, -0.5]}, "supply": {"at": [1, -5], "lead": 9}}
    made_here = plates(handmade.plan(loops=[loop]), handmade.lay(), (), width_mm=89.5)
    (plate,) = (p for p in made_here if p.kind == "dock")
    assert WORDS["label.generator"] in {i.text for i in plate.drawing.items if isinstance(i, Text)}
    assert plate.drawing.scale == 50


@pytest.mark.parametrize(("supply", "told"), [([1, -5], "6.73"), ([6, -2], "")])
def test_a_plate_that_does_not_show_the_supply_says_how_far_the_lead_goes(
    supply: list[float], told: str
) -> None:
    # from (1, -5) to (6, -0.5) is the root of 25 + 20.25
    loop = {"name": "main", "generator": {"at": [6, -0.5]}, "supply": {"at": supply, "lead": 9}}
    made_here = plates(handmade.plan(loops=[loop]), handmade.lay(), (), width_mm=89.5)
    (plate,) = (p for p in made_here if p.kind == "dock")
    far = [note for note in plate.notes if note == WORDS["plate.dock.far"].format(length=told)]
    assert len(far) == bool(told)


def test_the_dock_plate_shows_both_ends_and_the_straight_run() -> None:
    (plate,) = made()["dock"]
    texts = {i.text for i in plate.drawing.items if isinstance(i, Text)}
    assert {WORDS["label.tail.first"], WORDS["label.tail.last"], "1.00"} <= texts


def test_a_crossing_of_ground_without_a_name_is_under_nothing(example_plan: Path) -> None:
    """Neither its plate nor its label ends in a word that waits for another."""
    plan = load(example_plan)
    loops = tuple(
        loop.model_copy(
            update={
                "crossings": tuple(each.model_copy(update={"under": ""}) for each in loop.crossings)
            }
        )
        for loop in plan.loops
    )
    plan = plan.model_copy(update={"loops": loops})
    ends = tuple(WORDS[key].split("{under}")[0].split("}")[-1].strip() for key in UNDER)
    for plate in plates(plan, lay_plan(plan), ()):
        texts = [i.text for i in plate.drawing.items if isinstance(i, Text)]
        assert not any(text.endswith(ends) for text in (plate.title, *texts))


def test_only_a_straight_run_that_the_machine_needs_is_asked_for() -> None:
    plan = handmade.plan()
    for before, after, asked in (
        (1.0, 0.5, "straight for 0.50 after the start and 1.00 before the end."),
        (0.0, 0.5, "straight for 0.50 after the start."),
        (1.0, 0.0, "straight for 1.00 before the end."),
        (0.0, 0.0, ""),
    ):
        runs = {"straight_before": before, "straight_after": after}
        dock = plan.machine.dock.model_copy(update=runs)
        machine = plan.machine.model_copy(update={"dock": dock})
        given = plan.model_copy(update={"machine": machine})
        shown = plates(given, handmade.lay(), ())
        (told,) = (" ".join(plate.notes) for plate in shown if plate.kind == "dock")
        assert asked in told and ("straight" in told) is bool(asked) and "0.00" not in told


@pytest.mark.parametrize("kind", SETBACK_KINDS)
@pytest.mark.parametrize("setback", [0.08, 0.3, 1.0, 2.0])
def test_a_section_is_true_to_its_scale(kind: str, setback: float) -> None:
    drawing = section(kind, setback, "m", WORDS, width_mm=90.0, gauge="G1")
    assert drawing.scale is not None
    (wire,) = (i for i in drawing.items if isinstance(i, Circle) and i.role == "section-wire")
    assert wire.at[0] - LEFT_MM == pytest.approx(setback * 1000 / drawing.scale, abs=0.002)
    assert wire.at[1] - wire.radius_mm > ABOVE_MM, "the wire lies below the surface"
    assert drawing.width_mm <= 90.0
    assert faults(drawing) == []


def test_every_kind_with_a_setback_has_a_section() -> None:
    assert set(EDGES) == set(SETBACK_KINDS)


def proven(lay=None):  # type: ignore[no-untyped-def]
    return proof(
        handmade.plan(), lay or handmade.lay(), box_mm=(230, 180), inch_paper=False, words=WORDS
    )


def test_the_proof_tells_a_right_lay_from_a_wrong_one() -> None:
    right = proven()
    assert [v.right for v in right.verdicts] == [True]
    assert set(right.verdicts[0].mown) == {1}
    wrong = proven(island_the_wrong_way())
    assert [v.right for v in wrong.verdicts] == [False]
    assert "WRONG" in wrong.texts[0]


def island_the_wrong_way():  # type: ignore[no-untyped-def]
    lay = handmade.lay()
    loop = lay.loops[0]
    path = loop.path.copy()
    path[2:183] = path[2:183][::-1]
    return dataclasses.replace(lay, loops=(dataclasses.replace(loop, path=path),))


def test_the_proof_shades_mown_trimmed_and_kept_out_ground() -> None:
    shown = proven()
    assert {"proof.mown", "proof.trim", "proof.out"} <= shown.plan.used
    assert any(isinstance(i, Area) and i.role == "trim" for i in shown.plan.drawing.items)
    texts = [i.text for i in shown.plan.drawing.items if isinstance(i, Text)]
    assert sorted(texts) == ["+1", "0"]
    assert faults(shown.plan.drawing) == []


def test_a_thing_off_the_paper_is_left_out_of_the_proof() -> None:
    away = {"name": "Pond", "kind": "bed", "circle": {"at": [90.0, 90.0], "radius": 1.0}}
    plan = handmade.plan()
    far = type(plan.obstacles[0]).model_validate(away)
    more = plan.model_copy(update={"obstacles": (*plan.obstacles, far)})
    shown = proof(more, handmade.lay(), box_mm=(230, 180), inch_paper=False, words=WORDS)
    assert shown.plan.drawing.items == proven().plan.drawing.items
    assert all(item.points for item in shown.plan.drawing.items if isinstance(item, Line))


def test_plates_and_proof_of_plans_on_disk(any_plan: Path) -> None:
    plan = load(any_plan)
    lay = lay_plan(plan)
    for plate in plates(plan, lay, ()):
        assert faults(plate.drawing) == [], plate.title
    shown = proof(plan, lay, box_mm=(190, 240), inch_paper=False, words=WORDS)
    assert faults(shown.plan.drawing) == []
    assert all(found.right for found in shown.verdicts)


@pytest.mark.parametrize("side_mm", [60.0, 80.0, 100.0, 160.0])
def test_the_number_of_mown_ground_stands_on_it_or_its_leader_ends_there(side_mm: float) -> None:
    """The bed lies in the middle of the lawn, where the middle of the mown ground is too."""
    box = (side_mm, side_mm * 0.6)
    shown = proof(handmade.plan(), handmade.lay(), box_mm=box, inch_paper=False, words=WORDS)
    items = shown.plan.drawing.items
    (number,) = (i for i in items if isinstance(i, Text) and i.text == "+1")
    (bed,) = (i for i in items if isinstance(i, Line) and i.role == "out")
    leaders = [i.points for i in items if isinstance(i, Line) and i.role == "leader"]
    own = [end for start, end in leaders if math.dist(start, number.at) < 4.0]
    kept_out = Polygon(bed.points)
    assert not any(kept_out.contains(Point(at)) for at in own or [number.at])
    assert len({end for _, end in leaders}) == len(leaders)


@pytest.mark.parametrize("turn", [0.0, 90.0, 37.0])
def test_each_wire_of_a_pair_has_its_number_on_its_own_side(any_plan: Path, turn: float) -> None:
    """Out and back are on opposite hands of the pair, whichever way the sheet is turned."""
    plan = load(any_plan)
    lay = lay_plan(plan)
    shown = plates(plan, lay, (), width_mm=89.5, height_mm=78.0, rotation_deg=turn)
    islands = [plate for plate in shown if plate.kind == "island"]
    leads = [(loop, lead) for loop in lay.loops for lead in loop.leads if lead.kind == "lead"]
    for plate, (loop, lead) in zip(islands, leads, strict=True):
        out, back = (n for n, leg in enumerate(loop.legs, 1) if leg.part == lead.id)
        at = {
            int(item.text): item.at
            for item in plate.drawing.items
            if isinstance(item, Text) and item.role.startswith("label walk ")
        }
        if len(lead.points) > 2:
            continue
        (dx, dy) = np.diff(turned(lead.points, turn), axis=0)[0]
        left = np.array((-dy, -dx))  # of the way out, on paper, where y runs down
        hand = 1.0 if plan.machine.lay_direction == "anticlockwise" else -1.0
        found, other = (float(np.dot(left, at[number])) for number in (out, back))
        assert hand * (found - other) > 0.0, plate.title
