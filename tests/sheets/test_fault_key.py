"""The key of fault plates: it names what the drawing shows, and where, in the plan's unit."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely

from renderer.ground.lay import LoopLay
from renderer.job import Job
from renderer.language import load_words
from renderer.sheets import load_layout
from renderer.teaching.anonymous import anonymous_job
from renderer.teaching.plate import Coil, Plate, place_of
from renderer.teaching.plates import plates
from tests.checks.jobs import one_lawn, plan_of
from tests.shared import check_plan, compose, lay_plan
from tests.sheets.sample import all_text
from tests.sheets.test_fault_plates import IDS, PLANS, differing, made, printed, scale_of, wrong
from tests.sheets.test_teaching import taught


def plate_of(path: Path, key: str) -> Plate | None:
    return next((plate for plate in wrong(path) if plate.key == key), None)


def key_of(stem: str, paper: str = "A4") -> str:
    path = next(path for path in PLANS if path.stem.startswith(stem))
    return " ".join(printed(path, "fault-plates-key", paper).split())


@pytest.mark.parametrize("path", PLANS, ids=IDS)
def test_the_ring_of_a_wrong_setback_stands_on_the_wire_that_was_moved(path: Path) -> None:
    plate = plate_of(path, "wrong-setback")
    if plate is not None:
        moved = differing(taught(path).lay, plate.lay)["wire"]
        nearest = shapely.distance(moved, shapely.Point(place_of(plate)))
        assert nearest * 1000.0 / scale_of(path) < 1.0


@pytest.mark.parametrize("path", PLANS, ids=IDS)
def test_leftover_wire_lies_beside_a_straight_with_nothing_in_its_way(path: Path) -> None:
    """By the wire's own points about the place: straight, and no other mark on the coil."""
    plate, job, mm = plate_of(path, "coil"), taught(path), scale_of(path) / 1000.0
    if plate is None:
        assert "coil" in {each.key for each in made(path).skipped}
        return
    assert isinstance(plate.extra, Coil)
    loop, at_m = plate.extra.loop, plate.extra.at_m
    along = at_m + np.linspace(-2.5, 2.5, 11) * mm
    x, y = (np.interp(along, loop.at_m, loop.path[:, axis]) for axis in (0, 1))
    run = np.hypot(x[-1] - x[0], y[-1] - y[0])
    assert run == pytest.approx(5.0 * mm, rel=1e-6)
    assert place_of(plate) == pytest.approx((x[5], y[5]), abs=1e-6)
    hand = 1.0 if job.plan.machine.lay_direction == "anticlockwise" else -1.0
    way = np.array((x[-1] - x[0], y[-1] - y[0])) / run
    middle = shapely.Point(
        np.array((x[5], y[5])) + 3.6 * mm * hand * np.array((-way[1], way[0]))
    )  # the lawn is on the left of a wire that is laid anticlockwise
    grounds = [lawn.working for lawn in job.lay.lawns]
    assert any(ground.contains(middle) for ground in grounds)
    for each in job.lay.loops:
        for peg in (peg for peg in each.pegs if peg.control):
            assert middle.distance(shapely.Point(peg.x, peg.y)) > 3.5 * mm
        for thing in each.splices:
            assert middle.distance(shapely.Point(thing.x, thing.y)) > 3.5 * mm


def test_a_wire_turned_the_wrong_way_is_told_of_all_that_it_turns() -> None:
    """The key names each lawn and island that the check of the plate's own plan and lay names."""
    found = 0
    for path in PLANS:
        text = " ".join(printed(path, "fault-plates-key").split())
        for plate in wrong(path):
            if plate.key not in ("crossed-leads", "reversed-island", "reversed-lawn"):
                continue
            said = [
                each
                for each in check_plan(plate.plan, plate.lay)
                if each.rule in ("island-not-left-out", "lawn-wired-backwards")
            ]
            title = re.escape(load_words()(f"fault.{plate.key}", of=plate.of))
            told = re.search(rf"Plate \d+: {title}.*? Check: (.*?) Cure:", text)
            if told is not None and len(said) <= 5:  # of more, the first and how many more
                for each in said:
                    assert str(each.facts["name"]) in told[1]
                found += len(said) > 1
    assert found >= 2


