"""The files that go along in a PDF, read by pdfium within bounds."""

from __future__ import annotations

import ctypes
import re
import zlib
from typing import Any

import pypdfium2
import pypdfium2.raw as pdfium

from renderer.plan.errors import PlanError
from renderer.plan.files import BYTES_MAX

FILES_MOST = 2_000
ALL_BYTES_MAX = 64_000_000  # of all files that go along
STREAM_MAX = 64_000_000  # of what one part of a PDF may unfold to,
UNFOLDED_MAX = 1_000_000_000  # and all its parts together
_STEP = 1_000_000
_STREAM = re.compile(rb"stream\r?\n")

File = tuple[str, bytes]


def attached(path: str, data: bytes) -> list[File]:
    """Names and contents of the files in a PDF. Raises PlanError for one that cannot be read."""
    _require_bounded(path, data)
    with opened(path, data) as document:
        count = document.count_attachments()
        if count > FILES_MOST:
            raise PlanError(path, 0, "", f"more than {FILES_MOST:,} files go along in this PDF")
        found: list[File] = []
        room = ALL_BYTES_MAX
        for number in range(count):
            held = document.get_attachment(number)
            size = _size(held)
            if size > BYTES_MAX:
                continue  # too large for a plan file; something else that goes along
            room -= size
            if room < 0:
                raise PlanError(path, 0, "", "the files that go along in this PDF are too large")
            found.append((held.get_name(), bytes(held.get_data()) if size else b""))
        return found


def opened(path: str, data: bytes) -> Any:
    """The document, to be closed by a ``with``. Raises PlanError."""
    try:
        return pypdfium2.PdfDocument(data)
    except pypdfium2.PdfiumError as error:
        code = getattr(error, "err_code", None)
        if code == pdfium.FPDF_ERR_PASSWORD:
            cure = "save it without a password first"
            raise PlanError(path, 0, "", "the PDF is protected by a password", cure) from None
        raise PlanError(path, 0, "", "the PDF cannot be read", "is it damaged?") from None


def _size(held: Any) -> int:
    size = ctypes.c_ulong()
    if not pdfium.FPDFAttachment_GetFile(held, None, 0, size):
        return 0
    return size.value


def _require_bounded(path: str, data: bytes) -> None:
    """Refuses a PDF whose parts unfold to more than any print needs, before pdfium unfolds them."""
    room = UNFOLDED_MAX
    for start in _STREAM.finditer(data):
        unfolded = _unfolded(memoryview(data)[start.end() :])
        room -= unfolded
        if unfolded > STREAM_MAX or room < 0:
            problem = "the PDF unfolds to more than any print takes"
            raise PlanError(path, 0, "", problem, "is it the file that pegline printed?")


def _unfolded(data: memoryview) -> int:
    """How many bytes a part unfolds to, counted as far as the bound; 0 for one that is not."""
    machine, total = zlib.decompressobj(), 0
    chunk: bytes | memoryview = data[:_STEP]
    at = len(chunk)
    try:
        while chunk and not machine.eof and total <= STREAM_MAX:
            total += len(machine.decompress(chunk, _STEP))
            chunk = machine.unconsumed_tail
            if not chunk and not machine.eof:
                chunk = data[at : at + _STEP]
                at += len(chunk)
    except zlib.error:
        return total
    return total
