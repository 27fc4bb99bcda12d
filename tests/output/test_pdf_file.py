"""The file written page by page holds the objects that the canvas saves by itself."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from itertools import pairwise
from typing import Any

import pypdf
import pytest
from pypdf.generic import ArrayObject, DictionaryObject, IndirectObject, StreamObject
from reportlab import rl_config

from renderer.output import pdf
from renderer.output.pdf_file import PdfFile
from renderer.primitives import Document, Link, Mark, Page, Text


class Saved:
    """In the place of ``PdfFile``: the canvas saves itself, by its public call alone."""

    def __init__(self, canvas: Any, file: BytesIO, _: object) -> None:
        self._canvas, self._file = canvas, file

    def page_shown(self) -> None: ...

    def field_made(self) -> None: ...

    def close(self) -> None:
        self._canvas.save()
        self._file.write(self._canvas._filename.getvalue())


def saved(document: Document, monkeypatch: pytest.MonkeyPatch) -> bytes:
    with monkeypatch.context() as patch:
        patch.setattr(pdf, "PdfFile", Saved)
        patch.setattr(rl_config, "useA85", 0)
        return pdf.write_pdf(document)


def values(data: bytes) -> list[str]:
    """All that the trailer leads to, in the order in which it is come by, its numbers left out."""
    trailer = pypdf.PdfReader(BytesIO(data), strict=True).trailer
    seen: dict[int, int] = {}
    found: list[str] = []

    def walk(value: Any) -> None:
        if isinstance(value, IndirectObject):
            found.append(f"object {seen.setdefault(value.idnum, len(seen))}")
            if seen[value.idnum] == len(seen) - 1:
                walk(value.get_object())
        elif isinstance(value, DictionaryObject):
            for key in sorted(value):
                found.append(key)
                walk(value.raw_get(key))
            if isinstance(value, StreamObject):
                found.append(repr(value._data))
        elif isinstance(value, ArrayObject):
            found.append(f"array of {len(value)}")
            for each in list.__iter__(value):
                walk(each)
        else:
            found.append(repr(value))

    for key in ("/Root", "/Info"):
        walk(trailer.raw_get(key))
    return found


@pytest.mark.parametrize("fields", [False, True])
def test_the_file_is_what_the_canvas_saves(
    document: Document, fields: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    told = replace(document, form_fields=fields)
    ours, theirs = values(pdf.write_pdf(told)), values(saved(told, monkeypatch))
    assert len(ours) > 100
    assert ours == theirs


def test_a_link_to_a_later_page_and_a_document_without_bookmarks(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    first = Page(100.0, 100.0, (Link((5.0, 5.0), 20.0, 5.0, "there"),))
    second = Page(100.0, 100.0, (Text((9.0, 9.0), "There", 9.0),), (Mark("there", 4.0),))
    document = Document((first, second), "Two pages")
    assert values(pdf.write_pdf(document)) == values(saved(document, monkeypatch))


def test_a_page_is_in_the_file_before_the_next_is_made(monkeypatch: pytest.MonkeyPatch) -> None:
    file = BytesIO()
    sizes = []

    def pages() -> Any:
        for number in range(40):
            sizes.append(len(file.getvalue()))
            texts = (Text((9.0, y / 10), f"{number} {y}", 9.0) for y in range(900))
            yield Page(100.0, 100.0, tuple(texts))

    class Lazy(list[Page]):
        def __iter__(self) -> Any:
            return pages()

    pdf.write_pdf_to(file, Document(Lazy(), "Many pages"))
    steps = [after - before for before, after in pairwise(sizes[3:])]
    assert min(steps) > 1000


def test_what_is_written_is_let_go(document: Document, monkeypatch: pytest.MonkeyPatch) -> None:
    made: list[PdfFile] = []

    class Watched(PdfFile):
        def close(self) -> None:
            made.append(self)
            super().close()

    monkeypatch.setattr(pdf, "PdfFile", Watched)
    pdf.write_pdf(document)
    kinds = {type(each).__name__ for each in made[0]._document.idToObject.values()}
    assert kinds.isdisjoint({"PDFPage", "PDFFormXObject"})
