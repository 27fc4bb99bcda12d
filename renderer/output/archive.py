"""What makes a PDF an archive that reads the same in decades: its metadata and its colours.

By ISO 19005-3 (PDF/A-3), clauses 6.2.2 and 6.6.2: an output intent with a profile, and XMP metadata
that say the same as the document's information. Nothing here knows of the library that writes.
"""

from __future__ import annotations

import struct
from functools import cache
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape

if TYPE_CHECKING:
    from collections.abc import Sequence

PART, CONFORMANCE = 3, "B"
PROFILE_NAME = "sRGB IEC61966-2.1"  # by IEC 61966-2-1, as registered with the ICC

# Primaries and white of IEC 61966-2-1 adapted to the D50 of the profile connection space, from the
# sRGB profile description of the ICC (www.color.org).
_WHITE = (0.9642, 1.0, 0.8249)
_RED = (0.43607, 0.22249, 0.01392)
_GREEN = (0.38515, 0.71687, 0.09708)
_BLUE = (0.14307, 0.06061, 0.71410)
_STEPS = 256

_PACKET = """\
<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/"
 xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xmp="http://ns.adobe.com/xap/1.0/"
 xmlns:pdf="http://ns.adobe.com/pdf/1.3/">
{properties}
</rdf:Description>
</rdf:RDF>
</x:xmpmeta>
<?xpacket end="r"?>
"""


def metadata(
    *,
    title: str,
    author: str,
    subject: str,
    keywords: str,
    language: str,
    creator: str,
    producer: str,
    date: str,
) -> bytes:
    """The XMP packet of a document; what is empty is left out. ``date`` is one of ISO 8601."""
    lines = [
        f"<pdfaid:part>{PART}</pdfaid:part>",
        f"<pdfaid:conformance>{CONFORMANCE}</pdfaid:conformance>",
        *_tagged("dc:title", "Alt", title),
        *_tagged("dc:creator", "Seq", author),
        *_tagged("dc:description", "Alt", subject),
        *_tagged("dc:language", "Bag", language),
        *_tagged("pdf:Keywords", "", keywords),
        *_tagged("pdf:Producer", "", producer),
        *_tagged("xmp:CreatorTool", "", creator),
        *_tagged("xmp:CreateDate", "", date),
        *_tagged("xmp:ModifyDate", "", date),
    ]
    return _PACKET.format(properties="\n".join(lines)).encode()


def _tagged(tag: str, array: str, text: str) -> Sequence[str]:
    if not text:
        return ()
    if not array:
        return (f"<{tag}>{escape(text)}</{tag}>",)
    language = ' xml:lang="x-default"' if array == "Alt" else ""
    item = f"<rdf:li{language}>{escape(text)}</rdf:li>"
    return (f"<{tag}><rdf:{array}>{item}</rdf:{array}></{tag}>",)


@cache
def profile() -> bytes:
    """An ICC profile of version 2 for the colours of IEC 61966-2-1, which pages are meant in."""
    curve = struct.pack(f">4sII{_STEPS}H", b"curv", 0, _STEPS, *map(_linear, range(_STEPS)))
    tags = (
        (b"desc", _description("sRGB")),
        (b"cprt", b"text\0\0\0\0No copyright, use freely\0"),
        (b"wtpt", _xyz(_WHITE)),
        (b"rXYZ", _xyz(_RED)),
        (b"gXYZ", _xyz(_GREEN)),
        (b"bXYZ", _xyz(_BLUE)),
        (b"rTRC", curve),
        (b"gTRC", curve),
        (b"bTRC", curve),
    )
    at = 128 + 4 + 12 * len(tags)
    table, body = struct.pack(">I", len(tags)), b""
    places: dict[bytes, int] = {}
    for name, data in tags:
        if data not in places:  # the three curves are one
            places[data] = at + len(body)
            body += data + b"\0" * (-len(data) % 4)
        table += struct.pack(">4sII", name, places[data], len(data))
    return _head(at + len(body)) + table + body


def _head(size: int) -> bytes:
    """The 128 bytes before the tags, by ICC.1:2001-04, clause 6.1; no date but a fixed one."""
    return struct.pack(
        ">I4sI4s4s4s6H4s4sI4sIQI3I4s44x",
        *(size, b"\0" * 4, 0x02100000, b"mntr", b"RGB ", b"XYZ "),
        *(2000, 1, 1, 0, 0, 0),
        *(b"acsp", b"\0" * 4, 0, b"\0" * 4, 0, 0, 0),
        *(_fixed(each) for each in _WHITE),
        b"\0" * 4,
    )


def _fixed(value: float) -> int:
    return round(value * 65536)


def _xyz(values: tuple[float, float, float]) -> bytes:
    return struct.pack(">4sI3i", b"XYZ ", 0, *map(_fixed, values))


def _linear(step: int) -> int:
    """Light of a step of the scale, of 65535, by the formula of IEC 61966-2-1."""
    value = step / (_STEPS - 1)
    light = value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4
    return round(light * 65535)


def _description(text: str) -> bytes:
    """A name in ASCII, with empty places for other scripts, as version 2 asks for."""
    plain = text.encode("ascii") + b"\0"
    return struct.pack(">4sII", b"desc", 0, len(plain)) + plain + b"\0" * (8 + 3 + 67)
