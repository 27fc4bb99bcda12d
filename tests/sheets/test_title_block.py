"""The title block: no word of it is cut while its row has room for all of them."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from renderer.primitives import Text
from renderer.sheets.frame import CELL_PAD_MM, Frame, TitleBlock, TitleCell, title_block_items
from renderer.sheets.kit import Entry
from renderer.sheets.type import LABEL, Style

FRAME = Frame(210.0, 297.0)
LEAST = Style("condensed_bold", 8)  # the narrowest type of a value
WORDS = st.text("abcdefgh ", min_size=1, max_size=30).map(str.strip).filter(bool)
CELLS = st.lists(st.tuples(WORDS, WORDS, st.sampled_from([0.0, 1.0, 2.0])), min_size=1, max_size=8)


@given(CELLS)
def test_no_word_is_cut_that_there_is_room_for(cells: list[tuple[str, str, float]]) -> None:
    block = TitleBlock(tuple(TitleCell(Entry(*words), share) for *words, share in cells), "")
    large = Style("bold", 9)
    least = sum(
        max(LABEL.width_mm(label), (LEAST if share else large).width_mm(text)) + 2 * CELL_PAD_MM
        for label, text, share in cells
    )
    texts = [item.text for item in title_block_items(FRAME, block) if isinstance(item, Text)]
    if least <= FRAME.width_mm:
        assert not any(text.endswith("…") for text in texts)
    else:
        assert len(texts) == 2 * len(cells)
