"""The wiring map: short, complete without anything else, and silent about private matters."""

from __future__ import annotations

import math
import re
import zlib
from collections.abc import Iterable
from functools import lru_cache
from io import BytesIO
from itertools import pairwise
from pathlib import Path

import pypdf
import pytest
import shapely

import renderer
from renderer.drawing.plan import PlanDrawing, view_drawing
from renderer.drawing.scene import Part, Scene
from renderer.ground.breaks import turns_needed
from renderer.ground.ties import references
from renderer.job import Job
from renderer.language import load_words
from renderer.output.recorder import record
from renderer.plan import Plan, load, loads
from renderer.primitives import Area, Document, Line, Page, Text
from renderer.sheets import load_layout
from renderer.sheets.measure import Measure
from renderer.sheets.sheet import Sheet
from renderer.sheets.shots import shots
from renderer.trade import TEST_SEGMENT_M
from tests.ground.barred import crosses, faces
from tests.outside.test_splice_from_ties import metres
from tests.pdf_pages import read_pages
from tests.plans import ROOT, demo_plans, example_plans
from tests.shared import compose, job_of, lay_plan, print_sheets
from tests.sheets.sample import (
    SMALL,
    all_text,
    assert_apart_and_framed,
    drawn,
    job,
    work_order,
)

PRIVATE = {
    "access": "Key under the third pot",
    "name": "Quentin Private",
    "phone": "555 0123",
    "crew": "Van 9 Zebediah",
    "notes": "Alarm code 4711",
    "services": "Asked Mrs Whisper on the ninth",
    "by": "Olga Acknowledger",
    "reason": "a reason between us",
}
TELLING = ("Quentin", "third pot", "Zebediah", "Alarm", "Whisper", "Olga")
FULL = SMALL.replace("crew: Van 9", f"crew: {PRIVATE['crew']}").replace(
    "notes: [Bring the long tapes]",
    f"notes: [{PRIVATE['notes']}]\n  services_asked: {PRIVATE['services']}",
) + "acknowledged: [{{rule: no-survey, by: {by}, reason: {reason}}}]\n".replace(
    "{by}", PRIVATE["by"]
).replace("{reason}", PRIVATE["reason"])


@lru_cache
def wiring_map(path: Path | None = None, paper: str = "A4", units: str = "m") -> Document:
    """The map of a plan file, or of the small garden."""
    if path is None:
        return compose([job(units)], load_layout("wiring-map"), paper=paper)
    return compose([job_of(load(path))], load_layout("wiring-map"), paper=paper)


def plain(document: Document) -> str:
    return all_text(document).replace("\u00a0", " ")


def gardens() -> list[Path]:
    return [*demo_plans(), *example_plans()]


PRINTS = [(path, paper) for path in gardens() for paper in ("A4", "Letter")]


def test_it_says_what_it_is_and_not_that_it_is_for_laying() -> None:
    shown = all_text(wiring_map())
    assert "Wiring map" in shown
    assert "As planned" in shown
    assert "Issued for laying" not in shown


# At the most, on A4 and on Letter; gardens that are not named take one leaf.
PAGES = {
    "hollin-park": (4, 4),
    "orchard-hall": (4, 4),
    "old-smithy": (3, 3),  # two lawns, their ties and readings, and the squares with the plan
    "mill-bank": (3, 3),
    "quarry-lane": (2, 3),
}
LEAF = (2, 2)
ROWS = 16  # of the log, at the most


@pytest.mark.parametrize(("path", "paper"), PRINTS, ids=lambda p: str(getattr(p, "stem", p)))
def test_it_takes_one_leaf_and_for_an_estate_two(path: Path, paper: str) -> None:
    name = path.name.removesuffix(".plan.yaml")
    assert len(wiring_map(path, paper).pages) <= PAGES.get(name, LEAF)[paper == "Letter"]


