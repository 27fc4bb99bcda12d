"""Fault plates: one fact is wrong, it can be found, and nothing else tells where it is."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest
import shapely

from renderer.drawing.lessons import Lesson, lesson
from renderer.ground.lay import Lay, LoopLay, Point
from renderer.job import Job
from renderer.language import load_words
from renderer.output.recorder import record
from renderer.plan import load
from renderer.primitives import Circle, Document, Field, Line, Primitive, Text
from renderer.sheets import load_layout
from renderer.sheets.blocks.fault_plates import SHOW, extras
from renderer.sheets.blocks.furniture import drawing_words
from renderer.sheets.sheet import Sheet
from renderer.teaching.anonymous import anonymous_job
from renderer.teaching.plate import BY_READING, SOUND, TRIPS, Plate, swapped
from renderer.teaching.plates import Plates, plates
from tests.checks.jobs import plan_of, sharp
from tests.plans import demo_plans, example_plans
from tests.shared import check_plan, compose, exercises, job_of, lay_plan
from tests.sheets.sample import all_text
from tests.sheets.test_teaching import secret, sheet, taught

PLANS = [*demo_plans(), *example_plans()]
SCALE = {
    "practice-lawn.plan": 100.0,
    "quarry-lane.plan": 125.0,
    "hollin-park.plan": 1000.0,
    "orchard-hall.plan": 1000.0,
}
IDS = [path.stem for path in PLANS]


def scale_of(path: Path) -> float:
    return SCALE.get(path.stem, 200.0)


@lru_cache
def made(path: Path) -> Plates:
    return plates(taught(path), load_words(), scale_of(path))


@lru_cache
def printed(path: Path, layout: str, paper: str = "A4") -> str:
    """What a layout prints of a plan, printed once for all tests that read it."""
    document = compose([taught(path)], load_layout(layout), paper=paper)
    return all_text(document).replace("\xa0", " ")


def wrong(path: Path) -> tuple[Plate, ...]:
    return tuple(plate for plate in made(path).plates if plate.key != SOUND)


@pytest.mark.parametrize("path", PLANS, ids=IDS)
def test_each_mistake_trips_its_check_and_the_garden_without_it_none(path: Path) -> None:
    job = taught(path)
    clean = {finding.rule for finding in check_plan(job.plan, job.lay)}
    found = wrong(path)
    assert len({plate.key for plate in found}) == len(found) >= 6
    for plate in found:
        rules = {finding.rule for finding in check_plan(plate.plan, plate.lay)}
        assert not clean & TRIPS[plate.key]
        assert bool(rules & TRIPS[plate.key]) == bool(TRIPS[plate.key]), plate.key


@pytest.mark.parametrize("path", PLANS, ids=IDS)
def test_one_plate_is_sound_and_its_place_says_nothing(path: Path) -> None:
    job = taught(path)
    (sound,) = (plate for plate in made(path).plates if plate.key == SOUND)
    assert sound.lay is job.lay and sound.plan is job.plan and sound.shows == ()


def test_the_sound_plate_does_not_always_stand_at_one_place() -> None:
    """Counted from the first plate and from the last; a small garden has as many places for it."""
    path = next(path for path in demo_plans() if path.stem.startswith("practice"))
    found = [
        [plate.key for plate in plates(job, load_words(), 200.0).plates]
        for job in exercises(load(path), 6, 5)
    ]
    assert min(len(keys) for keys in found) >= 6
    for places in (
        {keys.index(SOUND) for keys in found},
        {keys[::-1].index(SOUND) for keys in found},
    ):
        assert len(places) > 1


def test_every_mistake_is_made_somewhere_or_its_lack_explained() -> None:
    keys = {plate.key for path in PLANS for plate in wrong(path)}
    away = set() if example_plans() else {"left-open"}  # no passage is closed in the demo's gardens
    assert set(TRIPS) - {"sharp-corner"} - away <= keys
    words = load_words()
    for path in PLANS:
        found = made(path)
        skipped = {each.key for each in found.skipped}
        assert skipped | {plate.key for plate in wrong(path)} == set(TRIPS)
        for each in found.skipped:
            assert words(f"lesson.skip.{each.why}", scale="1:200")


# What a lay holds, taken apart without the code that makes the mistakes.


def wires(loop: LoopLay) -> shapely.Geometry:
    return shapely.linestrings(loop.path)


def off_wire(one: LoopLay, two: LoopLay) -> shapely.Geometry:
    """Where one wire runs and the other does not."""
    near = shapely.buffer(wires(two), 2e-3)
    return shapely.difference(wires(one), near)


def differing(sound: Lay, spoilt: Lay) -> dict[str, object]:
    """What differs of two lays, by kind: wire, starts, pegs, splices, legs' order and hand."""
    found: dict[str, object] = {}
    for one, two in zip(sound.loops, spoilt.loops, strict=True):
        moved = shapely.union_all([off_wire(one, two), off_wire(two, one)])
        if not moved.is_empty:
            found["wire"] = moved
        if not np.allclose(one.start, two.start, atol=1e-6):
            found["start"] = two.start
        for kind in ("pegs", "splices"):
            places = [[(p.x, p.y) for p in getattr(loop, kind)] for loop in (one, two)]
            odd = [*alone(*places), *alone(*places[::-1])]
            if odd:
                found[kind] = odd
        hands = [hand(loop) for loop in (one, two)]
        if hands[0] != hands[1]:
            found["ways"] = {name for name in hands[0] if hands[0][name] != hands[1].get(name)}
    return found


