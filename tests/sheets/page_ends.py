"""Headings and table heads that stand alone at the end of a page, read from a finished PDF.

MuPDF reads the file: texts with face and size, lines with their width. Nothing here knows of
the blocks that made the pages.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pymupdf

PT_PER_MM = 72 / 25.4
TOP_MM = 9.0  # nothing stands above it
HEADING_PT = 10.9  # bold and at least so large: a heading, or the name of a group of rows
HEAD_PT = 9.0  # bold and of this size above a heavy line: the head of a table
HEAVY_MM = 0.7
ROW_MM = 3.0  # least height of a row of a table


@dataclass(frozen=True, slots=True)
class Line:
    """A line of text: its words, box in mm (y down), size in points, whether it is bold."""

    text: str
    box: tuple[float, float, float, float]
    size: float
    bold: bool


@dataclass(frozen=True, slots=True)
class Rule:
    """A level line: its ends and height in mm, and its width."""

    x0: float
    x1: float
    y: float
    width: float


def lonely(pdf: bytes) -> list[str]:
    """What stands alone at the end of a page, as ``page: text``."""
    document = pymupdf.open(stream=pdf, filetype="pdf")
    return [f"{page.number + 1}: {text}" for page in document for text in _lonely(page)]


def _lonely(page: Any) -> Iterator[str]:
    rules = list(_rules(page))
    foot = _foot(page, rules)
    lines = [each for each in _lines(page) if TOP_MM < each.box[1] < foot]
    content = [each for each in rules if TOP_MM < each.y < foot]
    if not lines:
        return
    last = max(lines, key=lambda each: each.box[3])
    beside = [each for each in lines if each.box[3] > last.box[3] - 1.0]
    lowest = max((each.y for each in content), default=0.0)
    if all(_is_heading(each) for each in beside) and lowest < last.box[3] + ROW_MM:
        yield last.text
    for rule in content:
        if (
            rule.width >= HEAVY_MM - 0.05
            and _is_head(rule, lines)
            and not _has_row(rule, lines, content)
        ):
            yield " | ".join(each.text for each in lines if _stands_on(each, rule))


def _is_heading(line: Line) -> bool:
    """Names on drawings are as large, but short."""
    letters = sum(sign.isalpha() for sign in line.text)
    return line.bold and line.size >= HEADING_PT and letters > 2


def _is_head(rule: Rule, lines: list[Line]) -> bool:
    over = [each for each in lines if _stands_on(each, rule)]
    return bool(over) and all(each.bold and abs(each.size - HEAD_PT) < 0.2 for each in over)


def _stands_on(line: Line, rule: Rule) -> bool:
    inside = rule.x0 - 0.5 <= line.box[0] and line.box[2] <= rule.x1 + 0.5
    return inside and 0.0 <= rule.y - line.box[3] < 2.0


def _has_row(head: Rule, lines: list[Line], rules: list[Rule]) -> bool:
    """Whether something with a line under it follows the head over its whole width."""
    below = [r for r in rules if r.y > head.y + ROW_MM and abs(r.x1 - head.x1) < 0.5]
    texts = [t for t in lines if t.box[1] > head.y and head.x0 - 0.5 <= t.box[0] <= head.x1]
    return bool(below) or bool(texts)


def _foot(page: Any, rules: list[Rule]) -> float:
    """The top of the title block: the upper one of the heavy lines in the lowest 22 mm."""
    height = page.rect.height / PT_PER_MM
    heavy = [r.y for r in rules if r.width > HEAVY_MM - 0.05 and r.y > height - 22.0]
    return min(heavy, default=height)


def _lines(page: Any) -> Iterator[Line]:
    for block in page.get_text("dict")["blocks"]:
        for line in block.get("lines", ()):
            for span in line["spans"]:
                if span["text"].strip():
                    box = tuple(each / PT_PER_MM for each in span["bbox"])
                    yield Line(span["text"], box, span["size"], "Bold" in span["font"])  # type: ignore[arg-type]


def _rules(page: Any) -> Iterator[Rule]:
    for drawing in page.get_drawings():
        width = (drawing["width"] or 0.0) / PT_PER_MM
        for item in drawing["items"]:
            if item[0] == "l" and abs(item[1].y - item[2].y) < 0.1:
                ends = sorted((item[1].x / PT_PER_MM, item[2].x / PT_PER_MM))
                yield Rule(ends[0], ends[1], item[1].y / PT_PER_MM, width)
            elif item[0] == "re" and drawing["type"] == "s":
                box = item[1]
                for y in (box.y0, box.y1):
                    yield Rule(box.x0 / PT_PER_MM, box.x1 / PT_PER_MM, y / PT_PER_MM, width)
            elif item[0] == "qu":
                quad = item[1].rect
                for y in (quad.y0, quad.y1):
                    yield Rule(quad.x0 / PT_PER_MM, quad.x1 / PT_PER_MM, y / PT_PER_MM, width)
