"""Teaching sheets: keys that reckon right, exercises that differ, files that give nothing away."""

from __future__ import annotations

import io
import math
import re
from functools import lru_cache
from pathlib import Path
from typing import TypeGuard

import numpy as np
import pymupdf
import pypdf
import pytest
from shapely import Point, Polygon

import renderer
from renderer.drawing.lessons import drawing_part
from renderer.drawing.scale import Fit
from renderer.ground.sides import numbered_sides
from renderer.job import Job
from renderer.language import load_words
from renderer.plan import load, loads
from renderer.plan.model import Plan
from renderer.primitives import Document, Field, Line, Page, Text
from renderer.sheets import SheetError, load_layout
from renderer.sheets.measure import Measure
from renderer.sheets.sheet import Sheet
from renderer.sheets.tasks import ground_of, tasks
from renderer.teaching import practice
from renderer.teaching.anonymous import anonymous_job
from renderer.teaching.arithmetic import Step, evaluate
from renderer.teaching.meter import meter_practice
from renderer.teaching.variants import exercises
from tests.drawing import handmade
from tests.plans import ROOT, demo_plans, example_plans
from tests.shared import check_plan, compose, job_of, lay_plan, print_sheets
from tests.sheets.sample import all_text

LAYOUTS = ("exercise", "exercise-key", "fault-plates", "fault-plates-key")
PRIVATE = (
    "QQNAME", "555-0199", "QQSITE", "QQACCESS", "QQNOTE", "QQTITLE", "QQNUMBER", "QQCREW",
    "QQASKED", "QQMACHINE", "QQPOINT", "QQWHAT", "QQLAWN", "QQBED", "QQSOCKET", "QQPATH", "QQBY",
    "QQREASON", "QQLOOP", "QQMOUNT",
)  # fmt: skip
SECRET = """
plan: 1
units: m
job: {number: QQNUMBER, title: QQTITLE, crew: QQCREW, site: [QQSITE], access: QQACCESS,
      customer: {name: QQNAME, phone: 555-0199}, notes: [QQNOTE], services_asked: QQASKED}
machine:
  label: QQMACHINE
  setback: {wall: 0.3, flush: 0.1, bed: 0.3}
  passage_min: 1
  loop_max: 400
survey: {points: [{name: QQPOINT, at: [0, 0], what: QQWHAT}, {name: QQPOINT2, at: [16, 0]}]}
lawns:
  - name: QQLAWN
    loop: QQLOOP
    outline: [[0, 0, flush], [16, 0, wall], [16, 9, wall], [0, 9, wall]]
obstacles: [{name: QQBED, kind: bed, circle: {at: [8, 5], radius: 1}}]
features:
  - {name: QQSOCKET, kind: socket, at: [4, -0.4], protected: true, outdoor: true}
  - {name: QQPATH, kind: paving, polygon: [[0, -1], [16, -1], [16, -0.1], [0, -0.1]]}
loops:
  - {name: QQLOOP, generator: {at: [4, 0.3], mounted: QQMOUNT}, supply: {at: [4, -0.4], lead: 3}}
wire: {conductor_mm2: 0.75, spools: [40, 60]}
acknowledged: [{rule: lawn-pinched, by: QQBY, reason: QQREASON}]
"""


@lru_cache
def taught(path: Path) -> Job:
    """A plan file as a class sees it."""
    plan = load(path)
    lay = lay_plan(plan)
    return anonymous_job(Job.known(plan, lay, ()), load_words(), 1)


def sheet(job: Job) -> Sheet:
    words = load_words()
    measure = Measure(job.plan.units, words)
    return Sheet(job, words, measure, load_layout("exercise-key"), 190.0, 230.0, False)


def steps(job: Job) -> list[Step]:
    return [step for task in tasks(sheet(job)) for step in task.steps]


PLANS = [*demo_plans(), *example_plans()]


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
def test_every_result_is_the_lay_s_own_and_its_arithmetic_gives_it(path: Path) -> None:
    found = steps(taught(path))
    assert len(found) > 20
    for step in found:
        assert step.agrees, (step.key, step.numbers, step.result.text, step.laid)
        if step.formula:
            plain = plain_value(step.numbers)
            assert abs(plain - step.result.value) <= 0.5000001 * 10.0**-step.decimals, step.numbers