def alone(some: list[Point], others: list[Point]) -> list[Point]:
    """Places that lie 3 mm or more from all of the others."""
    if not others:
        return some
    near = np.array(others)
    return [at for at in some if np.hypot(*(near - at).T).min() > 3e-3]


def hand(loop: LoopLay) -> dict[str, bool]:
    """Each ring by name, and whether the walk goes round it anticlockwise."""
    ways = {}
    for ring in loop.rings:
        at = [leg.from_m + leg.length_m * share for leg in loop.legs if leg.part == ring.id
              for share in np.linspace(0.05, 0.95, 25)]  # fmt: skip
        x, y = (np.interp(at, loop.at_m, loop.path[:, axis]) for axis in (0, 1))
        area = float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))
        ways[f"{ring.kind} {ring.of} {round(abs(float(ring.points[:, 0].mean())), 0)}"] = area > 0
    return ways


ALLOWED = {
    "crossed-leads": {"ways"},
    "reversed-island": {"ways"},
    "reversed-lawn": {"ways"},
    "leads-apart": {"wire"},
    "dead-gap": {"wire", "pegs", "ways"},
    "left-open": {"wire", "pegs", "ways"},
    "splice-in-lead": {"splices"},
    "wrong-setback": {"wire", "pegs", "ways"},
    "dock-in-corner": {"start"},
    "peg-on-service": {"pegs"},
    "pegs-apart": {"pegs"},
    "not-located": set(),
    "coil": set(),
    "terminals": set(),
    "dry-splice": set(),
}


@pytest.mark.parametrize("path", PLANS, ids=IDS)
def test_a_plate_s_lay_differs_in_one_fact_only(path: Path) -> None:
    job = taught(path)
    for plate in wrong(path):
        found = differing(job.lay, plate.lay)
        assert set(found) <= ALLOWED[plate.key], (plate.key, found)
        if ALLOWED[plate.key]:
            assert found, plate.key
        if plate.key == "splice-in-lead":
            assert len(found["splices"]) <= 2  # type: ignore[arg-type]
        if plate.key in ("peg-on-service",):
            assert len(found["pegs"]) == 2  # type: ignore[arg-type]


