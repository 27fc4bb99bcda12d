"""What the blocks print, against figures worked out by hand for the small garden.

The garden is 16 x 9 m with a setback of 0.30 m all round, a round bed of radius 1 m at (8, 5):
outer ring 2 x (15.4 + 8.4), island ring 2 pi x 1.3, lead pair from
the nearer, upper side 2 x (8.7 - 6.3), tails 2 x 0.3.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from renderer.checks.finding import Finding
from renderer.ground.lay import Peg
from renderer.ground.ties import meet, references
from renderer.job import Job
from renderer.language import load_words
from renderer.plan import load, loads
from renderer.plan.model import Plan
from renderer.primitives import Document, Mark, Text
from renderer.sheets import load_layout
from renderer.sheets.layout import read_blocks
from tests.plans import demo_plans, example_plans
from tests.shared import compose, lay_plan
from tests.sheets.sample import SMALL, all_text, drawn, job, overlaps, texts, work_order

OUTER, ISLAND, LEAD = 2 * (15.4 + 8.4), 2 * math.pi * 1.3, 8.7 - 6.3
LAID = OUTER + ISLAND + 2 * LEAD + 0.6
OHM_PER_M = 0.026  # IEC 60228, 0.75 mm2, class 5


def layout(tmp_path: Path, blocks: str) -> Document:
    path = tmp_path / "some.yaml"
    path.write_text(f"layout: 1\ndocument: Some\nblocks: [{blocks}]\n")
    return compose([job()], load_layout(path))


def plain(document: Document) -> str:
    return all_text(document).replace("\u00a0", " ")


def lines(document: Document) -> list[list[str]]:
    """The texts of each page in rows, left to right; a row's baselines differ by a hair."""
    found = [
        (each.page, each.item.at[1], each.box[0], each.text)
        for each in drawn(document)
        if isinstance(each.item, Text)
    ]
    rows: list[list[tuple[float, str]]] = []
    last = (0, 0.0)
    for page, y, x, text in sorted(found):
        if page != last[0] or y - last[1] > 0.4:
            rows.append([])
        rows[-1].append((x, text))
        last = page, y
    return [[text for _, text in sorted(row)] for row in rows]


def test_the_wire_laid_and_its_parts(tmp_path: Path) -> None:
    shown = plain(layout(tmp_path, "take-off"))
    for length in (OUTER, ISLAND, 2 * LEAD, 0.6, LAID, LAID * 0.05, LAID * 1.05):
        assert f"{length:.2f} m" in shown
    assert f"Order {math.ceil(LAID * 1.05)} m" in shown


def test_the_wire_list_ends_with_the_wire_laid(tmp_path: Path) -> None:
    rows = lines(layout(tmp_path, "wire-list"))
    legs = [row for row in rows if re.fullmatch(r"\d+", row[0]) and len(row) >= 5]
    assert [row[0] for row in legs] == [str(n) for n in range(1, 8)]
    ends = [(float(row[-3]), float(row[-2])) for row in legs]
    assert ends[0][0] == 0.0
    assert all(one[1] == other[0] for one, other in pairwise(ends))
    assert ends[-1][1] == pytest.approx(LAID, abs=0.01)


def test_good_readings_at_temperatures_and_with_the_island_left_out(tmp_path: Path) -> None:
    shown = plain(layout(tmp_path, "test-record"))
    copper = 1 / (58 * 0.75)  # ohm a metre of copper of the full area; OHM_PER_M is the limit
    for degrees in (0, 10, 20, 30):
        factor = 1 + 0.00393 * (degrees - 20)
        low = LAID * copper * factor * 0.97 - 0.1
        high = LAID * OHM_PER_M * factor * 1.03 + 0.1
        assert f"{low:.2f} to {high:.2f}" in shown
    gone = ISLAND + 2 * LEAD
    assert f"{gone * copper:.2f} to {gone * OHM_PER_M:.2f}" in shown


