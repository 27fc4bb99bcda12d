"""Printed files as archives: judged by PDFBox, qpdf, pypdf and a colour engine, none of them ours.

PDFBox preflight (Debian's libpdfbox2-java) judges part 1 of ISO 19005 alone. What part 3 adds is a
newer version of PDF and files that go along, so the same pages are written here as part 1; what
goes along is looked at in tests/archive.
"""

from __future__ import annotations

import math
import subprocess
from io import BytesIO
from pathlib import Path
from shutil import which

import numpy as np
import pypdf
import pytest
from PIL import Image, ImageCms
from pypdf.xmp import XmpInformation

import renderer
from renderer.fault import Asked
from renderer.job import prepare
from renderer.output import archive, pdf
from renderer.plan import load
from renderer.primitives import Circle, Document
from renderer.sheets import load_layout
from tests.plans import ROOT, demo_plans
from tests.shared import compose

MM_PER_POINT = 25.4 / 72.0
JARS = Path("/usr/share/java")
NEEDED = (
    *("preflight", "pdfbox2", "fontbox2", "xmpbox", "commons-logging", "commons-io"),
    *("javax.activation", "jaxb-api"),
)
PREFLIGHT = "org.apache.pdfbox.preflight.Validator_A1b"


def document(name: str, layout: str) -> Document:
    plan = next(load(path) for path in demo_plans() if path.name.startswith(name))
    return compose([prepare(plan)], load_layout(layout))


@pytest.fixture(scope="module")
def wiring_map() -> Document:
    return document("practice-lawn", "wiring-map")


def preflight(folder: Path) -> dict[str, str]:
    """What PDFBox says of each file in a folder, as XML."""
    jars = [JARS / f"{name}.jar" for name in NEEDED]
    if which("java") is None or not all(jar.is_file() for jar in jars):
        pytest.skip("needs java and Debian's libpdfbox2-java with the packages that it names")
    path = ":".join(map(str, jars))
    command = ["java", "-cp", path, PREFLIGHT, "xml", "batch", str(folder)]
    subprocess.run(command, capture_output=True, check=False)
    return {path.name.partition(".")[0]: path.read_text() for path in folder.glob("*.xml")}


def later_sheets() -> dict[str, Document]:
    """What is printed of a garden that was laid: the order for a change, the leaf for a fault."""
    job = prepare(load(ROOT / "demo/life/sorrel-bank.plan.yaml"))
    leaf = renderer.fault_sheets(job, Asked(job.lay.loops[0].name, None))
    return {"change": renderer.compose_sheets([job], layout="change-order"), "leaf": leaf}


def test_what_is_printed_of_a_garden_is_an_archive_to_pdfbox(
    wiring_map: Document, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pdf, "PDF_VERSION", (1, 4))
    monkeypatch.setattr(archive, "PART", 1)
    printed = pdf.write_pdf(wiring_map)
    (tmp_path / "map.pdf").write_bytes(printed)
    order = document("quarry-lane", "crew-work-order")
    (tmp_path / "order.pdf").write_bytes(pdf.write_pdf(order))
    for name, sheets in later_sheets().items():
        (tmp_path / f"{name}.pdf").write_bytes(pdf.write_pdf(sheets))
    # and a control, in which the colours of the pages are not defined
    (tmp_path / "spoilt.pdf").write_bytes(printed.replace(b"/OutputIntents", b"/OutputIndents"))
    said = preflight(tmp_path)
    valid = {name: '<isValid type="PDF/A1-b">true' in each for name, each in said.items()}
    sound = dict.fromkeys(("map", "order", "change", "leaf"), True)
    assert valid == {**sound, "spoilt": False}, said


def test_qpdf_finds_nothing_to_complain_of(wiring_map: Document) -> None:
    pikepdf = pytest.importorskip("pikepdf", reason="needs pikepdf, which brings qpdf")
    with pikepdf.open(BytesIO(pdf.write_pdf(wiring_map))) as found:
        assert found.check_pdf_syntax() == []