def plain_value(numbers: str) -> float:
    """The printed arithmetic by Python's own, not by the reader that the sheets use."""
    for sign, plain in (("×", "*"), ("÷", "/"), ("−", "-"), ("²", "**2"), ("√", "math.sqrt")):
        numbers = numbers.replace(sign, plain)
    numbers = re.sub(r"\b(sin|cos|tan)\(([\d.]+)\)", r"math.\1(math.radians(\2))", numbers)
    names = {
        "math": math,
        "π": math.pi,
        "up": lambda value: math.ceil(value - 1e-9),
        "down": lambda value: math.floor(value + 1e-9),
    }
    return float(eval(numbers, {"__builtins__": {}}, names))


def test_the_sums_of_the_key_are_figures_of_the_lay() -> None:
    job = taught(next(path for path in demo_plans() if path.stem.startswith("quarry")))
    laid = {step.key: step.laid for step in steps(job)}
    (loop,) = job.lay.loops
    assert laid["wire"] * metres_of(job) == pytest.approx(loop.length_m, abs=1e-6)
    assert laid["pegs.total"] == len(loop.pegs)
    assert laid["pegs.first-total"] == sum(peg.round == 1 for peg in loop.pegs)
    assert laid["ohm.loop"] == pytest.approx(loop.resistance_ohm)


def metres_of(job: Job) -> float:
    return 0.3048 if job.plan.units == "ft" else 1.0


@pytest.mark.parametrize("text", ["__import__('os')", "1 if 2 else 3", "a + 1", "(1"])
def test_what_is_no_arithmetic_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="no arithmetic"):
        evaluate(text)


def practice_lawn() -> Plan:
    return load(next(path for path in demo_plans() if path.stem.startswith("practice")))


def pdf_text(data: bytes) -> list[str]:
    return [page.get_text() for page in pymupdf.open(stream=data, filetype="pdf")]


@lru_cache
def printed_class() -> tuple[bytes, bytes]:
    return renderer.print_class(practice_lawn(), 12, seed=7)


def test_a_class_of_twelve_has_twelve_different_exercises_and_keys() -> None:
    jobs = exercises(practice_lawn(), "en", 12, 7)
    assert len({job.digest for job in jobs}) == 12
    assert len({round(job.wire_m, 2) for job in jobs}) == 12
    for job in jobs:
        assert not [f for f in check_plan(job.plan, job.lay) if f.level == "stop"]
        assert all(step.agrees for step in steps(job))
    for text in ("\n".join(pdf_text(data)) for data in printed_class()):
        assert all(f"E7-{number:02d}" in text for number in range(1, 13))


def test_the_same_seed_gives_the_same_bytes_and_another_others() -> None:
    once, again = (renderer.print_class(practice_lawn(), 2, seed=7) for _ in range(2))
    other = renderer.print_class(practice_lawn(), 2, seed=8)
    assert once == again
    assert once[0] != other[0] and once[1] != other[1]


def test_the_trainees_file_never_holds_the_key() -> None:
    job = exercises(practice_lawn(), "en", 1, 7)[0]
    for layout in ("exercise", "fault-plates"):
        trainees, trainers = renderer.print_class(practice_lawn(), 1, seed=7, layout=layout)
        reader = pypdf.PdfReader(io.BytesIO(trainees))
        assert not reader.attachments
        assert not reader.get_fields()
        text = " ".join([*pdf_text(trainees), str(reader.metadata), str(reader.outline)])
        kept = " ".join(pdf_text(trainers))
        wire, worked = f"{job.wire_m:.2f}", "Worked solution"
        assert layout != "exercise" or (wire in kept and worked in kept)
        assert wire not in text
        assert worked not in text
        for name in ("coiled", "wrong direction", "dead gap", "stands in a corner", "do not touch"):
            assert name not in text


def secret() -> Job:
    plan = loads(SECRET, "secret.plan.yaml")
    lay = lay_plan(plan)
    return Job.known(plan, lay, check_plan(plan, lay))


@pytest.mark.parametrize("layout", LAYOUTS)
def test_nothing_says_whose_garden_it_is(layout: str) -> None:
    data = print_sheets([secret().plan], layout=layout)
    reader = pypdf.PdfReader(io.BytesIO(data))
    told = " ".join([*pdf_text(data), str(reader.metadata), str(reader.outline)])
    document = compose([secret()], load_layout(layout))
    told += all_text(document) + repr(document)
    assert [word for word in PRIVATE if word in told] == []


def test_a_layout_of_one_s_own_with_a_teaching_block_shows_no_names_either(tmp_path: Path) -> None:
    path = tmp_path / "own.yaml"
    path.write_text("layout: 1\ndocument: Ours\nblocks: [job, exercise-plan, steps]\n")
    document = compose([secret()], load_layout(path))
    assert [word for word in PRIVATE if word in all_text(document) + repr(document)] == []


