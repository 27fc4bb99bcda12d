"""The leaf for a fault: it says what the search says, and its tree ends wherever a break can be."""

from __future__ import annotations

import io
import math
import re
from functools import cache
from itertools import pairwise
from pathlib import Path

import pypdf
import pytest

import renderer
from renderer.cli import main
from renderer.fault import Asked, search
from renderer.fault.search import Answer
from renderer.fault_report import places_named
from renderer.job import Job
from renderer.plan import load
from renderer.primitives import Document, Text
from tests.plans import ROOT
from tests.shared import job_of

SMALL = ("practice-lawn", "quarry-lane", "mill-cottage")
TAPE = re.compile(r"([A-Z]) ([0-9.]+)")


@cache
def job(name: str) -> Job:
    return job_of(load(ROOT / f"demo/{name}.plan.yaml"))


@cache
def leaf(name: str, ohms: float | None, *answers: tuple[str, Answer], **more: str) -> Document:
    asked = Asked(job(name).lay.loops[0].name, ohms, 14.0, dict(answers))
    return renderer.fault_sheets(job(name), asked, **more)  # type: ignore[arg-type]


def texts(document: Document) -> list[str]:
    first = document.pages[0].items
    return [item.text.replace("\u00a0", " ") for item in first if isinstance(item, Text)]


def said(document: Document) -> str:
    return " ".join(texts(document))


def test_the_tree_ends_in_each_stretch_between_two_places() -> None:
    of = job("old-smithy")
    names = [name for name, _ in places_named(of, of.lay.loops[0])]
    assert len(names) > 3
    ends = {f"{a}–{b}" for a, b in pairwise(["START", *names, "FINISH"])}
    shown = [text for text in texts(leaf("old-smithy", None)) if text in ends]
    assert sorted(shown) == sorted(ends)


def test_what_was_tested_leaves_the_tree_of_the_rest() -> None:
    of = job("old-smithy")
    loop, places = of.lay.loops[0], places_named(of, of.lay.loops[0])
    answer: tuple[str, Answer] = (places[1][0], "whole")
    found = search(loop, places, dict([answer]))
    assert found.next is not None
    shown = said(leaf("old-smithy", None, answer))
    assert f"Tested so far: whole up to {answer[0]}." in shown
    assert f"between {answer[0]} and FINISH" in shown
    assert f"Measure next at {found.next[0]}" in shown
    assert f"START–{places[0][0]}" not in shown
    assert f"{found.tests} tests at the most" in shown


def test_a_break_in_one_stretch_is_lifted_for() -> None:
    of = job("old-smithy")
    first, second = (name for name, _ in places_named(of, of.lay.loops[0])[:2])
    shown = said(leaf("old-smithy", None, (first, "whole"), (second, "open")))
    assert "Nothing is left to halve" in shown
    assert "Measure next" not in shown


def test_a_place_is_found_with_its_tapes() -> None:
    """By the coordinates of the fixed points, not by the tapes that were worked out."""
    of = job("old-smithy")
    found = search(of.lay.loops[0], places_named(of, of.lay.loops[0]), {})
    assert found.next is not None
    at = (found.next[1].x, found.next[1].y)
    points = {each.name: each.at for each in of.setting.references}
    tapes = [TAPE.fullmatch(text) for text in texts(leaf("old-smithy", None))]
    read = [(tape[1], float(tape[2])) for tape in tapes if tape][:2]
    assert len(read) == 2
    for name, length in read:
        assert length == pytest.approx(math.dist(points[name], at), abs=0.006)


def test_where_there_is_room_each_place_of_the_tree_is_found_with_its_tapes() -> None:
    of = job("old-smithy")
    points = {each.name: each.at for each in of.setting.references}
    shown = texts(leaf("old-smithy", None))
    places = places_named(of, of.lay.loops[0])
    for name, probe in places:
        row = shown[shown.index(name) :]
        first = next(tape for tape in map(TAPE.fullmatch, row) if tape)
        far = math.dist(points[first[1]], (probe.x, probe.y))
        assert float(first[2]) == pytest.approx(far, abs=0.006)
    assert len(places) == 5


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_leaf_of_a_small_lawn_is_one_side(paper: str) -> None:
    assert len(leaf("practice-lawn", None, paper=paper).pages) == 1


