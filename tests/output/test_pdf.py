"""The PDF, read back by three libraries that know nothing of ours."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from io import BytesIO
from typing import Any

import pdfplumber
import pymupdf
import pypdf
import pytest
from fontTools.ttLib import TTFont
from reportlab import rl_config

from renderer.output.pdf import write_pdf, write_pdf_to
from renderer.primitives import Document, Field, Line, Link, Mark, Page, Pen, Picture, Ruler, Text
from renderer.text import MissingGlyph, width_mm

MM_PER_POINT = 25.4 / 72.0
RULER = Ruler((10.0, 20.0), 60.0, 40.0, 200.0, "m")


def read(document: Document) -> pypdf.PdfReader:
    return pypdf.PdfReader(BytesIO(write_pdf(document)))


def one_page(*items: Any, **more: Any) -> Document:
    return Document((Page(100.0, 100.0, items),), "One page", **more)


def test_header_and_metadata(document: Document) -> None:
    data = write_pdf(document)
    assert data.startswith(b"%PDF-1.7")
    reader = pypdf.PdfReader(BytesIO(data))
    assert reader.metadata is not None
    assert reader.metadata.title == "Rear lawn Größe"
    assert reader.metadata.author == "Fernhill Lawns (invented)"
    assert reader.metadata.subject == "Crew work order"
    assert reader.metadata["/Keywords"] == "TG-0413, A"
    root = reader.trailer["/Root"]
    assert root["/Lang"] == "en-GB"
    assert root["/ViewerPreferences"]["/PrintScaling"] == "/None"


def test_metadata_that_is_not_given_is_left_out() -> None:
    """An archive tells nothing rather than an empty text (ISO 19005-1, 6.7.3)."""
    information = read(one_page()).metadata
    assert information is not None
    assert information.keys().isdisjoint({"/Author", "/Subject", "/Keywords"})


def test_pages_have_their_exact_size(document: Document) -> None:
    for page, wanted in zip(read(document).pages, document.pages, strict=True):
        size = float(page.mediabox.width), float(page.mediabox.height)
        assert size == pytest.approx(
            (wanted.width_mm / MM_PER_POINT, wanted.height_mm / MM_PER_POINT), abs=1e-4
        )


def test_the_same_document_gives_the_same_bytes(document: Document) -> None:
    with_fields = replace(document, form_fields=True)
    assert write_pdf(document) == write_pdf(document)
    assert write_pdf(with_fields) == write_pdf(with_fields)
    other = Document((Page(50.0, 50.0, (Text((5.0, 5.0), "zyxw", 9.0),)),), "Between")
    before = write_pdf(document)
    write_pdf(other)
    assert write_pdf(document) == before


def test_threads_at_once_and_the_environment_leave_the_bytes_as_they_are(
    document: Document, monkeypatch: pytest.MonkeyPatch
) -> None:
    alone = write_pdf(document)
    monkeypatch.setattr(rl_config, "useA85", 1)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1234567")
    with ThreadPoolExecutor(4) as pool:
        assert set(pool.map(lambda _: write_pdf(document), range(60))) == {alone}


def settings() -> dict[str, object]:
    return {name: value for name, value in vars(rl_config).items() if not name.startswith("_")}


class Watched(BytesIO):
    """A file that notes the library's settings whenever it is written to."""

    def __init__(self) -> None:
        super().__init__()
        self.seen: list[dict[str, object]] = []

    def write(self, data: object) -> int:
        self.seen.append(settings())
        return super().write(data)  # type: ignore[arg-type]


