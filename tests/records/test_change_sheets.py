"""The sheets of a change, their figures worked out anew from plain geometry."""

from __future__ import annotations

import json
import math
import re
from pathlib import Path
from typing import Any

import pytest
import shapely

import renderer
from renderer.cli import main
from renderer.compare import compare, together, work
from renderer.ground.leg_names import peg_names
from renderer.job import Job
from renderer.plan import load, loads
from renderer.primitives import Document, Line, Text
from tests.plans import ROOT
from tests.records.test_built import NEW, SETBACK, WAYS, job, plan_of
from tests.sheets.sample import all_text

PATIO = {"name": "Patio", "kind": "bed", "polygon": [[16, 0], [20, 0], [20, 3], [16, 3]]}
LATER = [
    {"date": "2029-04-12", "by": "R. Field", "revision": "C", "what": "Patio", "added": [PATIO]}
]
CLEAR = 1.0  # of a splice from bends
each_way = pytest.mark.parametrize("how", list(WAYS))


def pair(how: str = "as it is", changes: Any = LATER) -> tuple[Job, Job]:
    built = {"date": "2026-06-09", "by": "Van 2"}
    return job(how, as_built=built), job(how, as_built=built, changes=changes)


@each_way
def test_a_patio_in_a_corner_takes_two_cuts_and_the_wire_round_it(how: str) -> None:
    """Taken up: the corner by the patio; laid: its two free sides, a set back corner.

    By the rectangle: the old wire runs 0.3 m inside the edge, the new one 0.3 m off the patio, with
    a quarter circle about its free corner. A splice keeps 1 m off the bends where they part.
    """
    task = work(compare(*together(*pair(how))))
    along, up = 4.0, 3.0  # the wire leaves the edge 0.3 m before the patio does
    assert len(task.joints) == 2 and len(task.laid) == len(task.taken_up) == 1
    gone = (along + SETBACK - SETBACK) + (up + SETBACK - SETBACK)
    assert task.taken_up_m == pytest.approx(gone + 2 * CLEAR, abs=0.02)
    come = (along - SETBACK) + (up - SETBACK) + math.pi / 2 * SETBACK
    assert task.laid_m == pytest.approx(come + 2 * CLEAR, abs=0.02)
    (old,), (new,) = (each.lay.loops for each in pair(how))
    assert new.length_m - old.length_m == pytest.approx(task.laid_m - task.taken_up_m, abs=0.02)


def test_numbers_stay_and_names_by_leg_stay_where_nothing_was_changed() -> None:
    old, new = pair(changes=[{"added": [NEW]}])
    found = compare(old, new)
    assert not found.renumbered and not found.pegs_lost and found.pegs_gained
    (before,), (after,) = old.lay.loops, new.lay.loops
    first, then = peg_names(before), peg_names(after)
    of_bed = {number: name for number, name in first.items() if name.startswith("Bed ")}
    assert of_bed and all(then[number].startswith("Bed ") for number in of_bed)
    assert len(set(then.values())) == len(after.pegs)
    assert {name for name in then.values() if name.startswith("New bed ")}


def test_pegs_of_a_plan_changed_before_it_is_laid_keep_their_names_on_other_legs() -> None:
    """A bed added to the plan itself renumbers; ring and order round the other one stay."""
    first = prepared(plan_of())
    second = plan_of()
    second["obstacles"] = [*second["obstacles"], {**NEW, "circle": {"at": [6, 5], "radius": 1.0}}]
    other = prepared(second)

    def round_bed(found: Job) -> set[str]:
        (loop,) = found.lay.loops
        return {name for name in peg_names(loop).values() if name.startswith("Bed ")}

    assert round_bed(first) == round_bed(other)


def prepared(plan: dict[str, Any]) -> Job:
    return renderer.prepare(loads(json.dumps(plan)))


@each_way
def test_a_moved_peg_is_told_as_moved(how: str) -> None:
    name = job(how).pegs[7].id
    old = job(how, as_built={})
    new = job(how, as_built={"moved": [{"peg": name, "offset": 0.2}]})
    found = compare(old, new)
    ((before, after),) = found.pegs_moved
    assert before.id == after.id == name and not found.pegs_gained and not found.pegs_lost
    assert math.dist((before.x, before.y), (after.x, after.y)) == pytest.approx(0.2, abs=1e-3)


def lines(page: Any, role: str) -> list[Any]:
    return [
        shapely.LineString(item.points)
        for item in page.items
        if isinstance(item, Line) and item.role == role
    ]


