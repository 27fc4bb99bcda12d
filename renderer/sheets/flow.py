"""Flow of pieces over pages: nothing is split that must hold together, no heading stands alone."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import chain, groupby

from renderer.frozen import dataclass
from renderer.sheets.errors import SheetError
from renderer.sheets.piece import Columns, Flowing, Piece, height_of

TOLERANCE_MM = 0.01  # sums of measured heights differ from the page's by rounding only
FINENESS_MM = 0.5  # how near to the least height columns are made even
WELL_FILLED = 2 / 3  # the share of a front above a piece that begins the back instead
FEW_PAGES = 24  # of a paper that is worth trying in several orders for a page less
PAGES_AHEAD = 2  # how far what fills a page comes forward: a sign-off never to before the work
LEAST_COLUMNS_MM = 30.0  # columns do not begin in a lower rest of a page unless all of them fit


@dataclass(frozen=True, slots=True)
class Placed:
    """A piece and its place from the top left corner of the page's content, in mm."""

    y_mm: float
    piece: Piece
    x_mm: float = 0.0


PlacedPage = tuple[Placed, ...]
Run = tuple[Piece, ...]


def flow(pieces: Sequence[Flowing], height_mm: float) -> tuple[PlacedPage, ...]:
    """Pages of placed pieces, each page at most ``height_mm`` high.

    A run of pieces that hold to their next one is placed whole, on a new page
    where the rest of the page is too low for it; a run of spare pieces is left out
    instead, and also where what comes after it fits the page without it. A piece with a ``head``
    that begins a page has that head above it. Columns stand beside each other, as even as they
    can be, and go on over pages. What may move fills the rest of a page or a column where the next
    run does not fit, in another order of its own than the given one where that takes fewer pages.
    What begins the back only where that takes no page more is tried both ways.
    Raises SheetError, naming the block, where a run is higher than a page.
    """
    pages = _begun(pieces, height_mm)
    if 1 < len(pages) <= FEW_PAGES:
        for order in _orders(pieces):
            tried = _begun(order, height_mm)
            pages = tried if len(tried) < len(pages) else pages
    return pages


def _orders(pieces: Sequence[Flowing]) -> Iterator[Sequence[Flowing]]:
    """The same with one block of those in columns that may move first or last among these."""
    for number, columns in enumerate(pieces):
        if not isinstance(columns, Columns):
            continue
        blocks = [tuple(some) for _, some in groupby(columns.pieces, key=lambda each: each.block)]
        places = [n for n, block in enumerate(blocks) if block[0].fills and not block[0].new_page]
        moving = [blocks[place] for place in places]
        for at, block in enumerate(moving):
            others = [*moving[:at], *moving[at + 1 :]]
            for order in ([block, *others], [*others, block]):
                if order == moving:
                    continue
                given = dict(zip(places, order, strict=True))
                moved = chain.from_iterable(given.get(n, each) for n, each in enumerate(blocks))
                new = replace(columns, pieces=tuple(moved))
                yield (*pieces[:number], new, *pieces[number + 1 :])


def _begun(pieces: Sequence[Flowing], height_mm: float) -> tuple[PlacedPage, ...]:
    """Pages with what is ``fresh`` at the top of one where the page before is well filled."""
    pages = _pages(pieces, height_mm)
    for number, piece in enumerate(pieces):
        first = next(iter(piece.pieces), None) if isinstance(piece, Columns) else piece
        if first and first.fresh and _is_low(first, pages[0], height_mm):
            begun = (*pieces[:number], replace(piece, new_page=True), *pieces[number + 1 :])
            other = _pages(begun, height_mm)
            if len(other) <= len(pages):
                return other
    return pages


def _is_low(piece: Piece, page: PlacedPage, height_mm: float) -> bool:
    """Whether a piece stands so low on a page that the page is well filled without it."""
    low = WELL_FILLED * height_mm
    return any(placed.piece is piece and placed.y_mm >= low for placed in page)


