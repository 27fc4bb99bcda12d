"""The embedded faces, read by our own reader and by fontTools."""

from __future__ import annotations

from pathlib import Path
from typing import Any, get_args

import pytest
from fontTools.ttLib import TTFont
from fontTools.ttLib.tables._c_m_a_p import cmap_format_12

from renderer import primitives
from renderer.text import FACE_FILES, FaceName, face, face_path
from renderer.text.faces import read_face

FACES = tuple(FACE_FILES)


@pytest.fixture(scope="module", params=FACES)
def pair(request: pytest.FixtureRequest) -> tuple[Any, TTFont]:
    return face(request.param), TTFont(face_path(request.param))


def test_primitives_name_the_same_faces() -> None:
    assert get_args(primitives.FaceName) == get_args(FaceName) == FACES


def test_characters_and_widths_agree_with_fonttools(pair: tuple[Any, TTFont]) -> None:
    ours, theirs = pair
    widths = {chr(code): theirs["hmtx"][name][0] for code, name in theirs.getBestCmap().items()}
    assert dict(ours.advances) == widths


def test_bounds_agree_with_fonttools(pair: tuple[Any, TTFont]) -> None:
    ours, theirs = pair
    outlines = theirs["glyf"]
    for code, name in theirs.getBestCmap().items():
        glyph = outlines[name]
        bounds = (
            (glyph.xMin, glyph.yMin, glyph.xMax, glyph.yMax) if glyph.numberOfContours else None
        )
        assert ours.box(chr(code)) == bounds, chr(code)


def test_vertical_figures_agree_with_fonttools(pair: tuple[Any, TTFont]) -> None:
    ours, theirs = pair
    assert ours.units_per_em == theirs["head"].unitsPerEm
    assert (ours.ascent, ours.descent) == (theirs["hhea"].ascent, -theirs["hhea"].descent)
    assert ours.cap_height == theirs["OS/2"].sCapHeight


def test_capital_height_is_that_of_a_flat_capital(pair: tuple[Any, TTFont]) -> None:
    ours, _ = pair
    box = ours.box("H")
    assert box is not None
    assert (box[1], box[3]) == (0, ours.cap_height)


def test_wide_character_map_reads_the_same(tmp_path: Path) -> None:
    font = TTFont(face_path("regular"))
    wide = cmap_format_12(12)
    wide.platformID, wide.platEncID, wide.language = 3, 10, 0
    wide.cmap = {**font.getBestCmap(), 0x1F4CF: font.getGlyphOrder()[1]}
    font["cmap"].tables = [wide]
    font.save(tmp_path / "wide.ttf")
    read = read_face((tmp_path / "wide.ttf").read_bytes())
    assert dict(read.glyphs) == {**face("regular").glyphs, "\U0001f4cf": 1}


@pytest.mark.parametrize("name", FACES)
def test_digits_have_one_width(name: FaceName) -> None:
    assert len({face(name).advances[digit] for digit in "0123456789"}) == 1


@pytest.mark.parametrize("name", FACES)
def test_minus_stands_in_the_column_of_plus(name: FaceName) -> None:
    assert face(name).advances["−"] == face(name).advances["+"]


@pytest.mark.parametrize("name", FACES)
@pytest.mark.parametrize(
    "text",
    [
        "ABCDEFGHIJKLMNOPQRSTUVWXYZ abcdefghijklmnopqrstuvwxyz 0123456789",
        "!\"#$%&'()*+,-./:;<=>?@[\\]^_`{|}~",
        "ÀÁÂÃÄÅÆÇÈÉÊËÌÍÎÏÐÑÒÓÔÕÖØÙÚÛÜÝÞßàáâãäåæçèéêëìíîïðñòóôõöøùúûüýþÿ",
        "ĀăĄćĈĊčĎđĒĔĖęĚĝĞĠģĤħĨĪĬĮİıĲĴķĸĹĻĽĿŁńŅŇŊŌŎŐœŔŖŘśŜŞŠţŤŦŨŪŬŮŰŲŴŶŸźŻŽſȘșȚț",
        "ẠảẤầẨẫẬắẰẲẵẶẸẻẼếỀểỄệỈịỌỏỐồỔỗỘớỜởỠợỤủỨừỬữỰỲỵỶỹƠơƯưẞ",
        "ΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΤΥΦΧΨΩαβγδεζηθικλμνξοπρσςτυφχψωΆΈΉΊΌΎΏάέήίόύώϊϋΐΰ",
        "АБВГДЕЖЗИЙКЛМНОПРСТУФХЦЧШЩЪЫЬЭЮЯабвгдежзийклмнопрстуфхцчшщъыьэюяЁёЂђЃѓЄєІіЇїЈјЉљЊњЋћЌќЎўЏџҐґ",
        "°²³×÷±−–—•…≤≥≈≠√πΩΩµμ∞∅⌀∠⊥∥′″½¼¾⅓⅔⅛⅜⅝⅞⁄¹⁴₀₁₂",
        "→←↑↓↔↕↗↖↘↙☐☑☒✓✗⚠△▲▼○●□■◇◆▶◀★",
        "«»‹›‘’‚“”„§¶†‡©®™№€£¥¢¿¡ªº\u00a0\u202f",
    ],
)
def test_the_letters_and_signs_of_a_sheet_are_there(name: FaceName, text: str) -> None:
    assert [sign for sign in text if sign not in face(name).advances] == []


@pytest.mark.parametrize("name", FACES)
def test_only_what_has_no_look_has_no_ink(name: FaceName) -> None:
    own = face(name)
    assert {sign for sign in own.glyphs if own.box(sign) is None} == {" ", "\u00a0", "\u202f"}


@pytest.mark.parametrize("name", FACES)
def test_face_is_small_and_free_of_hints_and_kerning(name: FaceName) -> None:
    path = face_path(name)
    assert path.stat().st_size < 64_000
    tables = set(TTFont(path).keys())
    assert not tables & {"fpgm", "prep", "cvt ", "kern", "GPOS", "GSUB"}


@pytest.mark.parametrize("name", FACES)
def test_face_carries_its_own_name_and_licence(name: FaceName) -> None:
    names = TTFont(face_path(name))["name"]
    primary = [names.getDebugName(number) for number in (1, 4, 6)]
    assert all("Noto" not in text for text in primary)
    assert "SIL Open Font License, Version 1.1" in names.getDebugName(13)
    assert TTFont(face_path(name))["OS/2"].fsType == 0


def test_what_is_no_truetype_file_is_refused() -> None:
    with pytest.raises(ValueError, match="not a TrueType"):
        read_face(b"OTTO" + bytes(60))