def test_both_states_are_on_one_plan_told_apart_by_dash() -> None:
    old, new = pair()
    document = renderer.compare_sheets(old, new)
    page = document.pages[0]
    task = work(compare(*together(old, new)))
    drawn = [item for item in page.items if isinstance(item, Line) and item.role == "wire-gone"]
    assert drawn and all(item.pen and item.pen.dash_mm for item in drawn)
    solid = [item for item in page.items if isinstance(item, Line) and item.role == "wire"]
    assert solid and not any(item.pen and item.pen.dash_mm for item in solid)
    told = " ".join(item.text for item in page.items if isinstance(item, Text))
    scale = float(told.partition("1:")[2].split()[0])
    gone_m = sum(line.length for line in lines(page, "wire-gone")) * scale / 1000.0
    new_m = sum(line.length for line in lines(page, "wire-new")) * scale / 1000.0
    assert gone_m == pytest.approx(task.taken_up_m, abs=0.05)
    assert new_m == pytest.approx(task.laid_m, abs=0.05)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_change_order_is_one_page_with_cuts_metres_and_ohms(paper: str) -> None:
    old, new = pair()
    document = renderer.compare_sheets(old, new, layout="change-order", paper=paper)
    assert len(document.pages) == 1
    told = " ".join(item.text for item in document.pages[0].items if isinstance(item, Text))
    task = work(compare(*together(old, new)))
    for figure in (task.laid_m, task.taken_up_m):
        assert f"{figure:.2f}" in told.replace("\u202f", " ")
    assert all(splice.id in told for _, splice in task.joints)
    assert "2 gel-filled connectors" in told


def test_every_figure_has_its_difference() -> None:
    plan = plan_of(as_built={"date": "2026-06-09", "by": "Van 2"}, changes=LATER)
    document = renderer.compose_sheets([prepared(plan)], layout="changes", draft=True)
    texts = [item for item in document.pages[0].items if isinstance(item, Text)]
    (mown,) = (item for item in texts if item.text == "Mown")
    row = [item.text for item in texts if abs(item.at[1] - mown.at[1]) < 0.1]
    before, after, more = (float(text[:-3].replace("−", "-")) for text in row[1:])
    assert len(row) == 4 and more < 0 and abs(after - before - more) <= 1.0


def test_the_history_lists_revisions_and_records() -> None:
    plan = plan_of(as_built={"date": "2026-06-09", "by": "Van 2"}, changes=LATER)
    plan["revisions"] = [
        {"revision": "A", "date": "2026-05-02", "by": "K. Holm", "what": "First plan"}
    ]
    document = renderer.compose_sheets([prepared(plan)], layout="changes", draft=True)
    told = " ".join(
        item.text for page in document.pages for item in page.items if isinstance(item, Text)
    )
    for each in ("First plan (K. Holm)", "Laid (Van 2)", "Patio (R. Field)", "12 April 2029"):
        assert each in told.replace("\u00a0", " ")


