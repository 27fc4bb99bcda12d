"""The measured parts that blocks are made of and that the flow places on pages."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from renderer.frozen import dataclass
from renderer.packed import HELD, Packed
from renderer.primitives import Mark, Primitive


@dataclass(frozen=True, slots=True)
class Piece:
    """A part of a block that is never split: its height and its primitives in mm.

    The origin of ``items`` and ``marks`` is the top left corner of the piece.
    ``gap_mm`` is white space above it, dropped at the top of a page. ``keep``
    holds it on the page of the piece that follows. ``head`` is placed again
    above it where it begins a page, as a table's column heads are. A ``spare`` piece is left
    out where the page has no more room for it, as an empty row to write in may be. A block whose
    pieces ``fills`` may stand earlier, where it fills the rest of a page. A ``fresh`` piece begins
    the second page where the first is well filled by then and that takes no page more.
    """

    height_mm: float
    items: Sequence[Primitive] = ()
    gap_mm: float = 0.0
    keep: bool = False
    new_page: bool = False
    head: Piece | None = None
    marks: tuple[Mark, ...] = ()
    block: str = ""
    spare: bool = False
    fills: bool = False
    fresh: bool = False


@dataclass(frozen=True, slots=True)
class Columns:
    """Pieces that flow through columns beside each other, ``xs_mm`` from the left edge.

    ``together`` keeps them on one page where it is high enough for that; ``gap_mm``, ``new_page``
    and ``fills`` are as for a piece.
    """

    pieces: tuple[Piece, ...]
    xs_mm: tuple[float, ...]
    gap_mm: float = 0.0
    together: bool = False
    new_page: bool = False
    fills: bool = False

    def of(self, pieces: Sequence[Piece]) -> Columns:
        """The same columns with what is left of the pieces."""
        return replace(self, pieces=tuple(pieces), new_page=False)


Flowing = Piece | Columns


def in_little_room(piece: Piece, number: int) -> Piece:
    """The piece; from a certain number on, one that takes little memory until its page is written.

    ``number`` counts the large pieces of a block from 0.
    """
    return piece if number < HELD else replace(piece, items=Packed(piece.items))


def height_of(pieces: Sequence[Piece]) -> float:
    """Height in mm of the pieces one under the other, without the gap above the first."""
    gaps = sum(piece.gap_mm for piece in pieces[1:])
    return gaps + sum(piece.height_mm for piece in pieces)


def held_together(pieces: tuple[Piece, ...]) -> tuple[Piece, ...]:
    """The same pieces, all kept on one page."""
    return (*(replace(piece, keep=True) for piece in pieces[:-1]), *pieces[-1:])


def with_foot(pieces: Sequence[Piece], foot: Sequence[Piece]) -> tuple[Piece, ...]:
    """The pieces and a note on them, which stays on the page of the last one."""
    if not pieces or not foot:
        return (*pieces, *foot)
    return (*pieces[:-1], *held_together((pieces[-1], *foot)))


def with_gap(pieces: tuple[Piece, ...], gap_mm: float) -> tuple[Piece, ...]:
    """The same pieces with ``gap_mm`` above the first."""
    if not pieces:
        return pieces
    return (replace(pieces[0], gap_mm=gap_mm), *pieces[1:])


def on_new_page(pieces: tuple[Piece, ...]) -> tuple[Piece, ...]:
    """The same pieces, the first of them at the top of a page."""
    if not pieces:
        return pieces
    return (replace(pieces[0], new_page=True), *pieces[1:])


def of_block(pieces: tuple[Piece, ...], block: str) -> tuple[Piece, ...]:
    """The same pieces, marked with the block that an error should name."""
    return tuple(replace(piece, block=block) for piece in pieces)