def test_a_lawn_in_parts_has_one_name_on_the_drawing_and_in_the_check() -> None:
    """Old smithy's lawn is mown in two parts, which the drawing numbers."""
    text = key_of("old-smithy")
    assert "the wire runs round Lawn 2 in the wrong direction" in text
    assert "Check: Lawn 2 is wired backwards" in text
    assert re.search(r"the setback of the wrong kind at the fence side of Lawn 2", text)
    assert re.search(r"from the fence side of Lawn 2; it needs", text)


def test_a_side_is_told_by_the_points_at_its_ends() -> None:
    assert "the fence side of Lawn 2 from G to F" in key_of("old-smithy")


def test_each_answer_says_how_it_is_put_right() -> None:
    """Pegs left out are driven; a splice without contact is found by the meter and made again."""
    text = key_of("practice-lawn")
    assert "Drive the pegs that are missing." in text
    smithy = key_of("old-smithy")
    assert "Measure across each splice of the loop and make the bad one again." in smithy


def test_a_key_in_feet_has_feet_alone_and_fractions_as_the_plates_have_them() -> None:
    text = key_of("quarry-lane", "Letter")
    assert '(¼" at the most)' in text
    assert not re.search(r"\d mm\b|\d/\d", text.partition("Marking grid")[0])


def test_a_name_that_says_what_a_thing_is_is_not_followed_by_it_again() -> None:
    text = key_of("quarry-lane", "Letter")
    assert "Check: Buried cable crosses the wire and no date of locating it is given." in text


@pytest.mark.parametrize("path", PLANS, ids=IDS)
def test_where_a_dock_or_splice_was_no_control_peg_is_left(path: Path) -> None:
    """Two tapes are not given for a peg of a dock that stands elsewhere."""
    job = taught(path)
    for plate in wrong(path):
        if plate.key == "dock-in-corner":
            loops = zip(job.lay.loops, plate.lay.loops, strict=True)
            for sound, laid in loops:
                if laid.start != sound.start:
                    (peg,) = (p for p in laid.pegs if (p.x, p.y) == pytest.approx(sound.start))
                    assert not peg.control
                at_splices = [[p.control for p in loop.pegs if p.reason == "splice"]
                              for loop in (sound, laid)]  # fmt: skip
                assert sorted(at_splices[0]) == sorted(at_splices[1])
        if plate.key == "splice-in-lead":
            for sound, laid in zip(job.lay.loops, plate.lay.loops, strict=True):
                gone = [s for s in sound.splices if s not in laid.splices]
                held = [
                    peg
                    for peg in laid.pegs
                    for splice in gone
                    if peg.reason == "splice" and np.hypot(peg.x - splice.x, peg.y - splice.y) < 0.2
                ]
                assert not any(peg.control for peg in held)
                assert len(held) == 2 * len(gone)


@pytest.mark.parametrize("path", PLANS, ids=IDS)
def test_what_comes_with_a_mistake_is_right_too(path: Path) -> None:
    """What else the whole check finds of a plate's lay, but for how pegs are taped."""
    job = taught(path)
    before = {(each.rule, each.about) for each in job.findings}
    for plate in wrong(path):
        found = {
            (each.rule, each.about)
            for each in check_plan(plate.plan, plate.lay)
            if each.level != "note" and not each.rule.startswith(("pegs-far", "references-"))
        }
        told = {(each.rule, each.about) for each in (*plate.findings, *plate.also)}
        assert found - before == told, plate.key


