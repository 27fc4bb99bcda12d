"""The firm's logo in the head of a page: a picture of pixels, or a drawing of lines and areas."""

from __future__ import annotations

import struct
import zlib
from dataclasses import replace
from functools import lru_cache
from io import BytesIO
from pathlib import Path
from typing import Protocol

from renderer.frozen import dataclass
from renderer.inputs import note
from renderer.primitives import Area, Line, Pen, Picture, Point, Primitive
from renderer.sheets.errors import SheetError

WHAT = "logo"
PNG_START = b"\x89PNG\r\n\x1a\n"
BYTES_MOST = 1_000_000  # a logo, not a poster
PIXELS_MOST = 16_000_000
SMALLER = "give a smaller picture, or a simpler drawing"
CURE = "give a PNG or SVG file beside the layout, or leave the logo out"


class Logo(Protocol):
    """A logo with its own proportions: its width over its height, and how it fills a box."""

    @property
    def ratio(self) -> float: ...

    def items(
        self, at: Point, width_mm: float, height_mm: float, title: str
    ) -> tuple[Primitive, ...]: ...


@dataclass(frozen=True, slots=True)
class PictureLogo:
    """A logo of pixels."""

    png: bytes
    ratio: float

    def items(
        self, at: Point, width_mm: float, height_mm: float, title: str
    ) -> tuple[Primitive, ...]:
        return (Picture(at, width_mm, height_mm, self.png, title),)


@dataclass(frozen=True, slots=True)
class DrawnLogo:
    """A logo of lines and areas, and the box of their ink: left, top, right and low."""

    shapes: tuple[Line | Area, ...]
    ink: tuple[float, float, float, float]

    @property
    def ratio(self) -> float:
        left, top, right, low = self.ink
        return (right - left) / (low - top)

    def items(
        self, at: Point, width_mm: float, height_mm: float, title: str
    ) -> tuple[Primitive, ...]:
        left, top, _, low = self.ink
        scale = height_mm / (low - top)
        origin = at[0] - left * scale, at[1] - top * scale
        return tuple(_placed(shape, origin, scale) for shape in self.shapes)


def read_logo(path: str) -> Logo:
    """The logo of a file; raises OSError, or SheetError where it is none that can be drawn."""
    file = Path(path)
    if file.exists() and not file.is_file():
        raise SheetError(WHAT, "is not a file", CURE)
    with file.open("rb") as stream:
        data = stream.read(BYTES_MOST + 1)
    if len(data) > BYTES_MOST:
        raise SheetError(WHAT, f"is larger than {BYTES_MOST // 1_000_000} MB", SMALLER)
    note(path, data)
    return _logo(data)


@lru_cache(maxsize=4)
def _logo(data: bytes) -> Logo:
    if data.startswith(PNG_START):
        width, height = _png_size(data)
        _require_sound(data, width, height)
        return PictureLogo(data, width / height)
    if b"<svg" not in data:
        raise SheetError(WHAT, "is neither a PNG file nor an SVG file", CURE)
    from renderer.sheets.logo_svg import drawn

    return DrawnLogo(*drawn(data))


def _png_size(data: bytes) -> tuple[int, int]:
    """Width and height in pixels of a PNG file that is whole."""
    at, size = len(PNG_START), (0, 0)
    while at + 12 <= len(data):
        length, kind = struct.unpack_from(">I4s", data, at)
        part = data[at + 4 : at + 8 + length]
        end = data[at + 8 + length : at + 12 + length]
        if end != struct.pack(">I", zlib.crc32(part)):
            break
        if kind == b"IHDR" and length >= 8:
            size = struct.unpack_from(">II", part, 4)
        if kind == b"IEND" and all(size):
            return size
        at += 12 + length
    raise SheetError(WHAT, "is a PNG file that is cut short or damaged", CURE)


def _require_sound(data: bytes, width: int, height: int) -> None:
    """Refuses a PNG that is too large to be printed or whose pixels cannot be read."""
    if width * height > PIXELS_MOST:
        problem = f"has more than {PIXELS_MOST // 1_000_000} million pixels"
        raise SheetError(WHAT, problem, SMALLER)
    from PIL import Image

    try:
        with Image.open(BytesIO(data)) as picture:
            picture.load()
    except (OSError, SyntaxError, ValueError, ArithmeticError, Image.DecompressionBombError):
        raise SheetError(WHAT, "is a PNG file that is cut short or damaged", CURE) from None


def _placed(shape: Line | Area, at: Point, scale: float) -> Primitive:
    """A shape at its size on the page, the origin of its own units at ``at``."""
    pen = _scaled(shape.pen, scale)
    if isinstance(shape, Line):
        return replace(shape, points=_moved(shape.points, at, scale), pen=pen)
    return replace(shape, rings=tuple(_moved(ring, at, scale) for ring in shape.rings), pen=pen)


def _moved(points: tuple[Point, ...], at: Point, scale: float) -> tuple[Point, ...]:
    return tuple((at[0] + x * scale, at[1] + y * scale) for x, y in points)


def _scaled(pen: Pen | None, scale: float) -> Pen | None:
    if pen is None:
        return None
    dashes = tuple(dash * scale for dash in pen.dash_mm)
    return replace(pen, width_mm=pen.width_mm * scale, dash_mm=dashes)
