"""Printed tables row by row and cell by cell, against figures worked out by hand."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest

from renderer.batch.pack import pack_of
from renderer.ground.packload import pack_load, taken
from renderer.job import Job
from renderer.plan import load_day, loads
from renderer.primitives import Document
from renderer.sheets import load_layout
from renderer.sheets.layout import read_blocks
from tests.shared import compose, lay_plan
from tests.sheets.sample import SMALL, job
from tests.sheets.test_blocks import lines

# The small garden of sample.py: 16 x 9 m, setback 0.30 m, tails 0.30 m, dock at (4, 0.3).


def table(block: str, given: Job | None = None) -> list[list[str]]:
    layout = load_layout("crew-work-order").model_copy(update={"blocks": read_blocks([block])})
    document: Document = compose([given or job()], layout)
    return [[cell.replace("\u00a0", " ") for cell in row] for row in lines(document)]


def test_the_peg_list_counts_first_and_second_pass_apart() -> None:
    """Peg 1 at the dock; the corner (15.7, 0.3) is 11.70 m on: pegs at most 3 m, then 0.75 m."""
    rows = table("peg-list")
    corner = next(row for row in rows if "corner" in row)
    at = corner.index("corner")
    # 11.70 m in lengths of at most 0.75 m: 16 lengths, 15 pegs between; in groups of at most 3 m,
    # four lengths of 0.731 m to a group: 4 groups, 3 pegs of the first pass, 12 of the second.
    assert corner[at - 1] == "17"
    assert corner[at + 1 : at + 5] == ["12.00", "1 + 11.70", "3 + 12", "wall 0.30 G1"]


def test_each_phase_of_the_steps_has_its_own_minutes() -> None:
    """Arriving 40; laying 0.30 a metre, 8 an island, 3 a splice; the dock 20; the lap 25."""
    shown = {}
    for row in table("steps"):
        found = re.match(r"(.*) · about (?:(\d+) h )?(\d+) min for two$", " ".join(row))
        if found and "continued" not in found[1]:
            shown[found[1]] = 60 * int(found[2] or 0) + int(found[3])
    laid = 2 * (15.4 + 8.4) + 2 * 3.14159 * 1.3 + 2 * 2.4
    lay = 0.30 * laid + 8 + 3 * len(job().splices)
    assert list(shown.values()) == [40, round(lay), 20, 25]


def test_the_take_off_sum_by_sum() -> None:
    """Edge 47.60, island 8.17, lead pair 4.80 both ways, tails 0.60; slack 5 % on 61.17."""
    shown = " ".join(" ".join(" ".join(row) for row in table("take-off")).split())
    parts = ("along edges 47.60", "round islands 8.17", "in lead pairs, out and back 4.80")
    laid = " + ".join(f"Wire {part} m" for part in (*parts, "in the tails 0.60"))
    ordered = "+ Slack 3.06 m (5 %* of the wire laid) = Wire to order 64.23 m (Order 65 m)"
    assert f"{laid} = Wire laid 61.17 m {ordered}" in shown


def test_tools_of_a_pack_are_those_of_the_job_with_most_of_them() -> None:
    """Three gardens one after the other take the same mallets along, not three times as many."""
    one = taken(job().plan, job().lay)
    own = {item.item: item.quantity for item in one.takeoff if item.item.startswith("tool.")}
    more = replace(
        one,
        takeoff=tuple(
            replace(item, quantity=5) if item.item == "tool.mallet" else item
            for item in one.takeoff
        ),
    )
    lines_ = {line.item: line.load for line in pack_load([one, more, one])}
    assert own["tool.mallet"] == 2 and lines_["tool.mallet"] == 5
    for item, count in own.items():
        if item in ("tool.label", "tool.clips"):  # each garden keeps its own
            assert lines_[item] == 3 * count
        elif item != "tool.mallet":
            assert lines_[item] == count
    assert lines_["part.dock"] == 3


@pytest.mark.parametrize("change", ["start: 08:40", "stock: {spools: [200]}", "crew: Van 8"])
def test_a_pack_s_code_is_that_of_its_day_too(tmp_path: Path, change: str) -> None:
    """Two packs of the same gardens with another start, stock or crew are not one print."""
    source = Path(__file__).parents[2] / "demo" / "practice-lawn.plan.yaml"
    head = {"start": "start: 08:10", "stock": "stock: {spools: [100]}", "crew": "crew: Van 7"}
    digests = set()
    for number, lines_ in enumerate((head, head | {change.split(":")[0]: change})):
        path = tmp_path / f"{number}.day.yaml"
        text = "\n".join(lines_.values())
        path.write_text(f"day: 1\ndate: 2026-06-09\n{text}\njobs: [{{plan: {source}}}]\n")
        day, plans = load_day(path)
        digests.add(pack_of(plans, day).digest)
    assert len(digests) == 2


def test_the_marking_grid_says_what_passes() -> None:
    """80 of 100 points, and points that add up to 100."""
    layout = load_layout("exercise-key").model_copy(
        update={"blocks": read_blocks(["marking-grid"])}
    )
    rows = lines(compose([job()], layout))
    assert any("Pass mark 80*." in " ".join(row) for row in rows)
    (total,) = (row[1] for row in rows if row[0] == "Total")
    parts = [int(row[-1]) for row in rows if len(row) == 2 and row[-1].isdigit()]
    assert total == "100" and parts == [10, 20, 15, 10, 10, 20, 15, 100]


@pytest.mark.parametrize("kind", ["sprinkler", "buried cable", "buried pipe"])
def test_each_buried_or_standing_feature_is_flagged(kind: str) -> None:
    feature: dict[str, object] = {"name": "Old line", "kind": kind}
    feature |= {"at": [5, 4], "radius": 1} if kind == "sprinkler" else {"line": [[5, 2], [5, 4]]}
    plan = loads(SMALL.format(units="m") + f"features: [{json.dumps(feature)}]\n", "s.plan.yaml")
    rows = table("steps", Job.known(plan, lay_plan(plan), ()))
    assert any("Flag what is buried or in the way: Old line." in " ".join(row) for row in rows)


def test_the_wire_list_row_by_row() -> None:
    """A tail of 0.30, then from (4, 0.3) round to (8, 8.7): 11.70 + 8.40 + 7.70."""
    rows = {row[0]: row[1:] for row in table("wire-list") if row[0].isdigit()}
    assert rows["1"] == ["First tail, to the terminals", "0.00", "0.30", "0.30"]
    # The foot of the pair stands over the bed, up to 25 mm beside it: no two pegs in one hole.
    foot = 0.3 + 11.7 + 8.4 + 7.7
    ends = [foot, foot + 2.4, foot + 2.4 + 2 * 3.14159 * 1.3, foot + 4.8 + 2 * 3.14159 * 1.3]
    for number, start, end in zip("345", ends, ends[1:], strict=False):
        shown = [float(cell) for cell in rows[number][-3:]]
        assert shown[:2] == pytest.approx([start, end], abs=0.03)
        assert shown[2] == pytest.approx(end - start, abs=0.011)
    assert rows["3"][0] == "Lead pair to Roses, out" and rows["4"][0] == "Ring round Roses"
    assert rows["5"][0] == "Lead pair from Roses, back" and rows["5"][-1] == "2.40"
    assert rows["7"] == ["Last tail, to the terminals", "60.87", "61.17", "0.30"]
    lengths = [float(row[-1]) for row in rows.values()]
    assert sum(lengths) == pytest.approx(61.17, abs=0.03)


def test_the_spools_row_by_row() -> None:
    """60 m first; its last metres end at a splice, and 40 - 1.30 m of the other are left."""
    rows = [row for row in table("spools") if row[0].isdigit()]
    (first, second) = rows
    assert first[:3] == ["1", "main", "0.00"] and first[3] == first[4]
    cut = float(first[3])
    assert first[5] == f"Splice S1; {60 - cut:.2f} m left"
    rest = 61.17 - cut
    assert second[:5] == ["2", "main", f"{cut:.2f}", "61.17", f"{rest:.2f}"]
    assert second[5] == f"End of loop; {40 - rest:.2f} m left"


def test_the_crew_time_part_by_part() -> None:
    """60.57 m at 0.30 min; 40 + 18 + 8 + 3 + 20 + 25 = 114 min."""
    told = " ".join(" ".join(cell for row in table("crew-time") for cell in row).split())
    told, _, _ = told.partition(" In minutes")
    assert re.split(r" \+ | = (?=\D)", told) == [
        "Crew time Arriving, setting out, clearing up: 40",
        "Wire laid and pegged: 60.57 m × 0.30 = 18",
        "Islands: 1 × 8 = 8",
        "Splices: 1 × 3 = 3",
        "Docks and signal sources: 1 × 20 = 20",
        "Test lap and handover: 25",
        "Two people together 1 h 54 min",
    ]


def test_the_test_lap_and_the_as_built_rows() -> None:
    """Three sides of wall and one of bed, all at 0.30 m; the splice where the spool ends."""
    record = table("test-record")
    assert ["Back: wall, 3 sides", "0.30 m"] in record
    assert ["Back: bed", "0.30 m"] in record
    (splice,) = (row for row in table("spools") if row[0] == "1")
    assert ["Splice S1", splice[3]] in table("as-built")
