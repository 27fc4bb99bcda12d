"""Paper by small squares, which tell at a glance whether a place is clear of what is drawn."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from renderer.geometry.rects import Rect

if TYPE_CHECKING:
    from renderer.drawing.boxes import Bounds, Box

SQUARE_MM = 0.25
SLIVER_MM = 1e-6
BAND = 8  # rows that are looked at together first
# What the squares tell of a place; of one that a mark just reaches they cannot tell.
CLEAR, UNSURE, TAKEN = range(3)


class Squares:
    """A frame of paper in rows of squares; a row is a number whose bits are its squares.

    A square is ``touched`` where a mark may reach it, ``filled`` where one covers all of it. In a
    band of rows a column is touched where it is in any of them.
    """

    def __init__(self, frame: Rect) -> None:
        self._x, self._y = frame.x0, frame.y0
        self._wide = max(0, math.ceil(frame.width / SQUARE_MM)) + 1
        self._high = max(0, math.ceil(frame.height / SQUARE_MM)) + 1
        self._touched, self._filled = [0] * self._high, [0] * self._high
        self._bands = [0] * -(-self._high // BAND)

    def add(self, box: Box) -> None:
        """Takes in a mark."""
        left, top, right, low = self._reached(box.bounds())
        _set(self._touched, left, top, right, low)
        _set(self._bands, left, top // BAND, right, -(-low // BAND))
        inside = _inside(box)
        if inside is not None:
            left, top, right, low = self._reached(inside)
            _set(self._filled, left + 1, top + 1, right - 1, low - 1)

    def state(self, bounds: Bounds) -> int:
        """What is known of an upright place within the frame."""
        x0, y0, x1, y1 = bounds
        left = int((x0 - self._x) / SQUARE_MM)
        right = math.ceil((x1 - self._x) / SQUARE_MM)
        top = int((y0 - self._y) / SQUARE_MM)
        low = math.ceil((y1 - self._y) / SQUARE_MM)
        wanted = ((1 << (right - left)) - 1) << left
        for band in self._bands[top // BAND : -(-low // BAND)]:
            if band & wanted:
                break
        else:
            return CLEAR
        found = CLEAR
        for number, row in enumerate(self._touched[top:low], top):
            if row & wanted:
                if self._filled[number] & wanted:
                    return TAKEN
                found = UNSURE
        return found

    def _reached(self, bounds: Rect) -> tuple[int, int, int, int]:
        """The columns and rows that a rectangle reaches into, from the first to behind the last."""
        left = max(0, math.floor((bounds.x0 - self._x) / SQUARE_MM))
        right = min(self._wide, math.floor((bounds.x1 - self._x) / SQUARE_MM) + 1)
        top = max(0, math.floor((bounds.y0 - self._y) / SQUARE_MM))
        low = min(self._high, math.floor((bounds.y1 - self._y) / SQUARE_MM) + 1)
        return left, top, right, low


def _set(rows: list[int], left: int, top: int, right: int, low: int) -> None:
    if right > left:
        squares = ((1 << (right - left)) - 1) << left
        for row in range(top, low):
            rows[row] |= squares


def _inside(box: Box) -> Rect | None:
    """An upright rectangle that a mark covers, a hair smaller; none of one that lies aslant."""
    if box.round:
        half = box.hw / math.sqrt(2) - SLIVER_MM
        return Rect(box.x - half, box.y - half, box.x + half, box.y + half)
    if box.s:
        return None
    wide, high = box.hw - SLIVER_MM, box.hh - SLIVER_MM
    return Rect(box.x - wide, box.y - high, box.x + wide, box.y + high)
