"""Prints in grey and in colour, read back by libraries that know nothing of ours."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING
from xml.etree import ElementTree

import numpy as np
import pdfplumber
import PIL.Image
import pytest

import renderer
from renderer.cli import main
from renderer.inks import COLOURS, document_in, drawing_in
from renderer.job import Job
from renderer.output.pdf import write_pdf
from renderer.output.png import write_png
from renderer.output.shapes import drawing_page
from renderer.output.svg import write_svg
from renderer.primitives import BLACK, Circle, Document, Drawing, Line, shifted
from renderer.sheets.figure import figure
from tests.drawing import handmade
from tests.shared import near

if TYPE_CHECKING:
    from collections.abc import Sequence

    from renderer.plan import Plan

CORNERS = [[0, 0, "water"], [20, 0, "bed"], [20, 12, "flush"], [0, 12, "hedge"]]
FEATURES = [
    {"name": "Cable", "kind": "buried cable", "line": [[2, -1], [2, 13]], "carries": "power"},
    {"name": "Main", "kind": "buried pipe", "line": [[14, -1], [14, 13]], "carries": "water"},
    {"name": "Lawn edge", "kind": "metal", "line": [[16, 2], [18, 2]]},
]
THINGS = [
    {"name": "Round bed", "kind": "bed", "circle": {"at": [10, 6], "radius": 1}},
    {"name": "Pool", "kind": "water", "circle": {"at": [5, 8], "radius": 1}},
]


def garden() -> Plan:
    """The hand-made plan with all that has an ink of its own."""
    lawns = [{"name": "Rear", "outline": CORNERS}]
    return handmade.plan(lawns=lawns, features=FEATURES, obstacles=THINGS)


def drawn() -> Drawing:
    def made() -> Drawing:
        return figure(Job.known(garden(), handmade.lay(), ()), paper="A4")

    return near("inks drawn", made)


def coloured() -> Drawing:
    return near("inks coloured", lambda: drawing_in("colour", drawn()))


def hexed(value: Sequence[float] | float) -> str:
    """A colour that pdfplumber has read, as #rrggbb."""
    parts = list(np.atleast_1d(value)) or [0.0]
    parts = parts * 3 if len(parts) == 1 else parts
    return "#" + "".join(f"{round(255 * part):02x}" for part in parts)


def test_grey_is_the_drawing_itself() -> None:
    page = drawing_page(drawn())
    assert drawing_in("grey", drawn()) is drawn()
    assert document_in("grey", page) is page


def test_in_grey_the_inks_leave_no_trace_in_the_bytes() -> None:
    def plain(item: object) -> object:
        if not isinstance(item, (Line, Circle)):
            return item
        return replace(item, ink="", pen=item.pen and replace(item.pen, ink=""))

    erased = replace(drawn(), items=tuple(map(plain, drawn().items)))
    assert write_pdf(drawing_page(erased)) == write_pdf(drawing_page(drawn()))
    assert write_svg(erased) == write_svg(drawn())


def test_the_pdf_has_the_inks_and_black_text() -> None:
    data = write_pdf(drawing_page(coloured()))
    (page,) = pdfplumber.open(BytesIO(data)).pages
    strokes = {hexed(item["stroking_color"]) for item in (*page.lines, *page.curves)}
    assert {*COLOURS.values(), BLACK} <= strokes
    fills = {hexed(item["non_stroking_color"]) for item in page.curves if item["fill"]}
    assert COLOURS["wire"] in fills  # the heads of the arrows
    assert {hexed(letter["non_stroking_color"]) for letter in page.chars} == {BLACK}


def test_the_grey_pdf_has_no_colour() -> None:
    (page,) = pdfplumber.open(BytesIO(write_pdf(drawing_page(drawn())))).pages
    every = (*page.lines, *page.curves, *page.rects, *page.chars)
    for item in every:
        for value in (item["stroking_color"], item["non_stroking_color"]):
            if value is not None:
                told = hexed(value)
                assert told[1:3] == told[3:5] == told[5:7]