@pytest.mark.parametrize(("path", "paper"), PRINTS, ids=lambda p: str(getattr(p, "stem", p)))
def test_a_map_always_has_room_for_an_entry_and_uses_a_second_leaf(path: Path, paper: str) -> None:
    """Where the squares need a further page, plan and log use what is over of it."""
    pages = wiring_map(path, paper).pages
    rows = sum(map(log_rows, pages))
    assert rows >= 1
    assert len(pages) != 3 or rows >= ROWS / 2


def scale_of(document: Document) -> int:
    """The N of 1:N on the first page."""
    texts = (item.text for item in document.pages[0].items if isinstance(item, Text))
    found = next(re.fullmatch(r"Scale\s1:(\d+)", text) for text in texts if text[:5] == "Scale")
    assert found
    return int(found[1])


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("path", gardens(), ids=lambda p: p.stem)
def test_a_plan_is_as_large_as_its_pages_allow(path: Path, paper: str) -> None:
    """Held to the share of a page that may save one, it is no larger and saves no page."""
    layout = load_layout("wiring-map")
    first, *others = layout.blocks
    smaller = first.model_copy(update={"most": 20})
    held = layout.model_copy(update={"blocks": (smaller, *others)})
    small = compose([job_of(load(path))], held, paper=paper)
    large = wiring_map(path, paper)
    assert len(large.pages) <= len(small.pages)
    assert scale_of(large) <= scale_of(small)
    if path.stem.startswith("old-smithy"):
        assert scale_of(large) == 200


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_what_was_recorded_stays_together_with_rows_for_more(paper: str) -> None:
    """The garden with four entries in its log, in rows of up to three lines."""
    built = renderer.prepare(load(ROOT / "demo/life/sorrel-bank.plan.yaml"))
    pages = compose([built], load_layout("wiring-map"), paper=paper).pages
    assert len(pages) <= 3
    *before, last = map(log_rows, pages)
    assert not any(before) and last >= ROWS / 2
    told = " ".join(item.text for item in pages[-1].items if isinstance(item, Text))
    assert all(each in told for each in ("First plan", "Pond measured", "design code", "Patio"))


def log_rows(page: Page) -> int:
    """How many empty rows of the log are on a page."""
    names = (getattr(item, "name", "").split(".") for item in page.items)
    return len({parts[2] for parts in names if parts[1:2] == ["log"]})


# Private matter


def test_the_plan_of_these_tests_is_full_of_private_matter() -> None:
    plan = loads(FULL.format(units="m"), "full.plan.yaml")
    text = str(plan.model_dump())
    assert all(each in text for each in PRIVATE.values())


def streams(pdf: bytes) -> str:
    """Everything in a PDF as text: objects as they are, and each stream unpacked."""
    parts = [pdf]
    for match in re.finditer(rb"stream\r?\n(.*?)\r?\nendstream", pdf, re.DOTALL):
        try:
            parts.append(zlib.decompress(match[1]))
        except zlib.error:
            continue
    return "\n".join(part.decode("latin-1") for part in parts)


def told(pdf: bytes) -> str:
    """Text of the pages, metadata, bookmarks, fields and raw content of a PDF."""
    reader = pypdf.PdfReader(BytesIO(pdf))
    parts = [page.extract_text() for page in reader.pages]
    parts += [str(value) for value in (reader.metadata or {}).values()]
    parts += [str(item.get("/Title", "")) for item in flat(reader.outline)]
    parts += list(reader.get_fields() or {})
    parts.append(reader.xmp_metadata.stream.get_data().decode() if reader.xmp_metadata else "")
    return "\n".join([*parts, streams(pdf)]).replace("\u00a0", " ")


def flat(outline: object) -> list[dict[str, object]]:
    if isinstance(outline, list):
        return [item for each in outline for item in flat(each)]
    return [outline]  # type: ignore[list-item]


@pytest.mark.parametrize("fields", [False, True])
def test_no_private_matter_in_the_finished_file(fields: bool) -> None:
    plan = loads(FULL.format(units="m"), "full.plan.yaml")
    pdf = print_sheets([plan], layout="wiring-map", fields=fields)
    text = told(pdf)
    assert "Back garden" in text
    assert "1 Nowhere Lane" in text
    for private in (*PRIVATE.values(), *TELLING):
        assert private not in text


