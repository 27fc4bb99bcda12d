"""A whole plan as SVG and as PDF, read by svgelements and MuPDF: the same places to 0.05 mm.

With PEGLINE_WIDE set it reads all plans of the demo too.
"""

from __future__ import annotations

import io
import math
import os
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from renderer.plan import load
from renderer.units import MM_PER_INCH, POINTS_PER_MM
from tests.plans import demo_plans
from tests.shared import draw, lay_plan

pymupdf = pytest.importorskip("pymupdf")
svgelements = pytest.importorskip("svgelements")
scipy_spatial = pytest.importorskip("scipy.spatial")

SAME_MM = 0.05
ODD = Path(__file__).parent / "plans" / "odd-ell.plan.yaml"
PLANS = [ODD, *(demo_plans() if os.environ.get("PEGLINE_WIDE") else ())]

over_plans = pytest.mark.parametrize("path", PLANS, ids=lambda path: path.name.split(".")[0])


@cache
def svg_of(path: Path) -> tuple[Any, ...]:
    data = draw(load(path), "svg", paper="Letter")
    svg = svgelements.SVG.parse(io.BytesIO(data), ppi=MM_PER_INCH)
    return tuple(svg.elements())


@cache
def pdf_of(path: Path) -> Any:
    return pymupdf.open(stream=draw(load(path), "pdf", paper="Letter"))[0]


def svg_corners(path: Path) -> np.ndarray:
    return np.array(
        [
            (float(point.x), float(point.y))
            for thing in svg_of(path)
            if isinstance(thing, svgelements.Shape)
            and not isinstance(thing, svgelements.Circle | svgelements.Rect)
            for point in svgelements.Path(thing).as_points()
            if point is not None
        ]
    )


def pdf_corners(path: Path) -> np.ndarray:
    found = []
    for drawn in pdf_of(path).get_drawings():
        for item in drawn["items"]:
            if item[0] == "l":
                found += [tuple(item[1]), tuple(item[2])]
            elif item[0] in ("re", "qu"):
                quad = item[1].quad if item[0] == "re" else item[1]
                found += [tuple(corner) for corner in (quad.ul, quad.ur, quad.lr, quad.ll)]
    return np.array(found) / POINTS_PER_MM


def far_off(some: np.ndarray, others: np.ndarray) -> np.ndarray:
    away, _ = scipy_spatial.cKDTree(others).query(some)
    return some[away > SAME_MM]


@over_plans
def test_every_corner_stands_at_the_same_place_in_both(path: Path) -> None:
    svg, pdf = svg_corners(path), pdf_corners(path)
    assert min(len(svg), len(pdf)) > 2000
    assert far_off(svg, pdf).tolist() == []
    assert far_off(pdf, svg).tolist() == []


@over_plans
def test_every_round_mark_stands_at_the_same_place_in_both(path: Path) -> None:
    rings = [thing for thing in svg_of(path) if isinstance(thing, svgelements.Circle)]
    svg = np.array([(float(ring.cx), float(ring.cy), float(ring.rx)) for ring in rings])
    pdf = []
    for drawn in pdf_of(path).get_drawings():
        arcs = [item for item in drawn["items"] if item[0] == "c"]
        for i in range(0, len(arcs) - 3, 4):
            xy = np.array([tuple(p) for arc in arcs[i : i + 4] for p in arc[1:]]) / POINTS_PER_MM
            low, high = xy.min(axis=0), xy.max(axis=0)
            pdf.append((*(low + high) / 2, (high[0] - low[0]) / 2))
    assert len(svg) > 300
    assert far_off(svg, np.array(pdf)).tolist() == []
    assert far_off(np.array(pdf), svg).tolist() == []


@over_plans
def test_every_text_starts_at_the_same_place_in_both(path: Path) -> None:
    """Texts as text, each with the place of its first letter."""
    pdf: dict[str, list[tuple[float, float]]] = {}
    for block in pdf_of(path).get_text("rawdict")["blocks"]:
        for line in block.get("lines", ()):
            for span in line["spans"]:
                for letter in span["chars"]:
                    at = tuple(x / POINTS_PER_MM for x in letter["origin"])
                    pdf.setdefault(letter["c"], []).append(at)
    texts = [thing for thing in svg_of(path) if isinstance(thing, svgelements.Text)]
    assert len(texts) > 100
    lost = []
    for thing in texts:
        x, y = thing.transform.point_in_matrix_space((thing.x, thing.y))
        turn = -math.atan2(thing.transform.b, thing.transform.a)
        back = {"start": 0.0, "middle": 0.5, "end": 1.0}[thing.anchor or "start"]
        if back and "textLength" not in thing.values:
            assert len(thing.text) == 1  # one letter need not be held to its width
            continue
        back *= float(thing.values.get("textLength", 0.0))
        at = np.array((x - back * math.cos(turn), y + back * math.sin(turn)))
        if len(far_off(at[None], np.array(pdf[thing.text[0]]))):
            lost.append((thing.text, at.tolist()))
    assert lost == []


@over_plans
def test_an_svg_is_read_aloud_in_full(path: Path) -> None:
    """A title and description of the whole; a title on each peg, splice, wire and outline."""
    plan = load(path)
    lay = lay_plan(plan)
    by_id = {thing.id: thing for thing in svg_of(path) if getattr(thing, "id", None)}
    text = draw(plan, "svg", paper="Letter").decode()
    root = text[: text.index("</desc>")]
    pegs = sum(len(loop.pegs) for loop in lay.loops)
    assert "<title>" in root and f"pegs: {pegs}," in root
    named = [f"peg-{peg.id}" for loop in lay.loops for peg in loop.pegs]
    named += [f"splice-{splice.id}" for loop in lay.loops for splice in loop.splices]
    assert set(named) <= set(by_id)
    assert text.count("<title>Peg ") == pegs