@pytest.mark.parametrize("path", PLANS, ids=IDS)
def test_a_setback_that_is_wrong_moves_the_wire_along_one_side(path: Path) -> None:
    """No lead pair leaves elsewhere, and what moved lies along a line."""
    job = taught(path)
    for plate in wrong(path):
        if plate.key == "wrong-setback":
            leads = [[lead.points.tolist() for lead in loop.leads] for loop in job.lay.loops]
            assert leads == [
                [lead.points.tolist() for lead in loop.leads] for loop in plate.lay.loops
            ]
            moved = differing(job.lay, plate.lay)["wire"]
            box = shapely.minimum_rotated_rectangle(moved)  # type: ignore[call-overload]
            sides = sorted(np.hypot(*np.diff(shapely.get_coordinates(box)[:3], axis=0).T))
            assert sides[0] < 1.6 and sides[1] > 3 * sides[0]


# What is drawn.


@lru_cache
def board(job: Job, scale: float) -> Lesson:
    box = (400.0, 400.0)
    if scale > 500:
        box = (160.0, 160.0)
    made_of: Sheet = sheet(job)
    return lesson(
        job.plan, job.lay,
        box_mm=box, inch_paper=False, words=drawing_words(made_of), show=SHOW,
    )  # fmt: skip


def drawn(job: Job, plate: Plate | None, scale: float) -> tuple[Primitive, ...]:
    found = board(job, scale).drawing(
        swapped(plate) if plate else {}, extras(plate, ring=False) if plate else None
    )
    return found.drawing.items


def test_wires_of_a_pair_that_cross_are_seen_to_cross() -> None:
    """Over the pair, on 1.2 mm of paper or more, and with no peg and no arrow on the crossing."""
    found = 0
    for path in PLANS:
        for plate in (each for each in wrong(path) if each.key == "crossed-leads"):
            items = drawn(taught(path), plate, scale_of(path))
            roles = [getattr(each, "role", "") for each in items]
            first = roles.index("crossed")
            strokes = [each for each in items if getattr(each, "role", "") == "crossed"]
            one, two = (shapely.LineString(each.points) for each in strokes)  # type: ignore[union-attr]
            assert one.crosses(two) and one.length >= 1.2
            assert "pair" not in roles[first:]
            at = one.intersection(two)
            for each in items[first:]:
                if isinstance(each, Circle):
                    assert at.distance(shapely.Point(each.at)) > each.radius_mm, path.stem
                elif isinstance(each, Line) and each.closed:
                    assert shapely.Polygon(each.points).distance(at) > 0.2, path.stem
            found += 1
    assert found >= (6 if example_plans() else 4)


@pytest.mark.parametrize("path", PLANS, ids=IDS)
def test_no_two_plates_of_a_garden_show_the_same(path: Path) -> None:
    """By the drawing where that has the mistake, by its key where only the readings do."""
    job = taught(path)
    shown = [
        tuple(as_text(drawn(job, plate, scale_of(path))))
        for plate in made(path).plates
        if plate.key not in BY_READING
    ]
    assert len(set(shown)) == len(shown)


@pytest.mark.parametrize("path", PLANS, ids=IDS)
def test_the_way_of_a_wire_that_runs_wrong_is_seen_by_its_arrows(path: Path) -> None:
    job = taught(path)
    sound = set(as_text(drawn(job, None, scale_of(path))))
    for plate in wrong(path):
        if plate.key in ("crossed-leads", "reversed-island", "reversed-lawn"):
            items = drawn(job, plate, scale_of(path))
            new = [
                number
                for number, text in enumerate(as_text(items))
                if text not in sound
                and getattr(items[number], "closed", False)
                and getattr(items[number], "ink", "") == "wire"
            ]
            assert new, plate.key
            pegs = [number for number, each in enumerate(items) if is_peg(each)]
            assert max(pegs) < min(new), plate.key
            if plate.key == "reversed-island":
                heads = [shapely.MultiPoint(items[number].points) for number in new]  # type: ignore[union-attr]
                assert max(head.minimum_rotated_rectangle.length for head in heads) > 10.0