def test_the_reading_of_a_spool_leads_to_that_of_the_loop_by_pencil(tmp_path: Path) -> None:
    shown = " ".join(plain(layout(tmp_path, "test-record")).split())
    _, spool = job().spools[0]
    assert f"{LAID / spool:.3f}" in shown
    assert "Good from × 0.97 − 0.10*" in shown
    assert "Good to × 1.03 + 0.10*" in shown


def test_a_factor_of_a_long_spool_is_as_good_as_a_reading(tmp_path: Path) -> None:
    """63 m off a drum of 20 km: a factor of 0.003 would be off by 5 %, a good reading is by 3 %."""
    path = tmp_path / "some.yaml"
    path.write_text("layout: 1\ndocument: Some\nblocks: [test-record]\n")
    text = SMALL.format(units="m").replace("[40 m, 60 m]", "[20000 m]")
    plan = loads(text, "drum.plan.yaml")
    shown = plain(compose([Job.known(plan, lay_plan(plan), ())], load_layout(path)))
    (factor,) = re.findall(r"^0\.00\d+$", shown, re.MULTILINE)
    assert float(factor) == pytest.approx(LAID / 20000, rel=0.005)


def test_a_loop_is_measured_closer_only_where_a_spool_was(tmp_path: Path) -> None:
    steps = load_layout("crew-work-order").model_copy(update={"blocks": read_blocks(["steps"])})
    for spools, told in (("spools: [40 m, 60 m]", True), ("spools: []", False)):
        text = SMALL.format(units="m").replace("spools: [40 m, 60 m]", spools)
        plan = loads(text, "spools.plan.yaml")
        shown = " ".join(plain(compose([Job.known(plan, lay_plan(plan), ())], steps)).split())
        assert ("Measure spool" in shown) is told
        assert ("closer by the spool" in shown) is told


def test_a_step_has_no_limit_of_nothing(tmp_path: Path) -> None:
    """A machine that needs no free ends and no straight wire before its dock."""
    steps = load_layout("crew-work-order").model_copy(update={"blocks": read_blocks(["steps"])})
    dock = "dock: {straight_before: 0 m, straight_after: 0.8 m}"
    told = SMALL.format(units="m").replace("tail: 0.3 m", f"tail: 0 m\n  {dock}")
    plan = loads(told, "no-tails.plan.yaml")
    shown = " ".join(plain(compose([Job.known(plan, lay_plan(plan), ())], steps)).split())
    assert "label it START." in shown and "0.80 m straight after, slope" in shown
    assert " 0.00 m" not in shown and "straight before" not in shown
    usual = " ".join(plain(work_order()).split())
    assert "0.30 m free" in usual and "0.30 m free at each end" in usual


def test_the_test_lap_asks_for_no_side_of_a_lawn_without_wire(tmp_path: Path) -> None:
    path = tmp_path / "some.yaml"
    path.write_text("layout: 1\ndocument: Some\nblocks: [test-record]\n")
    sides = "[[0 m, 20 m, wall], [16 m, 20 m, wall], [8 m, 29 m, wall]]"
    beyond = f"  - {{name: Beyond, outline: {sides}}}\n"
    text = SMALL.format(units="m").replace("obstacles:", f"{beyond}obstacles:")
    plan = loads(text, "two.plan.yaml")
    shown = plain(compose([Job.known(plan, lay_plan(plan), ())], load_layout(path), draft=True))
    assert "Back: wall, 3 sides" in shown
    assert "Beyond: " not in shown


def test_the_crew_s_time_is_the_sum_of_its_rates(tmp_path: Path) -> None:
    minutes = 40 + 0.30 * (LAID - 0.6) + 8 + 3 * len(job().splices) + 20 + 25
    assert f"{int(minutes) // 60} h {round(minutes) % 60:02d} min" in plain(layout(tmp_path, "job"))


def test_spools_have_the_same_number_in_every_block() -> None:
    shown = plain(work_order())
    assert len(job().spools) == 2
    for number, length in job().spools:
        assert f"Spool {number}, {length:.2f} m" in shown  # test record
        assert f"Measure spool {number} ({length:.2f}" in shown  # steps
        row = f"Spool {number} {length:.2f}\u00a0m"  # load list
        assert row.replace("\u00a0", " ") in " ".join(shown.replace("\u00a0", " ").split())


