"""Cuts the embedded faces from the static Noto Sans files; see README.md beside this script.

Usage: ``python fonts/make_fonts.py [FOLDER_WITH_NOTO_TTF]``
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.pens.transformPen import TransformPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont

SOURCE = Path("/usr/share/fonts/truetype/noto")
TARGET = Path(__file__).resolve().parent
FAMILY = "Pegline Sans"
COPYRIGHT = "Copyright 2015, 2016, 2017, 2018 Google LLC. All Rights Reserved."

FACES = {
    "Regular": "NotoSans-Regular",
    "Bold": "NotoSans-Bold",
    "Italic": "NotoSans-Italic",
    "Condensed": "NotoSans-Condensed",
    "CondensedBold": "NotoSans-CondensedBold",
}

RANGES = (
    (0x0020, 0x007E),  # Basic Latin
    (0x00A0, 0x017F),  # Latin-1 Supplement, Latin Extended-A
    (0x0192, 0x0192),  # florin
    (0x01A0, 0x01A1),  # horned o, Vietnamese
    (0x01AF, 0x01B0),  # horned u, Vietnamese
    (0x01CD, 0x01D4),  # carons
    (0x01E4, 0x01ED),  # Sami
    (0x01FA, 0x01FF),  # Danish
    (0x0218, 0x021B),  # Romanian
    (0x0237, 0x0237),  # dotless j
    (0x02BB, 0x02BC),  # letter apostrophes
    (0x02C6, 0x02C7),  # spacing accents
    (0x02D8, 0x02DD),
    (0x0370, 0x0377),  # Greek, monotonic
    (0x037A, 0x03CE),
    (0x0400, 0x045F),  # Cyrillic of the Slavic languages
    (0x0490, 0x0493),  # Ukrainian and Kazakh ghe
    (0x049A, 0x049B),
    (0x04A2, 0x04A3),
    (0x04AE, 0x04B3),
    (0x04BA, 0x04BB),
    (0x04D8, 0x04D9),
    (0x04E8, 0x04E9),
    (0x1E02, 0x1E03),  # Irish and Welsh dotted and accented letters
    (0x1E0A, 0x1E0B),
    (0x1E1E, 0x1E1F),
    (0x1E40, 0x1E41),
    (0x1E56, 0x1E57),
    (0x1E60, 0x1E61),
    (0x1E6A, 0x1E6B),
    (0x1E80, 0x1E85),
    (0x1E9E, 0x1E9E),  # capital sharp s
    (0x1EA0, 0x1EF9),  # Vietnamese
    (0x2010, 0x2015),  # dashes
    (0x2018, 0x201E),  # quotation marks
    (0x2020, 0x2022),  # daggers, bullet
    (0x2026, 0x2026),  # ellipsis
    (0x202F, 0x202F),  # narrow no-break space
    (0x2030, 0x2030),  # per mille
    (0x2032, 0x2033),  # prime, double prime: feet and inches, angles
    (0x2039, 0x203A),
    (0x2044, 0x2044),  # fraction slash
    (0x2070, 0x2070),  # superscripts and subscripts
    (0x2074, 0x208E),
    (0x20AC, 0x20AC),  # euro
    (0x2116, 0x2116),  # numero
    (0x2122, 0x2122),
    (0x2126, 0x2126),  # ohm
    (0x2153, 0x2154),  # fractions of an inch and a foot
    (0x215B, 0x215E),
)
MATH_SIGNS = "√→←↑↓↔↕↗↖↘↙∅∠⊥∞≠∥"
BOX_SIGNS = "☐☑☒✓✗⚠△▲▼○●□■◇◆▶◀★"
ROUND_SIGNS = "⌀"
TABULAR = "0123456789"

Draw = Callable[[TTGlyphPen], None]


def make_face(style: str, source: Path) -> TTFont:
    """One embedded face: the text cut of Noto Sans with the signs that it lacks added."""
    font = TTFont(source / f"{FACES[style]}.ttf", recalcTimestamp=False)
    regular = TTFont(source / "NotoSans-Regular.ttf")
    squeeze = _advance(font, "0") / _advance(regular, "0")
    added = _own_signs(font)
    for name, signs, scale in (
        ("NotoSansMath-Regular", MATH_SIGNS, squeeze),
        ("NotoSansSymbols-Regular", ROUND_SIGNS, 1.0),
        ("NotoSansSymbols2-Regular", BOX_SIGNS, 1.0),
    ):
        donor = TTFont(source / f"{name}.ttf")
        for sign in signs:
            _borrow(font, donor, sign, scale)
            added.append(sign)
    _cut(font, {ord(sign) for sign in added})
    _rename(font, style)
    widths = {_advance(font, digit) for digit in TABULAR}
    if len(widths) != 1:
        raise SystemExit(f"{style}: digits have the widths {sorted(widths)}, wanted one width")
    return font


def _advance(font: TTFont, sign: str) -> int:
    return int(font["hmtx"][font.getBestCmap()[ord(sign)]][0])


def _outline(font: TTFont, sign: str) -> DecomposingRecordingPen:
    glyphs = font.getGlyphSet()
    pen = DecomposingRecordingPen(glyphs)
    glyphs[font.getBestCmap()[ord(sign)]].draw(pen)
    return pen


def _add(font: TTFont, sign: str, advance: int, draw: Draw) -> None:
    """Adds or replaces one glyph; the outline is drawn by ``draw``."""
    name = f"uni{ord(sign):04X}"
    pen = TTGlyphPen(None)
    draw(pen)
    glyph = pen.glyph()
    font["glyf"][name] = glyph
    glyph.recalcBounds(font["glyf"])
    font["hmtx"][name] = (advance, getattr(glyph, "xMin", 0))
    for table in font["cmap"].tables:
        if table.isUnicode():
            table.cmap[ord(sign)] = name


def _borrow(font: TTFont, donor: TTFont, sign: str, scale: float) -> None:
    recording = _outline(donor, sign)
    factor = scale * font["head"].unitsPerEm / donor["head"].unitsPerEm
    height = font["head"].unitsPerEm / donor["head"].unitsPerEm
    advance = round(_advance(donor, sign) * factor)
    _add(
        font,
        sign,
        advance,
        lambda pen: recording.replay(TransformPen(pen, (factor, 0, 0, height, 0, 0))),
    )


def _own_signs(font: TTFont) -> list[str]:
    """Minus, comparison and about signs built from the face's own strokes, so the weight fits."""
    plus = font["glyf"][font.getBestCmap()[ord("+")]]
    left = [y for x, y in plus.coordinates if x == plus.xMin]
    bottom, top = min(left), max(left)
    weight = top - bottom

    def bar(pen: TTGlyphPen, low: int) -> None:
        corners = [
            (plus.xMin, low),
            (plus.xMin, low + weight),
            (plus.xMax, low + weight),
            (plus.xMax, low),
        ]
        pen.moveTo(corners[0])
        for corner in corners[1:]:
            pen.lineTo(corner)
        pen.closePath()

    _add(font, "−", _advance(font, "+"), lambda pen: bar(pen, bottom))
    for sign, base in (("≤", "<"), ("≥", ">")):
        _add(font, sign, _advance(font, base), _over_bar(font, base, bar, weight))
    _add(font, "≈", _advance(font, "~"), _doubled(font, "~"))
    return ["−", "≤", "≥", "≈"]


