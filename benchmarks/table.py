"""Tables of results, as text for a terminal or as Markdown."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of cells below a head; ``notes`` tell what was left out, and why."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...] = ()

    def text(self) -> str:
        """Columns padded to one width, figures to the right."""
        widths = [max(map(len, column)) for column in zip(self.head, *self.rows, strict=True)]
        lines = [self.title, "=" * len(self.title)]
        lines += [_padded(row, widths) for row in (self.head, *self.rows)]
        notes = ("", *self.notes) if self.notes else ()
        return "\n".join([*lines, *notes]) + "\n"

    def markdown(self) -> str:
        """The same as a Markdown table."""
        rule = ["---", *["---:"] * (len(self.head) - 1)]
        lines = [f"| {' | '.join(row)} |" for row in (self.head, rule, *self.rows)]
        return "\n".join([f"**{self.title}**", "", *lines, "", *self.notes]) + "\n"


def _padded(row: Sequence[str], widths: Sequence[int]) -> str:
    first, *rest = zip(row, widths, strict=True)
    cells = [first[0].ljust(first[1]), *(cell.rjust(width) for cell, width in rest)]
    return "  ".join(cells).rstrip()


def figure(value: float) -> str:
    """A figure with as many places as its size deserves."""
    if value >= 100:
        return f"{value:,.0f}"
    return f"{value:.1f}" if value >= 10 else f"{value:.2f}"
