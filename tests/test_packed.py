"""Values held in little room are those that were put there, and take little of it."""

from __future__ import annotations

import pickle
from dataclasses import replace

from renderer.drawing.waiting import in_little_room
from renderer.packed import HELD, Packed
from renderer.primitives import Circle, Drawing, Line, Pen, Text
from renderer.sheets import piece as pieces
from renderer.sheets.piece import Piece

ITEMS = tuple(
    each
    for number in range(200)
    for each in (
        Line(((0.1 * number, 1 / 3), (7.0, -0.0)), Pen(0.35), title="München", id=f"a{number}"),
        Circle((1.0, number / 7), 0.6, None, "#ffffff"),
        Text((3.0, 4.0), f"№ {number}", 8.0, role="label"),
    )
)


def test_packed_values_are_the_same_in_the_same_order() -> None:
    held = Packed(ITEMS)
    assert len(held) == len(ITEMS)
    assert tuple(held) == ITEMS == tuple(held)
    assert held[5] == ITEMS[5] and held[-1] == ITEMS[-1]
    assert tuple(held[3:9]) == ITEMS[3:9]
    assert ITEMS[7] in held
    assert len(Packed(())) == 0 and not Packed(())


def test_packed_values_take_little_room() -> None:
    assert len(pickle.dumps(Packed(ITEMS))) < len(pickle.dumps(ITEMS)) / 2


def test_only_those_after_the_first_are_packed_and_all_say_the_same() -> None:
    drawing = Drawing(10.0, 20.0, ITEMS, scale=50.0, title="t")
    piece = Piece(20.0, ITEMS, gap_mm=2.0, keep=True)
    for number, is_packed in ((0, False), (HELD - 1, False), (HELD, True)):
        for whole, held in (
            (drawing, in_little_room(drawing, number)),
            (piece, pieces.in_little_room(piece, number)),
        ):
            assert isinstance(held.items, Packed) is is_packed
            assert replace(held, items=tuple(held.items)) == whole
