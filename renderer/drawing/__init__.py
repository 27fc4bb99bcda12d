"""Drawing: from ground to paper, ending in a flat list of primitives in millimetres."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from renderer.drawing.errors import DrawError
    from renderer.drawing.furniture import axes, check_bar, orientation, scale_bar
    from renderer.drawing.legends import legend
    from renderer.drawing.paper import Paper, papers
    from renderer.drawing.plan import PlanDrawing, plan_drawing
    from renderer.drawing.scene import LAYERS, Pin
    from renderer.drawing.tiles import Tile, TileSet, tiled
    from renderer.drawing.words import drawing_words

__all__ = [
    "LAYERS",
    "DrawError",
    "Paper",
    "Pin",
    "PlanDrawing",
    "Tile",
    "TileSet",
    "axes",
    "check_bar",
    "drawing_words",
    "legend",
    "orientation",
    "papers",
    "plan_drawing",
    "scale_bar",
    "tiled",
]

_HOMES = {
    "LAYERS": "scene",
    "DrawError": "errors",
    "Paper": "paper",
    "Pin": "scene",
    "PlanDrawing": "plan",
    "Tile": "tiles",
    "TileSet": "tiles",
    "axes": "furniture",
    "check_bar": "furniture",
    "drawing_words": "words",
    "legend": "legends",
    "orientation": "furniture",
    "papers": "paper",
    "plan_drawing": "plan",
    "scale_bar": "furniture",
    "tiled": "tiles",
}


def __getattr__(name: str) -> Any:
    """Fetch a name from its module when it is first used; numpy and the label grid cost time."""
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
