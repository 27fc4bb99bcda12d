"""The page that ``pegline draw`` makes, read back from the finished files by other libraries."""

from __future__ import annotations

import io
import math
import re
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pdfplumber
import pypdfium2
import pytest

from renderer.drawing import DrawError
from renderer.job import Job
from renderer.language import load_words
from renderer.output.pdf import write_pdf
from renderer.output.shapes import drawing_page
from renderer.output.svg import write_svg
from renderer.plan import load
from renderer.primitives import Circle, Drawing, Text
from renderer.sheets.figure import figure
from tests.drawing import handmade
from tests.drawing.audit import faults
from tests.plans import demo_plans
from tests.shared import job_of, lay_plan

PAPERS = ("A4", "A3", "Letter", "Legal", "Tabloid")
MM = 72 / 25.4


def drawn(paper: str = "A4", scale: float | None = None) -> Drawing:
    return figure(Job.known(handmade.plan(), handmade.lay(), ()), paper=paper, scale=scale)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("way", ["portrait", "landscape"])
def test_every_paper_both_ways(paper: str, way: str) -> None:
    page = drawn(f"{paper} {way}")
    assert (page.width_mm > page.height_mm) is (way == "landscape")
    around = {i.text for i in page.items if isinstance(i, Text) and i.role == "title-block"}
    around.add(load_words("en")("drawing.units-m"))  # both in the sizes of sheets
    small = {f"{text!r} is too small" for text in around}
    assert set(faults(page)) <= small
    texts = {i.text for i in page.items if isinstance(i, Text)}
    assert any(f"1:{page.scale:g}" in text for text in texts)


def test_the_way_with_the_larger_scale_is_taken() -> None:
    scales = [drawn(f"A4 {way}").scale for way in ("portrait", "landscape")]
    assert drawn("A4").scale == min(s for s in scales if s)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_park_is_drawn_whole_on_a_page_of_either_paper(
    paper: str,
) -> None:
    path = next(path for path in demo_plans() if path.stem.startswith("hollin"))
    page = figure(job_of(load(path)), paper=f"{paper} portrait")
    assert page.scale in (600, 750)
    low = max(item.at[1] for item in page.items if isinstance(item, Text))
    assert low < page.height_mm


def test_a_scale_that_does_not_fit_is_refused_with_the_reason() -> None:
    with pytest.raises(DrawError, match=r"1:20.* mm") as refused:
        drawn("A4", 20.0)
    assert "largest scale that fits is 1:" in str(refused.value)


def test_a_demanded_scale_is_kept() -> None:
    assert drawn("A3", 125.0).scale == 125.0


def pdf_page(drawing) -> pdfplumber.page.Page:  # type: ignore[no-untyped-def]
    return pdfplumber.open(io.BytesIO(write_pdf(drawing_page(drawing)))).pages[0]


def test_the_printed_check_bar_measures_100_mm() -> None:
    page = pdf_page(drawn())
    level = [line for line in page.lines if abs(line["y0"] - line["y1"]) < 1e-6]
    assert any((line["x1"] - line["x0"]) / MM == pytest.approx(100.0, abs=0.01) for line in level)


def test_the_printed_outline_is_true_to_the_printed_scale() -> None:
    drawing = drawn()
    assert drawing.scale is not None
    wanted = sorted((20000.0 / drawing.scale, 12000.0 / drawing.scale))
    sizes = []
    for shape in (*pdf_page(drawing).rects, *pdf_page(drawing).curves):
        sizes.append(sorted(((shape["x1"] - shape["x0"]) / MM, (shape["y1"] - shape["y0"]) / MM)))
    best = min(np.abs(np.array(sizes) - wanted).max(axis=1))
    assert best / max(wanted) < 0.001


