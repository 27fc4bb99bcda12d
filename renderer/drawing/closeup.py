"""A window on the plan, enlarged: the same drawing through a smaller frame."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from renderer.drawing.plan import PlanDrawing, view_drawing
from renderer.drawing.scale import METRIC, Fit, fits, series
from renderer.drawing.scene import LAYERS, Part, Scene
from renderer.drawing.view import View, centred
from renderer.frozen import dataclass
from renderer.geometry.rects import Rect, bounds
from renderer.primitives import Area, Circle, Drawing, Line, Text

if TYPE_CHECKING:
    from renderer.checks.finding import Finding
    from renderer.geometry.lines import Chain
    from renderer.ground.lay import Lay
    from renderer.ground.setting_out import SettingOut
    from renderer.language import Words
    from renderer.plan.model import Plan

PAD_MM = (9.0, 9.0)
SPARED_MM = 2.0  # of the pad above and below: a scale needs it, the labels do not
APART_MM = 3.0
LARGEST = 20.0
SHOW = LAYERS - {"dimensions", "findings", "lawn-names"}


@dataclass(frozen=True, slots=True, eq=False)
class Work:
    """A plan and how its plates are drawn: size in mm, turn, words, setting out."""

    plan: Plan
    lay: Lay
    findings: tuple[Finding, ...]
    width_mm: float
    height_mm: float
    rotation_deg: float
    inch_paper: bool
    words: Words
    setting: SettingOut

    @property
    def scales(self) -> tuple[float, ...]:
        """The N of the scales 1:N in use."""
        known = series(inch_paper=self.inch_paper, units=self.plan.units)
        return tuple(n for n in known if n >= LARGEST)


class Plate(NamedTuple):
    """An enlarged drawing of one thing, its title, and notes to print below it.

    ``kind`` is dock, island, neck, crossing, splice or section.
    """

    kind: str
    title: str
    drawing: Drawing
    notes: tuple[str, ...] = ()
    keyed: tuple[tuple[str, str], ...] = ()


def fit_window(work: Work, points: Chain, pad: tuple[float, float] = PAD_MM) -> Fit:
    """The largest scale at which the ground points and a pad of paper fit a plate."""
    room = (work.width_mm - 2 * pad[0], work.height_mm - 2 * pad[1])
    turn = work.rotation_deg
    return next(
        (Fit(n, turn) for n in work.scales if fits(points, Fit(n, turn), room)),
        Fit(METRIC[-1], turn),
    )


def window(work: Work, points: Chain, fit: Fit, pad: tuple[float, float] = PAD_MM) -> Scene:
    """The scene of a plate round the ground points, no larger than they need."""
    view = centred(points, fit, Rect(0.0, 0.0, work.width_mm, work.height_mm))
    span = bounds([view.chain(points)])
    height = min(work.height_mm, span.height + 2 * (pad[1] - SPARED_MM))
    shift = (work.height_mm - height) / 2
    frame = Rect(0.0, 0.0, work.width_mm, round(height, 3))
    paper = (view.paper[0], view.paper[1] - shift)
    moved = View(fit.scale, fit.rotation_deg, view.ground, paper, frame)
    return Scene(work.plan, work.lay, work.findings, moved, work.words, work.setting, SHOW)


def closeup(scene: Scene, title: str, extra: Iterable[Part] = ()) -> PlanDrawing:
    """The plan through a window, with parts of its own; its elements carry no ids."""
    drawn = view_drawing(scene, extra)
    items = tuple(
        replace(item, id=None)
        if isinstance(item, Line | Area | Circle | Text) and item.id
        else item
        for item in drawn.drawing.items
    )
    return replace(drawn, drawing=replace(drawn.drawing, items=items, title=title))


def around(at: tuple[float, float], metres: float) -> Chain:
    """The corners of a square about a point on the ground."""
    x, y = at
    steps = np.array(((-1, -1), (1, -1), (1, 1), (-1, 1)), dtype=np.float64)
    corners: Chain = np.array((x, y)) + metres * steps
    return corners
