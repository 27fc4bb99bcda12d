"""What a finished page is made of: a flat list of primitives in millimetres.

The page's origin is its top left corner, x to the right, y down. Drawing and sheets make these
values, the backends in ``output`` consume them, and neither needs to know about the other.
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Sequence
from dataclasses import field, replace
from typing import TYPE_CHECKING, Literal, overload

from renderer.frozen import dataclass
from renderer.geometry.point import Point as Point

if TYPE_CHECKING:
    from collections.abc import Iterable

FaceName = Literal["regular", "bold", "italic", "condensed", "condensed_bold"]
Anchor = Literal["start", "middle", "end"]
# What a line or a solid mark stands for, where a print in colour shows it: see ``inks.py``.
InkName = Literal["", "wire", "services", "water"]

BLACK = "#000000"


@dataclass(frozen=True, slots=True)
class Pen:
    """A stroke: width in mm, dash lengths in mm (empty is solid), colour ``#rrggbb``.

    Its ``ink`` makes no difference to what is equal: in grey, pens of all inks are the same.
    """

    width_mm: float
    dash_mm: tuple[float, ...] = ()
    colour: str = BLACK
    cap: Literal["butt", "round"] = "butt"
    join: Literal["miter", "round"] = "round"
    ink: InkName = field(default="", compare=False)


@dataclass(frozen=True, slots=True)
class Line:
    """An open or closed chain of points; filled when it has a fill, whose ink is ``ink``."""

    points: tuple[Point, ...]
    pen: Pen | None
    closed: bool = False
    fill: str | None = None
    id: str | None = None
    title: str | None = None
    role: str = ""
    ink: InkName = field(default="", compare=False)


@dataclass(frozen=True, slots=True)
class Area:
    """Several rings filled together; by the even-odd ``rule`` a ring inside another is a hole."""

    rings: tuple[tuple[Point, ...], ...]
    pen: Pen | None
    fill: str | None
    id: str | None = None
    title: str | None = None
    role: str = ""
    rule: Literal["evenodd", "nonzero"] = "evenodd"


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle by centre and radius in mm; ``ink`` is that of its fill."""

    at: Point
    radius_mm: float
    pen: Pen | None
    fill: str | None = None
    id: str | None = None
    title: str | None = None
    role: str = ""
    ink: InkName = field(default="", compare=False)


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text; ``at`` is on the baseline, ``angle_deg`` turns it anticlockwise as read."""

    at: Point
    text: str
    size_pt: float
    face: FaceName = "regular"
    anchor: Anchor = "start"
    angle_deg: float = 0.0
    colour: str = BLACK
    id: str | None = None
    role: str = ""


@dataclass(frozen=True, slots=True)
class Picture:
    """A raster picture (PNG bytes) in a box whose top left corner is ``at``."""

    at: Point
    width_mm: float
    height_mm: float
    png: bytes
    title: str = ""
    role: str = ""


@dataclass(frozen=True, slots=True)
class Field:
    """A box to tick or a line to write in; drawn always, fillable where the backend can."""

    at: Point
    width_mm: float
    height_mm: float
    kind: Literal["tick", "text"]
    name: str
    tooltip: str = ""
    role: str = ""


@dataclass(frozen=True, slots=True)
class Link:
    """A box that leads to an anchor of the document."""

    at: Point
    width_mm: float
    height_mm: float
    target: str


@dataclass(frozen=True, slots=True)
class Ruler:
    """A box in which a viewer measures on the ground; it prints nothing.

    ``scale`` is the N of 1:N, ``unit`` what lengths are shown in there, m or ft.
    """

    at: Point
    width_mm: float
    height_mm: float
    scale: float
    unit: Literal["m", "ft"]
    role: str = ""


Primitive = Line | Area | Circle | Text | Picture | Field | Link | Ruler


@dataclass(frozen=True, slots=True)
class Mark:
    """An anchor on a page; with a title it is also a bookmark at the given level."""

    name: str
    y_mm: float
    title: str | None = None
    level: int = 0


@dataclass(frozen=True, slots=True)
class Page:
    """One finished page."""

    width_mm: float
    height_mm: float
    items: tuple[Primitive, ...]
    marks: tuple[Mark, ...] = ()


@dataclass(frozen=True, slots=True)
class Drawing:
    """A scaled plan: primitives in a box of its own, origin at the top left.

    ``scale`` is the N of 1:N, or ``None`` for a figure that is not to scale.
    """

    width_mm: float
    height_mm: float
    items: Sequence[Primitive]
    scale: float | None = None
    title: str = ""
    description: str = ""


@dataclass(frozen=True, slots=True)
class Attachment:
    """A file that goes along in a document: its bare name, what it holds, its media type."""

    name: str
    data: bytes
    media_type: str


class LatePages(Sequence[Page]):
    """Pages that are finished each time they are asked for, so that memory holds one at a time.

    A kind of them says how many there are, and gives one by its index from 0.
    """

    @abstractmethod
    def page_at(self, index: int) -> Page:
        """The page; ``index`` is in range and not negative."""

    @overload
    def __getitem__(self, index: int) -> Page: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[Page]: ...
    def __getitem__(self, index: int | slice) -> Page | Sequence[Page]:
        places = range(len(self))[index]
        if isinstance(places, range):
            return [self.page_at(place) for place in places]
        return self.page_at(places)


@dataclass(frozen=True, slots=True)
class Document:
    """Finished pages and what a viewer shows of them, and the files that go along.

    Files may be made as they are asked for, more than once.
    """

    pages: Sequence[Page]
    title: str
    author: str = ""
    subject: str = ""
    language: str = "en"
    form_fields: bool = False
    keywords: tuple[str, ...] = field(default=())
    attachments: Iterable[Attachment] = field(default=())


def shifted(item: Primitive, dx: float, dy: float) -> Primitive:
    """The same primitive moved by (dx, dy) mm.

    Lines and texts, which are nearly all there is on a page, are made anew: ``replace`` is slower.
    """
    if isinstance(item, Line):
        points = tuple([(x + dx, y + dy) for x, y in item.points])
        return Line(
            points, item.pen, item.closed, item.fill, item.id, item.title, item.role, item.ink
        )
    if isinstance(item, Area):
        rings = tuple([tuple([(x + dx, y + dy) for x, y in ring]) for ring in item.rings])
        return replace(item, rings=rings)
    at = item.at[0] + dx, item.at[1] + dy
    if isinstance(item, Text):
        return Text(
            at,
            item.text,
            item.size_pt,
            item.face,
            item.anchor,
            item.angle_deg,
            item.colour,
            item.id,
            item.role,
        )
    return replace(item, at=at)
