"""The same picture whoever shows it: PDFium, MuPDF and Poppler on PDF, resvg and Chromium on SVG.

Viewers smooth edges and widen thin lines each in its way, so pixels are not compared one by one:
where one viewer is plainly dark, the others have ink within two pixels (0.4 mm).
"""

from __future__ import annotations

import io
import math
import os
import re
import shutil
import subprocess
from itertools import combinations
from pathlib import Path
from typing import Any

import numpy as np
import pikepdf
import pymupdf
import pypdfium2
import pytest
import resvg_py
from PIL import Image
from scipy.ndimage import minimum_filter

from renderer.plan import load
from tests.shared import draw, print_sheets

TOP = Path(__file__).parents[2]
DEMO, FONTS = TOP / "demo", TOP / "fonts"
PLANS = ("practice-lawn.plan.yaml", "quarry-lane.plan.yaml")
DPI = 127  # five pixels a millimetre
DARK, PALE = 60, 200  # of 255
FEW = 2  # pixels of a page: where a hairline ends
FRAME_PX = 200  # of a window's height, which its page does not get
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")

Picture = np.ndarray[Any, np.dtype[np.uint8]]


def by_pdfium(pdf: bytes) -> list[Picture]:
    with pypdfium2.PdfDocument(pdf) as file:
        return [np.asarray(page.render(scale=DPI / 72).to_pil().convert("L")) for page in file]


def by_mupdf(pdf: bytes) -> list[Picture]:
    with pymupdf.open("pdf", pdf) as file:
        shown = [page.get_pixmap(dpi=DPI, colorspace=pymupdf.csGRAY) for page in file]
    return [
        np.frombuffer(p.samples, np.uint8).reshape(p.height, p.stride)[:, : p.width] for p in shown
    ]


def by_poppler(pdf: bytes) -> list[Picture]:
    if shutil.which("pdftoppm") is None:
        return []
    command = ["pdftoppm", "-r", str(DPI), "-gray", "-"]
    ran = subprocess.run(command, input=pdf, capture_output=True, check=True)
    assert not ran.stderr, ran.stderr
    read, found = io.BytesIO(ran.stdout), []
    while read.readline() == b"P5\n":
        width, height = map(int, read.readline().split())
        read.readline()
        found.append(np.frombuffer(read.read(width * height), np.uint8).reshape(height, width))
    return found


def astray(one: Picture, other: Picture) -> int:
    """Pixels plainly dark in one picture with no trace of ink within 0.4 mm in the other."""
    assert all(abs(a - b) <= 2 for a, b in zip(one.shape, other.shape, strict=True))
    rows, columns = (min(sides) for sides in zip(one.shape, other.shape, strict=True))
    cut, near = one[:rows, :columns], minimum_filter(other[:rows, :columns], 5)
    return int(((cut < DARK) & (near > PALE)).sum())


def apart(one: Picture, other: Picture) -> int:
    """Pixels that either picture has alone."""
    return astray(one, other) + astray(other, one)


@pytest.fixture(scope="module")
def documents() -> dict[str, bytes]:
    plan = load(DEMO / "practice-lawn.plan.yaml")
    return {name: print_sheets((plan,), layout=name) for name in ("crew-work-order", "wiring-map")}


def test_qpdf_finds_nothing_wrong(documents: dict[str, bytes]) -> None:
    for name, pdf in documents.items():
        with pikepdf.open(io.BytesIO(pdf)) as file:
            assert file.check_pdf_syntax() == [], name


def test_pdf_viewers_show_the_same_pages(documents: dict[str, bytes]) -> None:
    for name, pdf in documents.items():
        shown = [pages for pages in (by_pdfium(pdf), by_mupdf(pdf), by_poppler(pdf)) if pages]
        assert len(shown) >= 2
        assert len({len(pages) for pages in shown}) == 1
        for number, pages in enumerate(zip(*shown, strict=True), 1):
            for one, other in combinations(pages, 2):
                assert apart(one, other) <= FEW, (name, number, apart(one, other))


def test_a_word_left_out_would_be_seen(documents: dict[str, bytes]) -> None:
    pdf = documents["crew-work-order"]
    (picture, *_), (other, *_) = by_pdfium(pdf), by_mupdf(pdf)
    with pymupdf.open("pdf", pdf) as file:
        words = [word for word in file[0].get_text("words") if len(word[4]) >= 3]
    assert len(words) > 100
    for x0, y0, x1, y1, *_ in words[::10]:
        left, top, right, bottom = (round(edge * DPI / 72) for edge in (x0, y0, x1, y1))
        without = picture.copy()
        without[top:bottom, left:right] = 255
        assert apart(without, other) > FEW


@pytest.fixture(scope="module", params=PLANS)
def drawn(request: pytest.FixtureRequest) -> tuple[bytes, Picture]:
    """The drawing of a plan as SVG, and as PDFium shows it as PDF."""
    plan = load(DEMO / request.param)
    return draw(plan, "svg"), by_pdfium(draw(plan, "pdf"))[0]


def by_resvg(svg: bytes) -> Picture:
    png = resvg_py.svg_to_bytes(
        svg_string=svg.decode(),
        dpi=DPI,
        background="white",
        font_dirs=[str(FONTS)],
        skip_system_fonts=True,
    )
    return read_png(bytes(png))


def by_chromium(svg: bytes, folder: Path) -> Picture:
    """The file in a window of its own size; it finds our faces as those of the system."""
    (folder / "fonts.conf").write_text(f"<fontconfig><dir>{FONTS}</dir></fontconfig>", "utf-8")
    (folder / "drawing.svg").write_bytes(svg)
    sides = dict(re.findall(r'(width|height)="([0-9.]+)mm"', svg.decode()))
    width, height = (math.ceil(float(sides[side]) / 25.4 * 96) for side in ("width", "height"))
    command = [
        str(CHROMIUM),
        *("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"),
        *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
        "--disable-dev-shm-usage",  # in a container that is small
        f"--user-data-dir={folder / 'profile'}",
        f"--force-device-scale-factor={DPI / 96}",
        f"--window-size={width},{height + FRAME_PX}",
        f"--screenshot={folder / 'shown.png'}",
        (folder / "drawing.svg").as_uri(),
    ]
    settings = os.environ | {"FONTCONFIG_FILE": str(folder / "fonts.conf")}
    subprocess.run(command, env=settings, capture_output=True, check=True, timeout=120)
    return read_png((folder / "shown.png").read_bytes())


def read_png(data: bytes) -> Picture:
    return np.asarray(Image.open(io.BytesIO(data)).convert("L"))


def test_resvg_shows_the_svg_as_pdfium_the_pdf(drawn: tuple[bytes, Picture]) -> None:
    svg, picture = drawn
    assert apart(by_resvg(svg), picture) <= FEW


@pytest.mark.skipif(CHROMIUM is None, reason="no Chromium on this machine")
def test_chromium_shows_the_svg_as_pdfium_the_pdf(
    drawn: tuple[bytes, Picture], tmp_path: Path
) -> None:
    svg, picture = drawn
    shown = by_chromium(svg, tmp_path)
    assert apart(shown[: picture.shape[0], : picture.shape[1]], picture) <= FEW