def gardens() -> list[Path]:
    return [*demo_plans(), *example_plans()]


@pytest.mark.parametrize("path", gardens(), ids=lambda p: p.name.removesuffix(".plan.yaml"))
def test_each_control_peg_is_found_again_with_the_two_printed_tapes(
    path: Path, tmp_path: Path
) -> None:
    plan = load(path)
    data = Job.known(plan, lay_plan(plan), ())
    some = tmp_path / "some.yaml"
    some.write_text("layout: 1\ndocument: Some\nblocks: [peg-list]\n")
    document = compose([data], load_layout(some))
    pegs = {peg.id: peg for peg in data.pegs if peg.control}
    fixed = {each.name: each.at for each in references(plan, data.lay.lawns)}
    fixed |= {f"peg\u00a0{name}": (peg.x, peg.y) for name, peg in pegs.items()}  # set out before
    found, otherwise = 0, 0
    for row in lines(document):
        if row[0] in pegs and any(text.startswith(("then ", "from ")) for text in row):
            assert is_found_without_tapes(row, plan, pegs), row
            otherwise += 1
            continue
        tapes = [
            match
            for text in row
            if (match := re.fullmatch(r"(.+?)[\u00a0 ]([\d'\"¼½¾.\u00a0]+)", text))
        ]
        tapes = [match for match in tapes if match[1] in fixed]
        if row[0] not in pegs or len(tapes) != 2:
            continue
        hand = next(text.rstrip("!") for text in row if text.rstrip("!") in ("L", "R"))
        (a, one), (b, two) = ((m[1], metres(m[2])) for m in tapes)
        side = "left" if hand == "L" else "right"
        try:
            at = meet(fixed[a], fixed[b], one, two, side)  # type: ignore[arg-type]
        except ValueError:  # a peg on the line between two points, tapes rounded to just too short
            along = one / (one + two)
            at = tuple(p + along * (q - p) for p, q in zip(fixed[a], fixed[b], strict=True))  # type: ignore[assignment]
        peg = pegs[row[0]]
        poor = any(text.endswith("!") for text in row)
        assert math.dist(at, (peg.x, peg.y)) < (0.50 if poor else 0.05), row
        found += 1
    assert found
    assert found + otherwise == len(pegs)


def is_found_without_tapes(row: Sequence[str], plan: Plan, pegs: Mapping[str, Peg]) -> bool:
    """Whether a peg lies so far off a side, or along the wire from another peg, as a row says."""
    peg = pegs[row[0]]
    off = next((metres(text[5:]) for text in row if text.startswith("then ")), None)
    if off is not None:
        sides = [
            (one.at, other.at, one.through)
            for lawn in plan.lawns
            for one, other in pairwise((*lawn.outline, lawn.outline[0]))
        ]
        return min(abs(distance_to_side((peg.x, peg.y), *side) - off) for side in sides) < 0.02
    start = pegs[next(text[5:] for text in row if text.startswith("from "))]
    along = next(text for text in row if text.endswith((" on", " back")))
    by = metres(along.rpartition(" ")[0]) * (1 if along.endswith("on") else -1)
    return any(
        abs(there - here - by) < 0.02
        for there in (peg.at_m, peg.also_at_m or peg.at_m)
        for here in (start.at_m, start.also_at_m or start.at_m)
    )


def distance_to_side(
    at: tuple[float, float],
    a: tuple[float, float],
    b: tuple[float, float],
    through: tuple[float, float] | None,
) -> float:
    """How far a point is from the stretch between two others, or from the circle of an arc."""
    if through is not None:
        p, q, r = (complex(*point) for point in (a, through, b))
        w = (r - p) / (q - p)  # the circle through three points, by complex numbers
        centre = (q - p) * (w - abs(w) ** 2) / (2j * w.imag) + p
        return abs(abs(complex(*at) - centre) - abs(p - centre))
    share = sum((p - q) * (r - q) for p, q, r in zip(at, a, b, strict=True)) / math.dist(a, b) ** 2
    foot = [q + min(max(share, 0), 1) * (r - q) for q, r in zip(a, b, strict=True)]
    return math.dist(at, foot)


