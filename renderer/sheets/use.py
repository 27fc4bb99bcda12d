"""What a layout may say of any block, which the options of each block extend."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from renderer.plan.base import Model
from renderer.plan.values import Name, Text, YesNo

# Whether a block covers one job or all jobs of a pack.
Scope = Literal["job", "pack"]


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

    @property
    def gives(self) -> float:
        """The share of a page's height that it gives up at the most in less room, 1 for all."""
        return 0.0

    def tighter(self) -> Iterator[BlockUse]:
        """The block in less and less room, which is tried where that may save a page."""
        yield from ()

    def roomier(self) -> Iterator[BlockUse]:
        """The block in more room, most first, which is tried where it may cost no page."""
        yield from ()
