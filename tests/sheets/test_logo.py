"""The firm's logo: it keeps its shape, stays in its box, and what cannot be drawn is told."""

from __future__ import annotations

import io
import os
import struct
import zlib
from dataclasses import replace
from pathlib import Path

import pymupdf
import pytest
from PIL import Image, ImageChops

from renderer.batch.compose_pack import compose_pack
from renderer.batch.pack import pack_of
from renderer.output.pdf import write_pdf
from renderer.output.recorder import record
from renderer.plan import PlanError
from renderer.primitives import Area, Document, Line, Page, Picture
from renderer.sheets import compose, load_layout
from renderer.sheets.frame import LOGO_MM, TOP_MARGIN_MM
from renderer.sheets.logo import Logo, read_logo
from tests.sheets.sample import job

BOX_SHARE = 1 / 3  # of the width of the content
HEAD = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:x="http://www.w3.org/1999/xlink"'
LEAF = """ viewBox="0 0 200 80" width="400" height="160">
<title>A leaf</title>
<defs><linearGradient id="never-used"/>
<path id="blade" d="M0 0 q 6 -14 0 -28 q -6 14 0 28z"/></defs>
<g transform="translate(10 10)">
  <circle cx="30" cy="30" r="28" fill="#2b7a2b"/>
  <path d="M10 30a20 20 0 1 1 40 0a20 20 0 1 1-40 0z M20 30a10 10 0 1 0 20 0a10 10 0 1 0-20 0z"
    fill="white"/>
  <path d="M5 50 C20 30, 40 70, 55 50 S80 30, 90 50" fill="none" stroke="#000" stroke-width="3"
    stroke-linecap="round"/>
</g>
<rect x="100" y="10" width="40" height="25" fill="rgb(40,60,200)" stroke="black" stroke-width="2"/>
<g transform="rotate(15 160 40) scale(1.2 1.2)" style="fill:#c33">
  <use x:href="#blade" x="125" y="40"/><use href="#blade" transform="translate(135 40)"/>
</g>
<polygon points="100,50 140,50 120,75" fill="none" stroke="#555" stroke-width="4"/>
<path d="M150 55h40v20h-40z M160 60h20v10h-20z" fill="#333"/>
<path d="M150 5h40v20h-40z M160 10h20v10h-20z" fill="#333" fill-rule="evenodd"/>
<polyline points="145,40 150,50 155,40" stroke="#000" stroke-linecap="square" fill="none"/>
<ellipse cx="120" cy="22" rx="8" ry="5" fill="yellow"/>
</svg>"""


def svg(folder: Path, body: str, name: str = "our.svg") -> Path:
    path = folder / name
    path.write_text(HEAD + body, encoding="utf-8")
    return path


def png(width: int, height: int) -> bytes:
    file = io.BytesIO()
    Image.new("L", (width, height), 90).save(file, "PNG")
    return file.getvalue()


def with_logo(folder: Path, logo: str, more: str = "") -> Path:
    path = folder / "own.yaml"
    path.write_text(
        f"layout: 1\ndocument: Ours\nheader: {{firm: Meadow Crew, logo: {logo}}}\n"
        f"blocks: [job]\n{more}"
    )
    return path


def raster(picture: Image.Image) -> Image.Image:
    """The picture's ink on white, cut to it, at one size."""
    grey = picture.convert("RGB")
    ink = ImageChops.invert(grey.convert("L")).point(lambda v: 255 * (v > 40)).getbbox()
    return grey.crop(ink).resize((1000, 400))


def mupdf(data: bytes, kind: str) -> Image.Image:
    pixmap = pymupdf.open(stream=data, filetype=kind)[0].get_pixmap(dpi=400)
    return Image.frombytes("RGB", (pixmap.width, pixmap.height), pixmap.samples)


def alone(logo: Logo) -> bytes:
    size = (40 * logo.ratio, 40.0)
    return write_pdf(Document((Page(*size, logo.items((0.0, 0.0), *size, "")),), "logo"))


def test_it_looks_as_another_program_draws_the_same_file(tmp_path: Path) -> None:
    path = svg(tmp_path, LEAF)
    ours = raster(mupdf(alone(read_logo(str(path))), "pdf"))
    theirs = raster(mupdf(path.read_bytes(), "svg"))
    off = ImageChops.difference(ours, theirs).convert("L").point(lambda v: 255 * (v > 60))
    assert off.histogram()[255] / (1000 * 400) < 0.012  # edges, a pixel wide


