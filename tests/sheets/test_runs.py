"""Texts in several styles on the same lines: nothing lost, nothing over the edge, one base line."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from renderer.sheets.runs import run_lines, run_texts, runs_height_mm
from renderer.sheets.type import TEXT, TEXT_STRONG, Style

ITALIC = Style("italic", 9)
STYLES = (TEXT, TEXT_STRONG, ITALIC)
WORDS = st.lists(st.text("abcdeg.,1 \n", min_size=1, max_size=40), min_size=1, max_size=3)


@given(WORDS, st.floats(20.0, 120.0))
def test_all_words_come_in_their_order_and_none_leaves_the_column(
    texts: list[str], width_mm: float
) -> None:
    parts = tuple(zip(texts, STYLES, strict=False))
    lines = run_lines(parts, width_mm)
    told = "".join(text for line in lines for text, _ in line)
    assert "".join(told.split()) == "".join("".join(texts).split())
    for line in lines:
        assert sum(style.width_mm(text) for text, style in line) <= width_mm + 0.01


def test_a_line_has_one_base_line_and_parts_follow_each_other() -> None:
    parts = (("Drive the pegs.", TEXT), ("43 pegs", TEXT_STRONG), ("Mallet", ITALIC))
    one, two, three = run_texts(parts, 10.0, 5.0, 150.0)
    assert one.at[1] == two.at[1] == three.at[1]
    assert [each.face for each in (one, two, three)] == [style.face for style in STYLES]
    for before, after, style in ((one, two, TEXT), (two, three, TEXT_STRONG)):
        gap = after.at[0] - before.at[0] - style.width_mm(before.text)
        assert 0.5 < gap < 3.0  # two spaces
    assert runs_height_mm(parts, 150.0) == pytest.approx(TEXT.pitch_mm)


def test_a_narrow_column_has_more_lines_of_the_same_pitch() -> None:
    parts = (("one two three four five six", TEXT), ("seven", TEXT_STRONG))
    lines = run_lines(parts, 22.0)
    assert len(lines) > 1
    ys = sorted({text.at[1] for text in run_texts(parts, 0.0, 0.0, 22.0)})
    assert [b - a for a, b in pairwise(ys)] == pytest.approx([TEXT.pitch_mm] * (len(lines) - 1))