def test_a_hundred_points() -> None:
    assert sum(practice.POINTS.values()) == 100
    assert {task.section for task in tasks(sheet(taught(demo_plans()[0])))} == set(practice.POINTS)


def test_the_pass_mark_is_eighty_of_a_hundred() -> None:
    text = all_text(compose([taught(demo_plans()[0])], load_layout("exercise-key")))
    assert re.search(r"[Pp]ass mark:? 80\b|from 80 points", text.replace("\xa0", " "))


def test_a_layout_without_a_key_is_none_for_a_class() -> None:
    with pytest.raises(SheetError, match="is not a class layout"):
        renderer.print_class(practice_lawn(), 2, layout="crew-work-order")


@pytest.mark.parametrize("layout", LAYOUTS)
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_pages_say_that_they_are_for_training_only(layout: str, paper: str) -> None:
    document: Document = compose([secret()], load_layout(layout), paper=paper)
    assert all_text(document).count("Training only") == len(document.pages)


@pytest.mark.parametrize("wide", [12.0, 90.0])
def test_a_garden_too_large_to_draw_wire_on_has_a_part_enlarged(wide: float) -> None:
    """A setback of 0.30 m: in the part it takes 1.4 mm or more, and the dock lies in it."""
    corners = [(0, 0), (wide, 0), (wide, 0.7 * wide), (0, 0.7 * wide)]
    outline = [[x, y, "bed"] for x, y in corners]
    plan = handmade.plan(lawns=[{"name": "Rear", "outline": outline}], features=[], obstacles=[])
    pages = compose([job_of(plan)], load_layout("exercise")).pages
    drawn = [item for page in pages for item in page.items]
    frames = [item for item in drawn if isinstance(item, Line) and item.role == "part"]
    if wide < 20:
        assert not frames
        return
    on_plan, own = sorted(frames, key=lambda frame: np.ptp(np.array(frame.points)[:, 0]))
    assert on_plan.pen and own.pen and on_plan.pen.width_mm < own.pen.width_mm
    assert not on_plan.pen.dash_mm  # dashed lines are gates, paving and the like
    larger = np.ptp(np.array(own.points), axis=0) / np.ptp(np.array(on_plan.points), axis=0)
    texts = [item.text for item in drawn if isinstance(item, Text)]
    scales = [float(text.split("1:")[1]) for text in texts if text.startswith("Scale 1:")]
    assert larger == pytest.approx(scales[0] / scales[1], rel=1e-3)
    assert 0.3 * 1000 / scales[1] >= 1.4 > 0.3 * 1000 / scales[0]
    docks = [item.at for item in drawn if isinstance(item, Text) and item.text == "Dock"]
    assert any(Polygon(own.points).contains(Point(at)) for at in docks)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_frame_about_a_part_is_whole_and_below_the_heading(paper: str) -> None:
    """The part of the practice lawn reaches beyond the plan's own drawing."""
    pages = compose([taught(demo_plans()[0])], load_layout("exercise"), paper=paper).pages
    page = next(each for each in pages if "The garden to scale" in texts_of(each))
    (frame,) = [item for item in page.items if isinstance(item, Line) and item.role == "part"]
    assert frame.points[0] == frame.points[-1]
    assert len(set(frame.points)) == 4
    heading = next(item for item in page.items if is_text(item, "The garden to scale"))
    assert min(y for _, y in frame.points) > heading.at[1]


@pytest.mark.parametrize(("known", "scale"), [((50, 100, 200), 100), ((50, 150, 200), 50)])
def test_a_part_that_can_hold_no_island_is_drawn_smaller_where_wire_can_still_be(
    known: tuple[float, ...], scale: int
) -> None:
    """Half way across the lawn the pond of mill cottage would be cut at the frame."""
    job = taught(ROOT / "demo/mill-cottage.plan.yaml")
    view = drawing_part(job.plan, job.lay, (190.0, 193.0), Fit(200, 0.0), known)
    assert view is not None and view.scale == scale
    (ring,) = (ring for loop in job.lay.loops for ring in loop.rings if ring.kind == "island")
    shown = view.chain(ring.points)
    inside = (shown >= (view.frame.x0, view.frame.y0)) & (shown <= (view.frame.x1, view.frame.y1))
    assert inside.all() == (scale == 100)


