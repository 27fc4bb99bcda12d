"""The objects of a PDF that the canvas has no call for, made for its document.

What claims ISO 19005-3 (PDF/A-3), and how a viewer measures on a page, by ISO 32000-1, 12.9.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from reportlab.pdfbase import pdfdoc

from renderer.output import archive
from renderer.units import INCHES_PER_FOOT, M_PER_FOOT, MM_PER_M, POINTS_PER_MM

if TYPE_CHECKING:
    from collections.abc import Sequence

    from reportlab.pdfgen.canvas import Canvas

    from renderer.primitives import Attachment, Ruler

Box = tuple[float, float, float, float]
"""Left, bottom, width and height in points, y upwards."""

# A point of the paper in the unit of the ground at 1:1, and how a length there is told.
_METRES = 1.0 / (POINTS_PER_MM * MM_PER_M)
_PER_POINT = {"m": _METRES, "ft": _METRES / M_PER_FOOT}
_LENGTHS = {"m": (("m", 1, 100),), "ft": (("ft", 1, 1), ("in", INCHES_PER_FOOT, 1))}
_SQUARE = {"m": "m\u00b2", "ft": "sq ft"}

NO_DATE = "D:20000101000000+00'00'"  # the same whenever it is printed
PRINTED = 4  # the flag of annotations that are printed, which an archive asks for


class Info(pdfdoc.PDFInfo):  # type: ignore[misc]
    """The document's information without the entries that nothing is known for."""

    def format(self, document: Any) -> bytes:
        date = pdfdoc.PDFDate(ts=document._timeStamp, dateFormatter=self._dateFormatter)
        texts = {
            "Title": self.title,
            "Author": self.author,
            "Subject": self.subject,
            "Keywords": self.keywords,
            "Creator": self.creator,
            "Producer": self.producer,
        }
        held: dict[str, Any] = {key: pdfdoc.PDFString(text) for key, text in texts.items() if text}
        held |= {"CreationDate": date, "ModDate": date, "Trapped": pdfdoc.PDFName(self.trapped)}
        formatted: bytes = pdfdoc.PDFDictionary(held).format(document)
        return formatted


class Plain(pdfdoc.PDFStream):  # type: ignore[misc]
    """A stream that is kept as it is: metadata must be legible without a filter."""

    def format(self, document: Any) -> bytes:
        held = pdfdoc.PDFDictionary(dict(self.dictionary.dict))
        held["Length"] = len(self.content)
        head: bytes = held.format(document)
        return head + b"\nstream\n" + bytes(self.content) + b"endstream\n"


def claim_archive(canvas: Canvas, language: str, date: str) -> None:
    """Says that the document is an archive: metadata, and the colours that it is meant in.

    ``date`` is that of the information, by ISO 8601. The canvas must know its title by then.
    """
    document = canvas._doc
    info = document.info
    packet = archive.metadata(
        title=info.title,
        author=info.author,
        subject=info.subject,
        keywords=info.keywords,
        language=language,
        creator=info.creator,
        producer=info.producer,
        date=date,
    )
    names = {"Type": pdfdoc.PDFName("Metadata"), "Subtype": pdfdoc.PDFName("XML")}
    profile = _compressed({"N": 3}, archive.profile())
    intent = pdfdoc.PDFDictionary(
        {
            "Type": pdfdoc.PDFName("OutputIntent"),
            "S": pdfdoc.PDFName("GTS_PDFA1"),
            "OutputConditionIdentifier": pdfdoc.PDFString(archive.PROFILE_NAME),
            "Info": pdfdoc.PDFString(archive.PROFILE_NAME),
            "DestOutputProfile": document.Reference(profile),
        }
    )
    _into_catalog(document, "Metadata", Plain(pdfdoc.PDFDictionary(names), packet))
    _into_catalog(document, "OutputIntents", pdfdoc.PDFArray([intent]))


