"""Widths and heights of text in the embedded faces.

The faces carry no kerning, so the width of a text is the sum of its characters.
"""

from __future__ import annotations

from functools import lru_cache

from renderer.text.faces import FaceName, face
from renderer.units import POINTS_PER_MM

MmBox = tuple[float, float, float, float]


@lru_cache(maxsize=8192)
def width_mm(text: str, face_name: FaceName, size_pt: float) -> float:
    """Advance width of one line of text, in mm.

    A character that the face lacks counts as wide as the face's empty box; see ``require``.
    """
    return units_wide(text, face_name) * mm_per_unit(face_name, size_pt)


def units_wide(text: str, face_name: FaceName) -> int:
    """The same in units of the face, which add up: a text is as wide as its parts together."""
    own = face(face_name)
    advances = own.advances
    try:
        return sum([advances[character] for character in text])
    except KeyError:
        return sum(advances.get(character, own.notdef) for character in text)


def ascent_mm(face_name: FaceName, size_pt: float) -> float:
    """Height of the face above the baseline, accents included, in mm."""
    return face(face_name).ascent * mm_per_unit(face_name, size_pt)


def descent_mm(face_name: FaceName, size_pt: float) -> float:
    """Depth of the face below the baseline, in mm, positive."""
    return face(face_name).descent * mm_per_unit(face_name, size_pt)


def line_height_mm(face_name: FaceName, size_pt: float) -> float:
    """Least distance between two baselines at which no two lines can touch, in mm."""
    return ascent_mm(face_name, size_pt) + descent_mm(face_name, size_pt)


def cap_height_mm(face_name: FaceName, size_pt: float) -> float:
    """Height of a capital letter, in mm; the nominal size of lettering in ISO 3098."""
    return face(face_name).cap_height * mm_per_unit(face_name, size_pt)


def size_for_cap_height(face_name: FaceName, cap_mm: float) -> float:
    """Type size in points whose capitals are ``cap_mm`` high."""
    return cap_mm / cap_height_mm(face_name, 1.0)


def ink_box(text: str, face_name: FaceName, size_pt: float) -> MmBox:
    """Bounds (x0, y0, x1, y1) in mm of the ink of one unturned line of text.

    The origin is the start of the baseline, x to the right and y down as on a page, so
    ``y0`` is negative for what stands above the baseline. Text without ink, such as
    spaces, gives a box without area: (0, 0, 0, 0).
    """
    own = face(face_name)
    pen = 0
    boxes = []
    for character in text:
        box = own.box(character)
        if box is not None:
            boxes.append((pen + box[0], -box[3], pen + box[2], -box[1]))
        pen += own.advances.get(character, own.notdef)
    if not boxes:
        return 0.0, 0.0, 0.0, 0.0
    scale = mm_per_unit(face_name, size_pt)
    lefts, tops, rights, bottoms = zip(*boxes, strict=True)
    return min(lefts) * scale, min(tops) * scale, max(rights) * scale, max(bottoms) * scale


@lru_cache(maxsize=256)
def mm_per_unit(face_name: FaceName, size_pt: float) -> float:
    """How many mm one unit of a face is at a size in points."""
    return size_pt / POINTS_PER_MM / face(face_name).units_per_em
