"""What crews found wrong on the sheets of three gardens stays mended, wherever a garden lies.

Each figure is read from the printed page and held against the plan's own points by arithmetic of
this file: circles that meet, segments that cross, distances to a line, sums.
"""

from __future__ import annotations

import math
import re
from itertools import pairwise

import numpy as np
import pypdfium2
import pytest

import renderer
from renderer.ground.lay import LoopLay
from renderer.ground.ties import references
from tests.ground.barred import crosses, faces
from tests.pdf_pages import read_pages
from tests.shared import print_sheets
from tests.sheets.notebook import (
    HERE,
    LENGTH,
    NAMES,
    VARIANTS,
    PegRow,
    Variant,
    in_metres,
    laid,
    lists,
    load_rows,
    loaded,
    peg_rows,
    plain,
    steps,
)

GARDENS = pytest.mark.parametrize("name", NAMES)
WAYS = pytest.mark.parametrize("variant", VARIANTS)
TAPE_M = 20.0  # the longest that is held level, common practice without a published source
STRIP_M = 0.30  # kept on both sides of a marked service, likewise
INCH_M = 0.0254
DOCUMENTS = ("crew-work-order", "wiring-map", "survey-form", "exercise", "fault-plates")


def met(row: PegRow, where: dict[str, complex]) -> complex:
    """Where the two printed tapes meet, by the radical axis of their circles."""
    first, second = where[row.first], where[row.second]
    d = second - first
    square = abs(d) ** 2
    along = row.first_m**2 - row.second_m**2 + square
    across = math.sqrt(max(0.0, 4 * square * row.first_m**2 - along * along))
    return first + d * (along + (1j if row.hand == "L" else -1j) * across) / (2 * square)


def away(point: tuple[float, float], line: tuple[tuple[float, float], ...]) -> float:
    """From a point to a line of several points."""
    found = []
    for (ax, ay), (bx, by) in pairwise(line):
        dx, dy = bx - ax, by - ay
        share = ((point[0] - ax) * dx + (point[1] - ay) * dy) / (dx * dx + dy * dy)
        share = min(1.0, max(0.0, share))
        found.append(math.dist(point, (ax + share * dx, ay + share * dy)))
    return min(found)


@GARDENS
@WAYS
def test_the_printed_tapes_find_each_control_peg(name: str, variant: Variant) -> None:
    plan, lay = laid(name, variant)
    pegs = {peg.id: peg for loop in lay.loops for peg in loop.pegs if peg.control}
    where = {each.name: complex(*each.at) for each in references(plan, lay.lawns)}
    where |= {peg.id: complex(peg.x, peg.y) for peg in pegs.values()}
    walls = list(faces(plan))
    rows = list(peg_rows(lists(name, variant)))
    assert len({row.peg for row in rows}) == len(rows) >= 0.9 * len(pegs)
    for row in rows:
        place = complex(pegs[row.peg].x, pegs[row.peg].y)
        assert abs(met(row, where) - place) <= INCH_M + 1e-3, row.line
        for base, length in ((row.first, row.first_m), (row.second, row.second_m)):
            assert length <= TAPE_M + INCH_M / 2, row.line
            tape = ((where[base].real, where[base].imag), (place.real, place.imag))
            assert not [wall for wall in walls if crosses(tape, wall)], row.line


@GARDENS
@WAYS
def test_the_dock_is_found_by_tapes_that_cross_well(name: str, variant: Variant) -> None:
    first = next(peg_rows(lists(name, variant)))
    assert first.peg == "1"
    assert not first.poor


@WAYS
def test_no_peg_and_no_splice_stands_beside_the_pump_cable(variant: Variant) -> None:
    plan, lay = laid("strip", variant)
    (cable,) = (each.line for each in plan.features if each.kind == "buried cable")
    assert cable is not None
    (loop,) = lay.loops
    placed = [(peg.x, peg.y) for peg in loop.pegs] + [(s.x, s.y) for s in loop.splices]
    assert min(away(point, cable) for point in placed) >= STRIP_M
    kept = '11¾"*' if plan.units == "ft" else "30 cm*"
    assert f"No peg and no splice within {kept} of the marks" in steps("strip", variant, "Limit")