class Attached:
    """The files that go along with a document, by ISO 19005-3, annex E: named, and as its source.

    ``close`` ties them to the document.
    """

    def __init__(self, canvas: Canvas) -> None:
        self._document = canvas._doc
        self._files: dict[str, Any] = {}

    def add(self, file: Attachment) -> None:
        """A file; a second one of the same name raises ValueError."""
        if file.name in self._files:
            raise ValueError(f"two files that go along have the name {file.name!r}")
        held = {
            "Type": pdfdoc.PDFName("EmbeddedFile"),
            "Subtype": "/" + file.media_type.replace("/", "#2F"),
            "Params": pdfdoc.PDFDictionary(
                {"Size": len(file.data), "ModDate": pdfdoc.PDFString(NO_DATE)}
            ),
        }
        data = self._document.Reference(_compressed(held, file.data))
        name = pdfdoc.PDFString(file.name)
        self._files[file.name] = self._document.Reference(
            _named(
                "Filespec",
                F=name,
                UF=name,
                AFRelationship=pdfdoc.PDFName("Source"),
                EF=pdfdoc.PDFDictionary({"F": data, "UF": data}),
            )
        )

    def close(self) -> None:
        """Names the files in the document, in the order that a table of names must have."""
        if not self._files:
            return
        files = sorted(self._files.items())
        pairs = [part for name, file in files for part in (pdfdoc.PDFString(name), file)]
        table = pdfdoc.PDFDictionary({"Names": pdfdoc.PDFArray(pairs)})
        names = pdfdoc.PDFDictionary({"EmbeddedFiles": table})
        _into_catalog(self._document, "Names", names)
        _into_catalog(self._document, "AF", pdfdoc.PDFArray([file for _, file in files]))


def measured_by(canvas: Canvas, rulers: Sequence[tuple[Box, Ruler]]) -> None:
    """Tells viewers how to measure within the boxes, on the page that the canvas has shown last.

    The tables are those of ISO 32000-1: 265 (viewport), 266 and 267 (measures), 268 (numbers).
    """
    if rulers:
        page = canvas._doc.Pages.pages[-1]
        page.__NoDefault__ = [*page.__NoDefault__, "VP"]
        page.VP = pdfdoc.PDFArray([_viewport(box, ruler) for box, ruler in rulers])


def _viewport(box: Box, ruler: Ruler) -> Any:
    x, y, width, height = box
    corners = [x, y, round(x + width, 3), round(y + height, 3)]
    measure = _named(
        "Measure",
        Subtype=pdfdoc.PDFName("RL"),
        R=pdfdoc.PDFString(f"1:{ruler.scale:g}"),
        X=_numbers((ruler.unit, f"{ruler.scale * _PER_POINT[ruler.unit]:.10f}", 1000)),
        D=_numbers(*_LENGTHS[ruler.unit]),
        A=_numbers((_SQUARE[ruler.unit], 1, 100)),
    )
    return _named("Viewport", BBox=pdfdoc.PDFArray(corners), Measure=measure)


def _numbers(*units: tuple[str, int | str, int]) -> Any:
    """How a number is told: in each unit in turn, as many of it, to one part in so many."""
    return pdfdoc.PDFArray(
        [_named("NumberFormat", U=pdfdoc.PDFString(u), C=c, D=d) for u, c, d in units]
    )


def _named(kind: str, **held: Any) -> Any:
    return pdfdoc.PDFDictionary({"Type": pdfdoc.PDFName(kind), **held})


def _compressed(names: dict[str, Any], data: bytes) -> Any:
    return pdfdoc.PDFStream(pdfdoc.PDFDictionary(names), data, [pdfdoc.PDFZCompress])


def _into_catalog(document: Any, key: str, value: Any) -> None:
    """Sets an entry of the catalog; the library leaves out those that it does not know."""
    catalog = document.Catalog
    if key not in catalog.__NoDefault__:
        catalog.__NoDefault__ = [*catalog.__NoDefault__, key]
    setattr(catalog, key, value)
