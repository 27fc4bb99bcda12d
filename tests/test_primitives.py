"""Moved primitives are the same but for their place, whatever fields they come to have."""

from __future__ import annotations

from dataclasses import fields

import pytest

from renderer.primitives import (
    Area,
    Circle,
    Field,
    Line,
    Link,
    Pen,
    Picture,
    Primitive,
    Ruler,
    Text,
    shifted,
)

PEN = Pen(0.5, (1.0, 2.0))
ITEMS: tuple[Primitive, ...] = (
    Line(((1.0, 2.0), (3.0, 4.0)), PEN, True, "#111111", "line-1", "A line", "wire", "wire"),
    Area(
        (((1.0, 2.0), (3.0, 4.0), (5.0, 0.0)),),
        PEN,
        "#222222",
        "area-1",
        "An area",
        "lawn",
        "nonzero",
    ),
    Circle((1.0, 2.0), 3.0, PEN, "#333333", "circle-1", "A circle", "peg", "wire"),
    Text((1.0, 2.0), "Gate", 9.0, "bold", "end", 30.0, "#444444", "text-1", "label"),
    Picture((1.0, 2.0), 30.0, 20.0, b"png", "A logo", "header"),
    Field((1.0, 2.0), 30.0, 5.0, "tick", "done", "Done", "box"),
    Link((1.0, 2.0), 30.0, 5.0, "plan"),
    Ruler((1.0, 2.0), 30.0, 5.0, 100.0, "ft", "plan"),
)


@pytest.mark.parametrize("item", ITEMS, ids=lambda item: type(item).__name__)
def test_a_moved_primitive_keeps_all_but_its_place(item: Primitive) -> None:
    moved = shifted(item, 10.0, -1.0)
    places = {"at", "points", "rings"}
    for field in fields(item):
        before, after = getattr(item, field.name), getattr(moved, field.name)
        assert before not in (None, "", 0.0, field.default), f"{field.name} is to be set here"
        assert (before == after) != (field.name in places)
    flat = {Line: "points", Area: "rings"}.get(type(item), "at")
    assert str(getattr(moved, flat)).replace("(", "").startswith("11.0, 1.0")


def test_moving_back_gives_the_same() -> None:
    for item in ITEMS:
        assert shifted(shifted(item, 4.0, 8.0), -4.0, -8.0) == item
