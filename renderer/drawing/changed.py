"""Two states of a wire on one drawing: what is laid anew on a grey band, what goes as dashes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from renderer.drawing.pens import BAND_GREY, WIRE_ELSEWHERE
from renderer.drawing.scene import FILL, Part, Scene
from renderer.drawing.scene import WIRE as WIRE_LAYER
from renderer.geometry.lines import as_points
from renderer.geometry.rects import clip_chain
from renderer.primitives import Line, Pen

if TYPE_CHECKING:
    from renderer.geometry.lines import Chain

BAND_MM = 3.2
NEW, GONE = "wire-new", "wire-gone"
BAND = Pen(BAND_MM, colour=BAND_GREY, cap="butt")


def changed(scene: Scene, new: Sequence[Chain], gone: Sequence[Chain]) -> Iterator[Part]:
    """The stretches of wire, in metres on the ground, that are laid anew and that are taken up."""
    for stretches, layer, pen, key in (
        (new, FILL, BAND, NEW),
        (gone, WIRE_LAYER, WIRE_ELSEWHERE, GONE),
    ):
        parts = [
            part
            for points in stretches
            for part in clip_chain(scene.view.chain(points), scene.view.frame)
        ]
        lines = tuple((layer, Line(as_points(part), pen, role=key)) for part in parts)
        if lines:
            yield Part(lines, used=frozenset({key}), wires=tuple(parts))