def test_a_hole_by_either_rule_and_a_ring_without_one(tmp_path: Path) -> None:
    logo = read_logo(str(svg(tmp_path, LEAF)))
    picture = raster(mupdf(alone(logo), "pdf")).convert("L")
    width, height = picture.size
    right = [(int(width * (170 - 12) / (190 - 12)), int(height * y)) for y in (0.155, 0.86)]
    assert picture.getpixel(right[0]) > 200  # even-odd: a hole
    assert picture.getpixel(right[1]) < 80  # nonzero, both rings one way: none


def test_styles_by_class_and_what_is_not_displayed(tmp_path: Path) -> None:
    body = (
        ' viewBox="0 0 20 10"><style>.b{fill:#123456}</style>'
        '<rect class="b" width="20" height="10"/><g display="none"><text>no</text></g>'
        '<rect width="9" height="9" visibility="hidden"/></svg>'
    ).replace("<text>no</text>", '<circle r="50"/>')
    (shape,) = read_logo(str(svg(tmp_path, body))).items((0.0, 0.0), 20.0, 10.0, "")
    assert isinstance(shape, Area)
    assert shape.fill == "#123456"


@pytest.mark.parametrize("paper", ["A4", "Letter", "A3"])
@pytest.mark.parametrize("ratio", [0.25, 1.0, 4.0, 40.0])
@pytest.mark.parametrize("kind", ["png", "svg"])
def test_it_keeps_its_shape_and_stays_in_its_box(
    tmp_path: Path, paper: str, ratio: float, kind: str
) -> None:
    name = f"our.{kind}"
    if kind == "png":
        (tmp_path / name).write_bytes(png(int(200 * ratio), 200))
    else:
        shape = (
            f' viewBox="0 0 {ratio + 2} 3"><polygon fill="none" stroke="red" stroke-width="0.02"'
            f' points="1.01,1.01 {ratio + 0.99},1.01 {ratio + 0.99},1.99 1.01,1.99"/></svg>'
        )
        svg(tmp_path, shape, name)
    document = compose([job()], load_layout(with_logo(tmp_path, name)), paper=paper)
    content = document.pages[0].width_mm - 20.0 if paper == "A3" else 190.0
    for number in range(1, len(document.pages) + 1):
        boxes = [
            each.box
            for each in record(document)
            if each.page == number
            and each.role == "header"
            and isinstance(each.item, Line | Area | Picture)
        ]
        if number > 1:
            assert boxes == []
            continue
        (box,) = boxes
        wide, high = box[2] - box[0], box[3] - box[1]
        assert wide / high == pytest.approx(ratio, rel=0.03)
        assert high <= LOGO_MM + 0.01
        assert wide <= content * BOX_SHARE + 0.01
        assert box[1] >= TOP_MARGIN_MM - 0.01
        assert max(high / LOGO_MM, wide / (content * BOX_SHARE)) == pytest.approx(1.0, abs=0.01)


@pytest.mark.parametrize(
    ("body", "told"),
    [
        ("><text>Meadow</text></svg>", "has <text>, which cannot be drawn"),
        (f"><{'x' * 999}/></svg>", f"has <{'x' * 60}…>"),
        ('><image href="a.png"/></svg>', "has <image>, which cannot be drawn"),
        (
            '><defs><linearGradient id="sky"/></defs><rect width="9" height="9"'
            ' fill="url(#sky)"/></svg>',
            r"has a gradient, pattern, mask, clip or filter \('sky'\)",
        ),
        ('><g style="filter:url(#blur)"><rect width="9" height="9"/></g></svg>', r"\('blur'\)"),
        ('><style>.a{fill:url(#x)}</style><rect width="9" height="9"/></svg>', r"\('x'\)"),
        ('><rect width="9" height="9" opacity="0.5"/></svg>', "translucent colour"),
        ('><rect width="9" height="9" fill="rgba(9,9,9,0.5)"/></svg>', "translucent colour"),
        (
            '><path d="M0 0h9" stroke="red" stroke-dasharray="1 2"/></svg>',
            "has a dashed line",
        ),
        ('><path d="M0 0h9v9" stroke="red" stroke-linejoin="bevel"/></svg>', "'bevel' corners"),
        ('><defs><text id="t"/></defs><use href="#t"/></svg>', "has <text>"),
        ('><use href="#gone"/></svg>', "uses '#gone', which is not in it"),
        ('><g id="a"><use href="#a"/></g></svg>', "cannot be drawn"),
        ("></svg>", "draws nothing"),
        ("><rect width=9></svg>", "is not a valid SVG file"),
        ('><path d="M 1 1 L x"/></svg>', "cannot be read"),
        ('><path d="M0 0 A 1e9 1e-9 0 1 1 5 5" stroke="red"/></svg>', "1e9 in 'd'"),
        (' viewBox="0 0 1e300 1e300"><rect width="5" height="5"/></svg>', "in 'viewBox'"),
        (f">{'<g>' * 900}<rect/>{'</g>' * 900}</svg>", "nested more than 50 deep"),
        ('><g transform="scale(0)"><rect width="5" height="5"/></g></svg>', "no width or no"),
        (f'><path d="M0 0 L{"1 2 " * 50_000}"/></svg>', "more than 12,000 elements"),
        (
            '><defs><path id="a0" d="M0 0h1v1z"/>'
            + "".join(
                f'<g id="a{i}">{f"""<use href="#a{i - 1}"/>""" * 10}</g>' for i in range(1, 9)
            )
            + '</defs><use href="#a8"/></svg>',
            "more than 12,000 elements",
        ),
        (' viewBox="0 0 9 9"><circle r="8"/></svg>', "draws beyond its own page; fit the page"),
    ],
)  # fmt: skip
def test_what_cannot_be_drawn_is_told_with_its_line(tmp_path: Path, body: str, told: str) -> None:
    svg(tmp_path, body)
    with pytest.raises(
        PlanError, match=rf"own\.yaml:3: header\.logo: the logo '.*our\.svg' .*{told}"
    ):
        load_layout(with_logo(tmp_path, "our.svg"))