@pytest.mark.parametrize("ascii85", [0, 1])
def test_the_settings_of_the_library_are_the_callers(
    document: Document, ascii85: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    alone = write_pdf(document)
    monkeypatch.setattr(rl_config, "useA85", ascii85)
    before, file = settings(), Watched()
    write_pdf_to(file, document)
    assert len(file.seen) > 10
    assert all(seen == before for seen in file.seen)
    assert file.getvalue() == alone


def test_every_face_is_embedded_and_none_that_is_not_used(document: Document) -> None:
    with pymupdf.open("pdf", write_pdf(document)) as pdf:
        fonts = {font for number in range(len(pdf)) for font in pdf.get_page_fonts(number)}
        embedded = {name.split("+")[1] for _, kind, _, name, *_ in fonts if kind == "ttf"}
        assert len(fonts) == len({font[0] for font in fonts if len(pdf.extract_font(font[0])[3])})
    assert embedded == {
        "PeglineSans-Regular",
        "PeglineSans-Bold",
        "PeglineSans-Italic",
        "PeglineSans-Condensed",
    }


def test_text_can_be_taken_out_again(document: Document) -> None:
    found = read(document).pages[0].extract_text()
    for text in ("Rear lawn — Größe 12.5 m²", "Κήπος Сад", "−3.25 ≤ x"):
        assert text in found


def test_more_characters_than_one_subset_holds() -> None:
    signs = [chr(code) for code in (*range(0x21, 0x7F), *range(0xC0, 0x180), *range(0x410, 0x450))]
    lines = ["".join(signs[place : place + 25]) for place in range(0, len(signs), 25)]
    items = [Text((5.0, 6.0 + 6.0 * row), line, 8.0) for row, line in enumerate(lines)]
    mixed = "zЯzЯ"
    page = Page(100.0, 150.0, (*items, Text((5.0, 140.0), mixed, 8.0)))
    with pdfplumber.open(BytesIO(write_pdf(Document((page,), "Many")))) as pdf:
        words = [word["text"] for word in pdf.pages[0].extract_words()]
    assert words == [*lines, mixed]


def test_spacing_of_a_text_is_that_of_the_measure() -> None:
    text = "Wall (2) \\ 12.50 Щ"
    with pdfplumber.open(BytesIO(write_pdf(one_page(Text((5.0, 50.0), text, 9.0))))) as pdf:
        chars = pdf.pages[0].chars
    assert "".join(char["text"] for char in chars) == text
    drawn = (chars[-1]["x1"] - chars[0]["x0"]) * MM_PER_POINT
    assert drawn == pytest.approx(width_mm(text, "regular", 9.0), abs=0.02)
    assert {round(char["size"], 3) for char in chars} == {9.0}


def test_bookmarks_and_destinations(document: Document) -> None:
    reader = read(document)
    first, nested = reader.outline
    assert first["/Title"] == "Plan of the lawn"
    assert [entry["/Title"] for entry in nested] == ["Σχέδιο"]
    targets = reader.named_destinations
    assert set(targets) == {"/first", "/second", "/quiet"}
    assert reader.get_destination_page_number(targets["/second"]) == 1
    assert float(targets["/second"]["/Top"]) * MM_PER_POINT == pytest.approx(205.9, abs=0.001)


def test_a_bookmark_level_is_never_more_than_one_deeper() -> None:
    marks = (Mark("a", 5.0, "A", 3), Mark("b", 9.0, "B", 5), Mark("c", 12.0, "C", 0))
    outline = read(Document((Page(50.0, 50.0, (), marks),), "Deep")).outline
    assert [entry["/Title"] if isinstance(entry, dict) else len(entry) for entry in outline] == [
        "A",
        1,
        "C",
    ]


def test_a_link_leads_to_its_mark(document: Document) -> None:
    with pymupdf.open("pdf", write_pdf(document)) as pdf:
        (link,) = pdf[0].get_links()
        assert link["page"] == 1
        box = [edge * MM_PER_POINT for edge in link["from"]]
    assert box == pytest.approx((20.0, 95.0, 80.0, 101.0), abs=0.05)


def test_a_link_to_nowhere_is_refused() -> None:
    with pytest.raises(ValueError, match="page 1 links to 'away'"):
        write_pdf(one_page(Link((1.0, 1.0), 5.0, 5.0, "away")))


def test_two_marks_of_one_name_are_refused() -> None:
    marks = (Mark("same", 5.0), Mark("same", 9.0))
    with pytest.raises(ValueError, match="'same'"):
        write_pdf(Document((Page(50.0, 50.0, (), marks),), "Twice"))


def test_fields_are_fillable_only_where_asked(document: Document) -> None:
    assert not read(document).get_fields()
    fields = read(replace(document, form_fields=True)).get_fields()
    assert fields is not None
    assert {name: field["/FT"] for name, field in fields.items()} == {
        "step_1": "/Btn",
        "ohm": "/Tx",
    }
    assert fields["step_1"]["/TU"] == "Step 1 done"


def test_a_filled_field_keeps_its_value(document: Document) -> None:
    writer = pypdf.PdfWriter(clone_from=read(replace(document, form_fields=True)))
    writer.update_page_form_field_values(writer.pages[0], {"ohm": "14.2", "step_1": "/Yes"})
    file = BytesIO()
    writer.write(file)
    fields = pypdf.PdfReader(file).get_fields()
    assert fields is not None
    assert (fields["ohm"]["/V"], fields["step_1"]["/V"]) == ("14.2", "/Yes")


def test_fields_stand_where_they_are_printed(document: Document) -> None:
    with pymupdf.open("pdf", write_pdf(replace(document, form_fields=True))) as pdf:
        boxes = {
            widget.field_name: [edge * MM_PER_POINT for edge in widget.rect]
            for widget in pdf[0].widgets()
        }
    assert boxes["step_1"] == pytest.approx((20.0, 220.0, 27.0, 227.0), abs=0.05)
    assert boxes["ohm"] == pytest.approx((40.0, 220.0, 100.0, 229.0), abs=0.05)


def test_fields_of_one_name_do_not_share_a_value() -> None:
    twice = [Field((5.0, 10.0 * row), 5.0, 5.0, "tick", "done") for row in (1, 2, 3)]
    fields = read(one_page(*twice, form_fields=True)).get_fields()
    assert fields is not None
    assert set(fields) == {"done", "done#2", "done#3"}


def test_a_picture_stands_in_its_box_and_is_stored_once(document: Document) -> None:
    first = document.pages[0]
    logo = next(item for item in first.items if isinstance(item, Picture))
    again = replace(document.pages[1], items=(logo, *document.pages[1].items))
    data = write_pdf(replace(document, pages=(first, again)))
    with pymupdf.open("pdf", data) as pdf:
        (on_first,), (on_second,) = (page.get_images() for page in pdf)
        assert on_first[0] == on_second[0]
        (box,) = pdf[0].get_image_rects(on_first[0])
    assert [edge * MM_PER_POINT for edge in box] == pytest.approx(
        (160.0, 40.0, 180.0, 50.0), abs=0.05
    )


def test_a_missing_glyph_is_an_error_that_names_character_page_and_role() -> None:
    text = Text((5.0, 5.0), "Garden 漢", 9.0, role="title")
    with pytest.raises(MissingGlyph, match=r"page 1, title 'Garden 漢'.*U\+6F22"):
        write_pdf(one_page(text))


@pytest.mark.parametrize("wrong", [float("nan"), float("inf")])
def test_a_coordinate_that_is_no_number_is_refused(wrong: float) -> None:
    with pytest.raises(ValueError, match="not a number"):
        write_pdf(one_page(Line(((1.0, 1.0), (wrong, 2.0)), Pen(0.2))))


def test_streams_are_binary_and_the_library_is_left_as_it_was(
    document: Document, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(rl_config, "useA85", 1)
    assert b"ASCII85" not in write_pdf(document)
    assert rl_config.useA85 == 1
    with pytest.raises(MissingGlyph):
        write_pdf(one_page(Text((5.0, 5.0), "漢", 9.0)))
    assert rl_config.useA85 == 1


def test_only_the_glyphs_in_use_are_embedded() -> None:
    with pymupdf.open("pdf", write_pdf(one_page(Text((5.0, 5.0), "peg", 9.0)))) as pdf:
        (font,) = pdf.get_page_fonts(0)
        glyphs = TTFont(BytesIO(pdf.extract_font(font[0])[3]))["maxp"].numGlyphs
    assert glyphs <= 5  # three letters, the space and the empty box


def test_a_document_without_text_holds_no_font() -> None:
    with pymupdf.open("pdf", write_pdf(one_page(Line(((1, 1), (9, 9)), Pen(0.2))))) as pdf:
        assert pdf.get_page_fonts(0) == []


def test_no_path_of_this_machine_is_told(document: Document) -> None:
    from renderer.text import face_path

    assert str(face_path("regular").parent).encode() not in write_pdf(document)


@pytest.mark.parametrize(("unit", "told"), [("m", "m"), ("ft", "ft in")])
def test_a_viewer_measures_by_the_scale_of_the_drawing(unit: Any, told: str) -> None:
    """By the tables of ISO 32000-1, 12.9: a hundred points of the paper, times C, are the ground's.

    1 m is 39.3701 in and 3.28084 ft (exactly 1 / 0.0254 and 1 / 0.3048).
    """
    ruler = Ruler((10.0, 20.0), 60.0, 40.0, 200.0, unit)
    page = read(one_page(ruler, Text((20.0, 30.0), "Lawn", 9.0))).pages[0]
    (viewport,) = page["/VP"]
    box = [float(each) * MM_PER_POINT for each in viewport["/BBox"]]
    assert box == pytest.approx([10.0, 40.0, 70.0, 80.0], abs=1e-3)
    measure = viewport["/Measure"]
    assert (measure["/Subtype"], measure["/R"]) == ("/RL", "1:200")
    (across,) = measure["/X"]
    metres = 100.0 * float(across["/C"]) * {"m": 1.0, "ft": 0.3048}[unit]
    assert metres == pytest.approx(100.0 / 72.0 * 0.0254 * 200.0, rel=1e-6)
    assert across["/U"] == unit
    assert " ".join(each["/U"] for each in measure["/D"]) == told
    assert [float(each["/C"]) for each in measure["/D"]] == [1.0, 12.0][: len(told.split())]
    assert "/Y" not in measure, "then the same holds upwards"


def test_what_is_measured_prints_nothing() -> None:
    text = Text((20.0, 30.0), "Lawn", 9.0)
    bare, measured = (read(one_page(*items)) for items in ((text,), (text, RULER)))
    assert bare.pages[0].get_contents().get_data() == measured.pages[0].get_contents().get_data()
    assert "/VP" not in bare.pages[0]
