"""Writes what a canvas holds to a file as soon as it is done, where the canvas waits for the end.

A canvas keeps the text of every page, and then the whole file, in memory until it is saved.
There is no public way to have them earlier, so this is the one place that reaches behind it, to
the objects of its document. The tests compare the file, object by object, with the one that the
canvas saves by itself, and so tell when the library has changed.
"""

from __future__ import annotations

from hashlib import md5
from typing import TYPE_CHECKING, Any, BinaryIO

from reportlab.lib.rl_accel import asciiBase85Decode
from reportlab.pdfbase import pdfdoc
from reportlab.pdfgen.canvas import Canvas

if TYPE_CHECKING:
    from collections.abc import Iterator

# What is final once its page is shown. Links wait for the page that they lead to, and images stay,
# for the canvas looks them up.
_DONE = (
    pdfdoc.PDFPage,
    pdfdoc.PDFStream,
    pdfdoc.PDFFormXObject,
    pdfdoc.PDFDictionary,
)
_END = b"endstream\nendobj\n"


def _only_compressed(made: Any) -> None:
    """Leaves ASCII85 out of an object's stream, whatever the library is set to.

    The library has a switch for it, one for all threads, which is the caller's to set.
    """
    if isinstance(made, pdfdoc.PDFPage | pdfdoc.PDFFormXObject):
        if made.stream and not made.Contents:
            made.Contents = pdfdoc.PDFStream(
                content=made.stream, filters=[pdfdoc.PDFZCompress] if made.compression else None
            )
            made.compression = 0
    elif isinstance(made, pdfdoc.PDFImageXObject) and made._filters[:1] == ("ASCII85Decode",):
        made.streamContent = asciiBase85Decode(made.streamContent)
        made._filters = made._filters[1:]


def _ended(whole: bytes) -> bytes:
    """The object; what ends a stream stands on a line of its own, as an archive asks for."""
    return whole[: -len(_END)] + b"\n" + _END if whole.endswith(_END) else whole


class PdfFile:
    """The file of one canvas: told of each page that is shown, and of the end.

    Both calls may raise what ``Canvas.save`` raises.
    """

    def __init__(self, canvas: Canvas, file: BinaryIO, version: tuple[int, int]) -> None:
        self._canvas = canvas
        self._document = canvas._doc
        self._document.signature = md5(usedforsecurity=False)  # else it begins with the clock
        self._file = file
        self._at = 0
        self._seen = 0
        self._waiting: list[str] = []
        self._write(pdfdoc.PDFFile(version).format(self._document))

    def page_shown(self) -> None:
        """Writes the page that was shown last, and the objects made for it, and lets them go."""
        self.made()
        pages = self._document.Pages.pages
        pages[-1] = pdfdoc.PDFObjectReference(pages[-1].__InternalName__)

    def made(self) -> None:
        """Writes the objects that were made since the last call, as far as they are done."""
        document = self._document
        for name in self._new_names():
            if isinstance(document.idToObject[name], _DONE) and name != pdfdoc.BasicFonts:
                self._object(name)
                document.idToObject[name] = pdfdoc.PDFObjectReference(name)
            else:
                self._waiting.append(name)

    def field_made(self) -> None:
        """Lets the field that was made last go with its page; the form only names it."""
        form = self._canvas.acroForm
        form.fields[-1] = form.getRef(form.fields[-1])

    def close(self) -> None:
        """Writes the rest: fonts, bookmarks, what holds the document together, where it all is."""
        document = self._document
        for font in document.delayedFonts:
            font.addObjects(document)
        document.info.invariant = document.invariant
        document.info.digest(document.signature)
        root, info = document.Reference(document.Catalog), document.Reference(document.info)
        document.Outlines.prepare(document, self._canvas)
        if document.Outlines.ready < 0:
            document.Catalog.Outlines = None
        for name in self._waiting:
            self._object(name)
        for name in self._new_names():
            self._object(name)
        table = pdfdoc.PDFCrossReferenceTable()
        table.addsection(0, list(document.numberToId.values()))
        trailer = pdfdoc.PDFTrailer(
            startxref=self._write(table.format(document)),
            Size=document.objectcounter + 1,
            Root=root,
            Info=info,
            ID=document.ID(),
        )
        self._write(trailer.format(document))

    def _new_names(self) -> Iterator[str]:
        """The objects since the last call, and those that come while they are written."""
        while self._seen < self._document.objectcounter:
            self._seen += 1
            yield self._document.numberToId[self._seen]

    def _object(self, name: str) -> None:
        document = self._document
        _only_compressed(document.idToObject[name])
        whole = pdfdoc.PDFIndirectObject(name, document.idToObject[name])
        document.idToOffset[name] = self._write(_ended(whole.format(document)))

    def _write(self, data: bytes) -> int:
        """Writes on, and gives the place at which the data begin."""
        start = self._at
        self._file.write(data)
        self._document.signature.update(data)  # so that files of one content alone have one name
        self._at += len(data)
        return start