def test_svg_and_png_have_the_same_inks() -> None:
    root = ElementTree.fromstring(write_svg(coloured()))
    strokes = {element.get("stroke") for element in root.iter()}
    assert {*COLOURS.values(), BLACK} <= strokes
    assert {text.get("fill") for text in root.iter("{http://www.w3.org/2000/svg}text")} == {BLACK}
    (png,) = write_png(drawing_page(coloured()), 150.0)
    seen = np.asarray(PIL.Image.open(BytesIO(png)).convert("RGB")).reshape(-1, 3).astype(int)
    wire = np.array([int(COLOURS["wire"][at : at + 2], 16) for at in (1, 3, 5)])
    assert (np.abs(seen - wire).max(axis=1) <= 3).sum() > 1000
    (grey,) = write_png(drawing_page(drawn()), 72.0)
    assert np.ptp(np.asarray(PIL.Image.open(BytesIO(grey)).convert("RGB")), axis=2).max() == 0


def test_each_thing_has_its_ink() -> None:
    inks = defaultdict(set)
    for item in drawn().items:
        if isinstance(item, Line):
            ink = item.ink or (item.pen.ink if item.pen else "")
            inks[item.title or item.role].add(ink)
    assert inks["Cable"] == inks["Main"] == inks["supply"] == {"services"}
    assert inks["Lawn edge"] == inks["Round bed"] == inks["side"] - {"water"} == {""}
    assert inks["pair"] == {"wire", ""}  # and the white in it
    assert inks["hatch"] == {"water", ""}  # the pool, and the bed


def test_a_copy_in_grey_tells_the_same_things_apart_by_their_lines() -> None:
    """No two inks share a width and a dash; the waves of a shore are told by their shape."""
    styles = defaultdict(set)
    for item in drawn().items:
        if isinstance(item, Line) and item.pen and item.pen.ink and len(item.points) < 20:
            styles[item.pen.ink].add((item.pen.width_mm, item.pen.dash_mm))
    assert set(styles) == set(COLOURS)
    assert sum(map(len, styles.values())) == len(set.union(*styles.values()))


def test_a_moved_line_keeps_its_ink() -> None:
    for item in drawn().items:
        if isinstance(item, (Line, Circle)):
            moved = shifted(item, 1.0, 2.0)
            assert isinstance(moved, (Line, Circle))
            assert moved.ink == item.ink


def test_pages_are_coloured_as_they_are_asked_for() -> None:
    (page,) = drawing_page(drawn()).pages
    held = document_in("colour", Document((page, page), "Two"))
    long = document_in("colour", Document([page, page], "Two"))
    assert not isinstance(long.pages, tuple)
    assert list(long.pages) == list(held.pages) == long.pages[0:2]
    assert long.pages[1] == held.pages[1] != page
    assert len(long.pages) == 2


def test_the_calls_for_scripts_take_an_ink() -> None:
    plan = garden()
    grey, colour = (renderer.draw(plan, "svg", ink=ink) for ink in ("grey", "colour"))
    assert renderer.draw(plan, "svg") == grey
    assert COLOURS["wire"].encode() in colour
    assert COLOURS["wire"].encode() not in grey
    with pytest.raises(ValueError, match="known: grey, colour"):
        renderer.draw(plan, "svg", ink="sepia")  # type: ignore[arg-type]


def test_the_command_takes_an_ink(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plan = Path(__file__).parents[1] / "demo" / "practice-lawn.plan.yaml"
    out = tmp_path / "map.pdf"
    given = ["print", str(plan), "--layout", "wiring-map", "-o", str(out)]
    assert main([*given, "--ink", "colour"]) == 0
    pages = pdfplumber.open(out).pages
    strokes = {hexed(item["stroking_color"]) for page in pages for item in page.lines}
    assert COLOURS["wire"] in strokes
    with pytest.raises(SystemExit) as refused:
        main([*given, "--ink", "red"])
    assert refused.value.code == 2
    assert "'grey', 'colour'" in capsys.readouterr().err.splitlines()[-1]