def _over_bar(font: TTFont, base: str, bar: Callable[[TTGlyphPen, int], None], weight: int) -> Draw:
    recording = _outline(font, base)
    low = 40
    lift = low + 2 * weight - font["glyf"][font.getBestCmap()[ord(base)]].yMin

    def draw(pen: TTGlyphPen) -> None:
        recording.replay(TransformPen(pen, (1, 0, 0, 1, 0, lift)))
        bar(pen, low)

    return draw


def _doubled(font: TTFont, base: str) -> Draw:
    recording = _outline(font, base)
    glyph = font["glyf"][font.getBestCmap()[ord(base)]]
    step = round(0.7 * (glyph.yMax - glyph.yMin))

    def draw(pen: TTGlyphPen) -> None:
        for lift in (step, -step):
            recording.replay(TransformPen(pen, (1, 0, 0, 1, 0, lift)))

    return draw


def _cut(font: TTFont, added: set[int]) -> None:
    options = Options()
    options.hinting = False
    options.layout_features = []
    options.glyph_names = False
    options.notdef_outline = True
    options.name_IDs = [0, 1, 2, 3, 4, 5, 6, 7, 13, 14]
    options.drop_tables += ["GDEF", "GPOS", "GSUB", "STAT", "meta", "MVAR"]
    wanted = {code for low, high in RANGES for code in range(low, high + 1)} | added
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=wanted)
    subsetter.subset(font)


def _rename(font: TTFont, style: str) -> None:
    """Gives the modified face a name of its own: it is not the upstream font any more."""
    family = FAMILY if "Condensed" not in style else f"{FAMILY} Condensed"
    plain = style.replace("Condensed", "") or "Regular"
    version = font["name"].getDebugName(5).split(";")[0]
    names = {
        0: COPYRIGHT,
        1: family,
        2: plain,
        3: f"{FAMILY.replace(' ', '')}-{style};{version}",
        4: f"{family} {plain}",
        5: f"{version}; cut from {FACES[style]}",
        6: f"{FAMILY.replace(' ', '')}-{style}",
    }
    for number, value in names.items():
        font["name"].setName(value, number, 3, 1, 0x409)


def main() -> None:
    source = Path(sys.argv[1]) if len(sys.argv) > 1 else SOURCE
    for style in FACES:
        path = TARGET / f"{FAMILY.replace(' ', '')}-{style}.ttf"
        font = make_face(style, source)
        font.save(path, reorderTables=True)
        print(f"{path.name}: {font['maxp'].numGlyphs} glyphs, {path.stat().st_size} bytes")


if __name__ == "__main__":
    main()
