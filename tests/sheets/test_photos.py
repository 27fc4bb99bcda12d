"""The list of photographs: every place worth a picture, found again, in the order of the work."""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path

import pytest

from renderer.ground.ties import references
from renderer.job import Job
from renderer.output.recorder import record
from renderer.plan import load, loads
from renderer.primitives import Document, Field
from renderer.sheets import load_layout
from renderer.sheets.pages import frame_of, sheet_of
from renderer.sheets.shots import Shot, shots
from tests.shared import compose, lay_plan
from tests.sheets.sample import SMALL, all_text, job, work_order

FLAGGED = ("buried cable", "buried pipe", "sprinkler")  # services and what else is flagged


def listed(data: Job) -> tuple[Shot, ...]:
    layout = load_layout("crew-work-order")
    return shots(sheet_of(data, layout, *frame_of("A4", False), None, 1))


def alone(folder: Path, data: Job, block: str = "photos") -> Document:
    path = folder / "own.yaml"
    path.write_text(f"layout: 1\ndocument: Ours\nblocks: [{block}]\n")
    return compose([data], load_layout(path))


def read(path: Path) -> Job:
    plan = load(path)
    return Job.known(plan, lay_plan(plan), ())


def test_every_place_has_a_picture(any_plan: Path) -> None:
    data = read(any_plan)
    plan, found = data.plan, listed(data)
    texts = "\n".join(shot.text for shot in found)
    for splice in data.splices:
        assert f"Splice {splice.id} " in texts
    for thing in (*plan.lawns, *plan.obstacles):
        assert thing.name in texts
    for feature in plan.features:
        assert (f"Marks of {feature.name}" in texts) == (feature.kind in FLAGGED)
    leads = [shot for shot in found if shot.text.startswith(("Branch to", "Crossing to"))]
    assert len(leads) == len(data.leads)
    stations = [shot for shot in found if shot.text.startswith(("Dock of", "Signal source of"))]
    assert len(stations) == len(plan.loops)
    sockets = [shot for shot in found if shot.text.startswith("Supply of")]
    assert len(sockets) == sum(loop.supply is not None for loop in plan.loops)
    assert found[0].group == "before"
    assert found[-1].group == "after"
    assert len({shot.text for shot in found}) == len(found)


def test_a_thing_that_the_edge_goes_round_is_not_said_to_have_no_wire() -> None:
    """A bed in a bay of the edge, a firm post, and a bed with a ring of its own."""
    more = (
        "  - {name: Corner bed, kind: bed, circle: {at: [1 m, 8 m], radius: 0.9 m}}\n"
        "  - {name: Post, kind: firm, circle: {at: [13 m, 3 m], radius: 0.1 m}}\n"
    )
    plan = loads(SMALL.format(units="m").replace("loops:", f"{more}loops:"), "bay.plan.yaml")
    found = [shot.text for shot in listed(Job.known(plan, lay_plan(plan), ()))]
    assert "Corner bed, the edge goes round it" in found
    assert "Post, no wire round it" in found
    assert not any(text.startswith("Roses,") for text in found)


def test_what_lies_on_the_wire_comes_in_the_order_of_the_walk(any_plan: Path) -> None:
    data = read(any_plan)
    assert len(data.lay.loops) >= 1
    found = [shot for shot in listed(data) if shot.group == "laying" and shot.at_m is not None]
    falls = sum(b.at_m < a.at_m for a, b in pairwise(found))  # type: ignore[operator]
    assert falls < len(data.lay.loops)
    for shot in found:
        assert shot.at is not None
        assert any(math.dist(shot.at, (peg.x, peg.y)) < 1.0 for peg in data.pegs)


def test_tapes_lead_to_the_place(tmp_path: Path) -> None:
    data = job()
    (splice,) = data.splices
    fixed = {each.name: each.at for each in references(data.plan, data.lay.lawns)}
    texts = [each.text for each in record(alone(tmp_path, data)) if each.kind == "text"]
    row = texts[texts.index(next(t for t in texts if t.startswith("Splice S1"))) :][:5]
    tapes = [text.split("\u00a0") for text in row if text.split("\u00a0")[0] in fixed]
    assert len(tapes) == 2
    for name, length in tapes:
        assert float(length) == pytest.approx(
            math.dist(fixed[name], (splice.x, splice.y)), abs=0.006
        )
    assert f"{splice.at_m:.2f}" in row


def test_each_has_a_box_and_a_line_wide_enough_for_a_files_name(tmp_path: Path) -> None:
    document = alone(tmp_path, job(), "{block: photos, rows: 2}")
    fields = [i for page in document.pages for i in page.items if isinstance(i, Field)]
    count = len(listed(job())) + 2
    assert sum(field.kind == "tick" for field in fields) == count
    files = [field for field in fields if field.name.endswith(".file")]
    assert len(files) == count
    assert all(field.width_mm >= 35 and field.height_mm >= 9 for field in files)


def test_the_step_says_where_the_numbers_go(tmp_path: Path) -> None:
    def shown(document: Document) -> str:
        return " ".join(all_text(document).split())

    assert "number them in the table of places" in shown(work_order())
    assert "number them in the test record" in shown(alone(tmp_path, job(), "steps"))


def test_nothing_private_is_in_the_list(tmp_path: Path) -> None:
    text = all_text(alone(tmp_path, job()))
    for private in ("Quentin", "555", "third pot"):
        assert private not in text


def test_the_load_list_has_a_camera() -> None:
    assert "Camera or phone" in " ".join(all_text(work_order()).split())
