"""The words of printed pages with their places, and their lines, as MuPDF reads them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypedDict

import pymupdf

SAME_LINE_PT = 3.0  # words whose tops differ by no more stand on one line


class Word(TypedDict):
    """A word and its box from the top left corner of the page, points; as high as its type."""

    text: str
    x0: float
    x1: float
    top: float
    bottom: float
    font: str


@dataclass(frozen=True)
class PageRead:
    """A printed page: its lines, each from left to right, its words, and its height in points."""

    text: str
    words: tuple[Word, ...]
    height: float


def read_pages(pdf: bytes) -> tuple[PageRead, ...]:
    """The pages of a file; a no-break space parts words as any other does.

    Text that is not level on the page is among its words too.
    """
    with pymupdf.open(stream=pdf, filetype="pdf") as file:
        return tuple(_read(page) for page in file)


def _read(page: pymupdf.Page) -> PageRead:
    shown = page.get_textpage(flags=pymupdf.TEXT_PRESERVE_WHITESPACE)
    spans = {
        (block["number"], number): line["spans"]
        for block in page.get_text("dict", textpage=shown)["blocks"]
        for number, line in enumerate(block["lines"])
    }
    words = [
        Word(
            text=text,
            x0=x0,
            x1=x1,
            top=bottom - float(_begins_in(spans[block, line], x0)["size"]),  # type: ignore[arg-type]
            bottom=bottom,
            font=str(_begins_in(spans[block, line], x0)["font"]),
        )
        for x0, _, x1, bottom, text, block, line, _ in page.get_text("words", textpage=shown)
    ]
    lines = [sorted(line, key=lambda word: word["x0"]) for line in _lines(words)]
    ordered = tuple(word for line in lines for word in line)
    text = "\n".join(" ".join(word["text"] for word in line) for line in lines)
    return PageRead(text, ordered, float(page.rect.height))


def _begins_in(spans: list[dict[str, object]], x0: float) -> dict[str, object]:
    """The span of type that a word begins in."""
    return [span for span in spans if span["bbox"][0] <= x0 + 0.01][-1]  # type: ignore[index]


def _lines(words: list[Word]) -> list[list[Word]]:
    lines: list[list[Word]] = []
    for word in sorted(words, key=lambda word: word["top"]):
        if lines and word["top"] - lines[-1][-1]["top"] <= SAME_LINE_PT:
            lines[-1].append(word)
        else:
            lines.append([word])
    return lines