@pytest.mark.parametrize("path", PLANS, ids=IDS)
def test_an_island_in_the_wrong_direction_has_room_for_an_arrow_between_its_pegs(
    path: Path,
) -> None:
    """A leg of its ring is 16 mm or longer on paper, and none of the other islands has a longer."""
    job = taught(path)
    for plate in (each for each in wrong(path) if each.key == "reversed-island"):
        longest = {
            lead.of: max(leg.length_m for leg in loop.legs if leg.part == lead.to_ring)
            for loop in job.lay.loops
            for lead in loop.leads
            if lead.length_m * 1000.0 >= 6.0 * scale_of(path)
            and any(ring.id == lead.to_ring for ring in job.islands)
        }
        assert longest[plate.of] * 1000.0 >= 16.0 * scale_of(path)
        assert longest[plate.of] == pytest.approx(max(longest.values()), abs=1e-3)


def test_what_the_check_says_of_the_garden_itself_is_not_to_be_found() -> None:
    """It stands on the first page of both sheets, where the rest is then not said to be sound."""
    smithy = next(path for path in demo_plans() if path.stem.startswith("old-smithy"))
    mown = "The machine mows 4.2 m² of Play equipment, where children play."
    sentence = "Everything else on a plate is as it should be."
    for layout in ("fault-plates", "fault-plates-key"):
        text = " ".join(printed(smithy, layout).split())
        assert "In the garden itself, and not a mistake to find" in text and mown in text
        assert "as it should be" not in text
    clean = next(path for path in demo_plans() if path.stem.startswith("practice"))
    text = " ".join(printed(clean, "fault-plates").split())
    assert sentence in text and "not a mistake to find" not in text


def test_a_garden_that_is_stopped_says_so_on_its_plates() -> None:
    clean = next(path for path in demo_plans() if path.stem.startswith("practice"))
    plan = taught(clean).plan
    machine = plan.machine.model_copy(update={"loop_max": 10.0})
    job = job_of(plan.model_copy(update={"machine": machine}))
    (stop,) = {each.rule for each in job.findings if each.level == "stop"}
    assert stop == "loop-too-long"
    text = " ".join(all_text(compose([job], load_layout("fault-plates"))).split())
    told = text.partition("In the garden itself, and not a mistake to find")[2]
    assert "over the limit of 10.00 m" in told.partition("Figures of the machine")[0]


def is_peg(item: Primitive) -> bool:
    return str(getattr(item, "id", "") or "").startswith("peg-")


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("path", PLANS, ids=IDS)
def test_plates_fill_their_pages(path: Path, paper: str) -> None:
    """Each page but the first and the last is written on down to two thirds of it."""
    document = compose([job_of(load(path))], load_layout("fault-plates"), paper=paper)
    for page in document.pages[1:-1]:
        fields = [item for item in record(Document((page,), "")) if isinstance(item.item, Field)]
        lowest = max(each.item.at[1] + each.item.height_mm for each in fields)
        assert lowest >= 0.68 * page.height_mm


@pytest.mark.parametrize("path", PLANS, ids=IDS)
def test_names_without_room_on_a_plate_stand_under_it(path: Path) -> None:
    """What a key may name is found on the page of each plate, on the drawing or below it."""
    job = taught(path)
    document = compose([job_of(load(path))], load_layout("fault-plates"))
    islands = {name for ring in job.islands for name in ring.of.split(" + ")}
    for page in document.pages[2:]:
        shown = all_text(Document((page,), "")).replace("\xa0", " ")
        for name in islands:
            assert re.search(rf"\b{re.escape(name)}\b", " ".join(shown.split())), name


def test_a_small_garden_has_two_plates_a_page() -> None:
    path = next(path for path in demo_plans() if path.stem.startswith("practice"))
    for paper in ("A4", "Letter"):
        document = compose([job_of(load(path))], load_layout("fault-plates"), paper=paper)
        assert len(document.pages) <= 1 + len(made(path).plates) / 2


NAMED = ("label feature", "label obstacle", "label lawn", "label side", "label dimension")


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("path", PLANS, ids=IDS)
def test_no_name_stands_on_the_wire_of_any_plate(path: Path, paper: str) -> None:
    document = compose([job_of(load(path))], load_layout("fault-plates"), paper=paper)
    for page in document.pages:
        shown = record(Document((page,), ""))
        names = [text for text in shown if text.kind == "text" and text.role.startswith(NAMED)]
        lines = [thing.item for thing in shown if thing.role == "wire"]
        wires = [shapely.LineString(item.points) for item in lines if isinstance(item, Line)]
        shapes = [shapely.Polygon(name.corners).buffer(-0.2) for name in names]
        if shapes:
            found = shapely.STRtree(wires).query(shapes, predicate="intersects")[0]
            assert {names[number].text for number in found.tolist()} == set()


