"""The crew work order: every page can be put back, nothing is cut off, nothing touches."""

from __future__ import annotations

import re
from collections import Counter
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from renderer import sheets
from renderer.drawing.errors import DrawError
from renderer.output.recorder import touch
from renderer.plan import load, loads, short_code
from renderer.primitives import Document, Field, Line, Text
from renderer.sheets import load_layout
from renderer.sheets.frame import SIDE_MARGIN_MM, TOP_MARGIN_MM, Frame
from renderer.sheets.layout import in_language, read_blocks
from renderer.text import MissingGlyph
from tests.plans import demo_plans, example_plans
from tests.shared import compose, job_of
from tests.sheets.sample import (
    SMALL,
    all_text,
    assert_apart_and_framed,
    drawn,
    job,
    overlaps,
    printed,
    texts,
    work_order,
)

PAPERS = ("A4", "Letter", "A3", "Tabloid landscape")
PRIVATE = ("Quentin Private", "555 0123", "Key under the third pot")


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


@pytest.mark.parametrize("paper", PAPERS)
def test_every_page_says_what_it_belongs_to(paper: str) -> None:
    document = work_order(paper)
    count = len(document.pages)
    for number in range(1, count + 1):
        block = [plain(t.text) for t in texts(document, number) if t.role == "title-block"]
        for expected in (
            "ZZ-77",
            "Back garden",
            "C",
            "9 June 2026",
            f"{number} of {count}",
            "Crew work order",
            short_code(job().digest),
        ):
            assert expected in block


@pytest.mark.parametrize("paper", PAPERS)
def test_nothing_stands_outside_the_frame(paper: str) -> None:
    document = work_order(paper)
    for page_number, page in enumerate(document.pages, 1):
        frame = Frame(page.width_mm, page.height_mm)
        for each in (each for each in drawn(document) if each.page == page_number):
            left, top, right, low = each.box
            assert left >= frame.left_mm - 0.8, each  # a large J hangs out by so much
            assert right <= frame.left_mm + frame.width_mm + 0.5, each
            assert top >= frame.top_mm - 0.5, each
            assert low <= page.height_mm - 9.5, each
            if each.role not in ("title-block", "code"):
                assert low <= frame.top_mm + frame.height_mm + 0.5, each


def test_the_firm_stands_once_on_the_first_page_of_a_job() -> None:
    layout = load_layout("crew-work-order")
    own = layout.model_copy(update={"header": layout.header.model_copy(update={"firm": "Us"})})
    both = compose([job(), job()], own)
    single = len(both.pages) // 2
    firms = [each.page for each in drawn(both) if each.role == "header" and each.text == "Us"]
    assert firms == [1, single + 1]
    assert_apart_and_framed(both)


@pytest.mark.parametrize("language", ["en", "de", "es", "fr"])
def test_the_foot_is_one_line_and_says_all_in_each_language(language: str) -> None:
    document = compose([job()], in_language(load_layout("crew-work-order"), language))
    foot = [each for each in texts(document, 1) if each.role == "title-block"]
    assert not [each.text for each in foot if "…" in each.text]
    lines = sorted(each.item.at[1] for each in foot if isinstance(each.item, Text))
    steps = [low - high for high, low in pairwise(lines) if low - high > 0.5]
    assert len(steps) == 1  # labels, and values under them


PRINTS = [(path, "A4") for path in demo_plans()]
PRINTS += [(path, paper) for path in example_plans() for paper in ("A4", "Letter")]


@pytest.mark.parametrize(("path", "paper"), PRINTS, ids=lambda p: str(getattr(p, "stem", p)))
def test_no_text_touches_a_text_and_none_leaves_the_page(path: Path, paper: str) -> None:
    document = printed(path, paper)
    for number, page in enumerate(document.pages, 1):
        found = texts(document, number)
        pairs = [p for p in overlaps(found, 0.05) if touch(*p)]
        assert [(one.text, other.text) for one, other in pairs] == []
        for each in found:
            assert 4.0 <= each.box[0] <= each.box[2] <= page.width_mm - 4.0, each.text
            assert 4.0 <= each.box[1] <= each.box[3] <= page.height_mm - 4.0, each.text


