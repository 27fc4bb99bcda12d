"""The flow over pages: nothing overflows, nothing that must hold is parted, heads come again."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, reject, settings
from hypothesis import strategies as st

from renderer.primitives import Field, Line, Text
from renderer.sheets import SheetError
from renderer.sheets.flow import flow
from renderer.sheets.piece import Columns, Piece, held_together, on_new_page
from renderer.sheets.table import Column, Group, Row, Ticks, table

PAGE_MM = 100.0


def named(name: str, height: float, **changes: object) -> Piece:
    return Piece(height, (Text((0.0, 0.0), name, 10.0),), **changes)  # type: ignore[arg-type]


def names(pages: object) -> list[list[str]]:
    return [[placed.piece.items[0].text for placed in page] for page in pages]  # type: ignore[attr-defined]


def test_pieces_follow_each_other_with_their_gaps() -> None:
    (page,) = flow([named("a", 10), named("b", 20, gap_mm=5.0), named("c", 1)], PAGE_MM)
    assert [placed.y_mm for placed in page] == [0.0, 15.0, 35.0]


def test_a_full_page_is_used_to_its_edge() -> None:
    assert names(flow([named("a", 60), named("b", 40), named("c", 1)], PAGE_MM)) == [
        ["a", "b"],
        ["c"],
    ]


def test_the_gap_above_is_dropped_at_the_top_of_a_page() -> None:
    pages = flow([named("a", 90), named("b", 20, gap_mm=30.0)], PAGE_MM)
    assert [placed.y_mm for placed in pages[1]] == [0.0]


def test_a_heading_goes_to_the_page_of_what_it_heads() -> None:
    pages = flow([named("a", 85), named("head", 10, keep=True), named("body", 20)], PAGE_MM)
    assert names(pages) == [["a"], ["head", "body"]]


def test_a_chain_of_headings_holds_together() -> None:
    pieces = [named("a", 70), named("h1", 8, keep=True), named("h2", 8, keep=True), named("b", 30)]
    assert names(flow(pieces, PAGE_MM)) == [["a"], ["h1", "h2", "b"]]


def test_a_new_page_is_taken_only_where_the_page_is_not_empty() -> None:
    first, second = on_new_page((named("a", 10),)), on_new_page((named("b", 10),))
    assert names(flow([*first, *second], PAGE_MM)) == [["a"], ["b"]]


def test_spare_pieces_fill_a_page_and_never_begin_one() -> None:
    rows = [named(str(n), 20, spare=True) for n in range(9)]
    assert names(flow([named("a", 55), *rows], PAGE_MM)) == [["a", "0", "1"]]
    assert names(flow([named("a", 55), *rows, named("b", 60)], PAGE_MM)) == [["a", "0", "1"], ["b"]]


def test_after_a_spare_piece_without_room_the_others_of_its_list_are_left_out_too() -> None:
    head = held_together((named("head", 20, spare=True), named("0", 20, spare=True)))
    rows = [named(str(n), 20, spare=True) for n in (1, 2)]
    other = on_new_page((named("b", 45),))
    assert names(flow([named("a", 70), *head, *rows, *other], PAGE_MM)) == [["a"], ["b"]]
    assert names(flow([named("a", 45), *head, *rows, *other], PAGE_MM)) == [
        ["a", "head", "0"],
        ["b"],
    ]


def test_spare_pieces_give_way_to_what_then_fits_their_page() -> None:
    rows = [named(str(n), 20, spare=True) for n in range(2)]
    fits = held_together((named("b", 20), named("c", 25)))
    assert names(flow([named("a", 55), *rows, *fits], PAGE_MM)) == [["a", "b", "c"]]
    other = [replace(named("b", 45), new_page=True)]
    assert names(flow([named("a", 55), *rows, *other], PAGE_MM)) == [["a", "0", "1"], ["b"]]


def test_a_held_piece_takes_the_spare_one_it_holds_to_with_it() -> None:
    pieces = [named("a", 90), named("b", 15, keep=True), named("c", 15, spare=True)]
    assert names(flow(pieces, PAGE_MM)) == [["a"], ["b", "c"]]


def test_held_pieces_are_not_parted() -> None:
    held = held_together((named("a", 30), named("b", 30), named("c", 30)))
    assert names(flow([named("x", 50), *held], PAGE_MM)) == [["x"], ["a", "b", "c"]]


def test_a_piece_higher_than_a_page_is_an_error_that_names_the_block() -> None:
    with pytest.raises(SheetError, match=r"block plan: .* 120 mm, the page has 100 mm; use larger"):
        flow([named("a", 120, block="plan")], PAGE_MM)


def test_what_must_hold_and_is_higher_than_a_page_is_an_error() -> None:
    held = held_together((named("a", 60, block="sign-off"), named("b", 60, block="sign-off")))
    with pytest.raises(SheetError, match="sign-off"):
        flow(held, PAGE_MM)


COLUMNS = (Column("One", 1), Column("Two", 1))


def rows(count: int) -> list[Row]:
    return [Row((f"row {number}", "x")) for number in range(count)]


def page_texts(page: object) -> list[str]:
    return [
        item.text
        for placed in page  # type: ignore[attr-defined]
        for item in placed.piece.items
        if isinstance(item, Text)
    ]


def test_table_heads_come_again_on_each_page() -> None:
    pages = flow(table(COLUMNS, rows(60), 100.0), PAGE_MM)
    assert len(pages) > 2
    for page in pages:
        assert page_texts(page)[:2] == ["One", "Two"]
        assert page_texts(page).count("One") == 1


def test_a_table_head_never_stands_without_two_rows_nor_one_row_alone() -> None:
    pieces = table(COLUMNS, rows(12), 100.0)
    for above in range(100):
        pages = flow([named("above", float(above) + 0.5), *pieces], PAGE_MM)
        for page in pages:
            found = [text for text in page_texts(page) if text.startswith("row")]
            assert "One" not in page_texts(page) or len(found) >= 2
        assert sum("One" in page_texts(page) for page in pages) >= 1


def test_a_group_names_its_rows_again_as_continued() -> None:
    pieces = table(COLUMNS, [Group("Loop", "Loop (continued)"), *rows(30)], 100.0)
    pages = flow(pieces, PAGE_MM)
    assert page_texts(pages[0])[2] == "Loop"
    assert all(page_texts(page)[2] == "Loop (continued)" for page in pages[1:])


def test_a_total_stays_with_the_row_above_it() -> None:
    many = [*rows(9), Row(("total", "x"), strong=True), Group("Next"), *rows(3)]
    seen = 0
    for above in range(100):
        pages = flow([named("above", float(above) + 0.5), *table(COLUMNS, many, 100.0)], PAGE_MM)
        for page in pages:
            found = page_texts(page)
            if "total" in found:
                seen += 1
                assert found[found.index("total") - 2].startswith("row")
    assert seen == 100


def test_a_row_longer_than_a_page_goes_on_under_the_heads() -> None:
    words = [f"w{number}" for number in range(900)]
    box = Ticks(("box",))
    columns = (Column("One", 1), Column("Two", 1), Column("Three", 1))
    many = [Row(("a", "b", "c")), Row((box, " ".join(words), "once")), Row(("d", "e", "f"))]
    pages = flow(table(columns, many, 100.0), PAGE_MM)
    assert len(pages) > 3
    found = [text for page in pages for text in page_texts(page)]
    assert [w for text in found for w in text.split() if w[0] == "w" and w[1:].isdigit()] == words
    assert found.count("once") == 1
    ticks = [
        item for page in pages for each in page for item in each.piece.items
        if isinstance(item, Field)
    ]  # fmt: skip
    assert len(ticks) == 1
    assert all(page_texts(page)[:3] == ["One", "Two", "Three"] for page in pages)
    rules = [
        item for page in pages for each in page for item in each.piece.items
        if isinstance(item, Line) and each.piece.head is not None
    ]  # fmt: skip
    assert len(rules) == len(many)


def test_a_held_row_stays_with_the_next_and_may_be_long() -> None:
    long = " ".join(f"w{number}" for number in range(900))
    for above in range(0, 100, 7):
        held = Row(("held", long if above == 0 else "x"), held=True)
        pieces = table(COLUMNS, [*rows(4), held, Row(("next", "y")), *rows(3)], 100.0)
        pages = flow([named("above", float(above) + 0.5), *pieces], PAGE_MM)
        found = next(page_texts(page) for page in pages if "next" in page_texts(page))
        assert above == 0 or "held" in found


def spots(page: object) -> list[tuple[str, float, float]]:
    return [(p.piece.items[0].text, p.x_mm, p.y_mm) for p in page]  # type: ignore[attr-defined]


def test_columns_stand_beside_each_other_as_even_as_they_can() -> None:
    some = tuple(named(name, 10) for name in "abcd")
    (page,) = flow([named("x", 20), Columns(some, (0.0, 50.0), 5.0), named("y", 1)], PAGE_MM)
    assert spots(page) == [
        ("x", 0, 0), ("a", 0, 25), ("b", 0, 35), ("c", 50, 25), ("d", 50, 35), ("y", 0, 45),
    ]  # fmt: skip


def test_columns_go_on_over_pages() -> None:
    some = tuple(named(str(n), 20) for n in range(13))
    pages = flow([named("x", 40), Columns(some, (0.0, 50.0)), named("y", 10)], PAGE_MM)
    assert names(pages) == [["x", *"012345"], ["6", "7", "8", "9", "10", "11", "12", "y"]]
    assert spots(pages[1])[4] == ("10", 50, 0)
    assert spots(pages[1])[-1] == ("y", 0, 80)


def test_columns_that_belong_together_go_to_the_next_page() -> None:
    some = tuple(named(str(n), 20) for n in range(8))
    pages = flow([named("x", 40), Columns(some, (0.0, 50.0), together=True)], PAGE_MM)
    assert names(pages) == [["x"], list("01234567")]


def test_a_table_in_columns_has_its_head_in_each() -> None:
    pages = flow([Columns(table(COLUMNS, rows(9), 40.0), (0.0, 50.0))], PAGE_MM)
    assert page_texts(pages[0]).count("One") == 2


def test_a_part_too_high_for_columns_is_an_error_that_names_the_block() -> None:
    with pytest.raises(SheetError, match="block plan"):
        flow([named("x", 5), Columns((named("a", 120, block="plan"),), (0.0, 50.0))], PAGE_MM)


def test_what_may_move_fills_the_rest_of_a_page_block_by_block() -> None:
    more = (named("f1", 20, block="f", fills=True), named("f2", 20, block="f", fills=True))
    some = [named("a", 60), named("b", 80), named("c", 5), *more]
    assert names(flow(some, PAGE_MM)) == [["a", "f1", "f2"], ["b", "c"]]
    taller = [named("a", 61), *some[1:]]  # both or none
    assert names(flow(taller, PAGE_MM)) == [["a"], ["b", "c"], ["f1", "f2"]]


def test_nothing_moves_from_more_than_two_pages_further_on() -> None:
    near = [named("a", 60), named("b", 90), named("sign", 20, block="sign", fills=True)]
    assert names(flow(near, PAGE_MM)) == [["a", "sign"], ["b"]]
    far = [named("a", 60), named("b", 90), named("c", 90), named("d", 90), near[-1]]
    assert names(flow(far, PAGE_MM)) == [["a"], ["b"], ["c"], ["d"], ["sign"]]


def test_what_may_move_stands_in_place_of_spare_rows() -> None:
    rows = [named("row", 60), named("spare", 15, spare=True), named("spare", 15, spare=True)]
    drawing, sign = named("drawing", 95), named("sign", 35, block="sign", fills=True)
    assert names(flow([*rows, drawing, sign], PAGE_MM)) == [["row", "sign"], ["drawing"]]
    assert names(flow([*rows, drawing], PAGE_MM)) == [["row", "spare", "spare"], ["drawing"]]


def test_a_part_of_a_block_that_may_move_fills_the_rest_of_a_page_without_the_others() -> None:
    """As the legend of a garden that takes a page of its own."""
    garden = (named("plan", 95, block="p"), named("part", 95, block="p"))
    legend = named("legend", 20, block="p", fills=True)
    some = [named("a", 60, block="a"), *garden, legend, named("b", 70, block="b")]
    assert names(flow(some, PAGE_MM)) == [["a", "legend"], ["plan"], ["part"], ["b"]]


def test_what_may_move_fills_the_rest_of_a_column_block_by_block() -> None:
    more = (named("f1", 20, block="f", fills=True), named("f2", 20, block="f", fills=True))
    some = (named("a", 60, block="a"), named("b", 80, block="b"), named("c", 90, block="c"))
    places = (0.0, 50.0)
    assert names(flow([Columns((*some, *more), places)], PAGE_MM)) == [
        ["a", "f1", "f2", "b"],
        ["c"],
    ]
    taller = (named("a", 61, block="a"), *some[1:])  # both or none
    assert names(flow([Columns((*taller, *more), places)], PAGE_MM)) == [
        ["a", "b"],
        ["c", "f1", "f2"],
    ]
    new = replace(some[1], new_page=True)
    held = flow([Columns((some[0], new, *more), places)], PAGE_MM)
    assert names(held) == [["a", "b", "f1"], ["f2"]]  # none before b


def test_what_may_move_is_in_another_order_only_where_that_takes_fewer_pages() -> None:
    some = (named("a", 60, block="a"), named("b", 70, block="b"))
    low = named("low", 30, block="low", fills=True)
    high = named("high", 40, block="high", fills=True)
    places = (0.0, 50.0)
    assert names(flow([Columns((*some, low, high), places)], PAGE_MM)) == [
        ["a", "high", "b", "low"]
    ]
    staying = replace(high, fills=False)
    assert names(flow([Columns((*some, low, staying), places)], PAGE_MM)) == [
        ["a", "low", "b"],
        ["high"],
    ]
    fresh = replace(high, new_page=True)
    assert names(flow([Columns((*some, low, fresh), places)], PAGE_MM))[0] == ["a", "low", "b"]
    more = named("more", 100, block="more")  # a page more in any order
    given = flow([Columns((*some, low, replace(high, height_mm=45)), places), more], PAGE_MM)
    assert names(given)[0] == ["a", "low", "b"]


def test_a_high_row_may_begin_a_group_by_itself_and_none_ends_one_so() -> None:
    high = [Row((str(number), "x"), 15.0) for number in range(4)]
    one, two, three, four = table(COLUMNS, high, 40.0)[1:]
    assert not one.keep and not two.keep and three.keep and not four.keep


def test_a_table_without_heads_again_repeats_the_line_of_its_group_only() -> None:
    told = [Group("Before", "Before, continued"), *rows(30)]
    first, *others = flow(table(COLUMNS, told, 40.0, heads_again=False), PAGE_MM)
    head = COLUMNS[0].title
    assert head in page_texts(first)
    assert others
    for page in others:
        assert "Before, continued" in page_texts(page) and head not in page_texts(page)


def test_nothing_moves_past_what_begins_a_page() -> None:
    some = [named("a", 60), named("b", 80), named("c", 5, new_page=True)]
    moving = named("f", 5, block="f", fills=True)
    assert names(flow([*some, moving], PAGE_MM)) == [["a"], ["b"], ["c", "f"]]


piece_lists = st.lists(
    st.builds(
        Piece,
        height_mm=st.floats(0.5, 45.0),
        gap_mm=st.floats(0.0, 10.0),
        keep=st.booleans(),
        new_page=st.booleans(),
        head=st.sampled_from([None, Piece(4.0, block="head")]),
    ),
    max_size=40,
)


@settings(max_examples=150, deadline=None)
@given(piece_lists)
def test_any_pieces_are_placed_once_in_order_and_inside_the_page(pieces: list[Piece]) -> None:
    try:
        pages = flow(pieces, PAGE_MM)
    except SheetError:
        reject()
    placed = [each for page in pages for each in page]
    assert [p.piece for p in placed if p.piece.block != "head"] == pieces
    for page in pages:
        ends = 0.0
        for each in page:
            assert each.y_mm >= ends - 1e-9
            ends = each.y_mm + each.piece.height_mm
        assert ends <= PAGE_MM + 0.011
    for page, after in pairwise(pages):
        first = next(each.piece for each in after if each.piece.block != "head")
        assert not page[-1].piece.keep or first.new_page
    for page in pages:
        assert page[0].piece.head is None


@settings(max_examples=100, deadline=None)
@given(piece_lists, st.integers(2, 3))
def test_any_pieces_in_columns_are_placed_once_and_inside(pieces: list[Piece], count: int) -> None:
    places = tuple(50.0 * number for number in range(count))
    try:
        pages = flow([Columns(tuple(pieces), places)], PAGE_MM)
    except SheetError:
        reject()
    placed = [each for page in pages for each in page]
    assert [p.piece for p in placed if p.piece.block != "head"] == pieces
    for page in pages:
        for x in places:
            ends = 0.0
            for each in (each for each in page if each.x_mm == x):
                assert each.y_mm >= ends - 1e-9
                ends = each.y_mm + each.piece.height_mm
            assert ends <= PAGE_MM + 0.011


@given(
    heights=st.lists(st.floats(1.0, 60.0), min_size=2, max_size=12),
    at=st.integers(1, 11),
)
def test_what_is_fresh_begins_the_back_where_that_costs_no_page(
    heights: list[float], at: int
) -> None:
    plain = [named(str(number), height) for number, height in enumerate(heights)]
    number = min(at, len(plain) - 1)
    before = flow(plain, PAGE_MM)
    fresh = [*plain[:number], replace(plain[number], fresh=True), *plain[number + 1 :]]
    after = flow(fresh, PAGE_MM)
    forced = flow([*plain[:number], *on_new_page((plain[number],)), *plain[number + 1 :]], PAGE_MM)
    low = {
        placed.piece.items[0].text: placed.y_mm  # type: ignore[union-attr]
        for page in before[:1]
        for placed in page
    }.get(str(number), 0.0)
    moves = low >= 2 / 3 * PAGE_MM and len(forced) <= len(before)
    assert names(after) == names(forced if moves else before)


def test_columns_whose_first_piece_is_fresh_begin_the_back_too() -> None:
    front = named("front", 70)
    rows_ = tuple(named(str(number), 10, fresh=number == 0) for number in range(8))
    plain, begun = (
        flow([front, Columns(some, (0.0, 50.0))], PAGE_MM)
        for some in (tuple(replace(each, fresh=False) for each in rows_), rows_)
    )
    assert names(plain)[0] == ["front", "0", "1", "2", "3", "4", "5"]
    assert names(begun) == [["front"], [str(number) for number in range(8)]]