def test_the_search_would_find_private_matter() -> None:
    plan = loads(FULL.format(units="m"), "full.plan.yaml")
    text = told(print_sheets([plan], layout="crew-work-order"))
    for private in (PRIVATE["access"], PRIVATE["phone"], PRIVATE["name"]):
        assert private in text


def test_neither_primitives_nor_codes_carry_private_matter() -> None:
    plan = loads(FULL.format(units="m"), "full.plan.yaml")
    data = Job.known(plan, lay_plan(plan), ())
    document = compose([data], load_layout("wiring-map"))
    assert not any(private in repr(document) for private in PRIVATE.values())
    codes = {item.title for p in document.pages for item in p.items if isinstance(item, Area)}
    hexadecimal = data.digest.removeprefix("sha256:")[:16].upper()
    assert f"ZZ-77 C {hexadecimal}" in codes


def test_the_address_can_be_left_out(tmp_path: Path) -> None:
    own = tmp_path / "share.yaml"
    own.write_text("layout: 1\ndocument: wiring-map\nblocks: [{block: map-plan, site: no}]\n")
    assert "Nowhere Lane" not in repr(compose([job()], load_layout(own)))
    assert "Nowhere Lane" in repr(wiring_map())


# What it holds


def test_the_plan_has_no_marks_of_the_crew() -> None:
    ids = {getattr(item, "id", None) for page in wiring_map().pages for item in page.items} - {None}
    assert any(str(each).startswith("wire-") for each in ids)
    assert not any(str(each).startswith("peg-") for each in ids)
    assert "Control peg" not in all_text(wiring_map())