@pytest.mark.parametrize("path", demo_plans(), ids=lambda p: str(p.stem))
def test_bars_and_key_plan_keep_off_each_other(path: Path) -> None:
    groups = (
        {"key"},
        {"check-bar", "check-tick", "scale-bar"},
        {"north", "plan-top"},
        {"title-block"},
    )
    found = [each for each in drawn(printed(path, "A4")) if each.role]
    roles = {each.role for each in found}
    assert {"check-bar", "title-block"} <= roles
    assert ("north" in roles) is (load(path).north is not None)
    for one in found:
        mine = next((group for group in groups if one.role in group), None)
        if mine is None:
            continue
        for other in found:
            if other.page == one.page and other.role in set().union(*groups) - mine:
                assert not touch(one, other), (one.role, other.role, one.page)


DEMO = {path.name.split(".")[0]: path for path in demo_plans()}


def test_a_plan_gains_a_scale_where_its_legend_stands_on_the_next_page() -> None:
    layout = load_layout("crew-work-order").model_copy(update={"blocks": read_blocks(["plan"])})
    document = compose([job_of(load(DEMO["quarry-lane"]))], layout, paper="A4")
    pages = [{each.text for each in texts(document, n)} for n in range(1, len(document.pages) + 1)]
    (plan,) = (n for n, page in enumerate(pages) if "This bar is 100 mm" in " ".join(page))
    assert "Scale 1:100" in pages[plan]
    assert "Legend" not in pages[plan] and {"Legend", "Control peg"} <= pages[plan + 1]


def test_the_key_plan_of_a_sheet_lies_as_the_sheet_does() -> None:
    """Sides on a sheet have directions of the key plan's sides, though the sheets are turned."""
    document = printed(DEMO["hollin-park"], "A4")
    sheets = [
        page for page in document.pages if any(getattr(i, "role", "") == "key" for i in page.items)
    ]
    assert len(sheets) > 1
    for page in sheets:
        lines = {role: [] for role in ("outline", "key")}  # type: ignore[var-annotated]
        for item in page.items:
            if isinstance(item, Line) and item.role in lines:
                lines[item.role].append(np.array(item.points))
        small = {round(a) for points in lines["key"] for a, _ in _ways(points, 1.0)}
        long = [a for points in lines["outline"] for a, _ in _ways(points, 15.0)]
        assert long
        for angle in long:
            assert any(abs((angle - a + 90) % 180 - 90) <= 2.0 for a in small), angle


def _ways(points: np.ndarray, least_mm: float) -> list[tuple[float, float]]:
    """Direction in degrees, from 0 to 180, and length of the stretches of a line."""
    steps = np.diff(points, axis=0)
    lengths = np.hypot(*steps.T)
    angles = np.degrees(np.arctan2(steps[:, 1], steps[:, 0])) % 180
    return [(a, d) for a, d in zip(angles, lengths, strict=True) if d >= least_mm]


def test_no_text_is_below_its_least_size() -> None:
    sizes = [each.item.size_pt for each in drawn(work_order()) if isinstance(each.item, Text)]
    assert min(sizes) >= 8.0 - 1e-6


def test_tick_boxes_and_rows_to_write_in_are_large_enough_for_a_pencil() -> None:
    fields = [each.item for each in drawn(work_order()) if isinstance(each.item, Field)]
    ticks = [field for field in fields if field.kind == "tick"]
    spaces = [field for field in fields if field.kind == "text"]
    assert len(ticks) > 50
    assert len(spaces) > 20
    assert min(min(tick.width_mm, tick.height_mm) for tick in ticks) >= 7.0
    assert min(space.height_mm for space in spaces) >= 9.0 - 1e-6


