"""Papers and what of them can be printed on."""

from __future__ import annotations

from typing import NamedTuple

from renderer.drawing.errors import DrawError
from renderer.geometry.rects import Rect

# ISO 216 for A4 and A3; Letter, Legal and Tabloid are 8.5 x 11, 8.5 x 14 and 11 x 17 inches.
SIZES_MM = {
    "A4": (210.0, 297.0),
    "A3": (297.0, 420.0),
    "Letter": (215.9, 279.4),
    "Legal": (215.9, 355.6),
    "Tabloid": (279.4, 431.8),
}
INCH_PAPERS = frozenset({"Letter", "Legal", "Tabloid"})

# ISO 5457 borders: 20 mm at the left for filing, 10 mm at the other edges.
FILING_MM = 20.0
BORDER_MM = 10.0


# The paper that is usual where plans are drawn in that unit.
USUAL = {"m": "A4", "ft": "Letter"}


class Paper(NamedTuple):
    """A sheet as it lies: name, size in mm and whether it is of the inch family."""

    name: str
    width_mm: float
    height_mm: float
    inch: bool

    @property
    def frame(self) -> Rect:
        """The drawing space inside the borders of ISO 5457."""
        return Rect(FILING_MM, BORDER_MM, self.width_mm - BORDER_MM, self.height_mm - BORDER_MM)

    @property
    def landscape(self) -> bool:
        return self.width_mm > self.height_mm


def papers(name: str) -> tuple[Paper, ...]:
    """The ways a named paper may lie: both, or the one that the name asks for.

    ``name`` is one of A4, A3, Letter, Legal, Tabloid in any case, with ``portrait`` or
    ``landscape`` behind it where the way matters. Raises ``DrawError`` for any other.
    """
    words = name.replace("-", " ").split()
    known = {key.lower(): key for key in SIZES_MM}
    ways = ("portrait", "landscape")
    if not 1 <= len(words) <= 2 or words[0].lower() not in known:
        raise DrawError(f"paper {name!r} is not known; known papers: {', '.join(SIZES_MM)}")
    if len(words) == 2 and words[1].lower() not in ways:
        raise DrawError(f"paper {name!r}: after the size write portrait or landscape")
    key = known[words[0].lower()]
    width, height = SIZES_MM[key]
    both = (
        Paper(key, width, height, key in INCH_PAPERS),
        Paper(key, height, width, key in INCH_PAPERS),
    )
    return both if len(words) == 1 else (both[ways.index(words[1].lower())],)