def turn_within(loop: LoopLay, at_m: float, clear_m: float) -> float:
    """Degrees by which the wire turns within so far of a place, vertex by vertex."""
    inner = np.flatnonzero(np.abs(np.asarray(loop.at_m) - at_m) < clear_m)
    if len(inner) == 0:
        return 0.0
    steps = np.diff(loop.path[inner.min() - 1 : inner.max() + 2], axis=0)
    headings = np.unwrap([math.atan2(y, x) for x, y in steps])
    return float(np.degrees(np.abs(np.diff(headings)).sum()))


@pytest.mark.parametrize("name", ["strip", "mess"])
@WAYS
def test_a_splice_lies_on_straight_wire(name: str, variant: Variant) -> None:
    plan, lay = laid(name, variant)
    clear = plan.machine.splice_clear
    for loop in lay.loops:
        assert loop.splices
        for splice in loop.splices:
            assert turn_within(loop, splice.at_m, clear - 2e-3) < 20.0
            pairs = [leg for leg in loop.legs if leg.kind in ("lead", "crossing")]
            ends = [end for leg in pairs for end in (leg.from_m, leg.to_m)]
            assert min(abs(splice.at_m - end) for end in ends) >= clear - 1e-3


@GARDENS
@WAYS
def test_no_letter_means_two_things(name: str, variant: Variant) -> None:
    plan, lay = laid(name, variant)
    points = [each.name for each in references(plan, lay.lawns)]
    assert len(points) == len(set(points))
    assert not {"L", "R"} & set(points)  # the hands of a tie
    for line in (row.line for row in peg_rows(lists(name, variant))):
        alone = re.findall(r"\b[A-Z]\b", line)
        assert set(alone[:-1]) <= set(points), line
        assert alone[-1] in "LR"


@GARDENS
@WAYS
def test_each_spool_that_is_measured_is_loaded(name: str, variant: Variant) -> None:
    text = lists(name, variant)
    loaded = set(re.findall(r"\bSpool (\d+) ", text.partition("\nControl pegs\n")[0]))
    measured = set(re.findall(r"Measure spool (\d+) ", text))
    recorded = set(re.findall(r"^Spool (\d+), ", text, re.MULTILINE))
    assert loaded == measured == recorded
    stock = laid(name, variant)[1].spools
    assert len(loaded) == len({piece.spool for piece in stock.pieces})


@GARDENS
@WAYS
def test_the_lead_of_this_plan_is_loaded_and_fastened(name: str, variant: Variant) -> None:
    plan, _ = laid(name, variant)
    supply = plan.loops[0].supply
    assert supply is not None
    leads = [item for item in loaded(name, variant) if item.startswith("Low-voltage lead")]
    (load,) = (plain(lead).removeprefix("Low-voltage lead, ").removesuffix(" m") for lead in leads)
    limits = steps(name, variant, "Limit")
    (step,) = re.findall(rf"Lead ({LENGTH})(?: m)?, route", limits)
    for printed in (load, step):
        assert in_metres(printed) == pytest.approx(supply.lead, abs=INCH_M / 8 + 1e-6)


@WAYS
def test_parts_that_the_machine_is_carried_to_are_told(variant: Variant) -> None:
    plan, lay = laid("strip", variant)
    told = steps("strip", variant, "Do")
    parts = dict(re.findall(r"(Rear 1|Rear 2|Front): ([\d,]+) (?:m²|sq ft)", told))
    assert set(parts) == {"Rear 1", "Rear 2", "Front"}
    unit = 0.3048**2 if plan.units == "ft" else 1.0
    whole = sum(loop.working_area_m2 for loop in lay.loops)
    told_of = sum(int(area.replace(",", "")) for area in parts.values())
    assert told_of * unit == pytest.approx(whole, abs=1.5 * unit)
    assert told.count("carry the machine there") == 2
    assert "to Rear " in told  # a part by its own name, not the lawn's to both


@GARDENS
@WAYS
def test_the_meter_is_said_to_show_only_what_it_can(name: str, variant: Variant) -> None:
    text = lists(name, variant)
    rows = re.findall(r"^main .+ (\d+\.\d\d) to (\d+\.\d\d) yes$", text, re.MULTILINE)
    assert "Meter shows it" in text
    for low, high in rows:  # of the loop with an island left out
        assert float(low) < float(high) < good_from(text)


