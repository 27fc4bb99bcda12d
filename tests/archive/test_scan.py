"""The plan from the paper of its map, scanned badly, by a reader that is not ours (zxing-cpp)."""

from __future__ import annotations

import sys
from dataclasses import replace
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from PIL import Image, ImageDraw, ImageFilter

import renderer
from renderer.archive import scan
from renderer.archive.carried import owners_file
from renderer.archive.extract import recover
from renderer.cli import main
from renderer.job import prepare
from renderer.output.pdf import write_pdf
from renderer.output.png import write_png
from renderer.plan import PlanError, digest, load, loads, short_code
from renderer.primitives import Area, Document, Link, Page
from renderer.sheets import load_layout
from renderer.sheets.blocks.map_codes import FIELD_MM
from tests.plans import ROOT, demo_plans, example_plans
from tests.shared import compose

zxingcpp = pytest.importorskip("zxingcpp", reason="needs zxing-cpp, the extra scan")

DPI = 150.0
DOTS = DPI / 25.4
NAMES = ("practice-lawn", "quarry-lane")


def plan_of(name: str) -> Any:
    paths = (*demo_plans(), *example_plans())
    return load(next(path for path in paths if path.name.startswith(name)))


@cache
def wiring_map(name: str, paper: str = "A4") -> Document:
    return compose([prepare(plan_of(name))], load_layout("wiring-map"), paper=paper)


def codes_on(document: Document) -> list[tuple[int, Area]]:
    """The squares with the page that each is on, counted from 0."""
    return [
        (number, item)
        for number, page in enumerate(document.pages)
        for item in page.items
        if isinstance(item, Area) and item.role == "plan-code"
    ]


@cache
def scanned(name: str, paper: str = "A4") -> Any:
    """The page with the squares at 150 dots an inch, in grey."""
    document = wiring_map(name, paper)
    (page,) = {number for number, _ in codes_on(document)}
    only = Document((document.pages[page],), "Scan")
    (picture,) = write_png(Document((_without_links(only.pages[0]),), "Scan"), DPI)
    return Image.open(BytesIO(picture)).convert("L")


def _without_links(page: Any) -> Any:
    return replace(page, items=tuple(i for i in page.items if not isinstance(i, Link)))


def badly(picture: Any, turn: float = 2.0, blur: float = 1.0) -> Any:
    """Turned, out of focus, and then photocopied: nothing but black and white is left."""
    turned = picture.rotate(turn, Image.Resampling.BICUBIC, expand=True, fillcolor=255)
    blurred = turned.filter(ImageFilter.GaussianBlur(blur))
    return blurred.point(lambda shade: 255 * (shade > 128))


def saved(picture: Any, path: Path) -> str:
    picture.save(path)
    return str(path)


@pytest.mark.parametrize("ending", ["png", "jpg", "pdf"])
@pytest.mark.parametrize("name", NAMES)
def test_a_bad_scan_gives_the_plan_with_its_code(name: str, ending: str, tmp_path: Path) -> None:
    path = saved(badly(scanned(name)), tmp_path / f"scan.{ending}")
    plan, recovered = plan_of(name), recover([path])
    (found,) = recovered.plans
    assert found.code == short_code(digest(plan))
    assert recovered.files == {found.name: owners_file(plan)[1].encode()}


@pytest.mark.parametrize("lost", [0, 1, 2])
def test_one_square_missing_is_told_by_its_number(lost: int, tmp_path: Path) -> None:
    squares = codes_on(wiring_map("quarry-lane"))
    assert len(squares) >= 3
    picture = scanned("quarry-lane").copy()
    corners = [corner for ring in squares[lost][1].rings for corner in ring]
    xs, ys = zip(*corners, strict=True)
    box = [edge * DOTS for edge in (min(xs) - 1, min(ys) - 1, max(xs) + 1, max(ys) + 1)]
    ImageDraw.Draw(picture).rectangle(box, fill=255)
    path = saved(badly(picture), tmp_path / "scan.png")
    with pytest.raises(PlanError, match=f"square {lost + 1} of {len(squares)} is missing"):
        recover([path])


