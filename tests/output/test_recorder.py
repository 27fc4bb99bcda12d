"""The recorder: what is drawn where, and what touches."""

from __future__ import annotations

import pytest

from renderer.output.recorder import record, touch
from renderer.primitives import Area, Circle, Document, Line, Page, Pen, Ruler, Text
from renderer.text import MissingGlyph


def recorded(*items: object):  # type: ignore[no-untyped-def]
    return record(Document((Page(100.0, 100.0, tuple(items)),), "Recorded"))  # type: ignore[arg-type]


def test_everything_is_listed_with_page_and_role(document: Document) -> None:
    drawn = record(document)
    printed = [item for item in document.pages[0].items if not isinstance(item, Ruler)]
    assert [item.page for item in drawn] == [1] * len(printed) + [2]
    assert [item.text for item in drawn if item.role == "label"] == ["Rear lawn — Größe 12.5 m²"]
    assert {item.kind for item in drawn} == {
        "line", "area", "circle", "text", "picture", "field", "link",
    }  # fmt: skip


def test_boxes_hold_the_pen_too() -> None:
    line, circle, area = recorded(
        Line(((10.0, 10.0), (20.0, 30.0)), Pen(2.0)),
        Circle((50.0, 50.0), 5.0, None, "#000000"),
        Area((((60.0, 60.0), (70.0, 60.0), (70.0, 80.0)),), Pen(1.0), None),
    )
    assert line.box == (9.0, 9.0, 21.0, 31.0)
    assert circle.box == (45.0, 45.0, 55.0, 55.0)
    assert area.box == (59.5, 59.5, 70.5, 80.5)


def test_what_has_no_points_is_not_drawn() -> None:
    assert recorded(Line((), Pen(0.2)), Area(((),), None, "#000000")) == ()


def test_touching_texts_are_seen() -> None:
    one, over, apart = recorded(
        Text((10.0, 20.0), "one label", 10.0),
        Text((20.0, 21.0), "another", 10.0),
        Text((10.0, 30.0), "below", 10.0),
    )
    assert touch(one, over)
    assert not touch(one, apart)
    assert touch(one, apart, gap_mm=20.0)


def test_turned_texts_count_with_their_turned_box() -> None:
    slanted, beside = recorded(
        Text((10.0, 60.0), "a long slanted label", 10.0, angle_deg=45.0),
        Text((32.0, 60.0), "beside", 10.0),
    )
    x0, _, x1, y1 = slanted.box
    assert x0 < beside.box[0] < x1 and beside.box[1] < y1
    assert not touch(slanted, beside)


def test_things_of_two_pages_never_touch() -> None:
    page = Page(50.0, 50.0, (Text((5.0, 5.0), "same", 9.0),))
    one, other = record(Document((page, page), "Two"))
    assert not touch(one, other)


def test_a_missing_glyph_is_an_error() -> None:
    with pytest.raises(MissingGlyph):
        recorded(Text((5.0, 5.0), "漢", 9.0))