def test_a_low_reading_names_the_island_first() -> None:
    of = job("hollin-park")
    loop, row = next(each for each in of.readings.left_out if each[1].tells == "yes")
    factor = 1.0 + 0.00393 * (14.0 - 20.0)  # copper, IEC 60028
    asked = Asked(loop.name, factor * (row.reads.low + row.reads.high) / 2, 14.0)
    shown = said(renderer.fault_sheets(of, asked))
    assert f"{row.of} bypassed" in shown
    assert "Nothing: the wire is sound" not in shown
    assert shown.index(row.of) < shown.index("Bare wires touch")
    assert "Measure next" not in shown


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", [*SMALL, "hollin-park"])
def test_it_is_one_leaf(name: str, paper: str) -> None:
    document = leaf(name, None, paper=paper)
    assert len(document.pages) <= 2
    width = document.pages[0].width_mm
    assert all(0 <= i.at[0] <= width for i in document.pages[0].items if isinstance(i, Text))


@pytest.mark.parametrize("language", ["de", "es", "fr"])
def test_it_speaks_each_language(language: str) -> None:
    shown = said(leaf("practice-lawn", None, language=language))
    assert "What to do" not in shown
    assert "T1" in shown


def test_the_command_prints_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plan, out = str(ROOT / "demo/practice-lawn.plan.yaml"), tmp_path / "leaf.pdf"
    assert main(["fault", plan, "--reads", "open", "-o", str(out)]) == 0
    read = pypdf.PdfReader(io.BytesIO(out.read_bytes()))
    assert "Measure next at" in read.pages[0].extract_text()
    for more, said_of in (
        (["--json", "-o", str(out)], "leave out -o"),
        (["-o", str(tmp_path / "leaf.txt")], "unsupported output format"),
        (["--at", "T99=open", "-o", str(out)], "no such place"),
    ):
        assert main(["fault", plan, "--reads", "open", *more]) == 2
        assert said_of in capsys.readouterr().err


def test_an_asterisk_is_explained_on_its_page() -> None:
    first = leaf("old-smithy", 4.5).pages[0]
    texts_there = " ".join(item.text for item in first.items if isinstance(item, Text))
    assert "Ω*" in texts_there
    assert "* Common practice, no published source" in texts_there


@pytest.mark.parametrize("name", ["mill-cottage", "hollin-park", "old-smithy"])
def test_places_of_the_tree_without_a_row_are_told_to_stand_on_the_map(name: str) -> None:
    """By the leaf's own text: the tree names places, the table gives tapes of some or of all."""
    shown = texts(leaf(name, None))
    tree = shown.index("How to go on from there")
    table, below = shown[:tree], shown[tree:]
    places = {text for text in below if re.fullmatch(r"[ST]\d+", text)}
    told = "The wiring map says where the other places are." in " ".join(table)
    assert told == bool(places - set(table))


def test_the_break_lies_round_the_parts_of_a_lawn_as_the_drawing_names_them() -> None:
    """Old smithy's garden is mown in two parts."""
    shown = said(leaf("old-smithy", None))
    around = shown.partition("along the wire: ")[2].partition(".")[0]
    assert "Garden 1" in around and "Garden 2" in around


def test_a_tree_that_ends_before_the_search_says_how_to_go_on() -> None:
    """Hollin park's main loop takes four tests, its tree has room for three."""
    of = job("hollin-park")
    found = search(of.lay.loops[0], places_named(of, of.lay.loops[0]), {})
    shown = said(leaf("hollin-park", None))
    assert found.tests == 4 and "Where the tree ends, go on by halves" in shown
    assert "Where the tree ends" not in said(leaf("old-smithy", None))


@pytest.mark.parametrize("name", ["practice-lawn", "hollin-park"])
def test_the_leaf_says_how_its_tapes_are_read(name: str) -> None:
    shown = said(leaf(name, None))
    assert "L, R: left or right of the line from the first tape's point to the second's." in shown


def test_a_wire_in_one_piece_is_not_gone_by_halves() -> None:
    for name in ("practice-lawn", "old-smithy"):
        assert "go by halves as below" not in said(leaf(name, None))