def test_tick_boxes_keep_off_all_text() -> None:
    document = work_order()
    for number in range(1, len(document.pages) + 1):
        boxes = [e for e in drawn(document) if e.page == number and e.kind == "field"]
        ticks = [e for e in boxes if isinstance(e.item, Field) and e.item.kind == "tick"]
        near = [
            (tick, text)
            for tick in ticks
            for text in texts(document, number)
            if touch(tick, text, 0.3)
        ]
        assert near == []


def test_names_of_fields_are_unique_and_apart_for_each_job() -> None:
    both = compose([job(), job("ft")], load_layout("crew-work-order"))
    names = Counter(
        item.name for page in both.pages for item in page.items if isinstance(item, Field)
    )
    assert max(names.values()) == 1
    assert {name.split(".")[0] for name in names} == {"j1-ZZ-77", "j2-ZZ-77"}


def test_pages_are_counted_by_job() -> None:
    single = len(work_order().pages)
    both = compose([job(), job()], load_layout("crew-work-order"))
    assert len(both.pages) == 2 * single
    marks = [mark.name for page in both.pages for mark in page.marks]
    assert len(marks) == len(set(marks))
    last = [t.text for t in texts(both, 2 * single) if t.role == "title-block"]
    assert f"{single} of {single}" in last


def test_a_draft_says_so_in_the_same_place_on_every_page() -> None:
    draft = work_order(draft=True)
    bands = [each for each in drawn(draft) if each.role == "draft" and each.kind == "text"]
    assert len(bands) == len(draft.pages)
    assert all("NOT FOR LAYING" in each.text for each in bands)
    assert len({each.box for each in bands}) == 1
    assert bands[0].box[1] >= TOP_MARGIN_MM
    assert "NOT FOR LAYING" not in all_text(work_order())
    for number in range(1, len(draft.pages) + 1):
        assert "Draft" in [t.text for t in texts(draft, number)]


def test_all_seven_parts_are_there_in_their_order() -> None:
    titles = [mark.title for page in work_order().pages for mark in page.marks]
    expected = [
        "Job ZZ-77 Back garden", "Lay from this leaf", "Control pegs", "Test record", "Job",
        "Findings", "Cautions", "Local rules", "Load list", "Wire list", "Steps",
        "Test record, part 2", "Places", "As built", "Sign-off",
    ]  # fmt: skip
    assert [title for title in titles if title in expected] == expected
    moving = {
        "Details",
        "Take-off",
        "Crew time",
        "Proof",
        "Spools",
        "Machine",
    }  # where they fill a page
    assert moving <= set(titles)


def test_the_check_bar_is_as_long_as_it_says() -> None:
    for paper, length in (("A4", 100.0), ("Letter", 101.6)):
        bars = [
            each.item
            for each in drawn(work_order(paper))
            if each.role == "check-bar" and isinstance(each.item, Line)
        ]
        assert bars
        for bar in bars:
            xs = [x for x, _ in bar.points]
            assert max(xs) - min(xs) == pytest.approx(length, abs=1e-3)


def test_the_plan_names_its_scale() -> None:
    assert re.search(r"Scale 1:\d+", all_text(work_order()))


def test_a_demanded_scale_is_kept() -> None:
    document = compose([job()], load_layout("crew-work-order"), scale=250.0)
    assert "Scale 1:250" in all_text(document)


def test_private_notes_are_printed_only_where_the_layout_asks(tmp_path: Path) -> None:
    order = all_text(work_order())
    assert all(part in order for part in PRIVATE)
    path = tmp_path / "open.yaml"
    path.write_text("layout: 1\ndocument: Open\nblocks: [{block: job, private: no}, plan, steps]\n")
    shown = all_text(compose([job()], load_layout(path)))
    assert not any(part in shown for part in PRIVATE)
    assert "1 Nowhere Lane" in shown


def test_metric_and_feet_are_never_mixed() -> None:
    metric, feet = plain(all_text(work_order())), plain(all_text(work_order("Letter", "ft")))
    assert not re.search(r"\d['\"]|\bft\b|\binch", metric)
    assert not re.search(r"\d (m|cm|mm|m²)\b", feet)


def test_the_same_jobs_give_the_same_document() -> None:
    again = sheets.compose([job()], load_layout("crew-work-order"), paper="A4")
    assert again == work_order()


