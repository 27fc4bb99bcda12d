"""Reads the tables of the embedded TrueType faces that measuring text needs.

Table layouts are those of the OpenType specification, version 1.9 (ISO/IEC 14496-22).
"""

from __future__ import annotations

import struct
import sys
from array import array
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Literal

from renderer import resources
from renderer.frozen import dataclass

FaceName = Literal["regular", "bold", "italic", "condensed", "condensed_bold"]

FACE_FILES: Mapping[FaceName, str] = {
    "regular": "PeglineSans-Regular.ttf",
    "bold": "PeglineSans-Bold.ttf",
    "italic": "PeglineSans-Italic.ttf",
    "condensed": "PeglineSans-Condensed.ttf",
    "condensed_bold": "PeglineSans-CondensedBold.ttf",
}

GlyphBox = tuple[int, int, int, int]


@dataclass(frozen=True, slots=True, eq=False)
class Face:
    """The figures of one face, in font units, y upwards from the baseline.

    ``ascent`` and ``cap_height`` are above the baseline, ``descent`` is the depth
    below it, all positive. ``notdef`` is the width of a character the face lacks.
    """

    units_per_em: int
    ascent: int
    descent: int
    cap_height: int
    notdef: int
    advances: Mapping[str, int]
    glyphs: Mapping[str, int]
    outlines: bytes
    offsets: array[int]

    def box(self, character: str) -> GlyphBox | None:
        """Bounds (x0, y0, x1, y1) of the ink of one character, or None where it has no ink."""
        glyph = self.glyphs.get(character, 0)
        start = self.offsets[glyph]
        if start == self.offsets[glyph + 1]:
            return None
        x0, y0, x1, y1 = struct.unpack_from(">4h", self.outlines, start + 2)
        return x0, y0, x1, y1


def face_path(name: FaceName) -> Path:
    """The file of an embedded face."""
    return resources.fonts() / FACE_FILES[name]


@lru_cache(maxsize=len(FACE_FILES))
def face(name: FaceName) -> Face:
    """An embedded face, read when it is first asked for."""
    return read_face(face_path(name).read_bytes())


def read_face(data: bytes) -> Face:
    """A face from the bytes of a TrueType file.

    Raises ValueError when the file is not TrueType outlines or has no Unicode character map.
    """
    tables = _tables(data)
    units_per_em, long_offsets = _head(tables["head"])
    ascent, descent, metric_count = struct.unpack_from(">4xhh26xH", tables["hhea"])
    widths = _big_endian("H", tables["hmtx"][: 4 * metric_count])[::2]
    glyphs = _character_map(tables["cmap"])
    last = metric_count - 1
    return Face(
        units_per_em=units_per_em,
        ascent=ascent,
        descent=-descent,
        cap_height=struct.unpack_from(">h", tables["OS/2"], 88)[0],
        notdef=widths[0],
        advances={sign: widths[min(glyph, last)] for sign, glyph in glyphs.items()},
        glyphs=glyphs,
        outlines=tables["glyf"],
        offsets=_offsets(tables["loca"], long_offsets),
    )


def _tables(data: bytes) -> dict[str, bytes]:
    if data[:4] not in (b"\x00\x01\x00\x00", b"true"):
        raise ValueError("not a TrueType font file")
    count = struct.unpack_from(">H", data, 4)[0]
    found = {}
    for index in range(count):
        tag, _, offset, length = struct.unpack_from(">4sIII", data, 12 + 16 * index)
        found[tag.decode("latin-1")] = data[offset : offset + length]
    return found


def _head(table: bytes) -> tuple[int, bool]:
    units_per_em = struct.unpack_from(">H", table, 18)[0]
    return units_per_em, struct.unpack_from(">h", table, 50)[0] == 1


def _big_endian(code: str, data: bytes) -> array[int]:
    values: array[int] = array(code, data)
    if sys.byteorder == "little":
        values.byteswap()
    return values


def _offsets(table: bytes, long_offsets: bool) -> array[int]:
    if long_offsets:
        return _big_endian("I", table)
    return array("I", [2 * half for half in _big_endian("H", table)])


def _character_map(table: bytes) -> dict[str, int]:
    """Character to glyph number, from the widest Unicode subtable (format 12, then 4)."""
    count = struct.unpack_from(">H", table, 2)[0]
    by_format: dict[int, int] = {}
    for index in range(count):
        platform, encoding, offset = struct.unpack_from(">HHI", table, 4 + 8 * index)
        if platform == 0 or (platform == 3 and encoding in (1, 10)):
            by_format[struct.unpack_from(">H", table, offset)[0]] = offset
    if 12 in by_format:
        return _format_12(table[by_format[12] :])
    if 4 in by_format:
        return _format_4(table[by_format[4] :])
    raise ValueError("the font has no Unicode character map")


def _format_12(table: bytes) -> dict[str, int]:
    glyphs: dict[str, int] = {}
    groups = struct.unpack_from(">I", table, 12)[0]
    for index in range(groups):
        first, last, glyph = struct.unpack_from(">III", table, 16 + 12 * index)
        codes = range(first, last + 1)
        glyphs.update(zip(map(chr, codes), range(glyph, glyph + len(codes)), strict=True))
    return glyphs


def _format_4(table: bytes) -> dict[str, int]:
    length, segments = struct.unpack_from(">2xH2xH", table)
    words = _big_endian("H", table[: length - length % 2])
    count = segments // 2
    ends, starts, deltas, ranges = 7, 8 + count, 8 + 2 * count, 8 + 3 * count
    glyphs: dict[str, int] = {}
    for segment in range(count):
        first, last = words[starts + segment], min(words[ends + segment], 0xFFFE)
        delta, place = words[deltas + segment], ranges + segment
        for code in range(first, last + 1):
            glyph = code
            if words[place]:
                glyph = words[place + words[place] // 2 + code - first]
                if glyph == 0:
                    continue
            glyphs[chr(code)] = (glyph + delta) & 0xFFFF
    return glyphs
