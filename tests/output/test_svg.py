"""The SVG, read back as XML."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

from renderer.output.svg import page_svg, write_svg
from renderer.primitives import Circle, Document, Drawing, Line, Pen, Text
from renderer.text import MissingGlyph

NS = "{http://www.w3.org/2000/svg}"


def root_of(drawing: Drawing) -> ET.Element:
    return ET.fromstring(write_svg(drawing))


def by_id(root: ET.Element, name: str) -> ET.Element:
    (found,) = [element for element in root.iter() if element.get("id") == name]
    return found


def test_it_opens_at_true_millimetres(drawing: Drawing) -> None:
    root = root_of(drawing)
    assert (root.get("width"), root.get("height")) == ("210mm", "250mm")
    assert root.get("viewBox") == "0 0 210 250"
    assert root.get("data-scale") == "100"


def test_a_figure_not_to_scale_names_none(drawing: Drawing) -> None:
    assert root_of(replace(drawing, scale=None)).get("data-scale") is None


def test_title_and_description_are_for_screen_readers(drawing: Drawing) -> None:
    root = root_of(drawing)
    assert root.findtext(f"{NS}title") == "Rear <lawn>"
    assert root.findtext(f"{NS}desc") == "One lawn & one bed"
    assert root.get("role") == "img"
    assert by_id(root, "lawn-rear").findtext(f"{NS}title") == "Lawn Rear"


def test_outline_and_wire_carry_their_ids_and_millimetres(drawing: Drawing) -> None:
    root = root_of(drawing)
    outline, wire = by_id(root, "lawn-rear"), by_id(root, "wire-main")
    assert outline.tag == f"{NS}polygon"
    assert outline.get("points") == "20,30 120,30 120,90.123 64.5,70 20,90"
    assert wire.tag == f"{NS}polyline"
    assert wire.get("points") == "25,35 80,52.5 115,36.75"
    assert by_id(root, "peg-2").get("cx") == "80"
    parents = [element for element in root.iter() if element.get("transform")]
    assert {element.tag for element in parents} == {f"{NS}text"}


def test_an_area_has_holes_by_the_even_odd_rule(drawing: Drawing) -> None:
    area = by_id(root_of(drawing), "bed")
    assert area.get("fill-rule") == "evenodd"
    path = area.get("d")
    assert path is not None
    assert path.count("M") == path.count("Z") == 2


def test_text_is_text(drawing: Drawing) -> None:
    texts = {element.text: element for element in root_of(drawing).iter(f"{NS}text")}
    assert "Rear lawn — Größe 12.5 m²" in texts
    greek = texts["Κήπος Сад"]
    assert (greek.get("text-anchor"), greek.get("font-weight")) == ("middle", "bold")
    assert float(greek.get("font-size", "0")) == pytest.approx(12.0 * 25.4 / 72.0, abs=5e-4)
    assert texts["along the wall"].get("transform") == "rotate(-35 150 200)"


def test_pens_are_written_out(drawing: Drawing) -> None:
    root = root_of(drawing)
    wire = by_id(root, "wire-main")
    assert wire.get("stroke") == "#a00000"
    assert (wire.get("stroke-width"), wire.get("stroke-dasharray")) == ("0.35", "3 1.5")
    assert wire.get("stroke-linejoin") == "miter"
    assert root.get("stroke-linejoin") == "round"
    assert by_id(root, "lawn-rear").get("stroke-linecap") == "round"


def test_no_number_is_longer_than_a_thousandth() -> None:
    points = tuple((i / 7.0, i / 3.0) for i in range(30))
    drawing = Drawing(
        50.0, 50.0, (Line(points, Pen(0.1 + 0.2)), Circle((1 / 3, 2 / 3), 1 / 7, None))
    )
    assert not re.search(rb"\d\.\d{4}", write_svg(drawing))


def test_an_id_used_twice_is_numbered() -> None:
    circles = [Circle((x, 5.0), 1.0, Pen(0.2), id="peg-1") for x in (5.0, 10.0)]
    root = root_of(Drawing(50.0, 50.0, tuple(circles)))
    assert by_id(root, "peg-1").get("cx") == "5"
    assert by_id(root, "peg-1-2").get("cx") == "10"


def test_the_same_drawing_gives_the_same_bytes(drawing: Drawing) -> None:
    assert write_svg(drawing) == write_svg(drawing)


def test_a_page_shows_fields_and_leaves_links_out(document: Document) -> None:
    root = ET.fromstring(page_svg(document.pages[0], "Sheet"))
    assert root.findtext(f"{NS}title") == "Sheet"
    boxes = [element.get("points") for element in root.iter(f"{NS}polygon")]
    assert "20,220 27,220 27,227 20,227" in boxes
    assert not list(root.iter(f"{NS}a"))


def test_a_missing_glyph_is_an_error() -> None:
    with pytest.raises(MissingGlyph, match=r"label 'ش'.*U\+0634"):
        write_svg(Drawing(50.0, 50.0, (Text((5.0, 5.0), "ش", 9.0, role="label"),)))


def test_a_coordinate_that_is_no_number_is_refused() -> None:
    with pytest.raises(ValueError, match="not a number"):
        write_svg(Drawing(50.0, 50.0, (Circle((float("nan"), 5.0), 1.0, Pen(0.2)),)))


def test_titles_lose_what_xml_cannot_hold() -> None:
    drawing = Drawing(50.0, 50.0, (), title="a\x00b\x1bc")
    assert root_of(drawing).findtext(f"{NS}title") == "abc"
