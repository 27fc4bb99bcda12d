"""Reads a finished drawing and tells what a crew lead would complain of."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from shapely import LineString, Point, Polygon, STRtree

from renderer.output.recorder import Drawn, record
from renderer.output.shapes import drawing_page
from renderer.primitives import Circle, Drawing, Line, Text
from renderer.text import cap_height_mm

LEAST_CAP_MM = 2.5
MARK_MM = 3.6  # a dock, the largest mark: within it a leader has arrived


def faults(drawing: Drawing) -> list[str]:
    """Texts that touch each other, a peg, a splice or the edge, or are small; crossed leaders.

    And dimensions over hatching.
    """
    shown = record(drawing_page(drawing))
    texts = [thing for thing in shown if thing.kind == "text" and thing.text.strip()]
    return [
        *_touching(texts),
        *_on_marks(texts, [thing for thing in shown if is_mark(thing)]),
        *_over_the_edge(texts, drawing),
        *_small(texts),
        *_over_hatching(texts, [thing for thing in shown if thing.role == "hatch"]),
        *_crossed([thing for thing in shown if thing.role == "leader"]),
    ]


def is_mark(thing: Drawn) -> bool:
    """Whether it is the round mark of a peg or splice."""
    item = thing.item
    return isinstance(item, Circle) and (item.title or "").startswith(("Peg ", "Splice "))


def shape(thing: Drawn) -> Polygon:
    return Polygon(thing.corners)


def _touching(texts: list[Drawn]) -> Iterator[str]:
    shapes = np.array([shape(text) for text in texts])
    if not len(shapes):
        return
    for a, b in STRtree(shapes).query(shapes, predicate="intersects").T.tolist():
        if a < b:
            yield f"{texts[a].text!r} touches {texts[b].text!r} at {texts[a].box}"


def _on_marks(texts: list[Drawn], marks: list[Drawn]) -> Iterator[str]:
    if not marks or not texts:
        return
    discs = []
    for mark in marks:
        assert isinstance(mark.item, Circle)
        edge = mark.item.pen.width_mm / 2 if mark.item.pen else 0.0
        discs.append(shapely.Point(mark.item.at).buffer(mark.item.radius_mm + edge))
    shapes = np.array([shape(text) for text in texts])
    for a, b in STRtree(discs).query(shapes, predicate="intersects").T.tolist():
        item = marks[b].item
        assert isinstance(item, Circle)
        yield f"{texts[a].text!r} touches {item.title} at {item.at}"


def _crossed(leaders: list[Drawn]) -> Iterator[str]:
    """Leaders that cross before they reach their marks, so that one could follow the wrong one."""
    lines = np.array([LineString(item.item.points) for item in leaders if _is_line(item)])
    for a, b in STRtree(lines).query(lines, predicate="crosses").T.tolist() if len(lines) else ():
        where = lines[a].intersection(lines[b])
        if a < b and min(where.distance(Point(lines[k].coords[-1])) for k in (a, b)) > MARK_MM:
            yield f"the leaders {lines[a].wkt} and {lines[b].wkt} cross"


def _over_hatching(texts: list[Drawn], rows: list[Drawn]) -> Iterator[str]:
    """Values of dimensions with lines of a fill under them."""
    values = [text for text in texts if text.role.startswith("label dimension")]
    lines = [LineString(row.item.points) for row in rows if _is_line(row)]
    if not values or not lines:
        return
    shapes = np.array([shape(value).buffer(-0.25) for value in values])
    for number in np.unique(STRtree(lines).query(shapes, predicate="intersects")[0]).tolist():
        yield f"{values[number].text!r} stands over hatching at {values[number].box}"


def _is_line(thing: Drawn) -> bool:
    return isinstance(thing.item, Line)


def _over_the_edge(texts: list[Drawn], drawing: Drawing) -> Iterator[str]:
    for text in texts:
        x0, y0, x1, y1 = text.box
        if x0 < 0 or y0 < 0 or x1 > drawing.width_mm or y1 > drawing.height_mm:
            yield f"{text.text!r} runs over the edge"


def _small(texts: list[Drawn]) -> Iterator[str]:
    for text in texts:
        assert isinstance(text.item, Text)
        if cap_height_mm(text.item.face, text.item.size_pt) < LEAST_CAP_MM - 1e-6:
            yield f"{text.text!r} is too small"
