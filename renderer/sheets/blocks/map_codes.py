"""The plan itself in square codes, so that the map can be printed again from paper alone."""

from __future__ import annotations

from renderer.archive.carried import owners_file
from renderer.archive.codes import texts
from renderer.frozen import dataclass
from renderer.primitives import Primitive
from renderer.sheets.code import QUIET_FIELDS, least_version, letters_of, plan_code, side_of
from renderer.sheets.compact import CLOSE, FINE, FINE_STRONG, head
from renderer.sheets.kit import paragraph
from renderer.sheets.piece import Piece, held_together
from renderer.sheets.sheet import Sheet
from renderer.sheets.use import BlockUse

# A field wide enough for a scan of 150 dots an inch and a pocket camera; common practice.
FIELD_MM = 0.5
VERSIONS = range(20, 7, -1)  # from three beside each other to seven, which is as many as one scans
QUIET_MM = QUIET_FIELDS * FIELD_MM
LABEL_GAP_MM = 0.6
TEXT_GAP_MM = 0.5


@dataclass(frozen=True, slots=True)
class Grid:
    """How the codes stand: their texts, the version of all, how many beside each other."""

    texts: tuple[str, ...]
    version: int
    columns: int

    @property
    def rows(self) -> int:
        return -(-len(self.texts) // self.columns)

    @property
    def side_mm(self) -> float:
        return side_of(self.version) * FIELD_MM

    @property
    def height_mm(self) -> float:
        """Of all rows with the numbers under the codes."""
        return self.rows * (self.side_mm + QUIET_MM + FINE.pitch_mm)


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """What the codes are and how to read them, then the codes in rows, numbered.

    Nothing on a form without a plan.
    """
    words = sheet.words
    _, text = owners_file(sheet.job.written, sheet.layout.tells_place)
    grid = _best(text.encode(), sheet.width_mm)
    count = len(grid.texts)
    told = (
        *paragraph(words.count("codes.what", count), sheet.width_mm, FINE, gap_mm=TEXT_GAP_MM),
        *paragraph(words("codes.how"), sheet.width_mm, FINE_STRONG, gap_mm=TEXT_GAP_MM),
        *paragraph(words("codes.by-hand"), sheet.width_mm, CLOSE, gap_mm=TEXT_GAP_MM),
    )
    rows = [_row(sheet, grid, number) for number in range(grid.rows)]
    return *held_together((head(sheet, use), *told, rows[0])), *rows[1:]


def _best(data: bytes, width_mm: float) -> Grid:
    """The grid that takes the least height, of these the one with the fewest codes."""
    grids: list[Grid] = []
    for version in VERSIONS:
        try:
            cut = texts(data, letters_of(version))
        except ValueError:
            if grids:
                break
            raise
        smaller = least_version(max(map(len, cut)))
        room = width_mm + QUIET_MM
        columns = int(room // (side_of(smaller) * FIELD_MM + QUIET_MM))
        grids.append(Grid(cut, smaller, columns))
    return min(grids, key=lambda grid: (grid.height_mm, len(grid.texts)))


def _row(sheet: Sheet, grid: Grid, number: int) -> Piece:
    """A row of codes, spread over the width, each with its number under it."""
    first = number * grid.columns
    held = grid.texts[first : first + grid.columns]
    step = grid.side_mm + QUIET_MM
    if len(grid.texts) > grid.columns:
        step = (sheet.width_mm - grid.side_mm) / max(1, grid.columns - 1)
    items: list[Primitive] = []
    for place, text in enumerate(held):
        x = place * step
        items.append(plan_code(text, grid.version, FIELD_MM, x, 0.0))
        label = sheet.words("codes.number", number=first + place + 1, count=len(grid.texts))
        middle = x + grid.side_mm / 2
        items.append(FINE_STRONG.line(label, middle, grid.side_mm + LABEL_GAP_MM, "middle"))
    height = grid.side_mm + LABEL_GAP_MM + FINE_STRONG.pitch_mm
    return Piece(height, tuple(items), QUIET_MM)
