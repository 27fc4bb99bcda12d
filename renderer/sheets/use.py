"""What a layout may say of any block, which the options of each block extend."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Annotated, Literal

from pydantic import BeforeValidator

from renderer.plan.base import Model
from renderer.plan.errors import refuse
from renderer.plan.values import Name, Text, YesNo, to_whole

# Whether a block covers one job or all jobs of a pack.
Scope = Literal["job", "pack"]
COLUMNS = "columns"  # stands for several blocks where a layout names them
COLUMNS_MAX = 3


class BlockUse(Model):
    """A block of a document; each block may add options of its own.

    ``title`` replaces the block's heading, ``new_page`` starts it on a new page, ``together``
    keeps it on one page where it is not higher than one, ``fills`` lets it stand earlier where it
    fills the rest of a page.
    """

    block: Name
    title: Text = ""
    new_page: YesNo = False
    together: YesNo = False
    fills: YesNo = False


def read_columns(value: object) -> int:
    """How many columns stand beside each other."""
    count = to_whole(value)
    if not 2 <= count <= COLUMNS_MAX:
        refuse(f"invalid number of columns {count}", f"write a number from 2 to {COLUMNS_MAX}")
    return count


class ColumnsUse(BlockUse):
    """Blocks that flow through columns of the same width, made as even as they can be."""

    block: Name = COLUMNS
    columns: Annotated[int, BeforeValidator(read_columns)]
    blocks: tuple[BlockUse, ...]


def flat(uses: Iterable[BlockUse]) -> Iterator[BlockUse]:
    """The blocks, those of columns too."""
    for use in uses:
        if isinstance(use, ColumnsUse):
            yield from use.blocks
        else:
            yield use
