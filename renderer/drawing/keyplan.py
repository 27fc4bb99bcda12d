"""The key plan: the whole ground, small, with the sheets that it is cut into."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from renderer.drawing.furniture import text_at
from renderer.drawing.pens import HATCH, MARK_TEXT, MIDDLE, OUTLINE, SHORT_DASHED, WHITE, Lettering
from renderer.drawing.scale import Fit, size_mm
from renderer.drawing.view import centred
from renderer.frozen import dataclass
from renderer.geometry.lines import as_points, chain
from renderer.geometry.rects import Rect, bounds
from renderer.geometry.rings import hatch
from renderer.primitives import Area, Drawing, Line, Primitive, shifted

if TYPE_CHECKING:
    from renderer.drawing.scene import Scene
    from renderer.drawing.view import View
    from renderer.geometry.lines import Chain, Point

KEY_MM = (54.0, 34.0)  # most width and height, so that it stands beside the bars
CORNER_MM = 1.7  # clear of the overlap with other sheets
SHEET = SHORT_DASHED


@dataclass(frozen=True, eq=False)
class KeyPlan:
    """Outlines and sheets with their names, as large as there is room, plain and for each sheet.

    ``grounds`` are the corners of each sheet in metres; ``turn`` is in degrees, ``most_mm`` the
    most width and height. What all sheets have in common is drawn once.
    """

    scene: Scene
    grounds: Mapping[str, tuple[Point, ...]]
    turn: float
    most_mm: tuple[float, float] = KEY_MM

    @cached_property
    def plain(self) -> Drawing:
        """The key plan without a sheet in hand."""
        return self._drawing(self._common)

    def marked(self, here: str) -> Drawing:
        """The key plan with the sheet in hand hatched."""
        return self._drawing((*self._moved(_mark(self._rings[here])), *self._common))

    @cached_property
    def _view(self) -> View:
        points = self._points
        width, height = size_mm(points, Fit(1.0, self.turn))
        scale = max(width / (self.most_mm[0] - 2.0), height / (self.most_mm[1] - 2.0))
        return centred(points, Fit(scale, self.turn), Rect(0.0, 0.0, *self.most_mm))

    @cached_property
    def _points(self) -> Chain:
        return np.concatenate([chain(corners) for corners in self.grounds.values()])

    @cached_property
    def _span(self) -> Rect:
        return bounds([self._view.chain(self._points)]).grown(1.0)

    @cached_property
    def _rings(self) -> dict[str, Chain]:
        rings = self._view.chain(self._points).reshape(len(self.grounds), -1, 2)
        return dict(zip(self.grounds, rings, strict=True))

    @cached_property
    def _common(self) -> tuple[Primitive, ...]:
        """What each sheet's key plan has; the borders as one, so that a file keeps them once."""
        borders = tuple(as_points(ring) for ring in self._rings.values())
        items: list[Primitive] = [Area(borders, SHEET, None, role="key")]
        for lawn in self.scene.lay.lawns:
            ring = self._view.chain(np.asarray(lawn.outline.exterior.coords))[:-1]
            items.append(Line(as_points(ring), OUTLINE, closed=True, role="key"))
        for name, ring in self._rings.items():
            items.extend(_name(name, bounds([ring]), MARK_TEXT))
        return self._moved(items)

    def _moved(self, items: Iterable[Primitive]) -> tuple[Primitive, ...]:
        return tuple(shifted(item, -self._span.x0, -self._span.y0) for item in items)

    def _drawing(self, items: tuple[Primitive, ...]) -> Drawing:
        return Drawing(
            round(self._span.width, 3),
            round(self._span.height, 3),
            items,
            title=self.scene.words["title.key"],
        )


def _mark(ring: Chain) -> Iterator[Line]:
    """What marks a sheet as the one in hand: lines across it, and a border that is not dashed."""
    rows = hatch([ring], 2.0, 45.0)
    yield from (Line(tuple(map(_round, row)), HATCH, role="key") for row in rows)
    yield Line(as_points(ring), MIDDLE, closed=True, role="key")


def _name(name: str, sheet: Rect, lettering: Lettering) -> list[Primitive]:
    """The name in the upper left of its sheet, where it hides little of the ground."""
    half_w, half_h = 1.5 * len(name) + 0.8, lettering.cap_mm / 2 + 0.7
    x = min(sheet.x0 + CORNER_MM + half_w, sheet.centre[0])
    y = min(sheet.y0 + CORNER_MM + half_h, sheet.centre[1])
    box = Rect(x - half_w, y - half_h, x + half_w, y + half_h)
    plate = Line(tuple(map(_round, box.corners())), None, closed=True, fill=WHITE, role="mask")
    return [plate, text_at(x, y + lettering.cap_mm / 2, name, lettering, "middle")]


def _round(point: Point) -> Point:
    return round(point[0], 3), round(point[1], 3)