def as_text(items: tuple[Primitive, ...]) -> list[str]:
    return [repr(item) for item in items]


@pytest.mark.parametrize("path", PLANS, ids=IDS)
def test_all_that_is_drawn_is_the_same_but_for_the_mistake(path: Path) -> None:
    job = taught(path)
    sound = drawn(job, None, scale_of(path))
    for plate in wrong(path):
        items = drawn(job, plate, scale_of(path))
        before, after = as_text(sound), as_text(items)
        gone = [each for each, text in zip(sound, before, strict=True) if text not in set(after)]
        new = [each for each, text in zip(items, after, strict=True) if text not in set(before)]
        assert not any(isinstance(each, Text) for each in (*gone, *new)), plate.key
        if plate.key in BY_READING:
            assert not gone and not new
            continue
        assert new or gone, plate.key
        wire = [each for each in gone if isinstance(each, Line) and each.role == "wire"]
        assert len(wire) <= len(job.lay.loops)
        others = [each for each in (*gone, *new) if getattr(each, "role", "") != "wire"]
        share = len(others) / len(items)
        assert share < 0.35, (plate.key, share)


@pytest.mark.parametrize("path", PLANS, ids=IDS)
def test_labels_of_what_a_mistake_moves_are_on_no_plate(path: Path) -> None:
    texts = [
        item.text for item in drawn(taught(path), None, scale_of(path)) if isinstance(item, Text)
    ]
    assert texts
    assert not [text for text in texts if re.match(r"2 x|2 ×|S\d|Dock", text)]


@pytest.mark.parametrize("path", PLANS, ids=IDS)
def test_a_mistake_is_large_enough_to_be_seen(path: Path) -> None:
    """What is moved lies a millimetre and a half or more off where it was, on paper."""
    job, mm = taught(path), 1000.0 / scale_of(path)
    for plate in wrong(path):
        found = differing(job.lay, plate.lay)
        if "wire" in found:
            both = [shapely.union_all([wires(loop) for loop in lay.loops])
                    for lay in (job.lay, plate.lay)]  # fmt: skip
            assert shapely.hausdorff_distance(*both) * mm >= 1.49, plate.key
        if plate.key == "pegs-apart":
            gaps = [
                np.diff([peg.at_m for peg in loop.pegs]).max(initial=0.0)
                for loop in plate.lay.loops
            ]
            assert max(gaps) >= 3 * job.plan.machine.peg_spacing.final - 1e-6
            assert max(gaps) * mm >= 3.0


@pytest.mark.parametrize("path", PLANS, ids=IDS)
def test_a_peg_driven_onto_a_service_stands_on_it_and_no_other_does(path: Path) -> None:
    job = taught(path)
    lines = [
        shapely.linestrings(np.array(each.line))
        for each in job.plan.features
        if each.kind.startswith("buried") and each.line
    ]
    for plate in wrong(path):
        near = [
            min((float(line.distance(shapely.Point(p.x, p.y))) for line in lines), default=9.0)
            for loop in plate.lay.loops
            for p in loop.pegs
        ]
        assert sum(each < 0.01 for each in near) == (plate.key == "peg-on-service")


def test_a_corner_that_the_machine_wants_cut_off_is_left_sharp_and_nothing_else() -> None:
    # at (30, 14) sides from (24, 0) and to (0, 14) meet: cos = 180 / (30 x root of 232)
    plan = plan_of(sharp())
    job = anonymous_job(Job.known(plan, lay_plan(plan), ()), load_words(), 1)
    (plate,) = (p for p in plates(job, load_words(), 200.0).plates if p.key == "sharp-corner")
    angle = np.degrees(np.arccos(180.0 / (30.0 * np.sqrt(232.0))))
    assert least_angle(plate.lay) == pytest.approx(angle, abs=0.05)
    assert least_angle(job.lay) >= 80.0 - 1e-6
    found = differing(job.lay, plate.lay)
    assert set(found) <= {"wire", "pegs", "ways"}
    moved = shapely.get_coordinates(found["wire"])
    assert np.hypot(*(moved - (30.0, 14.0)).T).max() < 2.5
    assert plate.findings[0].rule == "corner-too-sharp"