def test_no_island_is_cut_at_the_edge_of_a_part_that_could_show_as_many_without() -> None:
    """A tree of orchard hall stood in the frame's lower edge, a metre from being clear of it."""
    path = next((path for path in PLANS if path.stem.startswith("orchard-hall")), None)
    if path is None:
        pytest.skip("the example plans are elsewhere")
    job = taught(path)
    view = drawing_part(job.plan, job.lay, (190.0, 200.0), Fit(500, 0.0), (200, 250, 300))
    assert view is not None
    whole = 0
    for ring in (ring for loop in job.lay.loops for ring in loop.rings if ring.kind == "island"):
        shown = view.chain(ring.points)
        low, high = (view.frame.x0, view.frame.y0), (view.frame.x1, view.frame.y1)
        inside = ((shown >= low) & (shown <= high)).all(axis=1)
        assert inside.all() or not inside.any(), ring.of
        whole += bool(inside.all())
    assert whole >= 9


def texts_of(page: Page) -> set[str]:
    return {item.text for item in page.items if isinstance(item, Text)}


def is_text(item: object, text: str) -> TypeGuard[Text]:
    return isinstance(item, Text) and item.text == text


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
def test_why_a_straight_has_its_length_names_the_letters_of_its_formula(path: Path) -> None:
    words = load_words()
    found = [step for step in steps(taught(path)) if step.key.startswith("straight.")]
    checked = 0
    for step in found:
        if step.formula and "√" not in step.formula:
            why = words(f"step.{step.key}.why", **dict(step.facts))
            named = set(re.findall(r"\b[a-z]\b", why)) - {"a"}
            used = set(re.findall(r"\b[a-z]\b", step.lettered)) - {"a"}
            assert used <= named, (step.lettered, why)
            assert not named or used & named, (step.lettered, why)
            assert ("p" in named) == bool(used & set("pq")), (step.lettered, why)
            checked += 1
    assert checked or not found


def test_a_garden_with_records_gives_exercises_as_it_was_designed() -> None:
    """Pegs that were moved in it stand nowhere in a garden of another size."""
    path = demo_plans()[0].parent / "life" / "sorrel-bank.plan.yaml"
    plan = load(path)
    assert plan.records and plan.revisions
    (job,) = exercises(plan, "en", 1, 1)
    assert job.lay.loops and not job.plan.records and not job.plan.revisions
    assert len(job.plan.obstacles) == len(plan.obstacles)


@pytest.mark.parametrize("path", [*PLANS[:3], *PLANS[-1:]], ids=lambda path: path.stem)
def test_a_short_question_stands_on_one_page(path: Path) -> None:
    """With all its spaces: "from B" alone at the top of a page says nothing of which peg."""
    job = taught(path)
    asked = {task.number: task for task in tasks(sheet(job)) if len(task.answers) <= 4}
    pages = compose([job], load_layout("exercise")).pages
    for number, task in asked.items():
        on = {
            index
            for index, page in enumerate(pages)
            for item in page.items
            if isinstance(item, Field) and f".{task.section}.{number}." in item.name
        }
        assert len(on) == 1, (number, task.text, on)


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
def test_a_garden_to_draw_on_is_as_large_as_a_page_with_its_bars_allows(path: Path) -> None:
    """Where its legend would make it smaller, that stands on the next page."""
    job = taught(path)
    pages = compose([job], load_layout("exercise"), paper="A4").pages
    page = next(each for each in pages if "The garden to scale" in texts_of(each))
    (told,) = [text for text in texts_of(page) if text.startswith("Scale 1:")]
    corners = np.concatenate(
        [np.asarray(side.points) for lawn in job.lay.lawns for side in lawn.sides]
    )
    wide, high = np.ptp(corners, axis=0)
    least, most = min(wide, high), max(wide, high)
    for scale in (100.0, 200.0, 250.0, 300.0, 400.0, 500.0, 600.0):
        if least * 1000 / scale < 140 and most * 1000 / scale < 195:
            assert float(told.split("1:")[1]) <= scale, told
            break


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
def test_the_sides_of_the_table_are_numbered_on_the_plan(path: Path) -> None:
    """All of 6 mm or more, but for one of a park at the most, which its neighbours tell."""
    job = taught(path)
    pages = compose([job], load_layout("exercise"), paper="A4").pages
    page = next(each for each in pages if "The garden to scale" in texts_of(each))
    (told,) = [text for text in texts_of(page) if text.startswith("Scale 1:")]
    bold = [i.text for i in page.items if isinstance(i, Text) and "bold" in i.face]
    named = {int(found[1]) for text in bold if (found := re.fullmatch(r"(\d+)(?: [a-z ]+)?", text))}
    sides, scale = numbered_sides(job.lay.lawns), float(told.split("1:")[1])
    long = [side.number for side in sides if side.length_m * 1000 / scale >= 6.0]
    missing = set(long) - named
    assert len(missing) <= len(sides) // 18, missing


