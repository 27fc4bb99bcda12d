"""Writes a document as PDF, by reportlab's canvas.

The faces are embedded as far as they are used, the same document gives the same bytes,
and viewers are asked to print at true size. A document without fields to fill in is an archive by
ISO 19005-3 (PDF/A-3b); one with fields is not, since their looks are left to the viewer. Nothing
here claims PDF/UA.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from io import BytesIO
from itertools import groupby
from operator import itemgetter
from threading import Lock
from typing import Any, BinaryIO, assert_never

from reportlab.lib.utils import ImageReader
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from renderer.output.content import Content
from renderer.output.forms import Look, bounds, frequent_circles, large_areas, look
from renderer.output.pdf_file import PdfFile
from renderer.output.pdf_parts import (
    NO_DATE,
    PRINTED,
    Attached,
    Box,
    Info,
    claim_archive,
    measured_by,
)
from renderer.output.shapes import check_glyphs, drawing_page, field_lines
from renderer.primitives import (
    Area,
    Circle,
    Document,
    Drawing,
    FaceName,
    Field,
    Line,
    Link,
    Mark,
    Page,
    Picture,
    Ruler,
    Text,
)
from renderer.progress import doing
from renderer.text import FACE_FILES, face_path
from renderer.units import POINTS_PER_MM

CREATOR = "pegline"
PDF_VERSION = (1, 7)
NO_DATE_XMP = "2000-01-01T00:00:00+00:00"
_FIRST_FACE: FaceName = "regular"
_NO_TOUCH = {"borderWidth": 0, "borderColor": None, "fillColor": None}


def write_drawing(drawing: Drawing, language: str = "en") -> bytes:
    """The backend for ``.pdf``: one page as large as the drawing. Raises as ``write_pdf`` does."""
    return write_pdf(drawing_page(drawing, language))


def write_pdf(document: Document) -> bytes:
    """The document as the bytes of a PDF 1.7 file.

    Raises ``renderer.text.MissingGlyph`` where a face lacks a character, and ValueError
    where a link leads nowhere, two marks have one name or a coordinate is not a number.
    """
    file = BytesIO()
    write_pdf_to(file, document)
    return file.getvalue()


def write_pdf_to(file: BinaryIO, document: Document) -> None:
    """The same, written to a file page by page, so that memory holds one page at a time.

    After an error the file holds a fragment that is not a PDF.
    """
    with _FACES:
        _Writer(document, file).write()


# Faces are read once for all documents, and the library moves about in them while it cuts subsets.
_FACES = Lock()


@lru_cache(maxsize=len(FACE_FILES))
def _font(face: FaceName) -> TTFont:
    """A face as reportlab knows it, read once; what a document uses of it is kept by document."""
    path = face_path(face)
    font = TTFont(path.stem, str(path), asciiReadable=False)
    pdfmetrics.registerFont(font)
    return font


class _Faces:
    """Encodes text for the faces of one document, and so decides which glyphs are embedded."""

    def __init__(self, canvas: Canvas) -> None:
        # The canvas offers no public way to its document, which names the subsets of faces.
        self._document = canvas._doc
        self._codes: dict[FaceName, _Codes] = {}

    def encode(self, face: FaceName, text: str) -> Sequence[tuple[str, str]]:
        codes = self._codes.get(face)
        if codes is None:
            codes = self._codes[face] = _Codes(_font(face), self._document)
        if codes.fonts:
            # nearly every text lies in the face's first subset
            try:
                return ((codes.fonts[0], "".join([codes.first[sign] for sign in text])),)
            except KeyError:
                pass
        return [
            (codes.fonts[subset], "".join(code for _, code in run))
            for subset, run in groupby(map(codes.of, text), key=itemgetter(0))
        ]


class _Codes:
    """The codes of one face in one document: reportlab cuts a face to subsets of 256 codes."""

    def __init__(self, font: TTFont, document: Any) -> None:
        self._font = font
        self._document = document
        self._known: dict[str, tuple[int, str]] = {}
        self.first: dict[str, str] = {}
        self.fonts: list[str] = []

    def of(self, character: str) -> tuple[int, str]:
        """Subset and escaped code of a character, which is embedded from now on."""
        known = self._known.get(character)
        if known is None:
            ((subset, code),) = self._font.splitString(character, self._document)
            known = self._known[character] = (subset, _escaped(code[0]))
            if subset == 0:
                self.first[character] = known[1]
            if subset == len(self.fonts):
                self.fonts.append(self._font.getSubsetInternalName(subset, self._document))
        return known


def _escaped(code: int) -> str:
    sign = chr(code)
    if sign in "()\\":
        return "\\" + sign
    return sign if 32 <= code < 127 else f"\\{code:03o}"


class _Writer:
    def __init__(self, document: Document, file: BinaryIO) -> None:
        self._document = document
        self._canvas = _canvas(document)
        self._file = PdfFile(self._canvas, file, PDF_VERSION)
        self._faces = _Faces(self._canvas)
        self._pictures: dict[bytes, ImageReader] = {}
        self._field_names: dict[str, int] = {}
        self._destinations: dict[str, Any] = {}
        self._targets: dict[str, int] = {}
        self._forms: dict[Area | Look, str] = {}
        self._form_count = 0
        self._level = -1

    def write(self) -> None:
        """Each page is asked for once and let go, since a long document makes them as it goes."""
        pages = self._document.pages
        with doing("writing page") as at:
            for number, (page, coming) in enumerate(_with_areas(pages), start=1):
                at(number, len(pages))
                shared = [area for area in large_areas(page) if area in coming]
                shapes: list[Area | Look] = [*frequent_circles(page), *shared]
                for shape in shapes:
                    self._share(shape)
                self._page(page, number)
                self._drop_areas(coming)
        self._require_targets()
        self._attach()
        if self._destinations:
            self._canvas.setCatalogEntry("Dests", self._destinations)
        self._file.close()

    def _attach(self) -> None:
        """Puts in the files that go along, each let go before the next is made."""
        files = Attached(self._canvas)
        for attachment in self._document.attachments:
            files.add(attachment)
            self._file.made()
        files.close()

    def _share(self, shape: Area | Look) -> None:
        """Keeps a shape as a form object, which pages then name."""
        if shape in self._forms:
            return
        self._form_count += 1
        name = self._forms[shape] = f"s{self._form_count}"
        content = Content(0.0, self._faces.encode, in_form=True)
        if isinstance(shape, Area):
            content.area(shape)
        else:
            content.circle(Circle((0.0, 0.0), *shape))
        self._canvas.beginForm(name, *bounds(shape))
        self._canvas.addLiteral(content.take())
        self._canvas.endForm()

    def _drop_areas(self, but: Sequence[Area]) -> None:
        """Forgets areas that have stopped coming, so that memory does not grow with the pages."""
        self._forms = {
            shape: name
            for shape, name in self._forms.items()
            if not isinstance(shape, Area) or shape in but
        }

    def _require_targets(self) -> None:
        for target, number in self._targets.items():
            if target not in self._destinations:
                raise ValueError(f"page {number} links to {target!r}, which no page marks")

    def _page(self, page: Page, number: int) -> None:
        canvas = self._canvas
        canvas.setPageSize((page.width_mm * POINTS_PER_MM, page.height_mm * POINTS_PER_MM))
        for mark in page.marks:
            self._mark(mark, page)
        content = Content(page.height_mm, self._faces.encode)
        rulers: list[tuple[Box, Ruler]] = []
        for item in page.items:
            match item:
                case Line():
                    content.line(item)
                case Text():
                    check_glyphs(item, number)
                    content.text(item)
                case Area() | Circle():
                    self._shape(item, content)
                case Field():
                    for line in field_lines(item):
                        content.line(line)
                    if self._document.form_fields:
                        self._field(item, page)
                case Picture():
                    canvas.addLiteral(content.take())
                    self._picture(item, page)
                case Link():
                    self._targets.setdefault(item.target, number)
                    self._link(item, page)
                case Ruler():
                    rulers.append((_box(item, page), item))
                case _:
                    assert_never(item)
        canvas.addLiteral(content.take())
        canvas.showPage()
        measured_by(canvas, rulers)
        self._file.page_shown()

    def _shape(self, item: Area | Circle, content: Content) -> None:
        """The shape, by the form object that looks like it where there is one."""
        if isinstance(item, Circle):
            name, at = self._forms.get(look(item)), item.at
        else:
            name, at = self._forms.get(item), (0.0, 0.0)
        if name is None:
            content.circle(item) if isinstance(item, Circle) else content.area(item)
            return
        self._canvas.addLiteral(content.take())
        self._canvas.addLiteral(content.moved(at))
        self._canvas.doForm(name)
        self._canvas.addLiteral("Q")

    def _mark(self, mark: Mark, page: Page) -> None:
        if mark.name in self._destinations:
            raise ValueError(f"two marks have the name {mark.name!r}")
        top = round((page.height_mm - mark.y_mm) * POINTS_PER_MM, 3)
        self._destinations[mark.name] = self._canvas.bookmarkHorizontalAbsolute(mark.name, top)
        if mark.title is not None:
            self._level = min(mark.level, self._level + 1)
            self._canvas.addOutlineEntry(mark.title, mark.name, self._level)
            self._canvas.showOutline()

    def _picture(self, item: Picture, page: Page) -> None:
        reader = self._pictures.get(item.png)
        if reader is None:
            reader = self._pictures[item.png] = ImageReader(BytesIO(item.png))
        x, y, width, height = _box(item, page)
        self._canvas.drawImage(reader, x, y, width, height, mask="auto")

    def _link(self, item: Link, page: Page) -> None:
        x, y, width, height = _box(item, page)
        self._canvas.linkAbsolute("", item.target, (x, y, x + width, y + height), F=PRINTED)

    def _field(self, item: Field, page: Page) -> None:
        """A fillable field without a look of its own over the one that is printed."""
        x, y, width, height = _box(item, page)
        common = {"name": self._field_name(item.name), "tooltip": item.tooltip or item.name}
        form = self._canvas.acroForm
        if item.kind == "tick":
            size = min(width, height)
            x, y = x + (width - size) / 2, y + (height - size) / 2
            form.checkbox(x=x, y=y, size=size, fieldFlags="", **common, **_NO_TOUCH)
        else:
            form.textfield(
                x=x, y=y, width=width, height=height, fontSize=0, maxlen=None, **common, **_NO_TOUCH
            )
        self._file.field_made()

    def _field_name(self, name: str) -> str:
        """The name, numbered from its second use on, since fields of one name share a value."""
        plain = name.replace(".", "_")
        count = self._field_names[plain] = self._field_names.get(plain, 0) + 1
        return plain if count == 1 else f"{plain}#{count}"


def _with_areas(pages: Iterable[Page]) -> Iterator[tuple[Page, Sequence[Area]]]:
    """Each page with the large areas of the page after it."""
    before: Page | None = None
    for page in pages:
        if before is not None:
            yield before, large_areas(page)
        before = page
    if before is not None:
        yield before, ()


def _canvas(document: Document) -> Canvas:
    canvas = Canvas(
        BytesIO(),
        pdfVersion=PDF_VERSION,
        invariant=1,
        pageCompression=1,
        lang=document.language,
        initialFontName=_font(_FIRST_FACE).fontName,
    )
    info = canvas._doc.info = Info()
    info.invariant = canvas._doc.invariant
    canvas.setTitle(document.title)
    canvas.setAuthor(document.author)
    canvas.setSubject(document.subject)
    canvas.setKeywords(", ".join(document.keywords))
    canvas.setCreator(CREATOR)
    canvas.setDateFormatter(lambda *_: NO_DATE)  # else SOURCE_DATE_EPOCH would change the bytes
    canvas.setViewerPreference("PrintScaling", "None")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    if not document.form_fields:
        claim_archive(canvas, document.language, NO_DATE_XMP)
    return canvas


def _box(item: Picture | Field | Link | Ruler, page: Page) -> Box:
    """Left, bottom, width and height in points, y upwards."""
    left, top = item.at
    low = page.height_mm - top - item.height_mm
    edges = (left, low, item.width_mm, item.height_mm)
    x, y, width, height = (round(edge * POINTS_PER_MM, 3) for edge in edges)
    return x, y, width, height
