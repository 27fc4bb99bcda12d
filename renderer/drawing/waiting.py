"""Drawings that wait for their pages to be written."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from renderer.packed import HELD, Packed

if TYPE_CHECKING:
    from renderer.primitives import Drawing


def in_little_room(drawing: Drawing, number: int) -> Drawing:
    """The drawing; from a certain number of them on, one that takes little memory while it waits.

    ``number`` counts the drawings of one kind from 0.
    """
    return drawing if number < HELD else replace(drawing, items=Packed(drawing.items))
