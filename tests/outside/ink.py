"""The ink of a finished PDF page, read by MuPDF: each glyph's outline, and each small round mark.

Nothing of the renderer is asked. Glyphs come as the outlines that MuPDF takes from the fonts in
the file; a round mark is any path of curves alone that is as wide as high and no larger than a
splice.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np
import pytest
import shapely
from shapely import MultiPolygon, Polygon, STRtree
from shapely.affinity import affine_transform

from renderer.units import POINTS_PER_MM

if TYPE_CHECKING:
    from collections.abc import Iterator

pymupdf = pytest.importorskip("pymupdf")

LARGEST_MARK_MM = 4.0  # across; a splice with its line
ROUND_WITHIN = 0.01
TOUCH_MM2 = 1e-6
CURVE_STEPS = 4
USE = re.compile(r'<use data-text="([^"]*)" xlink:href="#([^"]+)" transform="matrix\(([^)]*)\)"')
GLYPH = re.compile(r'<path id="(font_[^"]+)" d="([^"]*)"')
NUMBER = re.compile(r"[MLHVCZ]|-?[\d.]+(?:e-?\d+)?")


class Glyph(NamedTuple):
    """A letter, its outline in units of its face, and the matrix that puts it on the page in mm."""

    letter: str
    outline: Polygon | MultiPolygon
    matrix: tuple[float, float, float, float, float, float]

    @property
    def ink(self) -> Any:
        a, b, c, d, e, f = self.matrix
        return affine_transform(self.outline, (a, c, b, d, e, f))

    @property
    def tall(self) -> float:
        """How high it is when it stands upright, in mm."""
        _, low, _, high = self.outline.bounds
        return (high - low) * float(np.hypot(*self.matrix[2:4]))

    @property
    def box(self) -> tuple[float, float, float, float]:
        """The bounds on the page of its upright box, never less than those of its ink."""
        a, b, c, d, e, f = self.matrix
        x0, y0, x1, y1 = self.outline.bounds
        corners = [(a * x + c * y + e, b * x + d * y + f) for x in (x0, x1) for y in (y0, y1)]
        xs, ys = zip(*corners, strict=True)
        return min(xs), min(ys), max(xs), max(ys)


class Ink(NamedTuple):
    glyphs: list[Glyph]
    marks: list[Polygon]
    width_mm: float
    height_mm: float


def rings(path: str) -> list[list[tuple[float, float]]]:
    """The subpaths of an outline in its own units, curves in steps."""
    found: list[list[tuple[float, float]]] = []
    now: list[tuple[float, float]] = []
    words = iter(NUMBER.findall(path))
    command = ""
    for word in words:
        if word.isalpha():
            command = word
            if word in "MZ" and now:
                found.append(now)
                now = []
            continue
        if command == "H":
            now.append((float(word), now[-1][1]))
        elif command == "V":
            now.append((now[-1][0], float(word)))
        elif command in "ML":
            now.append((float(word), float(next(words))))
        else:
            rest = [float(next(words)) for _ in range(5)]
            now += curve(now[-1], (float(word), rest[0]), (rest[1], rest[2]), (rest[3], rest[4]))
    return [*found, now] if now else found


def curve(*points: tuple[float, float]) -> Iterator[tuple[float, float]]:
    a, b, c, d = (np.array(point) for point in points)
    for step in range(1, CURVE_STEPS + 1):
        t = step / CURVE_STEPS
        u = 1 - t
        x, y = u**3 * a + 3 * u * u * t * b + 3 * u * t * t * c + t**3 * d
        yield float(x), float(y)


def shape(path: str) -> Any:
    """The filled ink of a glyph, by the non-zero rule as far as letters need it."""
    parts = [Polygon(ring) for ring in rings(path) if len(ring) > 2]
    whole = shapely.MultiPolygon()
    for part in sorted((shapely.make_valid(p) for p in parts), key=lambda p: -p.area):
        inside = whole.contains(part.representative_point())
        whole = whole.difference(part) if inside else whole.union(part)
    return whole


def ink_of(page: Any) -> Ink:
    """All of a page."""
    svg = page.get_svg_image(text_as_path=True)
    shapes = {name: shape(path) for name, path in GLYPH.findall(svg)}
    glyphs = [
        Glyph(letter, shapes[name], tuple(float(v) / POINTS_PER_MM for v in matrix.split(",")))
        for letter, name, matrix in USE.findall(svg)
        if not shapes[name].is_empty
    ]
    width, height = page.rect.width / POINTS_PER_MM, page.rect.height / POINTS_PER_MM
    return Ink(glyphs, list(marks_of(page)), width, height)


def marks_of(page: Any) -> Iterator[Polygon]:
    """Discs where the page has small circles, their line included."""
    for path in page.get_drawings():
        if not path["items"] or any(item[0] != "c" for item in path["items"]):
            continue
        box = path["rect"]
        line = (path["width"] or 0.0) if path.get("color") else 0.0
        across = (box.width + line) / POINTS_PER_MM
        if abs(box.width - box.height) < ROUND_WITHIN * box.width and across <= LARGEST_MARK_MM:
            x, y = (box.x0 + box.x1) / 2 / POINTS_PER_MM, (box.y0 + box.y1) / 2 / POINTS_PER_MM
            yield shapely.Point(x, y).buffer(across / 2)


def faults(ink: Ink) -> list[str]:
    """What touches what on a page, in words."""
    return [*touching(ink), *on_marks(ink), *off_page(ink)]


def boxes(ink: Ink) -> Any:
    return shapely.box(*np.array([glyph.box for glyph in ink.glyphs]).reshape(-1, 4).T)


def touching(ink: Ink) -> Iterator[str]:
    found = boxes(ink)
    for a, b in STRtree(found).query(found, predicate="intersects").T.tolist():
        # letters that follow each other may touch where their face has it so, as Q and J
        if a + 1 < b:
            common = ink.glyphs[a].ink.intersection(ink.glyphs[b].ink).area
            if common > TOUCH_MM2:
                yield f"{about(ink, a)} touches {about(ink, b)}"


def on_marks(ink: Ink) -> Iterator[str]:
    for a, b in STRtree(ink.marks).query(boxes(ink), predicate="intersects").T.tolist():
        if ink.glyphs[a].ink.intersects(ink.marks[b]):
            yield f"{about(ink, a)} touches a mark of {2 * ink.marks[b].length / 6.2832:.2f} mm"


def off_page(ink: Ink) -> Iterator[str]:
    for index, glyph in enumerate(ink.glyphs):
        x0, y0, x1, y1 = glyph.box
        if x0 < 0 or y0 < 0 or x1 > ink.width_mm or y1 > ink.height_mm:
            yield f"{about(ink, index)} runs off the page"


def about(ink: Ink, index: int) -> str:
    """A glyph with its neighbours in the text and its place."""
    near = "".join(g.letter for g in ink.glyphs[max(0, index - 6) : index + 7])
    x, y = ink.glyphs[index].ink.centroid.coords[0]
    return f"{ink.glyphs[index].letter!r} of {near!r} at {x:.1f}, {y:.1f} mm"
