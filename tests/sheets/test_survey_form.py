"""The survey form: empty before there is a plan, filled in with what a plan knows."""

from __future__ import annotations

import re
from datetime import date
from functools import lru_cache
from itertools import pairwise
from pathlib import Path

import pypdf
import pytest

from renderer.cli import main
from renderer.drawing.pens import MIDDLE
from renderer.job import Job
from renderer.language import languages, load_words
from renderer.output.recorder import touch
from renderer.plan import load
from renderer.plan.kinds import SIDE_KINDS
from renderer.plan.model import (
    Circle,
    Crossing,
    DockRules,
    Feature,
    JobHead,
    Lawn,
    Loop,
    Machine,
    Obstacle,
    PegSpacing,
    ReferencePoint,
    SlopeMax,
    Supply,
    SupplyFigures,
    Vertex,
    Wire,
)
from renderer.primitives import Area, Document, Field, Line, Text
from renderer.sheets import SheetError, in_language, load_layout
from renderer.sheets.blocks.survey_job import KEYS as JOB_KEYS
from renderer.sheets.blocks.survey_kinds import FEATURES, ONLY_OBSTACLES
from renderer.sheets.blocks.survey_machine import FIGURES, WIRE
from renderer.sheets.blocks.survey_visit import MATTERS
from renderer.sheets.survey import TABLES
from tests.plans import demo_plans, example_plans
from tests.shared import compose, job_of, lay_plan
from tests.sheets.sample import all_text, assert_apart_and_framed, drawn, job, texts

PAPERS = ("A4", "Letter")


@lru_cache
def form(path: Path | None = None, paper: str = "A4") -> Document:
    """The form with what a plan knows, or empty."""
    layout = load_layout("survey-form")
    if path is None:
        return compose([], layout, paper=paper)
    plan = load(path)
    return compose([Job.known(plan, lay_plan(plan), ())], layout, paper=paper)


def plain(document: Document) -> str:
    return all_text(document).replace("\u00a0", " ")


def gardens() -> list[Path | None]:
    return [None, *demo_plans(), *example_plans()]


KNOWN = [*demo_plans(), *example_plans()]
PRINTS = [(path, paper) for path in gardens() for paper in PAPERS]


# Without a plan


def test_the_command_prints_an_empty_form(tmp_path: Path) -> None:
    output = tmp_path / "form.pdf"
    assert main(["print", "--layout", "survey-form", "-o", str(output)]) == 0
    pages = pypdf.PdfReader(output).pages
    assert len(pages) == len(form().pages)
    assert "Three tapes a point" in "".join(page.extract_text() for page in pages)