def chunk(kind: bytes, data: bytes) -> bytes:
    """A chunk of a PNG file, as the PNG specification (ISO/IEC 15948) lays it out."""
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def of_chunks(*chunks: tuple[bytes, bytes]) -> bytes:
    return png(1, 1)[:8] + b"".join(chunk(*each) for each in (*chunks, (b"IEND", b"")))


IHDR = (b"IHDR", struct.pack(">IIBBBBB", 10, 10, 8, 0, 0, 0, 0))
ROWS = zlib.compress(bytes(110))


def damaged() -> list[bytes]:
    whole = png(20, 10)
    size = struct.pack(">II", 0, 0)
    none = whole[:16] + size + whole[24:29]
    none += struct.pack(">I", zlib.crc32(none[12:29])) + whole[33:]
    bomb = b"a\0\0" + zlib.compress(bytes(50_000_000), 9)
    return [
        whole[:40],
        whole[:-30] + b"\0" * 30,
        none,
        of_chunks((b"IHDR", b"\0\0\0\n")),
        of_chunks(IHDR, (b"IDAT", b"no pixels")),
        of_chunks(IHDR, (b"zTXt", bomb), (b"IDAT", ROWS)),
    ]


@pytest.mark.parametrize("data", damaged())
def test_a_png_that_is_not_whole_is_told(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "our.png").write_bytes(data)
    with pytest.raises(PlanError, match="is a PNG file that is cut short or damaged; give a PNG"):
        load_layout(with_logo(tmp_path, "our.png"))


def test_a_logo_is_a_file_of_bounded_size(tmp_path: Path) -> None:
    (tmp_path / "wide.png").write_bytes(png(5000, 5000))
    (tmp_path / "long.svg").write_bytes(b"<svg" + b" " * 1_000_001)
    os.mkfifo(tmp_path / "pipe.svg")
    for name, problem in {
        "wide.png": "has more than 16 million pixels; give a smaller picture",
        "long.svg": "is larger than 1 MB; give a smaller picture",
        "pipe.svg": "is not a file; give a PNG or SVG file",
    }.items():
        with pytest.raises(PlanError, match=problem):
            load_layout(with_logo(tmp_path, name))


def test_it_stands_on_a_packs_own_pages_too(tmp_path: Path) -> None:
    svg(tmp_path, LEAF)
    own = load_layout(with_logo(tmp_path, "our.svg"))
    pack = pack_of([job().plan, job().plan])
    plain = load_layout("day-pack").model_copy(update={"each": own, "two_sided": False})
    stated = plain.model_copy(update={"header": own.header, "each": load_layout("wiring-map")})
    for layout in (plain, stated):
        document = compose_pack(pack, layout)
        shown = [
            number
            for number, page in enumerate(document.pages)
            if any(isinstance(item, Area) and item.role == "header" for item in page.items)
        ]
        assert len(shown) == 3  # the pack's first page and that of each job
        assert shown[0] == 0
        assert document.author == "Meadow Crew"


def test_the_same_logo_twice_is_kept_once_in_the_file(tmp_path: Path) -> None:
    svg(tmp_path, LEAF)
    layout = load_layout(with_logo(tmp_path, "our.svg"))
    one = compose([job()], layout)
    page = one.pages[0]
    many = replace(one, pages=tuple(replace(page, marks=()) for _ in range(10)))
    assert len(write_pdf(many)) < 10 * len(write_pdf(one)) / 2
