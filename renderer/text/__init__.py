"""Text: the embedded faces, widths, line breaking, and whether a face has every character."""

from renderer.text.breaking import words_of, wrap
from renderer.text.coverage import MissingGlyph, missing, require, require_all
from renderer.text.faces import FACE_FILES, Face, FaceName, face, face_path
from renderer.text.measure import (
    ascent_mm,
    cap_height_mm,
    descent_mm,
    ink_box,
    line_height_mm,
    size_for_cap_height,
    width_mm,
)
from renderer.text.turned import baseline_start, ink_corners

__all__ = [
    "FACE_FILES",
    "Face",
    "FaceName",
    "MissingGlyph",
    "ascent_mm",
    "baseline_start",
    "cap_height_mm",
    "descent_mm",
    "face",
    "face_path",
    "ink_box",
    "ink_corners",
    "line_height_mm",
    "missing",
    "require",
    "require_all",
    "size_for_cap_height",
    "width_mm",
    "words_of",
    "wrap",
]