def test_a_dock_set_on_a_slope_by_its_plate_is_told_by_the_key() -> None:
    """The square corners lie on a slope of 30 percent, the dock beside it."""
    plan = plan_of(sloped())
    job = anonymous_job(Job.known(plan, lay_plan(plan), ()), load_words(), 1)
    (plate,) = (p for p in plates(job, load_words(), 100.0).plates if p.key == "dock-in-corner")
    assert {each.rule for each in plate.also} == {"dock-on-slope"}
    text = " ".join(all_text(compose([job], load_layout("fault-plates-key"))).split())
    assert re.search(
        r"Right as well, if it is named: The dock of loop main stands on Slope \d, a slope of 30 %",
        text,
    )


def sloped() -> dict[str, Any]:
    """A lawn whose left end is steep, with a corner at each end of it."""
    plan = one_lawn()
    plan["features"] = [
        {"name": "Bank", "kind": "slope", "percent": 30.0,
         "polygon": [[0, 0], [4, 0], [4, 14], [0, 14]]},
        {"name": "Bank too", "kind": "slope", "percent": 30.0,
         "polygon": [[20, 0], [24, 0], [24, 14], [20, 14]]},
    ]  # fmt: skip
    return plan


@pytest.mark.parametrize("path", PLANS, ids=IDS)
def test_a_peg_on_a_service_stands_clear_of_the_next(path: Path) -> None:
    """By two millimetres of paper, so that it can be told from the wire."""
    plate = plate_of(path, "peg-on-service")
    if plate is not None:
        for loop in plate.lay.loops:
            pegs = np.array([peg.at_m for peg in loop.pegs])
            for at in stations(loop, place_of(plate)):
                others = np.abs(pegs[np.abs(pegs - at) > 1e-6] - at)
                assert others.min() * 1000.0 >= 2.0 * scale_of(path)


def stations(loop: LoopLay, at: tuple[float, float]) -> list[float]:
    """Running distances of the pegs at a place."""
    return [peg.at_m for peg in loop.pegs if np.hypot(peg.x - at[0], peg.y - at[1]) < 1e-3]


def test_a_crew_is_not_told_to_do_what_a_planner_does() -> None:
    """A peg driven into a strip is left alone and told of; a passage is closed by the wire."""
    quarry = key_of("quarry-lane")
    assert "Cure: Set the pegs clear of the strip. If one has been driven into it, stop" in quarry
    assert "Move the corner, the dock, the splice" not in quarry
    for path in PLANS:
        if plate_of(path, "left-open") is not None:
            text = " ".join(printed(path, "fault-plates-key").split())
            told = text.partition("left open between")[2]
            assert "the edge of Lawn" in told[:60] or " and " in told[:60]
            assert "Cure: Close the passage as the sound plate has it" in told


def test_a_dry_splice_is_read_against_what_the_loop_reads_whole() -> None:
    text = key_of("old-smithy")
    reads = re.search(r"loop main reads ([\d.]+) Ω;", text)
    whole = re.search(r"Whole, it reads ([\d.]+) Ω to ([\d.]+) Ω\.", text)
    assert reads is not None and whole is not None
    assert float(reads[1]) > float(whole[2]) > float(whole[1])


@pytest.mark.parametrize("path", PLANS, ids=IDS)
def test_the_ring_of_a_pair_that_lies_apart_stands_between_its_wires(path: Path) -> None:
    plate = plate_of(path, "leads-apart")
    if plate is not None:
        at = shapely.Point(place_of(plate))
        job = taught(path)
        lines = [[shapely.linestrings(loop.path) for loop in lay.loops]
                 for lay in (job.lay, plate.lay)]  # fmt: skip
        sound = min(float(line.distance(at)) for line in lines[0])
        moved = [differing(job.lay, plate.lay)["wire"]]
        near = [float(shapely.distance(each, at)) for each in moved]  # type: ignore[call-overload]
        assert sound > 0.1 and near[0] == pytest.approx(sound, rel=0.25)