@pytest.mark.parametrize("units", ["m", "ft"])
def test_a_band_along_the_wire_shows_where_nobody_digs(units: str) -> None:
    """Its edge lies half a metre, or 20 in, from the wire at the scale that the page names."""
    document = wiring_map(units=units)
    page = document.pages[0]
    (band,) = (item for item in page.items if isinstance(item, Area) and item.role == "keep-off")
    scale = float(re.findall(r"Scale 1:(\d+)", plain(document))[0])
    off = (0.508 if units == "ft" else 0.5) * 1000 / scale
    wires = shapely.union_all(
        [
            shapely.linestrings(item.points)
            for item in page.items
            if isinstance(item, Line) and str(item.id).startswith("wire-")
        ]
    )
    edge = [float(shapely.distance(wires, shapely.Point(at))) for ring in band.rings for at in ring]
    assert max(edge) == pytest.approx(off, abs=0.05)
    assert sorted(edge)[len(edge) // 2] == pytest.approx(off, abs=0.05)
    assert "Wire; grey: no digging" in plain(document)


def test_the_crew_s_plan_has_no_band() -> None:
    assert not [item for page in work_order().pages for item in page.items
                if isinstance(item, Area) and item.role == "keep-off"]  # fmt: skip


def rows(document: Document) -> dict[str, list[str]]:
    """The rows of the table of places by the place's name, cells from left to right."""
    found: dict[str, list[str]] = {}
    lines: dict[tuple[int, int], list[tuple[float, str]]] = {}
    for each in drawn(document):
        if isinstance(each.item, Text) and not each.role.startswith("label"):
            lines.setdefault((each.page, round(each.item.at[1] * 2)), []).append(
                (each.box[0], each.text)
            )
    for line in lines.values():
        cells = [text.replace("\u00a0", " ") for _, text in sorted(line)]
        if re.fullmatch(r"[STP]\d+|START|FINISH", cells[0]) and len(cells) > 2:
            found[cells[0]] = cells
    return found


@pytest.mark.parametrize("path", gardens(), ids=lambda p: p.name.removesuffix(".plan.yaml"))
def test_each_place_of_the_table_is_marked_on_the_plan(path: Path) -> None:
    document = wiring_map(path)
    on_plan = {e.text for e in drawn(document) if e.kind == "text" and e.role.startswith("label")}
    listed = set(rows(document)) - {"START", "FINISH"}
    assert listed
    assert listed <= on_plan


@pytest.mark.parametrize("name", ["hollin-park", "orchard-hall"])
def test_an_estate_lies_on_one_page_where_all_its_places_keep_their_names(name: str) -> None:
    """At the crew's scale the same gardens take three pages and eight."""
    large = [path for path in gardens() if path.name.startswith(name)]
    if not large:
        pytest.skip("no large garden here")
    texts = {e.text.replace("\u00a0", " ") for e in drawn(wiring_map(large[0])) if e.kind == "text"}
    assert texts & {"Scale 1:500", "Scale 1:600"}
    assert not any("sheet 2 of" in text for text in texts)


@pytest.mark.parametrize("path", gardens(), ids=lambda p: p.name.removesuffix(".plan.yaml"))
def test_a_place_names_the_crew_s_photograph_of_it(path: Path) -> None:
    """The number in the table is that of the list of photographs in the work order."""
    plan = load(path)
    data = Job.known(plan, lay_plan(plan), ())
    words = load_words("en")
    layout = load_layout("crew-work-order")
    sheet = Sheet(data, words, Measure(plan.units, words), layout, 190.0, 250.0, False)
    listed = [shot.text for shot in shots(sheet)]
    named = {name: cells[1] for name, cells in rows(wiring_map(path)).items()}
    counted = 0
    for name, number in named.items():
        if name.startswith("S") and name != "START":
            assert listed[int(number) - 1].startswith(f"Splice {name} ")
            counted += 1
    dock = named["START"]
    assert listed[int(dock) - 1].startswith(("Dock of loop", "Signal source of loop"))
    assert counted == sum(len(loop.splices) for loop in lay_plan(plan).loops)


def test_every_splice_and_both_ends_of_each_pair_are_listed() -> None:
    found = rows(wiring_map())
    assert {"START", "FINISH", "S1", "P1", "P2"} <= set(found)
    (loop,) = job().lay.loops
    (lead,) = loop.leads
    for name, point in (("P1", lead.points[0]), ("P2", lead.points[-1])):
        at = next(leg for leg in loop.legs if leg.part == lead.id and not leg.back)
        expected = at.from_m if name == "P1" else at.to_m
        assert f"{expected:.2f}" in found[name]
        assert len(point) == 2


@pytest.mark.parametrize("path", gardens(), ids=lambda p: p.name.removesuffix(".plan.yaml"))
def test_how_sure_a_place_is_follows_from_the_angle_of_its_tapes(path: Path) -> None:
    """By the law of cosines, for 3 cm in each tape: common practice, no published source."""
    plan = load(path)
    fixed = {point.name: point.at for point in references(plan, lay_plan(plan).lawns)}
    step = 0.0254 if plan.units == "ft" else 0.01
    counted = 0
    for cells in rows(wiring_map(path)).values():
        tapes = [each.split(" ", 1) for each in cells if re.match(r"[A-Z] \d", each)]
        if len(tapes) != 2 or not {"L", "R"} & set(cells):  # a poor crossing has its sign
            continue
        (one, a), (two, b) = ((fixed[name], metres(length)) for name, length in tapes)
        cosine = (a * a + b * b - math.dist(one, two) ** 2) / (2 * a * b)
        off = 0.03 * math.sqrt(2) / math.sqrt(1 - cosine * cosine)
        told = cells[next(k for k, each in enumerate(cells) if each in ("L", "R")) + 1]
        assert float(re.sub(r"\D", "", told)) == pytest.approx(off / step, abs=1.2)
        counted += 1
    assert counted >= 2


@pytest.mark.parametrize("path", gardens(), ids=lambda p: p.name.removesuffix(".plan.yaml"))
def test_points_are_checked_by_distances_that_one_tape_reaches(path: Path) -> None:
    plan = load(path)
    fixed = {point.name: point.at for point in references(plan, lay_plan(plan).lawns)}
    text = " ".join(plain(wiring_map(path)).split())
    told = text.partition("To check them: ")[2].partition(". ")[0]
    pairs = re.findall(r"\b([A-Z]) to ([A-Z]) ((?:\d+' )?\d[\d.]*[¼½¾]?\"?)", told)
    walls = list(faces(plan))
    assert pairs
    for one, two, length in pairs:
        tape = (fixed[one], fixed[two])
        assert metres(length.rstrip(".")) == pytest.approx(math.dist(*tape), abs=0.013)
        assert math.dist(*tape) <= 20.0
        assert not [wall for wall in walls if crosses(tape, wall)]


def within(length_m: float, least: float, most: float) -> tuple[float, float]:
    """What a meter may read of so much wire: 3 % for meter and length, and 0.10 ohm on top."""
    return max(0.0, 0.97 * length_m * least - 0.1), 1.03 * length_m * most + 0.1


def test_readings_are_those_of_the_wire_up_to_the_place() -> None:
    (loop,) = job().lay.loops
    tested = {k: v for k, v in rows(wiring_map()).items() if k[0] in "ST" and k != "START"}
    assert len(tested) >= 2
    copper = 1 / (58 * 0.75), 0.026  # the full 0.75 mm2; the limit of IEC 60228, class 5
    for cells in tested.values():
        at = float(cells[-5])
        start, finish = ([float(end) for end in cell.split("–")] for cell in cells[-4:-2])
        assert start == pytest.approx(within(at, *copper), abs=0.006)
        assert finish == pytest.approx(within(loop.length_m - at, *copper), abs=0.006)


def test_readings_are_said_to_count_the_meters_error_and_are_closer_where_ohms_are_stated() -> None:
    assert "what a meter may read of sound wire" in " ".join(plain(wiring_map()).split())
    stated = FULL.replace("conductor_mm2: 0.75", "ohm_per_100m: 2.4")
    assert stated != FULL
    plan = loads(stated.format(units="m"))
    data = Job.known(plan, lay_plan(plan), ())
    document = compose([data], load_layout("wiring-map"))
    assert "2.40 Ω/100 m" in plain(document)
    (cells,) = (cells for name, cells in rows(document).items() if name == "S1")
    told = [float(end) for end in cells[-4].split("–")]
    assert told == pytest.approx(within(float(cells[-5]), 0.024, 0.024), abs=0.006)


@pytest.mark.parametrize("path", gardens(), ids=lambda p: p.name.removesuffix(".plan.yaml"))
def test_the_printed_order_of_tests_leads_to_each_break(path: Path) -> None:
    document = wiring_map(path)
    found = rows(document)
    plan = load(path)
    loops = lay_plan(plan).loops
    begins = re.findall(r"Begin at ([ST]\d+)\.", plain(document))
    assert len(begins) == len(loops)
    for loop, first in zip(loops, begins, strict=True):
        mine = chain_of(found, first)
        at = {name: _at(found[name]) for name in mine}
        order = sorted(mine, key=at.__getitem__)
        ends = ["start", *order, "end"]
        stops = [0.0, *(at[name] for name in order), loop.length_m]
        assert max(b - a for a, b in pairwise(stops)) <= TEST_SEGMENT_M + 0.02
        for broken, names in enumerate(pairwise(ends)):
            here, tests = first, 0
            while here in mine:
                tests += 1
                whole = broken > order.index(here)
                here = found[here][-2 if whole else -1]
            assert here == "–".join(names)
            assert tests <= turns_needed(len(ends) - 1)


def _at(cells: list[str]) -> float:
    """The running distance of a tested place in metres: readings and what comes next follow it."""
    return metres(cells[-5])


def chain_of(found: dict[str, list[str]], first: str) -> set[str]:
    """All places that the tests of a loop lead to."""
    known: set[str] = set()
    ahead = {first}
    while ahead:
        here = ahead.pop()
        known.add(here)
        ahead |= {each for each in found[here][-2:] if each in found} - known
    return known


def test_a_reading_that_the_map_calls_good_is_good_at_its_places_too() -> None:
    """Copper of the full 0.75 mm2, and the limit of IEC 60228 for class 5; 3 % and 0.10 ohm."""
    length = 61.17
    low, high = 0.97 * length / (58 * 0.75) - 0.1, 1.03 * length * 0.026 + 0.1
    text = " ".join(plain(wiring_map()).split())
    assert f"{low:.2f} to {high:.2f} Ω* Unbroken" in text
    assert re.search(rf"FINISH beside START [^Ω]*{low:.2f}–{high:.2f}", text)


def test_by_how_much_an_island_that_is_left_out_lowers_the_reading() -> None:
    without = 2 * math.pi * 1.3 + 2 * (8.7 - 6.3)
    # copper of the full 0.75 mm2, and the limit of IEC 60228 for class 5
    assert f"{without / (58 * 0.75):.2f} to {without * 0.026:.2f}" in plain(wiring_map())


@pytest.mark.parametrize(
    "said",
    [
        "OL, or a lone 1 Broken: go on with step 2.",
        "Less than good Island bypassed (see list), or bare wires touch",
        "Unbroken: check dock, supply, islands that may be missed.",
        "More than good Poor splice: measure both sides of each",
        "Subtract what the meter's own leads read",
    ],
)
def test_each_reading_of_the_loop_has_its_next_place(said: str) -> None:
    assert said in " ".join(plain(wiring_map()).split())


@pytest.mark.parametrize(
    "said",
    [
        "First unplug the power supply.",
        "Keep 0.50 m* off wire and pairs",
        "pegged on the ground",
        "wall 0.30 m, bed 0.30 m",
        "0.75 mm² copper",
        "Hours a week",
        "Year 10",
        "Rev.",
        "Laid as this map shows",
        "Ω to FINISH",
        "Dig, plant, drive stakes",
        "Aerate, scarify",
        "Children and pets off the lawn while it mows",
        "2.30–2.60 Ω/100 m",
    ],
)
def test_it_says(said: str) -> None:
    assert said in " ".join(plain(wiring_map()).split())


def test_a_crossing_says_what_it_passes_under() -> None:
    path = next((p for p in gardens() if p.name.startswith("mill-bank")), None)
    if path is None:
        pytest.skip("no plan with a crossing here")
    assert "both wires pass under: paving" in " ".join(plain(wiring_map(path)).split())


@pytest.mark.parametrize("path", gardens(), ids=lambda path: path.stem)
def test_each_buried_service_says_how_it_is_known(path: Path) -> None:
    text = " ".join(plain(wiring_map(path)).split())
    for feature in load(path).features:
        if feature.kind in ("buried cable", "buried pipe"):
            told = re.search(rf"{feature.name}: (located on \d|drawn as told)", text)
            assert told
            assert told[1].startswith("located") == (feature.located is not None)


@pytest.mark.parametrize("path", gardens(), ids=lambda path: path.stem)
def test_no_tape_of_a_place_goes_on_in_a_second_line(path: Path) -> None:
    texts = [each.item.text for each in drawn(wiring_map(path)) if isinstance(each.item, Text)]
    assert not [text for text in texts if re.fullmatch(r"[A-Z] along", text)]


def test_copper_is_called_by_the_word_of_the_language() -> None:
    spanish = load_layout("wiring-map").model_copy(update={"language": "es"})
    text = plain(compose([job()], spanish))
    assert "0,75 mm² cobre" in text and "copper" not in text


# On paper


@pytest.mark.parametrize(("path", "paper"), PRINTS, ids=lambda p: str(getattr(p, "stem", p)))
def test_no_text_touches_a_text_or_leaves_the_frame(path: Path, paper: str) -> None:
    assert_apart_and_framed(wiring_map(path, paper))


@pytest.mark.parametrize(("path", "paper"), PRINTS, ids=lambda p: str(getattr(p, "stem", p)))
def test_no_word_of_a_table_is_broken_to_fit_its_column(path: Path, paper: str) -> None:
    names = {"START", "FINISH"}
    shown = [e.text for e in drawn(wiring_map(path, paper)) if e.kind == "text"]
    assert names <= set(shown)
    assert not any(re.fullmatch(r"[A-Z]{1,5}", text) and text in "STARTFINISH" and len(text) > 1
                   and text not in names for text in shown)  # fmt: skip


def test_no_text_is_below_its_least_size() -> None:
    sizes = [e.item.size_pt for e in drawn(wiring_map()) if isinstance(e.item, Text)]
    assert min(sizes) >= 8.0 - 1e-6


def test_the_finished_file_can_be_read_as_text() -> None:
    pages = read_pages(print_sheets([job().plan], layout="wiring-map"))
    text = "\n".join(page.text for page in pages)
    assert "Places, found from corners of the lawn" in text


# The house


def walls(path: Path) -> list[Line]:
    return [
        each.item
        for each in drawn(wiring_map(path))
        if isinstance(each.item, Line) and each.item.role == "house"
    ]


def test_the_wall_between_two_house_corners_is_drawn_to_scale() -> None:
    """Quarry lane: 38 ft from corner to corner, 9 in askew; across its garage is no wall."""
    path = next(each for each in demo_plans() if each.stem.startswith("quarry-lane"))
    (wall,) = walls(path)
    (a, b), scale = wall.points, re.search(r"Scale 1:(\d+)", plain(wiring_map(path)))
    assert scale is not None
    metres_long = math.dist(a, b) * int(scale[1]) / 1000.0
    assert metres_long == pytest.approx(math.hypot(38 * 0.3048, 9 * 0.0254), abs=0.005)
    assert "Wall of a building" in plain(wiring_map(path))


def test_a_building_of_the_plan_is_drawn_once() -> None:
    """Hollin park's lodge is a building of the plan, which two of its points are corners of."""
    path = next(each for each in demo_plans() if each.stem.startswith("hollin-park"))
    assert not walls(path)


@pytest.mark.parametrize(("name", "asks"), [("larch-close", True), ("quarry-lane", False)])
def test_a_map_without_house_corners_asks_for_two(name: str, asks: bool) -> None:
    found = [each for each in gardens() if each.name.startswith(name)]
    if not found:
        pytest.skip("the example plans are elsewhere")
    text = plain(wiring_map(found[0]))
    assert ("No house corner yet" in text) is asks
    assert text.count("House corner") == (2 if asks else 0)
    assert ("Places, found from corners of the lawn" in text) is asks


def test_only_a_paper_with_lines_for_house_corners_asks_for_them() -> None:
    asks = "tie two in on the lines for it"
    assert asks in plain(wiring_map())
    assert asks not in plain(compose([job()], load_layout("fault")))


def test_metric_and_feet_are_never_mixed() -> None:
    metric, feet = plain(wiring_map()), plain(wiring_map(None, "Letter", "ft"))
    assert not re.search(r"\d['\"]|\bft\b|\binch", metric)
    assert not re.search(r"\d (m|cm|mm|m²)\b", feet.replace("0.75 mm²", ""))


def test_the_log_fills_the_last_page_and_no_more() -> None:
    document = wiring_map()
    names = [
        item.name.split(".")[2]
        for item in document.pages[-1].items
        if getattr(item, "name", "").split(".")[1:2] == ["log"]
    ]
    assert names
    assert sorted(set(map(int, names))) == list(range(len(set(names))))


def test_a_share_of_the_page_that_cannot_be(tmp_path: Path) -> None:
    own = tmp_path / "own.yaml"
    own.write_text("layout: 1\ndocument: Own\nblocks: [{block: map-plan, share: 5}]\n")
    with pytest.raises(renderer.plan.PlanError, match="write a number from 20 to 100"):
        load_layout(own)


def printed_map(obstacles: str) -> str:
    text = SMALL.format(units="m").split("obstacles:")
    plan = loads(text[0] + obstacles + "loops:" + text[1].split("loops:")[1])
    data = Job.known(plan, lay_plan(plan), ())
    return " ".join(plain(compose([data], load_layout("wiring-map"))).split())


def test_a_map_without_islands_does_not_point_at_figures_of_islands() -> None:
    alone = printed_map("")
    assert "Unbroken: check dock and supply." in alone
    assert "bypassed" not in alone
    roses = "obstacles: [{name: Roses, kind: bed, circle: {at: [8, 5], radius: 1}}]\n"
    assert "Island bypassed (see list)" in printed_map(roses)


def test_a_draft_without_wire_tells_of_no_places_and_no_breaks() -> None:
    drowned = printed_map(
        "obstacles: [{name: Big, kind: bed, circle: {at: [8, 4.5], radius: 17}}]\n"
    )
    assert "at the dock" not in drowned and "If the wire is broken" not in drowned
    assert "trimmed by hand" not in drowned and "In spring peg down any wire that shows." in drowned
    assert "trimmed by hand" in printed_map("")


def test_one_test_is_told_as_one() -> None:
    assert re.search(r"Begin at \w+\. 2 pieces of at most [\d.]+ m\*, one test\.", printed_map(""))


def test_the_owner_s_map_marks_no_points_of_the_survey() -> None:
    """The mill cottage has two that nothing checks; a crew's plan shows them."""
    plan = load(next(path for path in demo_plans() if path.stem.startswith("mill")))
    assert any(point.state != "controlled" for point in plan.survey.adjusted)
    word = load_words("en", "drawing")["legend.unsure"].split(" ")[0]
    shown = {}
    for layout in ("wiring-map", "carry"):
        texts = [text for text in texts_of(layout, plan) if text.startswith(f"{word} point that")]
        shown[layout] = bool(texts)
    assert shown == {"wiring-map": False, "carry": True}


def texts_of(layout: str, plan: Plan) -> list[str]:
    pages = compose([job_of(plan)], load_layout(layout)).pages
    return [item.text for page in pages for item in page.items if isinstance(item, Text)]


@pytest.mark.own_work
def test_the_sizes_tried_of_a_plan_share_their_drawings(monkeypatch: pytest.MonkeyPatch) -> None:
    """Boxes that differ by no more than empty paper give one drawing, which is drawn once."""
    plan, asked = load(ROOT / "demo/old-smithy.plan.yaml"), []

    def counted(scene: Scene, extra: Iterable[Part] = ()) -> PlanDrawing:
        asked.append(scene.view)
        return view_drawing(scene, extra)

    monkeypatch.setattr("renderer.drawing.plan.view_drawing", counted)
    renderer.compose_sheets([plan], layout="wiring-map", paper="A4", draft=True)
    told = [(view.scale, view.rotation_deg, *map(round, view.frame)) for view in asked]
    assert told and len(told) == len(set(told))


@pytest.mark.parametrize("path", gardens(), ids=lambda path: path.stem)
def test_the_day_of_laying_is_left_to_be_written_in(path: Path) -> None:
    """A map as planned knows the day that was planned, which its title block has."""
    shown = " ".join(plain(wiring_map(path)).split())
    if "As planned" in shown:
        row = shown.partition("New splice: tapes, L or R")[2].partition("When laid")[0].split()
        assert len(row) == 1, row  # the revision alone


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("path", gardens(), ids=lambda path: path.stem)
def test_no_figure_cuts_the_lead_of_a_supply_in_two(path: Path, paper: str) -> None:
    for page in wiring_map(path, paper).pages:
        shown = record(Document((page,), ""))
        leads = [shapely.LineString(each.item.points) for each in shown if each.role == "supply"]  # type: ignore[union-attr]
        for text in (each for each in shown if each.role.startswith("label dimension")):
            assert not any(lead.intersects(shapely.Polygon(text.corners)) for lead in leads)