def test_a_character_that_no_face_has_is_told_with_its_key() -> None:
    data = job()
    odd = data.plan.model_copy(update={"job": data.plan.job.model_copy(update={"crew": "漢"})})
    changed = type(data).known(odd, data.lay, data.findings, data.digest)
    with pytest.raises(MissingGlyph, match=r"plan ZZ-77, job\.crew: the character"):
        compose([changed], load_layout("crew-work-order"))


def test_a_scale_that_does_not_fit_is_told_with_its_job() -> None:
    with pytest.raises(DrawError, match=r"^job ZZ-77: at 1:1 .* smaller scale"):
        compose([job()], load_layout("crew-work-order"), scale=1)


def test_long_titles_stay_in_their_cells() -> None:
    data = job()
    long = {
        "title": "A very long title of a garden " * 6,
        "number": "LONG-NUMBER-OF-A-JOB-0123456789",
    }
    plan = data.plan.model_copy(update={"job": data.plan.job.model_copy(update=long)})
    document = compose(
        [type(data).known(plan, data.lay, data.findings, data.digest)],
        load_layout("crew-work-order"),
    )
    for number in range(1, len(document.pages) + 1):
        assert list(overlaps(texts(document, number), 0.05)) == []


def documents() -> list[Document]:
    return [work_order(paper) for paper in PAPERS]


def test_no_page_is_empty() -> None:
    for document in documents():
        for number in range(1, len(document.pages) + 1):
            assert any(t.role not in ("header", "title-block") for t in texts(document, number))


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_longest_revision_and_notes_of_access_that_a_plan_may_have_are_printed(
    paper: str,
) -> None:
    words = [f"gate{number}" for number in range(240)]
    access, revision = " ".join(words), "x" * 150
    text = SMALL.format(units="m").replace("Key under the third pot", access)
    plan = loads(text.replace("revision: C", f"revision: {revision}"), "small.plan.yaml")
    document = compose([job_of(plan)], load_layout("crew-work-order"), paper=paper)
    told = " ".join(
        item.text for page in document.pages for item in page.items if isinstance(item, Text)
    )
    assert all(f"{word} " in told for word in words)


@pytest.mark.parametrize("block", ["load-list", "columns: 2, blocks: [load-list]"])
def test_the_load_list_ends_with_the_boxes_for_what_is_back(block: str, tmp_path: Path) -> None:
    """No empty column stands beside the last of them, however many items a row has."""
    own = tmp_path / "own.yaml"
    entry = f"{{{block}}}" if ":" in block else block
    own.write_text(f"layout: 1\ndocument: Own\nblocks: [{entry}]\n")
    (page,) = compose([job()], load_layout(own), paper="A4").pages
    boxes = [item for item in page.items if isinstance(item, Field) and item.kind == "tick"]
    ends = max(box.at[0] + box.width_mm for box in boxes if ".back." in box.name)
    assert ends == pytest.approx(page.width_mm - SIDE_MARGIN_MM, abs=0.3)


@pytest.mark.parametrize("count", range(50, 80))
def test_what_explains_the_marks_of_the_machine_stands_with_its_figures(
    count: int, tmp_path: Path
) -> None:
    """On the same page, wherever in its column the block begins."""
    own = "".join(f'  - {{signal: NOTICE, text: "Mind {n}."}}\n' for n in range(count))
    path = tmp_path / "own.yaml"
    blocks = "blocks: [{columns: 2, blocks: [cautions, machine]}]"
    path.write_text(f"layout: 1\ndocument: Ours\ncautions:\n{own}{blocks}\n")
    document = compose([job()], load_layout(path))
    pages = [{each.text for each in texts(document, n + 1)} for n in range(len(document.pages))]
    figured = [n for n, page in enumerate(pages) if any("Lay direction" in t for t in page)]
    marked = [n for n, page in enumerate(pages) if any(t[:2] in {"† ", "* "} for t in page)]
    assert len(figured) == 1 and set(marked) <= set(figured)