def test_two_pictures_make_up_for_each_other(tmp_path: Path) -> None:
    whole = scanned("quarry-lane")
    half = whole.width // 2
    left, right = whole.crop((0, 0, half, whole.height)), whole.crop((half // 2, 0, *whole.size))
    paths = [saved(each, tmp_path / f"{n}.png") for n, each in enumerate((left, right))]
    for path in paths:
        with pytest.raises(PlanError, match="missing"):
            recover([path])
    (found,) = recover(paths).plans
    assert found.number == "FH-101"


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", NAMES)
def test_the_squares_are_large_enough_and_stand_free(name: str, paper: str) -> None:
    """Fields of 0.5 mm or more, level M, four fields of light all round (ISO/IEC 18004, 6.3.8)."""
    document = wiring_map(name, paper)
    squares = codes_on(document)
    assert FIELD_MM >= 0.5
    (number,) = {page for page, _ in squares}
    page = document.pages[number]
    boxes = [
        (min(xs), min(ys), max(xs), max(ys))
        for _, area in squares
        for xs, ys in [tuple(zip(*(c for ring in area.rings for c in ring), strict=True))]
    ]
    quiet = 4 * FIELD_MM - 1e-6
    for n, (x0, y0, x1, y1) in enumerate(boxes):
        assert min(x0, page.width_mm - x1, y0, page.height_mm - y1) >= quiet
        for x2, y2, x3, y3 in boxes[n + 1 :]:
            assert max(x2 - x1, x0 - x3, y2 - y1, y0 - y3) >= quiet
    seen = zxingcpp.read_barcodes(scanned(name, paper), formats=zxingcpp.BarcodeFormat.QRCode)
    ours = [code for code in seen if code.text.startswith("PEGLINE:")]
    assert len(ours) == len(squares)
    assert {code.ec_level for code in ours} == {"M"}


def test_a_copy_without_the_address_does_not_hold_it_in_its_squares(tmp_path: Path) -> None:
    layout = (ROOT / "layouts/wiring-map.yaml").read_text("utf-8")
    own = tmp_path / "gardener.yaml"
    own.write_text(layout.replace("site: yes", "site: no"), "utf-8")
    document = renderer.compose_sheets([plan_of("practice-lawn")], layout=str(own))
    assert codes_on(document)
    path = saved(Image.open(BytesIO(write_png(document, DPI)[-1])), tmp_path / "scan.png")
    (held,) = recover([path]).files.values()
    plan = loads(held.decode())
    assert not plan.job.site
    assert not plan.job.access
    assert digest(plan) == digest(plan_of("practice-lawn"))


def test_without_the_block_there_are_no_squares(tmp_path: Path) -> None:
    lines = (ROOT / "layouts/wiring-map.yaml").read_text("utf-8").splitlines(keepends=True)
    own = tmp_path / "own.yaml"
    own.write_text("".join(line for line in lines if "map-codes" not in line), "utf-8")
    document = renderer.compose_sheets([plan_of("practice-lawn")], layout=str(own))
    assert codes_on(document) == []


def test_the_command_reads_a_photograph(
    tmp_path: Path, capsysbinary: pytest.CaptureFixture[bytes]
) -> None:
    path = saved(badly(scanned("practice-lawn"), 4.0), tmp_path / "photo.jpg")
    assert main(["extract", path, "-o", str(tmp_path)]) == 0
    told = capsysbinary.readouterr().out.decode()
    code = short_code(digest(plan_of("practice-lawn")))
    assert told == f"{tmp_path / 'FH-100.plan.yaml'}: FH-100 A {code}\n"


def test_what_is_no_picture_of_a_map_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    blank = saved(Image.new("L", (400, 300), 255), tmp_path / "blank.png")
    text = tmp_path / "text.png"
    text.write_text("no picture")
    bare = tmp_path / "bare.pdf"
    bare.write_bytes(write_pdf(Document((Page(100.0, 100.0, ()),), "Bare")))
    for path, said in (
        (blank, "no square with one is seen"),
        (str(text), "neither a PDF nor a sound"),
        (str(bare), "no square with one is seen"),
    ):
        with pytest.raises(PlanError, match=said):
            recover([path])
    monkeypatch.setattr(scan, "PIXELS_MOST", 100_000)
    with pytest.raises(PlanError, match="save it smaller"):
        recover([blank])


def test_without_the_reader_the_cure_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = saved(Image.new("L", (40, 30), 255), tmp_path / "blank.png")
    monkeypatch.setitem(sys.modules, "zxingcpp", None)
    with pytest.raises(PlanError, match=r"pip install 'pegline\[scan\]'"):
        recover([path])