def _pages(pieces: Sequence[Flowing], height_mm: float) -> tuple[PlacedPage, ...]:
    """The same, each piece where it comes."""
    waiting = deque(_units(pieces))
    pages: list[PlacedPage] = []
    while waiting:
        page = _Page(height_mm)
        while waiting:
            unit = waiting.popleft()
            rest = page.take(unit)
            if rest is not None and page.spares(unit):
                rest = page.take(unit)
            if rest is None:
                continue
            if rest:
                waiting.appendleft(rest)
            if not page.placed:
                raise _too_high(rest, height_mm)
            _fill(page, waiting)
            break
        if page.placed:
            pages.append(tuple(page.placed))
    return tuple(pages)


# A run of pieces, or columns of which each has runs of its own.
Unit = Run | Columns


def _units(pieces: Sequence[Flowing]) -> Iterator[Unit]:
    some: list[Piece] = []
    for piece in pieces:
        if isinstance(piece, Columns):
            yield from _runs(some)
            some = []
            yield piece
        else:
            some.append(piece)
    yield from _runs(some)


def _fill(page: _Page, waiting: deque[Unit]) -> None:
    """Takes what may move from further on into the rest of a page, in its order.

    A block moves whole; of columns that may move, what fits. Nothing moves from further on than
    PAGES_AHEAD pages.
    """
    kept: list[Unit] = []
    while waiting and sum(map(_taken_mm, kept)) <= PAGES_AHEAD * page.height_mm:
        unit = waiting.popleft()
        if _stops(unit):
            kept.append(unit)
            break
        if kept and isinstance(unit, Columns) and unit.fills:
            rest = page.take(unit)
            kept += [rest] if rest else []
            continue
        block = [unit]
        while waiting and _is_more_of(unit, waiting[0]):
            block.append(waiting.popleft())
        moves = kept and _may_move(unit)
        if not (moves and (page.takes_all(block) or _in_place_of_spares(page, block))):
            kept += block
    waiting.extendleft(reversed(kept))


def _in_place_of_spares(page: _Page, block: Sequence[Unit]) -> bool:
    """Whether a block of a single unit has come to stand where a page had spare pieces."""
    return len(block) == 1 and page.spares(block[0]) and page.takes_all(block)


def _taken_mm(unit: Unit) -> float:
    """About what a unit takes of a page, columns as if they were even."""
    if isinstance(unit, Columns):
        return height_of(unit.pieces) / len(unit.xs_mm)
    return height_of(unit)


def _is_more_of(unit: Unit, after: Unit) -> bool:
    """Whether both are of one block, so that they move together or not at all.

    A part of a block that may move moves by itself where the rest of it may not.
    """
    if isinstance(unit, Columns) or isinstance(after, Columns):
        return False
    one, other = unit[0], after[0]
    return bool(one.block) and (one.block, one.fills) == (other.block, other.fills)


def _may_move(unit: Unit) -> bool:
    return not isinstance(unit, Columns) and unit[0].fills


def _stops(unit: Unit) -> bool:
    """Whether nothing from behind it comes to a page before it."""
    return unit.new_page if isinstance(unit, Columns) else unit[0].new_page