def test_an_exercise_names_no_parts_of_a_lawn_and_puts_nothing_in_quotes() -> None:
    """Which parts are mown apart is an answer, and the ways of crossings are figures."""
    for path in PLANS:
        job = taught(path)
        pages = compose([job], load_layout("exercise")).pages
        lawns = {lawn.name for lawn in job.lay.lawns}
        words = load_words()("teach.lawn")
        texts = {text for page in pages for text in texts_of(page)}
        told = {text for text in texts if re.fullmatch(rf"{words} \d+", text)}
        assert told <= lawns, path.stem
        if job.plan.units == "m":
            assert not any('"' in text for text in texts), path.stem


def test_a_key_marks_no_finding_that_it_does_not_list() -> None:
    """A mark on the plan that sends the trainer to a list of findings would lead nowhere."""
    marked = 0
    for path in PLANS:
        job = taught(path)
        marked += any(finding.level == "warn" and finding.at for finding in job.findings)
        assert "list of findings" not in all_text(compose([job], load_layout("exercise-key")))
    assert marked


def test_the_meter_sheet_names_a_part_of_a_lawn_as_its_key_does() -> None:
    """No island has the name of a lawn that the wire goes round in several parts."""
    parted = 0
    for path in PLANS:
        job = taught(path)
        given = meter_practice(ground_of(sheet(job)), job.lay, job.digest)
        outer = [ring.lawn for ring in given.loop.rings if ring.kind == "outer"]
        several = {lawn for lawn in outer if outer.count(lawn) > 1}
        assert not several & {name for name, _ in given.islands}
        parted += bool(several)
    assert parted


def test_a_dock_on_a_side_without_setback_stands_square_to_it_and_has_its_name() -> None:
    """The wire then lies on the side itself, which shows no direction."""
    corners = [(0, 0), (21, 0), (21, 12), (0, 12)]
    outline = [[x, y, "bed"] for x, y in corners]
    base = handmade.plan(lawns=[{"name": "Rear", "outline": outline}], features=[], obstacles=[])
    machine = base.machine.model_copy(update={"setback": base.machine.setback | {"bed": 0.0}})
    job = anonymous_job(job_of(base.model_copy(update={"machine": machine})), load_words(), 1)
    told = all_text(compose([job], load_layout("class-set")))
    assert "Dock" in told and "Not named on the plan" not in told


@pytest.mark.parametrize("language", ["de", "es", "fr"])
def test_no_head_of_a_column_of_the_yard_sheet_is_broken_in_a_word(language: str) -> None:
    job = exercises(practice_lawn(), language, 1, 1)[0]
    layout = load_layout("class-set-key").model_copy(update={"language": language})
    texts = {text for page in compose([job], layout).pages for text in texts_of(page)}
    assert load_words(language)("yard.peg") in texts


@pytest.mark.parametrize("layout", ["exercise", "exercise-key"])
def test_an_exercise_does_not_say_where_on_a_national_grid_its_garden_is(layout: str) -> None:
    """Its coordinates are small figures, as of any other exercise."""
    corners = [(0, 0), (20, 0), (20, 12), (0, 12)]
    outline = [[527116.45 + x, 207688.3 + y, "bed"] for x, y in corners]
    plan = handmade.plan(
        lawns=[{"name": "Rear", "outline": outline}],
        features=[],
        obstacles=[],
        loops=[{"dock": {"at": [527122.0, 207688.6]}}],
        survey={"points": []},
    )
    for job in (anonymous_job(job_of(plan), load_words(), 1), *exercises(plan, "en", 1, 1)):
        text = all_text(compose([job], load_layout(layout))).replace("\u2212", "")
        assert not re.findall(r"\d{4,}\.\d", text)
        pairs = re.findall(r"(\d+\.\d\d),\s(\d+\.\d\d)", text)
        assert pairs or layout == "exercise-key"
        assert all(float(each) < 40 for pair in pairs for each in pair)  # of a garden 20 m long


def test_a_semicolon_between_points_has_its_space_in_french() -> None:
    job = exercises(practice_lawn(), "fr", 1, 1)[0]
    layout = load_layout("exercise").model_copy(update={"language": "fr"})
    told = all_text(compose([job], layout))
    assert re.search(r"\d\u00a0;\s[A-Z]", told)  # between the points to tape from
    assert not re.search(r"\d;", told)
