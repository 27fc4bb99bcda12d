"""What was cut off or routed differently so that the machine can pass, marked on a plate."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from renderer.drawing.areas import closed, line_parts
from renderer.drawing.fills import fill
from renderer.drawing.kinds import LabelKind
from renderer.drawing.labels import Label, text_size
from renderer.drawing.measures import length_text
from renderer.drawing.pens import SHORT_DASHED, SIDE_TEXT
from renderer.drawing.scene import OUTLINE, PATTERN, Part, Scene, joined
from renderer.drawing.spots import outside, within
from renderer.geometry.rects import clip_ring

if TYPE_CHECKING:
    from renderer.ground.lay import Cut


def cut_part(scene: Scene, cut: Cut) -> Part:
    """The shape that was cut, hatched, with the width that was found there."""
    if cut.shape is None:
        return Part()
    ring = scene.view.chain(np.asarray(cut.shape.exterior.coords))[:-1]
    seen = clip_ring(ring, scene.view.frame)
    if len(seen) < 3:
        return Part()
    lines, under = fill("trim", [seen])
    labels: tuple[Label, ...] = ()
    if cut.width_m:
        text = length_text(cut.width_m, scene.units, scene.words)
        size = text_size((text,), SIDE_TEXT)
        spots, led = within(seen, size), outside(seen, size)
        labels = (Label("cut", (text,), SIDE_TEXT, LabelKind.CUT, spots, listed=False, led=led),)
    edge = line_parts(
        scene, closed(ring), SHORT_DASHED, 1.0, layer=OUTLINE, title=cut.kind, role="cut"
    )
    return joined((Part(tuple((PATTERN, line) for line in lines), under, labels), *edge))
