"""What has changed from one plan to another, where it is known by how the plans were made."""

from __future__ import annotations

import json
import math
import re
from typing import Any

import pytest

import renderer
from renderer.cli import main
from renderer.compare import Difference, compare
from renderer.job import Job, prepare
from renderer.plan import load, loads
from tests.plans import ROOT, moved
from tests.sheets.sample import all_text

SETBACK = 0.3
STEP = 0.11  # ends of stretches are found to 5 cm, at both ends
WAYS = {
    "as it is": (0.0, False, (0.0, 0.0)),
    "turned": (math.radians(31.0), False, (0.0, 0.0)),
    "mirrored": (0.0, True, (0.0, 0.0)),
    "on a grid": (0.0, False, (649_000.0, 5_412_000.0)),
}
each_way = pytest.mark.parametrize("how", list(WAYS))


def garden(
    wide: float = 20.0, *, bed: bool = False, how: str = "as it is", unit: float = 1.0
) -> Job:
    """A lawn 10 m deep whose right side can be further out, maybe with a round bed."""
    turn, mirror, shift = WAYS[how]
    corners = [[0, 0], [wide, 0], [wide, 10], [0, 10]]
    ground: dict[str, Any] = {
        "lawns": [{"name": "Rear", "outline": [[*at, "hedge"] for at in corners]}],
        "obstacles": [],
        "loops": [{"dock": {"at": [6, 0.3]}}],
    }
    if bed:
        circle = {"at": [10, 5], "radius": 1.0}
        ground["obstacles"] = [{"name": "Bed", "kind": "bed", "circle": circle}]
    held = moved(ground, turn, mirror, shift)
    plan = held | {
        "plan": 1,
        "units": "m",
        "job": {"number": "C-1", "revision": "B" if bed or wide != 20.0 else "A"},
        "machine": {
            "label": "Any",
            "setback": {"hedge": SETBACK, "bed": SETBACK},
            "passage_min": 1.0,
            "loop_max": 400,
            "corner_radius": 0,
            "lay_direction": "clockwise" if mirror else "anticlockwise",
        },
        "wire": {"conductor_mm2": 0.75, "spools": [200]},
    }
    return prepare(loads(json.dumps(plan)))


@each_way
def test_nothing_has_changed_between_a_plan_and_itself(how: str) -> None:
    found = compare(garden(how=how, bed=True), garden(how=how, bed=True))
    assert found.is_none
    assert found.pegs_kept == len(found.new.pegs) > 20


def test_a_plan_read_in_another_unit_has_not_changed() -> None:
    job = garden(bed=True)
    shown = prepare(job.plan.model_copy(update={"units": "ft"}))
    assert not [each for each in compare(job, shown).loops if each.laid_anew or each.taken_up]


@each_way
def test_a_side_one_metre_further_out(how: str) -> None:
    """By the rectangle: the wire on that side and the metre before it at both ends is new."""
    found = compare(garden(how=how), garden(21.0, how=how))
    (loop,) = found.loops
    side = 10.0 - 2 * SETBACK
    assert loop.more_m == pytest.approx(2.0, abs=2e-3)
    assert loop.new_ohm is not None and loop.old_ohm is not None
    assert loop.new_ohm / loop.old_ohm == pytest.approx(
        (loop.new_m or 0.0) / (loop.old_m or 1.0), rel=1e-9
    )
    (new,) = loop.laid_anew
    assert new.length_m == pytest.approx(side + 2 * (1.0 - 0.1), abs=STEP)
    assert new.off_m == pytest.approx(1.0, abs=1e-3) and new.of == "Rear"
    (old,) = loop.taken_up
    assert old.length_m == pytest.approx(side - 2 * 0.1, abs=STEP)
    assert old.off_m == pytest.approx(1.0, abs=1e-3)


def test_eight_centimetres_are_no_change_and_twelve_are() -> None:
    assert not compare(garden(), garden(20.08)).loops[0].laid_anew
    assert compare(garden(), garden(20.12)).loops[0].laid_anew


@each_way
def test_pegs_are_told_by_their_place_not_by_their_number(how: str) -> None:
    old, new = garden(how=how), garden(how=how, bed=True)
    found = compare(old, new)
    lost = {peg.id for peg in found.pegs_lost}
    gained = {peg.id for peg in found.pegs_gained}
    assert found.pegs_kept == len(old.pegs) - len(lost) == len(new.pegs) - len(gained)
    assert found.pegs_kept > len(old.pegs) / 2
    place = {peg.id: (peg.x, peg.y) for peg in new.pegs}
    for peg in old.pegs:
        near = min(math.dist((peg.x, peg.y), at) for at in place.values())
        assert near <= 0.1 or peg.id in lost
    (loop,) = found.loops
    islands = [each for each in loop.laid_anew if each.of == "Bed"]
    ring = math.tau * (1.0 + SETBACK)
    assert sum(each.length_m for each in islands) > ring
    assert not loop.taken_up