def metres(text: str) -> float:
    """A printed tape length: metres, or feet and inches."""
    text = text.replace("\u00a0", "")
    if '"' not in text:
        return float(text)
    feet, _, inches = text.rpartition("'")
    parts = {"¼": 0.25, "½": 0.5, "¾": 0.75}
    whole = "".join(char for char in inches if char.isdigit())
    rest = sum(parts.get(char, 0.0) for char in inches)
    return (int(feet or 0) * 12 + int(whole or 0) + rest) * 0.0254


def test_distances_start_anew_at_the_control_peg_before(tmp_path: Path) -> None:
    pegs = {peg.id: peg for peg in job().pegs}
    chained = [
        (row, match)
        for row in lines(layout(tmp_path, "peg-list"))
        for text in row
        if (match := re.fullmatch(r"(\d+)\u00a0\+\u00a0(\d+\.\d\d)", text))
    ]
    assert len(chained) >= 6
    for row, match in chained:
        before = pegs[match[1]]
        at = float(row[2])
        start = max(s for s in (before.at_m, before.also_at_m) if s and s < at - 0.02)
        assert at - start == pytest.approx(float(match[2]), abs=0.011)


def test_all_pegs_can_be_listed(tmp_path: Path) -> None:
    rows = lines(layout(tmp_path, "{block: peg-list, pegs: all}"))
    listed = {row[0] for row in rows}
    assert {peg.id for peg in job().pegs} <= listed


def test_steps_follow_the_walk_and_each_loop_comes_whole() -> None:
    path = next((p for p in gardens() if p.name.startswith("orchard")), None)
    if path is None:
        pytest.skip("no plan here with two loops")
    plan = load(path)
    data = Job.known(plan, lay_plan(plan), ())
    shown = plain(compose([data], load_layout("crew-work-order")))
    order = [shown.index(f"control pegs of loop {loop.name}") for loop in data.lay.loops]
    order.insert(1, shown.index("Back at peg 1:"))
    assert order == sorted(order)


def test_findings_are_numbered_with_their_cure_and_who_accepted_them(tmp_path: Path) -> None:
    gap = {"width_m": 0.52, "needed_m": 0.9}
    told = (
        Finding("gap-too-narrow", "stop", "gap-too-narrow.found", gap, at_m=12.5),
        Finding(
            "splice-under-paving",
            "warn",
            "splice-under-paving.found",
            {"id": "S1", "name": "Drive"},
            acknowledged="N. Able: dry only",
        ),
    )
    data = job()
    some = tmp_path / "some.yaml"
    some.write_text("layout: 1\ndocument: Some\nblocks: [findings]\n")
    shown = plain(compose([Job.known(data.plan, data.lay, told)], load_layout(some)))
    shown = " ".join(shown.split())
    for expected in (
        "Stop", "Two wires are 0.52 m apart", "At 12.50", "Lay the two wires touching", "Warning",
        "Accepted by N. Able: dry",
    ):  # fmt: skip
        assert expected in shown


def test_a_reason_stands_by_stops_and_where_it_takes_no_room(tmp_path: Path) -> None:
    """A warning that another line would make taller has none, a note never."""
    facts: dict[str, dict[str, Any]] = {
        "lawns-overlap": {"one": "Rear", "two": "Side", "area_m2": 2.0},
        "lead-over-grass": {"loop": "main", "length_m": 3.0},
        "crossing-idle": {"one": "Rear", "two": "Front", "loop": "main"},
        "obstacle-outside": {"name": "Shed", "away_m": 0.5},
    }
    levels = ("stop", "warn", "warn", "note")
    found = tuple(
        Finding(rule, level, f"{rule}.found", facts[rule])  # type: ignore[arg-type]
        for rule, level in zip(facts, levels, strict=True)
    )
    some = tmp_path / "some.yaml"
    some.write_text("layout: 1\ndocument: Some\nblocks: [findings]\n")
    data = job()
    shown = plain(compose([Job.known(data.plan, data.lay, found, data.digest)], load_layout(some)))
    words = load_words("en", "findings")
    told = " ".join(shown.split())
    printed = [rule for rule in facts if words[f"{rule}.why"] in told]
    assert printed == ["lawns-overlap", "crossing-idle"]


