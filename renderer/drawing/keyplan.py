"""The key plan: the whole ground, small, with the sheets that it is cut into."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

import numpy as np

from renderer.drawing.furniture import text_at
from renderer.drawing.pens import MARK_TEXT, MIDDLE, OUTLINE, THIN, WHITE, Lettering, dashes
from renderer.drawing.scale import Fit, size_mm
from renderer.drawing.view import centred
from renderer.geometry.lines import as_points, chain
from renderer.geometry.rects import Rect, bounds
from renderer.geometry.rings import hatch
from renderer.primitives import Drawing, Line, Pen, Primitive, shifted

if TYPE_CHECKING:
    from renderer.drawing.scene import Scene
    from renderer.geometry.lines import Chain, Point

KEY_MM = (54.0, 34.0)  # most width and height, so that it stands beside the bars
CORNER_MM = 1.7  # clear of the overlap with other sheets
SHEET = Pen(0.35, dashes(0.35, 6, 3))


def key_plan(
    scene: Scene,
    grounds: Mapping[str, tuple[Point, ...]],
    here: str | None,
    turn: float | None = None,
) -> Drawing:
    """Outlines and sheets with their names, as large as there is room; the sheet ``here`` hatched.

    ``grounds`` are the corners of each sheet in metres; ``turn`` is that of the sheets unless
    another is given.
    """
    points = np.concatenate([chain(corners) for corners in grounds.values()])
    turn = scene.view.rotation_deg if turn is None else turn
    width, height = size_mm(points, Fit(1.0, turn))
    scale = max(width / (KEY_MM[0] - 2.0), height / (KEY_MM[1] - 2.0))
    view = centred(points, Fit(scale, turn), Rect(0.0, 0.0, *KEY_MM))
    span = bounds([view.chain(points)]).grown(1.0)
    items: list[Primitive] = []
    for name, corners in grounds.items():
        items.extend(_sheet(view.chain(chain(corners)), hatched=name == here))
    for lawn in scene.lay.lawns:
        ring = view.chain(np.asarray(lawn.outline.exterior.coords))[:-1]
        items.append(Line(as_points(ring), OUTLINE, closed=True, role="key"))
    for name, corners in grounds.items():
        items.extend(_name(name, bounds([view.chain(chain(corners))]), MARK_TEXT))
    moved = tuple(shifted(item, -span.x0, -span.y0) for item in items)
    return Drawing(
        round(span.width, 3),
        round(span.height, 3),
        moved,
        title=scene.words["title.key"],
    )


def _sheet(ring: Chain, *, hatched: bool) -> Iterator[Line]:
    """A sheet's border, and the lines that mark it as the one in hand."""
    if hatched:
        yield from (
            Line(tuple(map(_round, row)), THIN, role="key") for row in hatch([ring], 2.0, 45.0)
        )
    yield Line(as_points(ring), MIDDLE if hatched else SHEET, closed=True, role="key")


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