def test_there_and_back_is_the_same() -> None:
    one, two = garden(), garden(22.5, bed=True)
    there, back = compare(one, two), compare(two, one)
    assert there.loops[0].laid_anew == back.loops[0].taken_up
    assert there.pegs_gained == back.pegs_lost
    assert there.findings_new == back.findings_gone


def test_findings_come_and_go() -> None:
    """A lawn of 700 m of wire on a machine for 400: the stop is new, and gone on the way back."""
    found = compare(garden(), garden(340.0))
    assert "stop" in {each.level for each in found.findings_new}
    again = compare(garden(340.0), garden())
    assert {each.rule for each in again.findings_gone} == {e.rule for e in found.findings_new}


def test_a_loop_that_comes_is_all_new() -> None:
    """A plan with a second lawn on a loop of its own."""
    one = garden()
    data = json.loads(json.dumps(_dumped(one)))
    far = [[30, 0, "hedge"], [40, 0, "hedge"], [40, 10, "hedge"], [30, 10, "hedge"]]
    data["lawns"].append({"name": "Far", "loop": "far", "outline": far})
    data["loops"].append({"name": "far", "dock": {"at": [35, 0.3]}})
    two = prepare(loads(json.dumps(data)))
    found = compare(one, two)
    main_loop, other = found.loops
    assert not main_loop.laid_anew and other.old_m is None
    (stretch,) = other.laid_anew
    assert stretch.length_m == pytest.approx(4 * (10.0 - 2 * SETBACK), abs=1e-2)
    alone = compare(two, one)
    assert alone.loops[1].new_m is None and not alone.is_none


def _dumped(job: Job) -> dict[str, Any]:
    from renderer.plan import dump

    return dump(job.plan)


def test_the_command_tells_it_in_words_and_as_json(tmp_path, capsys) -> None:
    paths = []
    for name, job in (("old", garden()), ("new", garden(21.0, bed=True))):
        path = tmp_path / f"{name}.plan.json"
        path.write_text(json.dumps(_dumped(job)))
        paths.append(str(path))
    assert main(["compare", *paths]) == 0
    text = capsys.readouterr().out
    assert "C-1, revision A" in text and "C-1, revision B" in text
    assert "laid anew: " in text and "taken up: " in text and "pegs: " in text
    assert main(["compare", "--json", *paths]) == 0
    held = json.loads(capsys.readouterr().out)
    (loop,) = held["loops"]
    assert loop["length_m"]["new"] > loop["length_m"]["old"]
    assert {"kept", "moved", "renumbered", "gained", "lost"} == held["pegs"].keys()
    assert main(["compare", paths[0], paths[0]]) == 0
    assert "pegs, splices and findings are the same" in capsys.readouterr().out
    assert main(["compare", paths[0], str(tmp_path / "none.plan.yaml")]) == 2
    assert "none.plan.yaml" in capsys.readouterr().err


@pytest.mark.parametrize("wider", [0.13 * number for number in range(1, 13)])
def test_a_difference_is_that_of_the_figures_beside_it(wider: float) -> None:
    """2.47 to 2.61 is 0.14 on paper, also where it is 0.134 by the unrounded ohms."""
    old, new = garden().plan, garden(20.0 + wider).plan
    told = all_text(renderer.compare_sheets(old, new)).replace("\u00a0", " ").split("\n")
    for unit, step in (("m", 0.01), ("Ω", 0.01), ("m²", 1.0)):
        rows = [text for text in told if re.fullmatch(rf"[+−]?[\d.,]+ {unit}", text)][:3]
        before, after, more = (float(row.replace("−", "-").split()[0]) for row in rows)
        assert more == pytest.approx(after - before, abs=step / 1000)


def test_a_park_is_drawn_with_its_legend_under_it_where_that_is_larger() -> None:
    """At the right of its legend the park takes 1:1000; nothing is drawn where nothing changed."""
    park = load(ROOT / "demo" / "hollin-park.plan.yaml")
    yew = next(each for each in park.obstacles if each.name.startswith("Yew"))
    rest = tuple(each for each in park.obstacles if each is not yew)
    shown = all_text(renderer.compare_sheets(park, park.model_copy(update={"obstacles": rest})))
    assert "Where it has changed" in shown and "Scale 1:750" in shown
    same = all_text(renderer.compare_sheets(park, park))
    assert "Where it has changed" not in same and "Scale" not in same


@pytest.mark.parametrize("name", ["quarry-lane", "hollin-park"])
def test_lengths_are_told_in_the_unit_of_the_plan(name: str, capsys) -> None:
    plan = str(ROOT / f"demo/{name}.plan.yaml")
    other = str(ROOT / "demo/practice-lawn.plan.yaml")
    assert main(["compare", other, plan]) == 0
    text = capsys.readouterr().out
    unit = load(plan).units
    assert "plans of two different jobs" in text
    assert f" {unit} -> " in text or f" {unit}" in text


def test_the_difference_is_a_value() -> None:
    found = compare(garden(), garden(21.0))
    assert isinstance(found, Difference)
    with pytest.raises(AttributeError):
        found.pegs_kept = 1  # type: ignore[misc]