def test_metadata_say_the_same_as_the_information(wiring_map: Document) -> None:
    reader = pypdf.PdfReader(BytesIO(pdf.write_pdf(wiring_map)))
    told, xmp = reader.metadata, reader.xmp_metadata
    assert told is not None
    assert isinstance(xmp, XmpInformation)
    assert (xmp.pdfaid_part, xmp.pdfaid_conformance) == ("3", "B")
    assert xmp.dc_title == {"x-default": told.title} == {"x-default": wiring_map.title}
    assert xmp.dc_description == {"x-default": told.subject}
    assert (xmp.pdf_producer, xmp.xmp_creator_tool) == (told.producer, told.creator)
    assert xmp.dc_language == [reader.root_object["/Lang"]] == [wiring_map.language]
    assert told.creation_date is not None
    assert told.creation_date.replace(tzinfo=None) == xmp.xmp_create_date


@pytest.mark.parametrize(
    ("name", "layout"), [("practice-lawn", "crew-work-order"), ("quarry-lane", "crew-work-order")]
)
def test_a_viewer_measures_what_lies_between_two_pegs(name: str, layout: str) -> None:
    """By ISO 32000-1, 12.9: a distance on the page, times C, is the one on the ground."""
    order = document(name, layout)
    plan = next(load(path) for path in demo_plans() if path.name.startswith(name))
    pegs = {f"peg-{peg.id}": (peg.x, peg.y) for peg in prepare(plan).pegs}
    read = pypdf.PdfReader(BytesIO(pdf.write_pdf(order))).pages
    seen = 0
    for page, found in zip(order.pages, read, strict=True):
        high = page.height_mm / MM_PER_POINT
        drawn = [i for i in page.items if isinstance(i, Circle) and i.id in pegs]
        for viewport in found.get("/VP", ()):
            left, low, right, top = map(float, viewport["/BBox"])
            spots = {
                circle.id: (x, y)
                for circle in drawn
                for x, y in [(circle.at[0] / MM_PER_POINT, high - circle.at[1] / MM_PER_POINT)]
                if left <= x <= right and low <= y <= top
            }
            if len(spots) < 2:
                continue
            (one, first), *_, (other, last) = spots.items()
            (across,) = viewport["/Measure"]["/X"]
            unit = {"m": 1.0, "ft": 0.3048}[across["/U"]]
            told = math.dist(first, last) * float(across["/C"]) * unit
            assert told == pytest.approx(math.dist(pegs[str(one)], pegs[str(other)]), abs=0.002)
            seen += 1
    assert seen, "some page of the work order shows pegs to scale"


def test_the_name_of_a_file_goes_by_what_is_in_it(wiring_map: Document) -> None:
    def name(of: Document) -> object:
        return pypdf.PdfReader(BytesIO(pdf.write_pdf(of))).trailer["/ID"][0]

    other = document("mill-cottage", "wiring-map")
    same = Document(other.pages, wiring_map.title, wiring_map.author, wiring_map.subject)
    assert name(wiring_map) == name(wiring_map) != name(same)


def test_a_form_to_fill_in_claims_nothing() -> None:
    form = Document((), "Form", form_fields=True)
    root = pypdf.PdfReader(BytesIO(pdf.write_pdf(form))).root_object
    assert {"/Metadata", "/OutputIntents"}.isdisjoint(root)


def test_the_profile_is_srgb_to_a_colour_engine() -> None:
    """Little CMS, as Pillow brings it, turns our colours into those of its own sRGB."""
    ours = ImageCms.getOpenProfile(BytesIO(archive.profile()))
    assert ImageCms.getProfileDescription(ours).strip() == "sRGB"
    steps = (0, 3, 10, 51, 128, 200, 255)
    colours = [(r, g, b) for r in steps for g in steps for b in steps]
    picture = Image.new("RGB", (len(colours), 1))
    picture.putdata(colours)
    turned = ImageCms.profileToProfile(picture, ours, ImageCms.createProfile("sRGB"))
    assert turned is not None
    apart = np.asarray(turned).astype(int)[0] - colours
    assert np.abs(apart).max() <= 2