def test_no_two_printed_letters_touch(any_plan: Path) -> None:
    """From the PDF: upright letters of different labels, as another library boxes them."""
    plan = load(any_plan)
    drawing = figure(Job.known(plan, lay_plan(plan), ()), paper="A3")
    letters = [c for c in pdf_page(drawing).chars if not c["matrix"][1] and c["text"].strip()]
    boxes = np.array([(c["x0"], c["top"], c["x1"], c["bottom"]) for c in letters])
    runs = np.cumsum(
        [0]
        + [
            int(abs(a["x1"] - b["x0"]) > 0.35 * b["size"] or abs(a["top"] - b["top"]) > 0.01)
            for a, b in pairwise(letters)
        ]
    )
    for i in range(len(boxes)):
        x0, y0, x1, y1 = boxes[i]
        over = (boxes[:, 0] < x1 - 0.05) & (boxes[:, 2] > x0 + 0.05)
        # The box of this library reaches from the descender line up by the type size.
        over &= (boxes[:, 1] < y1 - 0.3) & (boxes[:, 3] > y0 + 0.3)
        over &= runs != runs[i]
        clashes = [letters[j]["text"] for j in np.flatnonzero(over)]
        assert not clashes, (letters[i]["text"], boxes[i], clashes)


def test_printed_pegs_are_black_in_round_1_and_open_in_round_2() -> None:
    """By the picture of the printed page: whatever order the page was painted in."""
    drawing = drawn()
    page = pypdfium2.PdfDocument(write_pdf(drawing_page(drawing)))[0]
    picture = np.asarray(page.render(scale=300 / 72, grayscale=True).to_pil())
    pegs = {f"peg-{peg.id}": peg for peg in handmade.lay().loops[0].pegs}
    marks = [i for i in drawing.items if isinstance(i, Circle) and i.id in pegs]
    assert len(marks) == len(pegs)
    dock = next(mark.at for mark in marks if mark.id == "peg-1")
    free = [m for m in marks if all(m is o or math.dist(m.at, o.at) > 2.0 for o in marks)]
    free = [mark for mark in free if math.dist(mark.at, dock) > 5.0]
    assert len(free) > 60
    for mark in free:
        peg = pegs[mark.id or ""]
        x, y = (int(value / 25.4 * 300) for value in mark.at)
        dark = picture[y, x] < 128
        assert dark == (peg.round == 1 or peg.control), mark.id


def test_an_overview_says_that_it_is_one() -> None:
    texts = {i.text for i in drawn("A4", 500.0).items
             if isinstance(i, Text)}  # fmt: skip
    assert any(load_words("en")("drawing.overview") in text for text in texts)


def test_what_is_flagged_on_a_drawing_is_told_under_it(any_plan: Path) -> None:
    """Each number in a frame with the words of its finding; no frame, no list."""
    job = job_of(load(any_plan))
    items = [item for item in figure(job, paper="A4").items if isinstance(item, Text)]
    told = " ".join(item.text for item in items)
    flags = {item.text for item in items if re.fullmatch(r"! \d+", item.text)}
    listed = [item.text for item in items if re.fullmatch(r"! \d+", item.text)]
    for flag in flags:
        assert listed.count(flag) == 2  # in its frame, and before its line
        message = job.findings_in("en")[int(flag[2:]) - 1].message
        words = [word for word in message.split() if word.isalpha()]
        assert set(words) <= set(re.findall(r"\w+", told))
    assert bool(flags) is ("See the list of findings" in told)


def test_the_svg_opens_at_true_millimetres_with_its_ids() -> None:
    drawing = drawn()
    root = ElementTree.fromstring(write_svg(drawing))
    assert float(root.attrib["data-scale"]) == drawing.scale
    assert root.attrib["width"] == f"{drawing.width_mm:g}mm"
    ids = [e.attrib["id"] for e in root.iter() if "id" in e.attrib]
    assert len(ids) == len(set(ids))
    assert {"wire-main", "lawn-rear", "peg-1", "splice-S1"} <= set(ids)
    assert not any("transform" in e.attrib for e in root.iter() if "id" in e.attrib)