def test_a_layout_that_tells_of_a_job_asks_for_a_plan(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    output = tmp_path / "order.pdf"
    assert main(["print", "-o", str(output)]) == 2
    assert capsys.readouterr().err == (
        "pegline: layout crew-work-order: it needs a job; name a plan file\n"
    )
    assert not output.exists()


def test_an_empty_form_has_no_code_and_cells_to_write_job_and_title() -> None:
    document = form()
    codes = [i for p in document.pages for i in p.items if isinstance(i, Area) and i.role == "code"]
    assert codes == []
    count = len(document.pages)
    for number in range(1, count + 1):
        block = [each.text for each in texts(document, number) if each.role == "title-block"]
        assert {"Job", "Title", "Survey form", f"{number} of {count}", "To fill in"} <= set(block)


def test_an_empty_form_fills_whole_leaves() -> None:
    for paper in PAPERS:
        assert len(form(None, paper).pages) == 8


def test_every_block_of_the_form_gives_an_answer_to_write_or_to_know() -> None:
    names = {use.block for use in load_layout("survey-form").blocks}
    assert len(names) == 7
    fields = [i for p in form().pages for i in p.items if isinstance(i, Field)]
    assert len(fields) > 400
    assert len({field.name for field in fields}) == len(fields)
    assert min(f.height_mm for f in fields if f.kind == "text") >= 9.0 - 1e-6
    assert min(f.width_mm for f in fields if f.kind == "tick") >= 7.0


def test_a_block_of_a_job_cannot_stand_in_an_empty_form(tmp_path: Path) -> None:
    own = tmp_path / "own.yaml"
    own.write_text("layout: 1\ndocument: Ours\nblocks: [survey-job, wire-list]\n")
    with pytest.raises(SheetError, match="layout Ours: it needs a job; name a plan file"):
        compose([], load_layout(own))


# Columns are the plan file's keys


@pytest.mark.parametrize(
    ("table", "models"),
    [
        ("points", (ReferencePoint,)),
        ("outline", (Vertex, Lawn)),
        ("obstacles", (Obstacle, Circle)),
        ("features", (Feature,)),
        ("sockets", (Feature,)),
        ("loops", (Loop, Supply)),
        ("crossings", (Crossing, Loop)),
    ],
)
def test_columns_give_the_keys_of_the_plan_file(table: str, models: tuple[type, ...]) -> None:
    known = {name for model in models for name in model.model_fields}  # type: ignore[attr-defined]
    known |= {"mounted"} if table == "loops" else set()
    asked = {part for key in TABLES[table].keys for part in re.split(r"[:, ]+", key.key) if part}
    assert asked
    assert asked <= known


def test_a_key_stands_in_smaller_type_under_its_head() -> None:
    document, words = form(), load_words()
    found = [each for page in range(1, len(document.pages) + 1) for each in texts(document, page)]
    sizes = {(item.text, item.size_pt) for item in _lines(document)}
    for name in ("protected", "through", "under", "depth"):
        head = words(f"survey.column.{name}")
        assert head != name
        (above,) = [each for each in found if each.text == head]
        (below,) = [each for each in found if each.text == name and each.box[1] > above.box[1]][:1]
        assert below.box[0] == pytest.approx(above.box[0], abs=0.5)
        assert 0.0 < below.box[1] - above.box[1] < 6.0
        assert dict(sizes)[name] < dict(sizes)[head]


def _lines(document: Document) -> list[Text]:
    return [item for page in document.pages for item in page.items if isinstance(item, Text)]


def test_figures_are_named_as_the_keys_of_the_machine_s_file() -> None:
    nested = {
        "peg_spacing": PegSpacing,
        "slope_max_percent": SlopeMax,
        "dock": DockRules,
        "supply": SupplyFigures,
    }
    for key in FIGURES:
        first, _, second = key.partition(".")
        assert first in Machine.model_fields
        assert bool(second) is (first in nested)
        assert not second or second in nested[first].model_fields
    assert set(WIRE) <= set(Wire.model_fields)
    assert set(JOB_KEYS) <= set(JobHead.model_fields)


def test_words_come_before_the_keys_of_the_file() -> None:
    """Of each thing that is asked its word comes first, and the key is smaller."""
    sizes: dict[str, float] = {}
    for item in _lines(form()):
        sizes[item.text] = max(item.size_pt, sizes.get(item.text, 0.0))
    for word, key in (
        ("Job", "job.number"),
        ("Planned for", "job.planned_for"),
        ("Units", "units"),
        ("Setback from kerb", "setback.kerb"),
        ("Minimum passage, wire to wire", "passage_min"),
        ("Maximum slope under the dock", "dock.level_max_percent"),
        ("Low-voltage lead, mm²", "supply.conductor_mm2"),
        ("Every figure has its page", "from_manual"),
        ("neighbour's grass", "neighbour"),
        ("play equipment", "play"),
    ):
        assert sizes[key] < sizes[word], word


@pytest.mark.parametrize("language", languages())
def test_the_code_list_has_each_kind_with_its_word_and_meaning(language: str) -> None:
    layout = load_layout("survey-form").model_copy(update={"language": language})
    shown = plain(compose([], layout))
    for kind in (*SIDE_KINDS, *ONLY_OBSTACLES, *FEATURES):
        assert re.search(rf"^{kind}$", shown, re.MULTILINE)
    assert not [each.text for each in texts(form(), 1) if re.fullmatch("[A-Z]", each.text)]


# With a plan


def cells(document: Document, page: int) -> list[list[str]]:
    """The texts of a page in rows."""
    lines: dict[int, list[tuple[float, str]]] = {}
    for each in texts(document, page):
        if isinstance(each.item, Text) and not each.role:
            lines.setdefault(round(each.item.at[1] * 2), []).append((each.box[0], each.text))
    return [[text for _, text in sorted(line)] for line in lines.values()]


@pytest.mark.parametrize("path", demo_plans(), ids=lambda p: p.name.removesuffix(".plan.yaml"))
def test_what_a_plan_knows_stands_in_the_form(path: Path) -> None:
    plan = load(path)
    document = form(path)
    every = [row for page in range(1, len(document.pages) + 1) for row in cells(document, page)]
    known = {tuple(row[:1]) for row in every} | {tuple(row[:2]) for row in every}
    for thing in (*plan.obstacles, *plan.features):
        word = load_words()(f"kind.{thing.kind}")
        assert (thing.name,) in known
        if thing.kind == "socket":  # once, in its own table, or it would be typed up twice
            assert sum(row[0] == thing.name for row in every) == 1
        else:
            assert word in _beside(document, thing.name)
    for point in plan.survey.points:
        assert any(row[0] == point.name and point.what in row[-1] for row in every)
    shown = plain(document)
    assert plan.job.title in shown
    assert plan.machine.label.split()[0] in shown
    for kind, setback in plan.machine.setback.items():
        word = load_words()("machine.setback", kind=load_words()(f"kind.{kind}"))
        value = _value_of(document, word).replace("\u00a0", " ")
        assert value == f"{setback:.2f} m" or plan.units == "ft"


def _beside(document: Document, name: str) -> set[str]:
    """What stands right of a name, in its row."""
    every = [each for page in range(1, len(document.pages) + 1) for each in texts(document, page)]
    return {
        each.text
        for named in every
        if named.text == name
        for each in every
        if each.page == named.page
        and each.box[0] > named.box[0]
        and abs(each.box[1] - named.box[1]) < 3.5
    }


def _value_of(document: Document, word: str) -> str:
    """What stands in the next column of the machine's table, beside a figure's word."""
    every = [each for page in range(1, len(document.pages) + 1) for each in texts(document, page)]
    (named,) = [each for each in every if each.text == word]
    beside = [
        each
        for each in every
        if each.page == named.page
        and each.box[0] > named.box[0] + 45.0
        and abs(each.box[1] - named.box[1]) < 3.5
    ]
    return min(beside, key=lambda each: each.box[0]).text


def test_corners_of_the_outline_are_numbered_with_their_side() -> None:
    path = next(p for p in demo_plans() if p.name.startswith("practice"))
    (lawn,) = load(path).lawns
    document = form(path)
    every = [row for page in range(1, len(document.pages) + 1) for row in cells(document, page)]
    for number, corner in enumerate(lawn.outline, 1):
        x, y = (f"{each:.2f}" for each in corner.at)
        word = load_words()(f"kind.{corner.side}")
        assert any(row[1:5] == [str(number), x, y, word] for row in every if len(row) >= 5)


def test_private_matter_can_be_left_out(tmp_path: Path) -> None:
    own = tmp_path / "own.yaml"
    own.write_text("layout: 1\ndocument: Ours\nblocks: [{block: survey-job, private: yes}]\n")
    assert "third pot" in all_text(compose([job()], load_layout(own)))
    shown = all_text(compose([job()], load_layout("survey-form")))
    assert "third pot" not in shown
    assert "Quentin" not in shown
    assert "job.access" not in shown and "job.access" in all_text(form())


def test_the_answer_about_services_is_told() -> None:
    path = next(p for p in demo_plans() if p.name.startswith("practice"))
    assert "Answer so far: own ground, drawings seen, nothing buried" in plain(form(path))
    assert "Buried-services search: no answer yet." in plain(form())


def test_what_the_plan_file_says_in_its_own_words_is_told_in_those_of_the_language() -> None:
    path = next(p for p in demo_plans() if p.name.startswith("practice"))
    layout = load_layout("survey-form").model_copy(update={"language": "de"})
    text = all_text(compose([job_of(load(path))], layout))
    for told, own in (("linksherum", "anticlockwise"), ("Kupfer", "copper")):
        assert told in text and own in text


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_no_page_has_only_empty_rows_of_a_table_that_a_plan_fills(paper: str) -> None:
    """The mill cottage has fourteen points taped; two empty rows more end the page, and no page
    goes on with others.
    """
    path = next(p for p in demo_plans() if p.name.startswith("mill-cottage"))
    tapes, after = form(path, paper).pages[2:4]
    assert "dock" in [i.text for i in tapes.items if isinstance(i, Text)]
    assert "Outlines of the lawns" in [i.text for i in after.items if isinstance(i, Text)]


# On paper


@pytest.mark.parametrize(("paper", "field_mm"), [("A4", 5.0), ("Letter", 6.35)])
def test_the_sketch_has_squares_of_the_paper_s_kind(paper: str, field_mm: float) -> None:
    page = form(None, paper).pages[1]
    grid = [i for i in page.items if isinstance(i, Line) and i.pen and i.pen.colour == "#7f7f7f"]
    for axis in (0, 1):
        across = sorted(
            {
                round(line.points[0][axis], 3)
                for line in grid
                if line.points[0][axis] == line.points[1][axis]
            }
        )
        assert len(across) > 25
        assert all(b - a == pytest.approx(field_mm, abs=1e-3) for a, b in pairwise(across))


@pytest.mark.parametrize("name", ["first-visit", "survey-form"])
@pytest.mark.parametrize("language", languages())
def test_the_sketch_of_a_known_garden_has_the_room_that_its_own_note_leaves(
    name: str, language: str
) -> None:
    """The note of an empty sketch is longer in some languages; that does not make it smaller."""
    path = next(p for p in demo_plans() if p.name.startswith("quarry-lane"))
    layout = load_layout(name).model_copy(update={"language": language})
    page = compose([job_of(load(path))], layout, paper="A4", draft=True).pages[1]
    assert "1:100" in " ".join(item.text for item in page.items if isinstance(item, Text))


def test_a_square_of_the_sketch_is_as_large_on_the_ground_as_it_says() -> None:
    path = next(p for p in demo_plans() if p.name.startswith("practice"))
    shown = plain(form(path))
    square = re.search(r"Grid squares are (\d+\.\d\d) m", shown)
    scale = re.search(r"Scale 1:(\d+)", shown)
    assert square and scale
    page = form(path).pages[1]
    upright = sorted(
        line.points[0][0]
        for line in page.items
        if isinstance(line, Line) and line.pen and line.pen.colour == "#7f7f7f"
        if line.points[0][0] == line.points[1][0]
    )
    gap = min(b - a for a, b in pairwise(upright) if b - a > 1e-6)
    assert float(square[1]) == pytest.approx(gap * float(scale[1]) / 1000, abs=0.005)


@pytest.mark.parametrize("path", gardens(), ids=lambda p: p.stem if p else "empty")
def test_a_square_of_the_sketch_is_whole_metres_or_feet(path: Path | None) -> None:
    if path is None:
        return
    found = re.findall(r"Grid squares are (\d+)(?:\.00 m|' 0\")\.", plain(form(path)))
    assert len(found) == 1 and int(found[0]) >= 1


@pytest.mark.parametrize("path", KNOWN, ids=lambda path: path.stem)
def test_the_sketch_has_the_letters_of_the_table_and_no_others(path: Path) -> None:
    """Whoever measures letters the other points himself; a corner's letter would be taken twice."""
    document = form(path)
    lettered = {text.text for text in texts(document, 2) if text.role.startswith("label reference")}
    assert lettered == {point.name for point in load(path).survey.points}


@pytest.mark.parametrize("path", KNOWN, ids=lambda path: path.stem)
def test_a_socket_on_the_sketch_has_its_mark(path: Path) -> None:
    plan = load(path)
    stems = [
        item
        for item in form(path).pages[1].items
        if isinstance(item, Line) and len(item.points) == 2 and item.pen == MIDDLE
        if item.points[0][0] == item.points[1][0]
        if item.points[1][1] - item.points[0][1] == pytest.approx(1.0)
    ]
    assert len(stems) == sum(each.kind == "socket" for each in plan.features)


@pytest.mark.parametrize("language", languages())
def test_the_longest_day_on_which_a_service_was_located_is_not_broken_in_a_word(
    language: str,
) -> None:
    plan = load(next(path for path in KNOWN if path.name.startswith("quarry")))
    day = date(2027, 9, 28)
    features = tuple(
        each.model_copy(update={"located": day}) if each.located else each for each in plan.features
    )
    late = plan.model_copy(update={"features": features})
    layout = in_language(load_layout("survey-form"), language)
    document = compose([Job.known(late, lay_plan(late), ())], layout)
    words = {word.strip(".") for text in drawn(document) for word in text.text.split()}
    assert {"28", "2027"} <= words


def test_no_value_is_written_as_the_file_writes_it() -> None:
    """Points without brackets, a day in words; the form of a plan in feet."""
    path = next(p for p in demo_plans() if p.name.startswith("quarry"))
    shown = plain(form(path))
    assert "[" not in shown and "]" not in shown
    assert "28 May 2026" in shown and "2026-05-28" not in shown


@pytest.mark.parametrize(("path", "paper"), PRINTS, ids=lambda p: str(getattr(p, "stem", p)))
def test_no_text_touches_a_text_or_leaves_the_frame(path: Path | None, paper: str) -> None:
    assert_apart_and_framed(form(path, paper))


def test_boxes_to_tick_keep_off_their_words() -> None:
    document = form()
    for number in range(1, len(document.pages) + 1):
        boxes = [e for e in drawn(document) if e.page == number and e.kind == "field"]
        ticks = [e for e in boxes if isinstance(e.item, Field) and e.item.kind == "tick"]
        assert [1 for t in ticks for text in texts(document, number) if touch(t, text, 0.3)] == []


def test_no_text_is_below_its_least_size() -> None:
    sizes = [e.item.size_pt for e in drawn(form()) if isinstance(e.item, Text)]
    assert min(sizes) >= 8.0 - 1e-6


@lru_cache
def visit(paper: str = "A4", language: str = "en") -> Document:
    layout = load_layout("first-visit").model_copy(update={"language": language})
    return compose([], layout, paper=paper)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("language", languages())
def test_the_first_visit_takes_one_leaf(paper: str, language: str) -> None:
    assert len(visit(paper, language).pages) == 2


def test_each_matter_of_the_first_visit_has_a_box_and_room_for_a_pencil() -> None:
    fields = [i for i in visit().pages[0].items if isinstance(i, Field)]
    boxes = [field for field in fields if field.kind == "tick"]
    answers = [field for field in fields if field.kind == "text"]
    assert len(boxes) == len(answers) == len(MATTERS)
    assert all(field.height_mm >= 10 and field.width_mm >= 80 for field in answers)
    assert len({field.name for field in fields}) == len(fields)
    text = "\n".join(i.text for i in visit().pages[0].items if isinstance(i, Text))
    for word in (
        "Buried services",
        "Socket",
        "network",
        "slope",
        "Gates",
        "makes good",
        "lets the crew in",
        "Dog",
    ):
        assert word in text


def test_the_first_visit_with_a_plan_names_the_job_and_no_access_notes() -> None:
    shown = all_text(compose([job()], load_layout("first-visit")))
    assert "ZZ-77" in shown
    assert "third pot" not in shown and "Quentin" not in shown


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("language", ["de", "es", "fr"])
@pytest.mark.parametrize("name", ["survey-form", "first-visit"])
def test_empty_it_stays_in_the_frame_in_each_language(name: str, language: str, paper: str) -> None:
    layout = in_language(load_layout(name), language)
    assert_apart_and_framed(compose([], layout, paper=paper))


@pytest.mark.parametrize("path", gardens(), ids=lambda p: p.stem if p else "empty")
def test_the_star_is_explained_and_a_first_point_asked_for_only_where_none_is_known(
    path: Path | None,
) -> None:
    shown = " ".join(plain(form(path)).split())
    assert "tape from each point to the next*." in shown
    assert "* Common practice, no published source." in shown
    known = path is not None and load(path).survey.points
    assert ("The first is 0, 0" in shown) == (not known)
