"""The lines of a text about one of them."""

from __future__ import annotations

AROUND = 3  # lines shown above and below the one that is meant
LETTERS_MOST = 200  # of a line that is shown


def excerpt(text: str, line: int) -> list[tuple[int, str]]:
    """The lines about one of a text, each with its number."""
    lines = text.splitlines()
    first = max(1, line - AROUND)
    return [
        (number, lines[number - 1][:LETTERS_MOST])
        for number in range(first, min(len(lines), line + AROUND) + 1)
    ]
