"""Printed plans measured by readers of other people's making: pymupdf, pdfplumber and svgelements.

The wire and the outlines are looked for among everything on the page, at the scale that the page
states. A page that was shrunk, stretched or drawn at another scale shows no such figure.
"""

from __future__ import annotations

import io
import re
from functools import cache
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from renderer.plan import load
from renderer.units import MM_PER_INCH, MM_PER_M, POINTS_PER_MM
from tests.ground import plain
from tests.shared import draw, lay_plan, print_sheets

if TYPE_CHECKING:
    from pathlib import Path

    from renderer.ground.lay import Lay
    from renderer.plan import Plan

pymupdf = pytest.importorskip("pymupdf")
pdfplumber = pytest.importorskip("pdfplumber")
svgelements = pytest.importorskip("svgelements")

SAME_MM = 0.03  # a point of the page is the point of the ground
FAR_MM = 30.0  # they are told over at least this distance, so 0.1 % shows
BAR_MM = 100.0


@cache
def job(path: Path) -> tuple[Plan, Lay]:
    plan = load(path)
    return plan, lay_plan(plan)


@cache
def printed(path: Path, what: str) -> bytes:
    plan = load(path)
    return draw(plan, "pdf") if what == "figure" else print_sheets([plan])


def marks(plan: Plan, lay: Lay, only: str = "") -> np.ndarray:
    """Corners of the outlines as measured, and of the wire where it turns by 20 degrees.

    Of all loops, or of one by its name.
    """
    lawns = [lawn for lawn in plan.lawns if only in ("", lawn.loop)]
    found = [vertex.at for lawn in lawns for vertex in lawn.outline]
    for loop in (loop for loop in lay.loops if only in ("", loop.name)):
        ahead = np.diff(loop.path, axis=0)
        turn = np.arctan2(
            ahead[:-1, 0] * ahead[1:, 1] - ahead[:-1, 1] * ahead[1:, 0],
            np.sum(ahead[:-1] * ahead[1:], axis=1),
        )
        found.extend(map(tuple, loop.path[1:-1][np.abs(turn) > np.radians(20)][:60]))
    corners = np.unique(np.array(found), axis=0)
    return corners[:: -(-len(corners) // 60)]


def by_pymupdf(page: Any) -> np.ndarray:
    """All corners on a page, mm, y upwards."""
    points = []
    for drawing in page.get_drawings():
        for item in drawing["items"]:
            if item[0] == "l":
                points += [tuple(item[1]), tuple(item[2])]
            elif item[0] == "re":
                points += [(item[1].x0, item[1].y0), (item[1].x1, item[1].y1)]
                points += [(item[1].x0, item[1].y1), (item[1].x1, item[1].y0)]
    return np.array(points).reshape(-1, 2) * [1, -1] / POINTS_PER_MM


@cache
def plumbed(data: bytes, number: int) -> tuple[tuple[list[tuple[float, float]], float], ...]:
    """Points and width of all that is drawn on a page; read once, since pdfplumber is slow."""
    found = pdfplumber.open(io.BytesIO(data)).pages[number].objects
    things = [thing for kind in ("curve", "line", "rect") for thing in found.get(kind, ())]
    return tuple((thing["pts"], float(thing["width"])) for thing in things)


def by_pdfplumber(data: bytes, number: int) -> np.ndarray:
    points = [point for drawn, _ in plumbed(data, number) for point in drawn]
    return np.array(points, dtype=float).reshape(-1, 2) * [1, -1] / POINTS_PER_MM


def dots(data: bytes, number: int) -> np.ndarray:
    """The middles of all small signs on a page, such as pegs, mm, y upwards."""
    boxes = [drawing["rect"] for drawing in pymupdf.open(stream=data)[number].get_drawings()]
    small = [box for box in boxes if max(box.width, box.height) < 3 * POINTS_PER_MM]
    middles = [((box.x0 + box.x1) / 2, (box.y0 + box.y1) / 2) for box in small]
    return np.array(middles).reshape(-1, 2) * [1, -1] / POINTS_PER_MM


def hits(ground: np.ndarray, page: np.ndarray, scale: float) -> np.ndarray:
    """The points of the ground that stand on the page at that scale, as one figure, in four turns.

    Each pair of a point of the ground and one of the page votes for where the figure would lie.
    """
    best = np.zeros(len(ground), dtype=bool)
    turn = np.eye(2)
    page = np.unique(page.round(3), axis=0)
    for _ in range(4):
        drawn = ground @ turn.T * MM_PER_M / scale
        votes = ((page[:, None] - drawn[None]) / SAME_MM).round().astype(np.int64)
        keys, counts = np.unique(votes[..., 0] * 2**32 + votes[..., 1] + 2**31, return_counts=True)
        for key in keys[np.argsort(-counts, kind="stable")[:4]]:
            cell = np.array([key // 2**32, key % 2**32 - 2**31])
            moved = drawn + cell * SAME_MM
            off = np.hypot(*(page[:, None] - moved[None]).transpose(2, 0, 1)).min(axis=0)
            if np.count_nonzero(off < SAME_MM) > np.count_nonzero(best):
                best = off < SAME_MM
        turn = np.array([[0, -1], [1, 0]]) @ turn
    return best


def is_to_scale(ground: np.ndarray, page: np.ndarray, scale: float, share: float) -> bool:
    """Whether so much of the figure stands on the page, and far enough apart to show 0.1 %."""
    found = hits(ground, page, scale)
    if np.count_nonzero(found) < max(3, share * len(ground)):
        return False
    spread = np.ptp(ground[found], axis=0).max() * MM_PER_M / scale
    return bool(spread > FAR_MM)


def scale_pages(data: bytes) -> list[tuple[int, float]]:
    """Pages that bear a check bar, and the N of the 1:N they state."""
    pages = []
    for page in pymupdf.open(stream=data):
        text = page.get_text()
        named = {int(n) for n in re.findall(r"1:(\d+)", text)}
        if len(named) == 1 and "This bar is " in text:
            pages.append((page.number, float(named.pop())))
    return pages


@pytest.mark.parametrize("reader", ["pymupdf", "pdfplumber"])
def test_the_figure_is_true_to_its_scale(any_plan: Path, reader: str) -> None:
    """All corners of outlines and wire stand on the page within 0.03 mm of where 1:N puts them."""
    data = printed(any_plan, "figure")
    ((number, scale),) = scale_pages(data)
    ground = marks(*job(any_plan))
    assert is_to_scale(ground, corners(data, number, reader), scale, 0.9)
    wrong = scale * 1.002  # two in a thousand is seen
    assert not is_to_scale(ground, corners(data, number, reader), wrong, 0.9)


@cache
def corners(data: bytes, number: int, reader: str) -> np.ndarray:
    if reader == "pymupdf":
        return by_pymupdf(pymupdf.open(stream=data)[number])
    return by_pdfplumber(data, number)


def test_each_plan_page_of_the_sheets_is_true_to_its_scale(any_plan: Path) -> None:
    """On the first plan page all or a whole loop, on the next ones the pegs that each shows."""
    data = printed(any_plan, "sheets")
    pages = scale_pages(data)
    assert pages
    plan, lay = job(any_plan)
    figures = [marks(plan, lay, only) for only in ("", *(loop.name for loop in plan.loops))]
    pegs = np.unique([(peg.x, peg.y) for loop in lay.loops for peg in loop.pegs], axis=0)
    for index, (number, scale) in enumerate(pages[:5]):
        if index == 0:
            page = corners(data, number, "pymupdf")
            found = [np.count_nonzero(hits(each, page, scale)) / len(each) for each in figures]
            assert max(found) >= 0.9, number
        else:
            page = dots(data, number)
            found, *wrong = (
                np.count_nonzero(hits(pegs, page, scale * by)) for by in (1.0, 0.99, 1.01)
            )
            # a sheet of the leaf shows control pegs alone, as few as seven
            assert found >= 6 and found > 3 * max(wrong), number


@pytest.mark.parametrize("what", ["figure", "sheets"])
def test_the_check_bar_is_what_it_says(any_plan: Path, what: str) -> None:
    """100 mm, or 4 in where the text says so, to a hundredth, by both readers."""
    data = printed(any_plan, what)
    pages = scale_pages(data)
    assert pages
    for number, _ in pages:
        page = pymupdf.open(stream=data)[number]
        metric = "100 mm" in page.get_text()
        length = BAR_MM if metric else 4 * MM_PER_INCH
        widths = [
            d["rect"].width / POINTS_PER_MM for d in page.get_drawings() if d["rect"].height < 20
        ]
        lines = [width / POINTS_PER_MM for _, width in plumbed(data, number)]
        for measured in (widths, lines):
            assert min(abs(width - length) for width in measured) < 0.01


def test_svg_is_in_true_millimetres(any_plan: Path) -> None:
    """One unit of the viewBox is a millimetre; outlines and wire are 1:N of those on the ground."""
    plan, lay = job(any_plan)
    # at 25.4 pixels an inch one pixel of the reader is a millimetre
    drawing = svgelements.SVG.parse(io.BytesIO(draw(plan, "svg")), ppi=MM_PER_INCH)
    assert drawing.values["width"].endswith("mm")
    assert drawing.width == pytest.approx(drawing.viewbox.width, rel=1e-5)
    assert drawing.height == pytest.approx(drawing.viewbox.height, rel=1e-5)
    scale = float(drawing.values["data-scale"])
    by_id = {thing.id: thing for thing in drawing.elements() if getattr(thing, "id", None)}
    for lawn in plan.lawns:
        shape = by_id["lawn-" + re.sub(r"\W+", "-", lawn.name.lower())]
        assert svg_length(shape) == pytest.approx(outline_length(lawn) * MM_PER_M / scale, rel=1e-3)
    for loop in lay.loops:
        wire = by_id["wire-" + re.sub(r"\W+", "-", loop.name.lower())]
        bare = loop.length_m - 2 * loop.tail_m
        assert svg_length(wire) == pytest.approx(bare * MM_PER_M / scale, rel=1e-3)


def svg_length(shape: Any) -> float:
    return float(svgelements.Path(shape).length())


def outline_length(lawn: Any) -> float:
    """Length round a lawn as it was measured, its arcs true."""
    total = 0.0
    for _, start, through, end in plain.sides_of(lawn):
        if through is None:
            total += float(np.hypot(end[0] - start[0], end[1] - start[1]))
        else:
            arc = plain.Arc(start, through, end)
            total += arc.radius * arc.sweep
    return total


def test_a_page_that_was_shrunk_is_seen() -> None:
    """Printed to fit, as viewers offer it, the figure no longer has its scale."""
    ground = np.array([[0.0, 0], [18, 0], [18, 11], [9, 12.5], [0, 11.8], [7, 3]])
    page = ground * MM_PER_M / 100 + [20, 30]
    assert is_to_scale(ground, page, 100, 1.0)
    assert not is_to_scale(ground, page * 0.97, 100, 1.0)
    assert not is_to_scale(ground, page * [1.0, 0.998], 100, 1.0)