class _Page:
    """A page or a column while it is filled from its top."""

    def __init__(self, height_mm: float) -> None:
        self.height_mm = height_mm
        self.used = 0.0
        self.placed: list[Placed] = []
        self.has_left_out = False  # a spare piece, and with it all that follow it

    def take(self, unit: Unit) -> Unit | None:
        """Places a unit, or what fits of columns; gives back what has to go on the next page."""
        if isinstance(unit, Columns):
            return self._take_columns(unit)
        if self.used and unit[0].new_page:
            return unit
        headed = unit if self.used else _headed(unit)
        needed = _height(headed, self.used > 0)
        is_spare = self.used > 0 and all(piece.spare for piece in unit)
        self.has_left_out = is_spare and self.has_left_out
        if self.has_left_out or self.used + needed > self.height_mm + TOLERANCE_MM:
            self.has_left_out = is_spare
            return None if is_spare else unit
        self._place(headed)
        return None

    def spares(self, unit: Unit) -> bool:
        """Leaves out the spare pieces at the foot of the page where a run then fits; else none."""
        count = len(self.placed)
        while count and self.placed[count - 1].piece.spare:
            count -= 1
        if isinstance(unit, Columns) or unit[0].new_page or count in {0, len(self.placed)}:
            return False
        last = self.placed[count - 1]
        used = last.y_mm + last.piece.height_mm
        if used + _height(unit, under_other=True) > self.height_mm + TOLERANCE_MM:
            return False
        self.used = used
        del self.placed[count:]
        return True

    def takes_all(self, block: Sequence[Unit]) -> bool:
        """Places all of a block; leaves the page as it was where not all of it fits."""
        used, count = self.used, len(self.placed)
        for unit in block:
            if self.take(unit) is not None:
                self.used = used
                del self.placed[count:]
                return False
        return True

    def _place(self, run: Run) -> None:
        for piece in run:
            self.used += piece.gap_mm if self.used else 0.0
            self.placed.append(Placed(self.used, piece))
            self.used += piece.height_mm

    def _take_columns(self, unit: Columns) -> Columns | None:
        if self.used and unit.new_page:
            return unit
        gap = unit.gap_mm if self.used else 0.0
        room = self.height_mm - self.used - gap
        runs = deque(_runs(unit.pieces))
        columns = even(runs, len(unit.xs_mm), room)
        if columns is None and self.used and (unit.together or room < LEAST_COLUMNS_MM):
            return unit
        if columns is None:
            columns = _filled(runs, len(unit.xs_mm), room)
        else:
            runs.clear()
        for x_mm, column in zip(unit.xs_mm, columns, strict=False):
            self.placed += [
                Placed(self.used + gap + each.y_mm, each.piece, x_mm) for each in column.placed
            ]
        if any(column.placed for column in columns):
            self.used += gap + max(column.used for column in columns)
        return unit.of([piece for run in runs for piece in run]) if runs else None


def even(runs: Sequence[Run], count: int, room_mm: float) -> list[_Page] | None:
    """Columns as low as they can be in a room so high; nothing where the room is too low."""
    best = _filled(left := deque(runs), count, room_mm)
    if left:
        return None
    low, high = 0.0, max(column.used for column in best)
    while high - low > FINENESS_MM:
        middle = (low + high) / 2
        tried = _filled(left := deque(runs), count, middle)
        if left:
            low = middle
        else:
            best, high = tried, middle
    return best


def _filled(runs: deque[Run], count: int, height_mm: float) -> list[_Page]:
    """Columns filled one after the other; takes what is placed out of ``runs``.

    Where the next run does not fit, a block from further on that may move fills the rest.
    """
    columns = []
    for _ in range(count):
        column = _Page(height_mm)
        while runs:
            if column.take(runs[0]) is None:
                runs.popleft()
            elif not _fill_column(column, runs):
                break
        columns.append(column)
    return columns


def _fill_column(column: _Page, runs: deque[Run]) -> bool:
    """Takes the first block that may move and fits out of ``runs``, and says whether one did."""
    blocks = [tuple(some) for _, some in groupby(runs, key=lambda run: run[0].block)]
    for number, block in enumerate(blocks):
        if block[0][0].new_page:
            return False
        if number and block[0][0].fills and column.takes_all(block):
            kept = [*blocks[:number], *blocks[number + 1 :]]
            runs.clear()
            runs.extend(run for each in kept for run in each)
            return True
    return False


def _runs(pieces: Sequence[Piece]) -> Iterator[Run]:
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


def _headed(run: Run) -> Run:
    head = run[0].head
    return run if head is None else (head, *run)


def _too_high(unit: Unit | None, height_mm: float) -> SheetError:
    run = next(_runs(unit.pieces)) if isinstance(unit, Columns) else unit or ()
    needed = _height(_headed(run), under_other=False)
    return SheetError(
        f"block {run[0].block or 'without a name'}",
        f"a part that cannot be split needs {needed:.0f} mm, the page has {height_mm:.0f} mm",
        "use larger paper or shorten the text",
    )
