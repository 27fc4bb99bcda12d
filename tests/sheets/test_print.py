"""The printed work order read back by an independent reader."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pypdf
import pytest

from renderer.output.pdf import write_pdf
from renderer.sheets import load_layout
from tests.shared import compose
from tests.sheets.sample import job, work_order


@pytest.fixture(scope="module")
def reader() -> pypdf.PdfReader:
    return pypdf.PdfReader(BytesIO(write_pdf(work_order("Letter"))))


def test_every_page_has_its_number_and_size(reader: pypdf.PdfReader) -> None:
    count = len(work_order("Letter").pages)
    assert len(reader.pages) == count
    for number, page in enumerate(reader.pages, 1):
        assert f"{number} of {count}" in page.extract_text().replace("\u00a0", " ")
        assert float(page.mediabox.width) == pytest.approx(612, abs=0.01)
        assert float(page.mediabox.height) == pytest.approx(792, abs=0.01)


def test_blocks_are_bookmarked_under_their_job(reader: pypdf.PdfReader) -> None:
    first, below = reader.outline
    assert first.title == "Job ZZ-77 Back garden"  # type: ignore[union-attr]
    assert [mark.title for mark in below][:4] == [  # type: ignore[union-attr]
        "Lay from this leaf",
        "Control pegs",
        "Test record",
        "Job",
    ]


def test_the_file_says_what_it_is_and_nothing_private(reader: pypdf.PdfReader) -> None:
    assert reader.metadata is not None
    shown = " ".join(str(value) for value in reader.metadata.values())
    assert "Crew work order · ZZ-77 · Back garden" in shown
    for private in ("Quentin", "555", "third pot", "Nowhere"):
        assert private not in shown


def test_boxes_can_be_filled_only_where_the_layout_asks(tmp_path: Path) -> None:
    text = "layout: 1\ndocument: Some\nform_fields: {}\nblocks: [load-list, sign-off]\n"
    found = []
    for word in ("no", "yes"):
        path = tmp_path / "some.yaml"
        path.write_text(text.format(word))
        document = compose([job()], load_layout(path))
        found.append(pypdf.PdfReader(BytesIO(write_pdf(document))).get_fields() or {})
    assert found[0] == {}
    assert len(found[1]) > 20
