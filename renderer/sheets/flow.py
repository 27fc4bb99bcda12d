"""Flow of pieces over pages: nothing is split that must hold together, no heading stands alone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from renderer.sheets.errors import SheetError
from renderer.sheets.piece import Piece, height_of

TOLERANCE_MM = 0.01  # sums of measured heights differ from the page's by rounding only


@dataclass(frozen=True, slots=True)
class Placed:
    """A piece and the distance of its top from the top of the page's content, in mm."""

    y_mm: float
    piece: Piece


PlacedPage = tuple[Placed, ...]


def flow(pieces: Sequence[Piece], height_mm: float) -> tuple[PlacedPage, ...]:
    """Pages of placed pieces, each page at most ``height_mm`` high.

    A run of pieces that hold to their next one is placed whole, on a new page
    where the rest of the page is too low for it; a run of spare pieces is left out
    instead. A piece with a ``head`` that begins a page has that head above it.
    Raises SheetError, naming the block, where a run is higher than a page.
    """
    pages: list[list[Placed]] = [[]]
    used = 0.0
    for run in _runs(pieces):
        needed = _height(run, used > 0)
        is_full = used + needed > height_mm + TOLERANCE_MM
        if is_full and all(piece.spare for piece in run):
            continue
        if used and (run[0].new_page or is_full):
            pages.append([])
            used = 0.0
        if not used:
            run = _headed(run)
            _require_fit(run, height_mm)
        for piece in run:
            used += piece.gap_mm if used else 0.0
            pages[-1].append(Placed(used, piece))
            used += piece.height_mm
    return tuple(tuple(page) for page in pages if page)


def _runs(pieces: Sequence[Piece]) -> Iterator[tuple[Piece, ...]]:
    run: list[Piece] = []
    for piece in pieces:
        if piece.new_page and run:
            yield tuple(run)
            run = []
        run.append(piece)
        if not piece.keep:
            yield tuple(run)
            run = []
    if run:
        yield tuple(run)


def _height(run: Sequence[Piece], under_other: bool) -> float:
    return height_of(run) + (run[0].gap_mm if under_other else 0.0)


def _headed(run: tuple[Piece, ...]) -> tuple[Piece, ...]:
    head = run[0].head
    return run if head is None else (head, *run)


def _require_fit(run: Sequence[Piece], height_mm: float) -> None:
    needed = _height(run, under_other=False)
    if needed > height_mm + TOLERANCE_MM:
        raise SheetError(
            f"block {run[0].block or 'without a name'}",
            f"a part that cannot be split needs {needed:.0f} mm, the page has {height_mm:.0f} mm",
            "use larger paper or shorten the text",
        )