def test_unconfirmed_figures_carry_a_dagger_and_its_meaning(tmp_path: Path) -> None:
    shown = plain(layout(tmp_path, "machine"))
    assert "0.30 m †" in shown
    assert "† Not confirmed against the maker's manual." in shown
    confirmed = job().plan.model_copy(
        update={"machine": job().plan.machine.model_copy(update={"from_manual": True})}
    )
    some = tmp_path / "some.yaml"
    data = Job.known(confirmed, job().lay, (), job().digest)
    assert "†" not in all_text(compose([data], load_layout(some)))


@pytest.mark.parametrize("language", ["en", "es", "de", "fr"])
def test_signal_words_keep_clear_of_the_cautions(tmp_path: Path, language: str) -> None:
    path = tmp_path / "some.yaml"
    own = "{signal: DANGER, text: Live}"
    path.write_text(
        f"layout: 1\ndocument: Some\nlanguage: {language}\ncautions: [{own}]\nblocks: [cautions]\n"
    )
    document = compose([job()], load_layout(path))
    pages = range(1, len(document.pages) + 1)
    assert [list(overlaps(texts(document, page), 0.05)) for page in pages] == [[] for _ in pages]


def _has(marks: tuple[Mark, ...], title: str) -> bool:
    return any(mark.title == title for mark in marks)


def test_a_caution_of_this_garden_has_a_panel_and_those_of_every_job_have_one_group(
    tmp_path: Path,
) -> None:
    from renderer.checks import cautions

    document = work_order()
    told = cautions(job().plan, job().lay)
    carried = next(n for n, page in enumerate(document.pages, 1) if _has(page.marks, "Test record"))
    pages = range(carried + 1, len(document.pages) + 1)  # the leaf to lay from has those of its own
    for signal in ("DANGER", "WARNING", "CAUTION", "NOTICE"):
        alike = [caution for caution in told if caution.signal == signal]
        own = sum(not caution.everyday for caution in alike)
        leaf = [t for n in range(1, carried + 1) for t in texts(document, n) if t.text == signal]
        assert len(leaf) == own
        printed = [t for page in pages for t in texts(document, page) if t.text == signal]
        assert len(printed) == any(caution.everyday for caution in alike)
    shown = " ".join(plain(layout(tmp_path, "cautions")).split())
    own, everyday = shown.split("On every job")
    assert "No socket is known for the supply of loop main." in own
    for start in ("Ask for a buried-services search", "Keep everyone, children", "Brambles, ticks"):
        assert start in everyday and start not in own


def test_the_as_built_grid_has_fields_of_the_size_it_says(tmp_path: Path) -> None:
    document = layout(tmp_path, "as-built")
    match = re.search(r"Grid squares are (\d+\.\d\d) m. Scale 1:(\d+)", plain(document))
    assert match
    field_mm = float(match[1]) * 1000 / float(match[2])
    uprights = sorted(
        {
            round(each.item.points[0][0], 3)  # type: ignore[union-attr]
            for each in drawn(document)
            if each.kind == "line" and getattr(each.item.pen, "colour", "") == "#7f7f7f"  # type: ignore[union-attr]
        }
    )
    steps = [b - a for a, b in pairwise(uprights)]
    assert field_mm == pytest.approx(min(step for step in steps if step > 0.1), abs=0.01)


def test_plates_of_dock_island_splice_and_each_kind_of_edge_stand_in_frames(tmp_path: Path) -> None:
    document = layout(tmp_path, "plates")
    shown = plain(document)
    for title in (
        "Start of loop main",
        "Roses: out, round and back",
        "Splice S1",
        "Section at",
        "wall\nG1\n0.30 m",  # and the setbacks of all kinds in a table under it
        "bed\nG1\n0.30 m",
    ):
        assert title in shown
    for page in range(1, len(document.pages) + 1):
        assert list(overlaps(texts(document, page), 0.05)) == []