def good_from(text: str) -> float:
    """The least good reading of the loop at 20 °C, from the test record's third range."""
    row = next(line for line in text.splitlines() if line.startswith("Loop main, "))
    lows = re.findall(r"(\d+\.\d\d) to \d+\.\d\d", row)
    return float(lows[2])


NO_TOOLS = {"answer", "plan", "list", "load", "pencil", "two", "maker", "or", "and", ""}


@GARDENS
@pytest.mark.parametrize("variant", ["as measured", "other unit"])
def test_the_load_list_holds_each_tool_that_a_step_names(name: str, variant: Variant) -> None:
    items = " ".join(loaded(name, variant)).lower()
    named = steps(name, variant, "Tool").lower().split()
    tools = {re.sub(r"[^a-z]", "", each).rstrip("s") for each in named} - NO_TOOLS
    assert {"mallet", "tape", "meter", "stripper"} <= tools
    missing = {tool for tool in tools if tool not in items}
    assert not missing, missing


def test_a_board_has_one_length_through_a_day() -> None:
    plans = [laid(name, "as measured")[0] for name in NAMES]
    pdf = renderer.print_sheets(plans, layout=str(HERE / "day-lists.yaml"))
    pages = read_pages(pdf)
    text = "\n".join(page.text for page in pages)
    rows = [row for page in pages for row in load_rows(page.words)]
    # the day's own list stands on its first page, an item a line
    rows += re.findall(rf"^(Gauge board G\d|Low-voltage lead) ({LENGTH})", text, re.MULTILINE)
    lengths: dict[str, list[float]] = {}
    for item, length in rows:
        if on_a_job := re.fullmatch(rf"Gauge board (G\d), ({LENGTH})(?: m)?", plain(item)):
            lengths.setdefault(on_a_job[1], []).append(in_metres(on_a_job[2]))
        elif re.fullmatch(r"Gauge board G\d", item):
            lengths.setdefault(item[-2:], []).append(in_metres(length.removesuffix(" m")))
    assert set(lengths) == {"G1", "G2", "G3", "G4"}
    for board, found in lengths.items():
        assert len(found) >= 2, board
        assert max(found) - min(found) <= INCH_M / 8 + 0.005
    named = [item.partition(", ")[2] or each for item, each in rows if item.startswith("Low-vol")]
    leads = [in_metres(plain(each).removesuffix(" m")) for each in named]
    lead_m = [plan.loops[0].supply.lead for plan in plans if plan.loops[0].supply]
    for length in lead_m:  # on the day's list one by one, and on each job's own
        assert sum(abs(each - length) <= INCH_M / 8 + 1e-6 for each in leads) >= 2
    for offset, board in re.findall(rf"({LENGTH}) (G\d)\b", text):
        assert in_metres(offset) <= lengths[board][0] + 0.2, (offset, board)


@pytest.mark.parametrize(
    ("name", "variant", "layout"),
    [
        (name, VARIANTS[(i + 2 * k) % len(VARIANTS)], layout)
        for i, layout in enumerate(DOCUMENTS)
        for k, name in enumerate(NAMES if layout != "fault-plates" else NAMES[:1])
    ],
)
def test_each_document_prints_wherever_the_garden_lies(
    name: str, variant: Variant, layout: str
) -> None:
    plan, _ = laid(name, variant)
    told = read_fast(print_sheets([plan], layout=layout))
    assert all(len(page) > 100 for page in told)
    text = "\n".join(told)
    assert not re.search(r"\b(?:nan|None|inf)\b|[{}]", text)
    if layout != "survey-form":  # which copies the points as they were measured
        assert not re.search(r"\d{6,}\.\d", text)
    if layout in ("wiring-map", "exercise", "fault-plates"):
        assert not re.search("Mrs Example|gate sticks|two dogs", text)


def read_fast(pdf: bytes) -> list[str]:
    """The text of each page, by another library."""
    file = pypdfium2.PdfDocument(pdf)
    return [plain(page.get_textpage().get_text_range()) for page in file]
