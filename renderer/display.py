"""A job as a notebook shows it: the garden to scale, and what was found."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING

from renderer.language import load_words

if TYPE_CHECKING:
    from renderer.findings_text import FindingText


@dataclass(frozen=True, slots=True)
class Shown:
    """The drawing of a job as SVG and its findings; a notebook shows both where it can.

    ``head`` names the job, ``language`` is that of the words.
    """

    head: str
    svg: str
    findings: tuple[FindingText, ...]
    language: str = "en"

    def _repr_svg_(self) -> str:
        return self.svg

    def _repr_html_(self) -> str:
        drawing = self.svg[self.svg.index("<svg") :]
        parts = (f"<p><strong>{escape(self.head)}</strong></p>", drawing, self._table())
        return f'<div lang="{escape(self.language)}">{"".join(parts)}</div>'

    def _table(self) -> str:
        if not self.findings:
            return ""
        words = load_words(self.language)
        keys = ("findings.level", "findings.message", "findings.cure")
        head = "".join(f'<th scope="col">{escape(words(key))}</th>' for key in keys)
        rows = "".join(self._row(each) for each in self.findings)
        return f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"

    def _row(self, found: FindingText) -> str:
        words = load_words(self.language)
        cells = (words(f"level.{found.level}"), found.message, found.cure)
        return f"<tr>{''.join(f'<td>{escape(cell)}</td>' for cell in cells)}</tr>"

    def __str__(self) -> str:
        lines = (f"{each.level:<4} {each.message}" for each in self.findings)
        return "\n".join((self.head, *lines))
