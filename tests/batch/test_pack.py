"""The day pack: one plan of the spools, each job's sheets in step with it, links and leaves."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache
from io import BytesIO
from pathlib import Path

import pypdf
import pytest

import renderer
from renderer.batch.compose_pack import compose_pack
from renderer.batch.pack import pack_of
from renderer.batch.spill import Spill
from renderer.cli import main
from renderer.findings_text import in_words
from renderer.job import Job
from renderer.job.pack import PackData
from renderer.output.pdf import write_pdf
from renderer.output.recorder import record
from renderer.plan import Plan, load_day, loads
from renderer.primitives import Document, Field, Link, Text
from renderer.sheets import load_layout
from renderer.sheets.errors import SheetError
from renderer.sheets.layout import in_full, read_blocks, read_front

PLAN = """
plan: 1
job: {{number: {number}, title: Garden {number}, site: [{number} Way]}}
machine: {{label: M, setback: {{wall: 0.3, bed: 0.3}}, passage_min: 1, loop_max: 400}}
lawns: [{{name: L, outline: [[0, 0, wall], [{width}, 0, wall], [{width}, 9, wall], [0, 9, wall]]}}]
obstacles: [{{name: Roses, kind: bed, circle: {{at: [8, 5], radius: 1}}}}]
loops: [{{dock: {{at: [4, 0.3]}}, supply: {{at: [4, -1], lead: 3}}}}]
wire: {{conductor_mm2: 0.75, spools: [{spools}], packs: {{pegs: 50, connectors: 5}}}}
"""


def plan(number: str, width: float, spools: str) -> Plan:
    return loads(PLAN.format(number=number, width=width, spools=spools))


@lru_cache
def plans() -> tuple[Plan, ...]:
    """Three gardens; each by itself cuts into whole spools of its own."""
    return plan("P1", 14, "50, 50"), plan("P2", 20, "60, 60"), plan("P3", 16, "50, 50")


@lru_cache
def pack() -> PackData:
    return pack_of(plans())


@lru_cache
def printed(two_sided: bool = True) -> Document:
    layout = load_layout("day-pack").model_copy(update={"two_sided": two_sided})
    return compose_pack(pack(), layout)


def text_of(document: Document, page: int) -> str:
    texts = (item.text for item in document.pages[page - 1].items if isinstance(item, Text))
    return "\n".join(texts).replace("\u00a0", " ")


def test_a_day_is_printed_as_leaves_to_carry_and_in_full_where_asked() -> None:
    """The back of each leaf goes with it; what is said on every job stands once, in front."""
    layout = load_layout("day-pack")
    titles = [mark.title for page in printed().pages for mark in page.marks]
    for title in ("Lay from this leaf", "Control pegs", "Test record", "Findings"):
        assert titles.count(title) == len(plans())
    assert titles.count("Cautions") == 1 and "Steps" not in titles
    full = compose_pack(pack(), in_full(layout))
    titles = [mark.title for page in full.pages for mark in page.marks]
    assert titles.count("Steps") == titles.count("Lay from this leaf") == len(plans())
    behind = 3  # pages and more of each order stand behind its leaf
    assert len(printed().pages) + behind * len(plans()) < len(full.pages)
    with pytest.raises(SheetError, match="--full is for a pack of several jobs"):
        in_full(load_layout("carry"))


def test_one_plan_is_no_worse_than_each_job_by_itself() -> None:
    (cutting,) = pack().cuttings
    assert cutting.jobs == (0, 1, 2)
    assert cutting.together.splices <= cutting.alone.splices
    better = (cutting.together.splices, cutting.together.over_m)
    assert better < (cutting.alone.splices, cutting.alone.over_m)


def test_the_wire_of_each_spool_adds_up() -> None:
    (cutting,) = pack().cuttings
    sizes = {each.piece.spool: each.piece.spool_length_m for each in cutting.pieces}
    for spool, size in sizes.items():
        used = sum(
            each.piece.to_m - each.piece.from_m
            for each in cutting.pieces
            if each.piece.spool == spool
        )
        left = sum(cut.length_m for cut in cutting.offcuts if cut.spool == spool)
        assert used + left == pytest.approx(size, abs=1e-6)
    laid = sum(each.piece.to_m - each.piece.from_m for each in cutting.pieces)
    assert laid == pytest.approx(sum(job.wire_m for job in pack().jobs))


def test_each_jobs_splices_and_pegs_follow_the_pack() -> None:
    for number, job in enumerate(pack().jobs):
        (cutting,) = pack().cuttings
        own = [each.piece for each in cutting.pieces if each.job == number]
        (loop,) = job.lay.loops
        assert [s.at_m for s in loop.splices] == [p.to_m for p in own[:-1]]
        assert own[-1].to_m == pytest.approx(loop.length_m)
        assert [(p.from_m, p.to_m) for p in job.lay.spools.pieces] == [
            (p.from_m, p.to_m) for p in own
        ]
        ids = [int(peg.id) for peg in job.pegs]
        assert ids == list(range(1, len(ids) + 1))
        for splice in loop.splices:
            near = [peg for peg in job.pegs if abs(peg.at_m - splice.at_m) < 0.5]
            assert any(peg.reason == "splice" for peg in near)


def test_a_spool_begun_in_one_job_is_shorter_in_the_next() -> None:
    pieces = [(n, p) for n, job in enumerate(pack().jobs) for p in job.lay.spools.pieces]
    spools = {}
    shared = 0
    for _, piece in pieces:
        if piece.spool in spools:
            shared += 1
            assert piece.spool_length_m == pytest.approx(spools[piece.spool])
        spools[piece.spool] = piece.spool_length_m - (piece.to_m - piece.from_m)
    assert shared


def test_plan_codes_stay_those_of_the_files() -> None:
    from renderer.plan import digest

    assert [job.digest for job in pack().jobs] == [digest(each) for each in plans()]


@pytest.mark.parametrize("two_sided", [True, False])
def test_jobs_begin_on_a_leaf_of_their_own_only_where_asked(two_sided: bool) -> None:
    document = printed(two_sided)
    starts = [
        number
        for number, page in enumerate(document.pages, 1)
        if any(mark.name.endswith(".start") for mark in page.marks)
    ]
    assert len(starts) == 3
    empty = [
        n
        for n in range(1, len(document.pages) + 1)
        if "Intentionally blank" in text_of(document, n)
    ]
    if two_sided:
        assert all(start % 2 for start in starts)
        assert all(page % 2 == 0 and page + 1 in starts for page in empty)
    else:
        assert not empty
    cover = text_of(document, 1)
    for start in starts:
        assert re.search(rf"^{start}$", cover, re.M)


def test_pages_count_in_the_job_and_in_the_pack() -> None:
    document = printed()
    total = len(document.pages)
    by_job: dict[str, list[tuple[int, int]]] = {}
    for number in range(1, total + 1):
        text = text_of(document, number)
        if "Intentionally blank" in text:
            continue
        found = re.search(r"^(\d+) of (\d+) · (\d+) of (\d+)$", text, re.M)
        assert found, number
        page, pages, at, of = map(int, found.groups())
        assert (at, of) == (number, total)
        job = re.search(r"^P\d$", text, re.M)
        front = "For the van" in text or job is None
        by_job.setdefault("" if front else job[0], []).append((page, pages))  # type: ignore[index]
    for counted in by_job.values():
        assert counted == [(n, len(counted)) for n in range(1, len(counted) + 1)]


def test_the_cover_leads_to_each_job_and_so_do_bookmarks() -> None:
    document = printed()
    links = [item for item in document.pages[0].items if isinstance(item, Link)]
    assert len(links) == 3
    reader = pypdf.PdfReader(BytesIO(write_pdf(document)))
    tops = [entry for entry in reader.outline if not isinstance(entry, list)]
    assert [entry.title for entry in tops] == [
        "Day pack",
        "Job P1 Garden P1",
        "Job P2 Garden P2",
        "Job P3 Garden P3",
    ]
    pages = [reader.get_destination_page_number(entry) for entry in tops[1:]]
    assert all(page % 2 == 0 for page in pages)
    jumps = [
        annotation.get_object()
        for annotation in reader.pages[0]["/Annots"]  # type: ignore[union-attr]
    ]
    assert len(jumps) == 3


def test_packs_are_filled_once_for_all_jobs() -> None:
    from renderer.ground.packload import pack_load, taken

    lines = pack_load([taken(job.plan, job.lay) for job in pack().jobs])
    (pegs,) = [line for line in lines if line.item == "peg.order"]
    each = [
        sum(
            i.quantity
            for i in job.lay.takeoff
            if i.item in ("peg.round1", "peg.round2", "peg.spare")
        )
        for job in pack().jobs
    ]
    assert pegs.needed == sum(each) and [share for _, share in pegs.by_job] == each
    assert pegs.load % 50 == 0 and 0 <= pegs.load - pegs.needed < 50
    text = "\n".join(text_of(printed(), page) for page in (1, 2))
    assert f"{pegs.load:,.0f} = {pegs.load / 50:.0f} × 50" in text
    gauges = [line for line in lines if line.item == "gauge"]
    assert len({line.needed for line in gauges}) == len(gauges)


def test_a_gauge_is_the_same_board_in_every_job_of_a_pack() -> None:
    """Setbacks 0.30 alone, then 0.30 and 1.20, then 0.10 to 0.50: six lengths, four boards."""
    shown = []
    for number, setbacks in enumerate(([0.3], [0.3, 1.2], [0.1, 0.2, 0.4, 0.5])):
        kinds = ("wall", "bed", "fence", "hedge")
        plan = plans()[0]
        sides = [*setbacks, *[setbacks[-1]] * 4][:4]
        setback = dict(plan.machine.setback) | dict(zip(kinds, sides, strict=True))
        corners = zip(plan.lawns[0].outline, kinds, strict=False)
        outline = tuple(v.model_copy(update={"side": kind}) for v, kind in corners)
        lawn = plan.lawns[0].model_copy(update={"outline": outline})
        shown.append(
            plan.model_copy(
                update={
                    "lawns": (lawn,),
                    "obstacles": (),
                    "machine": plan.machine.model_copy(update={"setback": setback}),
                    "job": plan.job.model_copy(update={"number": f"G-{number}"}),
                }
            )
        )
    data = pack_of(shown)
    boards: dict[str, set[float]] = {}
    for job, setbacks in zip(data.told, ([0.3], [0.3, 1.2], [0.1, 0.2, 0.4, 0.5]), strict=True):
        held = {m for gauge in job.taken.gauges for m in (gauge.length_m, *gauge.marks_m)}
        assert set(setbacks) <= held
        for gauge in job.taken.gauges:
            boards.setdefault(gauge.name, set()).add(gauge.length_m)
    assert sorted(boards) == ["G1", "G2", "G3", "G4"]
    assert all(len(lengths) == 1 for lengths in boards.values())
    (alone,) = data.jobs[0].boards[1:2]
    assert (alone.name, alone.length_m) == ("G2", 0.3) and alone.marks_m == (0.2,)
    text = load_list(data)
    assert "Gauge board G4 1.20 m G-1" in text


def day_of(count: int, more: int) -> PackData:
    """A pack of one garden laid once under many numbers; each job takes ``more`` further pegs."""
    (job,) = pack_of(plans()[:1]).jobs
    jobs = []
    for number in range(count):
        takeoff = tuple(
            replace(item, quantity=item.quantity + number * more)
            if item.item == "peg.spare"
            else item
            for item in job.lay.takeoff
        )
        own = job.plan.job.model_copy(update={"number": f"J-{number}"})
        given = job.plan.model_copy(update={"job": own})
        jobs.append(Job.known(given, replace(job.lay, takeoff=takeoff), job.findings))
    told = tuple(job.summary for job in jobs)
    return PackData(told, Spill(jobs), (), None, job.digest, (0,) * count)


def load_list(data: PackData) -> str:
    layout = load_layout("day-pack").model_copy(update={"front": read_front(["pack-load-list"])})
    job = layout.each.model_copy(update={"blocks": read_blocks(["findings"])})  # type: ignore[union-attr]
    document = compose_pack(data, layout.model_copy(update={"each": job, "two_sided": False}))
    front = range(1, len(document.pages) - len(data.jobs) + 1)
    return " ".join(" ".join(text_of(document, page) for page in front).split())


def test_a_load_list_of_two_hundred_jobs_names_every_one() -> None:
    text = load_list(day_of(200, 1))
    for number in range(200):
        assert re.search(rf"J-{number}: \d+", text)


def test_jobs_in_a_row_that_take_the_same_are_told_as_one() -> None:
    text = load_list(day_of(200, 0))
    assert re.search(r"J-0 to J-199: \d+ each", text)
    assert "J-1:" not in text
    assert "Gauge board G1" in load_list(day_of(2, 0))


def day_file(folder: Path, stock: str, width: float = 14) -> Path:
    text = PLAN.format(number="P1", width=width, spools="50, 50")
    (folder / "one.plan.yaml").write_text(text, encoding="utf-8")
    path = folder / "today.day.yaml"
    path.write_text(
        "day: 1\ncrew: Van 7\ndate: 2026-06-09\nstart: 08:10\n"
        f"jobs: [{{plan: one.plan.yaml, drive: 20}}]\nstock: {{{stock}}}\n",
        encoding="utf-8",
    )
    return path


def test_what_the_van_lacks_stands_on_the_cover(tmp_path: Path) -> None:
    day, found = load_day(day_file(tmp_path, "spools: [100], pegs: 60, connectors: 9"))
    data = pack_of(found, day)
    document = compose_pack(data, load_layout("day-pack"))
    text = text_of(document, 1)
    needed = 60 + int(re.search(r"^60\n(\d+)$", text, re.M)[1])  # type: ignore[index]
    pegs = data.jobs[0].lay.takeoff
    parts = ("peg.round1", "peg.round2", "peg.spare")
    assert needed == sum(item.quantity for item in pegs if item.item in parts)
    assert (
        "terminals" in text and "Connectors to load, filled with gel or silicone\n2\n" not in text
    )
    assert "Van 7" in text and "08:30–" in text and "Tuesday 9 June 2026" in text


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        ("", "drive for 40 min, of which 20 min is the way home*; 2 h 30 min in total."),
        ("drive_home: 35\n", "drive for 55 min, of which 35 min is the way home*; 2 h 45 min in"),
        (
            "drive_home: 35\nbreaks: 45\n",
            "drive for 55 min, of which 35 min is the way home, and rest for 45 min; 3 h 30 min in",
        ),
        (
            "drive_home: 300\n",
            "of which 5 h is the way home, and rest for 30 min*; 7 h 40 min in total.",
        ),
    ],
)
def test_the_day_counts_the_way_home_and_a_break(tmp_path: Path, keys: str, says: str) -> None:
    path = day_file(tmp_path, "spools: [100]")
    path.write_text(path.read_text("utf-8") + keys, encoding="utf-8")
    day, found = load_day(path)
    data = pack_of(found, day)
    assert round(data.told[0].minutes) == 110
    text = text_of(compose_pack(data, load_layout("day-pack")), 1)
    assert says in " ".join(text.split())


def test_a_stock_that_holds_all_says_so(tmp_path: Path) -> None:
    stock = "spools: [100], pegs: 999, connectors: 9, terminals: 9"
    day, found = load_day(day_file(tmp_path, stock))
    text = text_of(compose_pack(pack_of(found, day), load_layout("day-pack")), 1)
    assert "Nothing is missing" in text


def test_too_little_wire_on_the_van_stops_the_print(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = day_file(tmp_path, "spools: [30]")
    out = tmp_path / "pack.pdf"
    assert main(["print", str(path), "-o", str(out)]) == 1
    assert "P1: The stock is " in capsys.readouterr().err and not out.exists()
    assert main(["print", str(path), "-o", str(out), "--draft"]) == 0
    text = pypdf.PdfReader(out).pages[0].extract_text().replace("\u00a0", " ")
    assert "Boundary wire, 0.75 mm² copper" in text and "30.00 m" in text


def test_wire_of_another_kind_on_the_van_is_told_as_none(tmp_path: Path) -> None:
    stock = "wires: [{conductor_mm2: 1.5, spools: [100, 100]}]"
    day, found = load_day(day_file(tmp_path, stock))
    for told in pack_of(found, day).told:
        rules = {each.rule: each.message for each in in_words(told.findings, told.units)}
        assert "there is no wire of this kind left for it" in rules["stock-short"]
        assert "spools hold" not in rules["stock-short"] and "spools-not-stated" not in rules


def test_several_plans_make_a_pack_without_being_asked() -> None:
    one = renderer.print_sheets(plans()[:1])
    two = renderer.print_sheets(plans()[:2], two_sided=False)
    titles = [str(pypdf.PdfReader(BytesIO(each)).metadata.title) for each in (one, two)]  # type: ignore[union-attr]
    assert titles[0].startswith("Crew work order") and titles[1].startswith("Day pack")
    assert two == renderer.print_sheets(plans()[:2], two_sided=False)


def test_progress_runs_to_its_end() -> None:
    told: list[tuple[int, int]] = []
    data = pack_of(plans()[:2], progress=lambda done, count: told.append((done, count)))
    compose_pack(
        data,
        load_layout("day-pack"),
        progress=lambda done, count: told.append((done, count)),
    )
    assert told == [(1, 4), (2, 4), (3, 4), (4, 4)]


def test_a_job_that_states_no_spools_takes_no_part() -> None:
    data = pack_of((plans()[0], plan("P9", 15, "")))
    (cutting,) = data.cuttings
    assert cutting.jobs == (0,)
    assert not data.jobs[1].lay.spools.pieces and not data.jobs[1].splices


def test_nothing_of_a_page_leaves_the_paper() -> None:
    document = printed()
    first = replace(document, pages=tuple(document.pages[:3]))
    for each in record(first):
        x0, y0, x1, y1 = each.box
        assert x0 >= 0 and y0 >= 0 and x1 <= 210 and y1 <= 297


def test_spilled_values_come_back_whole() -> None:
    values = [{"n": number, "text": "x" * number} for number in range(50)]
    spilled = Spill(iter(values))
    assert list(spilled) == values and len(spilled) == 50
    assert spilled[7] == values[7] and spilled[2:4] == values[2:4]


def test_the_times_of_the_jobs_add_up_to_those_below_them() -> None:
    """0.4 of a minute each, which printed alone would be dropped and added up would not."""
    told = tuple(replace(each, minutes=100.4) for each in pack().told)
    text = text_of(compose_pack(replace(pack(), told=told), load_layout("day-pack")), 1)
    assert text.count("1 h 40 min") == 3
    assert "5 h" in text.splitlines() and "5 h 01 min" not in text


def test_a_draft_is_marked_on_the_empty_pages_too() -> None:
    layout = load_layout("day-pack").model_copy(update={"two_sided": True})
    document = compose_pack(pack(), layout, draft=True)
    pages = [text_of(document, number) for number in range(1, len(document.pages) + 1)]
    assert any("Intentionally blank" in page for page in pages)
    assert all("NOT FOR LAYING" in page for page in pages)


def test_notes_on_the_spools_stay_with_the_table_above_them() -> None:
    """Each job has a wire of its own, so that some table ends at the foot of a page."""
    sizes = (0.5, 0.75, 1.0, 1.5, 2.5)
    each = load_layout("crew-work-order").model_copy(update={"blocks": read_blocks(["job"])})
    layout = load_layout("day-pack").model_copy(
        update={"front": read_front(["pack-spools"]), "each": each}
    )
    for jobs in range(6, 14):
        spools = "9, " * (jobs % 5) + "60, 60, 90"
        many = [
            loads(
                PLAN.format(number=f"P{n}", width=14 + n, spools=spools).replace(
                    "conductor_mm2: 0.75", f"conductor_mm2: {sizes[n % 5]}"
                )
            )
            for n in range(jobs)
        ]
        document = compose_pack(pack_of(many), layout)
        for number in range(1, len(document.pages) + 1):
            text = text_of(document, number)
            if "* common practice" in text and "Crew work order" not in text:
                assert "At its end" in text, (jobs, number)


def test_what_is_loaded_once_for_all_jobs_stands_two_abreast() -> None:
    """Tools have no shares by job; each still has its tick and its place to write in, once."""
    data = day_of(3, 0)
    layout = load_layout("day-pack").model_copy(update={"front": read_front(["pack-load-list"])})
    job = layout.each.model_copy(update={"blocks": read_blocks(["findings"])})  # type: ignore[union-attr]
    document = compose_pack(data, layout.model_copy(update={"each": job, "two_sided": False}))
    front = document.pages[: len(document.pages) - len(data.jobs)]
    texts = [item for page in front for item in page.items if isinstance(item, Text)]
    at = {item.text: item.at for item in texts}
    assert at["Mallet"][1] == at["Pencil and red pen"][1] and at["Mallet"][0] < 105.0
    names = [
        item.name for page in front for item in page.items if isinstance(item, Field) and item.name
    ]
    loads = sorted(int(name.rsplit(".", 1)[-1]) for name in names if ".load." in f".{name}")
    assert loads == list(range(1, len(loads) + 1))