def least_angle(lay: Lay) -> float:
    """The sharpest angle, in degrees, at a vertex of the outer rings."""
    found = []
    for ring in (each for loop in lay.loops for each in loop.rings if each.kind == "outer"):
        steps = np.diff(np.concatenate((ring.points, ring.points[1:2])), axis=0)
        steps = steps[np.hypot(*steps.T) > 1e-6]
        heading = np.arctan2(steps[:, 1], steps[:, 0])
        turn = np.abs((np.diff(heading) + np.pi) % (2 * np.pi) - np.pi)
        found.append(180.0 - np.degrees(turn).max())
    return float(min(found))


def test_a_service_that_nobody_located_stands_in_the_record_of_one_plate() -> None:
    path = next(p for p in PLANS if p.stem.startswith("quarry-lane"))
    text = " ".join(printed(path, "fault-plates").split())
    plates_told = len(set(re.findall(r"Plate (\d+)", text)))
    assert text.count("no marks found") == 1
    assert text.count("its marks seen before the first peg") == plates_told - 1


# What is printed.


@pytest.mark.parametrize("path", PLANS, ids=IDS)
def test_readings_beside_a_plate_are_whole_but_where_they_are_the_mistake(path: Path) -> None:
    """By a reader of the printed sheet: its bands, then each plate's readings against them."""
    job = taught(path)
    text = " ".join(printed(path, "fault-plates").split())
    bands = {
        name: (float(low), float(high))
        for name, low, high in re.findall(r"Loop (\S+) reads, whole ([\d.]+) Ω to ([\d.]+) Ω", text)
    }
    assert set(bands) == {loop.name for loop in job.lay.loops}
    parts = re.split(r"Plate \d+ ", text)[1:]
    bad, outside = [], []
    for number, part in enumerate(parts):
        readings = re.findall(r"loop (\S+) reads ([\d.]+) Ω", part)
        assert len(readings) == len(bands)
        bad += [
            number for name, ohm in readings if not bands[name][0] <= float(ohm) <= bands[name][1]
        ]
        outside += [number] * part.count("shows: outside")
    spliced = any(loop.splices for loop in job.lay.loops)
    assert len(bad) == int(spliced)
    assert len(outside) == 1 and not set(bad) & set(outside)


@pytest.mark.parametrize("path", PLANS, ids=IDS)
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_key_has_a_place_for_each_plate_and_names_the_sound_one(path: Path, paper: str) -> None:
    told = [printed(path, layout, paper) for layout in ("fault-plates", "fault-plates-key")]
    numbers = [sorted({int(n) for n in re.findall(r"Plate (\d+)", text)}) for text in told]
    assert numbers[0] == numbers[1]
    assert "no mistake" in told[1] and "no mistake" not in told[0]
    assert "part of the garden" not in told[0]


def test_a_plan_without_any_wire_has_no_plates_and_no_fault_of_ours() -> None:
    job = secret()
    bare = Job.known(job.plan, replace(job.lay, loops=()), job.findings, english=job.plan)
    assert plates(bare, load_words(), 100.0) == Plates((), ())


@pytest.mark.parametrize("path", PLANS, ids=IDS)
def test_a_class_has_plates_at_every_scale(path: Path) -> None:
    """Other sizes and shapes bring no mistake that the engine cannot make."""
    for job, scale in zip(exercises(load(path), 3, 3), (50.0, 200.0, 1000.0), strict=True):
        keys = [plate.key for plate in plates(job, load_words(), scale).plates]
        assert len(set(keys)) == len(keys) and SOUND in keys
