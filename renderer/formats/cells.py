"""The cells of a CSV file and the names of its columns, before anything is made of them."""

from __future__ import annotations

import csv
import io
import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass

from renderer.formats.found import require_few
from renderer.plan.errors import PlanError

NUMBER = re.compile(r"[-+]?\d*\.?\d+(?:[eE][-+]?\d+)?|[-+]?\d+\.")


@dataclass(frozen=True, slots=True)
class Cells:
    """The rows of a table, each with its line in the file, under the names of its columns.

    ``key`` is the option that named the columns, empty where a header at ``line`` did. ``parted``
    is the sign between two cells.
    """

    path: str
    names: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]
    parted: str
    line: int = 0
    key: str = ""

    def wrong(self, problem: str, cure: str) -> PlanError:
        """A mistake in the names of the columns."""
        return PlanError(self.path, self.line, self.key, problem, cure)

    def by_column(
        self, columns: Sequence[str], line: int, cells: tuple[str, ...]
    ) -> dict[str, str]:
        """The cells of a row by their columns. Raises PlanError for more cells than columns."""
        if len([cell for cell in cells if cell]) > len(columns):
            problem = f"has {len(cells)} cells for {len(columns)} columns"
            cure = "with a decimal comma, separate the columns by semicolons"
            raise PlanError(self.path, line, "", problem, cure)
        return dict(zip(columns, cells, strict=False))

    def plain(self, text: str) -> str:
        """A number with its decimal comma, where commas do not part the cells, as a point."""
        return text if self.parted == "," else re.sub(r"(?<=\d),(?=\d)", ".", text)


def read_cells(path: str, data: bytes, order: Sequence[str]) -> Cells:
    """The cells of a CSV file; its columns are those of ``order``, else of its header.

    Raises PlanError.
    """
    try:
        text = unicodedata.normalize("NFC", data.decode("utf-8-sig"))
    except UnicodeDecodeError:
        raise PlanError(path, 0, "", "is not UTF-8 text", "save the table as UTF-8") from None
    first = text.split("\n", 1)[0]
    parted = next((sign for sign in (";", "\t") if sign in first), ",")
    rows = _rows(path, text, parted)
    if order:
        names, line, key = tuple(name.strip() for name in order), 0, "--order"
    elif rows:
        names, line, key = _header(path, *rows[0]), rows[0][0], ""
        rows = rows[1:]
    else:
        raise PlanError(path, 0, "", "it has no rows", "add a header and a row for each point")
    require_few(path, len(rows))
    return Cells(path, names, tuple(rows), parted, line, key)


def _rows(path: str, text: str, parted: str) -> list[tuple[int, tuple[str, ...]]]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=parted)
    rows = []
    try:
        for cells in reader:
            cells = [cell.strip() for cell in cells]
            if any(cells) and not cells[0].startswith("#"):
                rows.append((reader.line_num, tuple(cells)))
    except csv.Error as error:
        cure = "save the table again as CSV"
        raise PlanError(path, reader.line_num, "", f"is not a table: {error}", cure) from None
    return rows


def _header(path: str, line: int, cells: tuple[str, ...]) -> tuple[str, ...]:
    if any(NUMBER.fullmatch(cell.replace(",", ".")) for cell in cells):
        raise PlanError(
            path,
            line,
            "",
            "the first row holds numbers, so nothing says which column is which",
            "add a header such as name,x,y,kind, or name the columns: --order name,y,x,kind",
        )
    return cells