def test_the_command_prints_and_draws(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    first, second = tmp_path / "a.plan.json", tmp_path / "b.plan.json"
    first.write_text(json.dumps(plan_of(as_built={})))
    second.write_text(json.dumps(plan_of(as_built={}, changes=LATER)))
    for name in ("changes.pdf", "changes.svg"):
        assert main(["compare", str(first), str(second), "-o", str(tmp_path / name)]) == 0
        assert (tmp_path / name).stat().st_size > 2000
    assert "stroke-dasharray" in (tmp_path / "changes.svg").read_text()
    assert main(["compare", str(second), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert (found["old"]["state"], found["new"]["state"]) == ("as planned", "as built")
    assert main(["compare", str(first), str(first), "--layout", "carry", "-o", "x.pdf"]) == 2
    assert "does not tell what has changed" in capsys.readouterr().err
    assert main(["compare", str(first), "-o", str(first)]) == 2


def order_for(job: Job) -> str:
    document = renderer.compose_sheets([job], layout="change-order", draft=True)
    items = [item for page in document.pages for item in page.items if isinstance(item, Text)]
    return " ".join(item.text for item in items).replace("\u00a0", " ")


def test_stretches_of_the_same_name_are_told_with_where_they_lie() -> None:
    """Patios in two corners: two stretches of the edge come up, each between its two cuts."""
    other = {"name": "Terrace", "kind": "bed", "polygon": [[16, 7], [20, 7], [20, 10], [16, 10]]}
    old, new = pair(changes=[LATER[0] | {"added": [PATIO, other]}])
    task = work(compare(*together(old, new)))
    told = order_for(new)
    assert len(task.taken_up) == 2
    for each in task.taken_up:
        assert f"({each.from_m:.2f} to {each.to_m:.2f} from START)" in told
    alone = order_for(pair()[1])
    assert "Take up" in alone and "from START)" not in alone


def test_an_order_without_work_says_so() -> None:
    told = order_for(job(as_built={"date": "2026-06-09"}, changes=[{"date": "2029-04-12"}]))
    assert "Nothing to lay, take up or splice" in told
    assert "0 gel-filled" not in told and "0.00 m" not in told


@pytest.mark.parametrize("language", ["en", "de", "es", "fr"])
def test_the_order_for_a_change_is_one_page(language: str) -> None:
    """The drawing gives way to the work, in the languages that take more room for it too."""
    job = prepared(plan_of(as_built={"date": "2026-06-09"}, changes=LATER))
    document = renderer.compose_sheets([job], layout="change-order", language=language, draft=True)
    assert len(document.pages) == 1


def test_the_order_for_a_change_says_what_to_take_along() -> None:
    """Pegs with the plan's share to spare, the rest of a spool that is enough, the setbacks."""
    _, new = pair()
    document = renderer.compose_sheets([new], layout="change-order", draft=True)
    told = " ".join(
        item.text for page in document.pages for item in page.items if isinstance(item, Text)
    ).replace("\u00a0", " ")
    count, take = map(int, re.findall(r"(\d+) pegs to set, (\d+) to take along", told)[0])
    assert take == math.ceil(count * 1.1)
    rest = re.findall(r"The ([\d.]+) m left over", told.replace("\u202f", " "))[0]
    assert float(rest) in {round(each.length_m, 2) for each in new.lay.spools.offcuts}
    assert "Patio 0.30 m" in told


@each_way
def test_the_spools_of_a_change_are_told_beside_those_of_the_laying(how: str) -> None:
    """Its piece lies between its splices, off the spool bought; what lay keeps its spools."""
    later = [LATER[0] | {"spools": ["30 m"]}]
    old, new = pair(how, later)
    first, second = (each.at_m for _, each in work(compare(*together(old, new))).joints)
    ends = [(each.spool, each.from_m, each.to_m) for each in new.lay.spools.pieces]
    assert [end for _, _, end in ends[:-1]] == [start for _, start, _ in ends[1:]]
    assert (ends[0][1], ends[-1][2]) == (0.0, new.lay.loops[0].length_m)
    (bought,) = [each for each in ends if each[0] not in {p.spool for p in old.lay.spools.pieces}]
    assert bought[1:] == pytest.approx((first, second))
    assert 30.0 - (second - first) in [
        pytest.approx(each.length_m) for each in new.lay.spools.offcuts
    ]
    before = {p.spool for p in old.lay.spools.pieces}
    assert {each[0] for each in ends} - {bought[0]} == before


@each_way
@pytest.mark.parametrize("at", [(14.0, 8.0), (16.2, 5.0)], ids=["into a bay", "beside a bed"])
def test_what_is_laid_less_what_is_taken_up_is_what_the_wire_gains(
    how: str, at: tuple[float, float]
) -> None:
    """Where the new bed grows together with one that is there, and the walk goes another way."""
    bed = {"name": "Late bed", "kind": "bed", "circle": {"at": [*at], "radius": 1.0}}
    old, new = pair(how, [{"date": "2029-04-12", "added": [bed]}])
    task = work(compare(*together(old, new)))
    (before,), (after,) = old.lay.loops, new.lay.loops
    more = after.length_m - before.length_m
    assert task.laid_m - task.taken_up_m == pytest.approx(more, abs=0.05)
    assert task.joints and task.taken_up_m > 0.5


def sorrel(layout: str) -> Document:
    """A document of the demo's garden that was laid on 9 June 2026 and got a patio later."""
    plan = load(ROOT / "demo" / "life" / "sorrel-bank.plan.yaml")
    return renderer.compose_sheets([renderer.prepare(plan)], layout=layout)


def words_of(document: Document) -> str:
    return " ".join(all_text(document).replace("\xa0", " ").split())


def test_the_day_that_a_laying_was_planned_for_is_not_on_what_comes_after_it() -> None:
    for layout in ("change-order", "changes", "wiring-map"):
        assert "Planned for 9 June 2026" not in words_of(sorrel(layout))
    assert "Planned for 9 June 2026" in words_of(sorrel("crew-work-order"))


def test_the_drawing_of_a_change_has_the_arrows_that_its_steps_speak_of() -> None:
    document = sorrel("change-order")
    assert "in the direction of the arrows" in words_of(document)
    assert "L, R: left or right of the line" in words_of(document)
    heads = [
        item
        for page in document.pages
        for item in page.items
        if isinstance(item, Line) and item.closed and item.ink == "wire"
    ]
    assert len(heads) > 5


@each_way
def test_two_designs_ask_for_cuts_that_no_splice_of_theirs_tells_of(how: str) -> None:
    """A bed more: its pair leaves the edge at one place, where out and back are joined on."""
    without, bed = job(how, bed=False), job(how)
    text = words_of(renderer.compare_sheets(without, bed, layout="change-order"))
    assert re.search(r"cut there too: up to \d connectors? more\.", text)
    recorded = words_of(renderer.compare_sheets(*pair(how), layout="change-order"))
    assert "cut there too" not in recorded
