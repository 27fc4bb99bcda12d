"""Changes to a file that a slip, a bad transfer or a hostile hand may make.

Each takes the bytes of a file and a source of chance and gives other bytes. Some know the form of
the file: lines and keys of YAML, trees of JSON, elements of XML, cells of a table, pairs of DXF.
"""

from __future__ import annotations

import json
import re
import struct
import zlib
from collections.abc import Callable, Sequence
from random import Random
from typing import Any

Mutation = Callable[[bytes, Random], bytes]
BYTES_MOST = 200_000  # of a changed file, so that bounds of size are not all that is tried

# what a value may be that nobody expects; read as text by all forms
WORDS = (
    *("", "~", "null", "true", "no", "0", "-0", "1", "-1", "00", "0x10", "1_000", "1:30", "1e9"),
    *("1e308", "1e-320", "1e999", "-1e308", ".nan", ".inf", "NaN", "Infinity", "2e16", "1e5"),
    *("12' 6\"", "3 ft", "3.2 m", "3,2", "1/0", "5 1/0 in", "9" * 400, "0." + "0" * 400 + "1"),
    *("2026-02-30", "0000-00-00", "07:30", "25:00", "[]", "{}", "[[]]", "[1, 2]", "{a: 1}"),
    *("&a", "*a", "!!python/name:os.system", "<<", "|", ">", "- ", "? ", ": ", "#", "'", '"'),
    *("../" * 9 + "etc/hosts", "/dev/zero", ".", "a\x00b", "file:///etc/hosts", "machine.yaml"),
    *("ä" * 30, "日本", "\u202e", "\ufeff", "\u2028", "\U0001f600", "a" * 101, "b" * 2_001),
    *("%s%n", "{0}", "=1+1", "A", "B", "lawn", "hedge", "m", "ft", "0.0000001", "١٢٣", "½", "−3"),
)
NUMBERS: tuple[Any, ...] = (
    *(0, -1, 1, 1e-9, -1e-9, 1e-300, 1e308, -1e308, 10**30, 10**400, 9_999.99, 1e4 + 1, 0.1 + 0.2),
    *(5_412_000, -5_412_000, 2**31, 2**63, 90, 180, 360, 1e16),
)
VALUES: tuple[Any, ...] = (
    *(None, True, False, "", [], {}, [[]], [None], {"": None}, [0, 0], [0, 0, "wall"], "m", "ft"),
    *NUMBERS,
    *WORDS,
)
NUMBER = re.compile(rb"-?\d+(?:\.\d+)?")
CODINGS = ("utf-16", "utf-32", "utf-8-sig", "latin-1", "utf-16-be", "cp037", "utf-7")


def _at(data: Sequence[Any], chance: Random) -> int:
    return chance.randrange(len(data) + 1)


def flip(data: bytes, chance: Random) -> bytes:
    """A few bits turned over."""
    found = bytearray(data)
    for _ in range(chance.choice((1, 1, 2, 8))):
        if found:
            found[chance.randrange(len(found))] ^= 1 << chance.randrange(8)
    return bytes(found)


def insert(data: bytes, chance: Random) -> bytes:
    """Bytes of any kind somewhere."""
    at = _at(data, chance)
    added = chance.choice(
        (chance.randbytes(4), b"\x00", b"\r", b"\t", b"[" * 50, b"{" * 50, b"\xff")
    )
    return data[:at] + added + data[at:]


def cut(data: bytes, chance: Random) -> bytes:
    """A piece taken out, or everything from some place on."""
    begin, end = sorted((_at(data, chance), _at(data, chance)))
    if chance.random() < 0.3:
        return data[:begin]
    return data[:begin] + data[min(end, begin + chance.choice((1, 4, 40))) :]


def repeat(data: bytes, chance: Random) -> bytes:
    """A piece many times."""
    begin = _at(data, chance)
    piece = data[begin : begin + chance.choice((1, 8, 80))]
    return data[:begin] + piece * chance.choice((2, 3, 50)) + data[begin:]


def number(data: bytes, chance: Random) -> bytes:
    """Another number, or a word, where a number stands."""
    found = list(NUMBER.finditer(data))
    if not found:
        return insert(data, chance)
    place = chance.choice(found)
    new = str(chance.choice(NUMBERS)) if chance.random() < 0.6 else chance.choice(WORDS)
    return data[: place.start()] + _bytes(new) + data[place.end() :]


def same_number(data: bytes, chance: Random) -> bytes:
    """The figure of one place also at another: points on one another, lengths of nothing."""
    found = list(NUMBER.finditer(data))
    if len(found) < 2:
        return flip(data, chance)
    one, other = chance.choice(found), chance.choice(found)
    return data[: one.start()] + other.group() + data[one.end() :]


def lines(data: bytes, chance: Random) -> bytes:
    """A line left out, doubled, moved, exchanged, or set further in or out."""
    held = data.split(b"\n")
    index = chance.randrange(len(held))
    line = held.pop(index)
    what = chance.randrange(5)
    if what == 1:
        held[index:index] = [line, line]
    elif what == 2:
        held.insert(chance.randrange(len(held) + 1), line)
    elif what == 3:
        held.insert(index, b"  " + line)
    elif what == 4:
        held.insert(index, line.removeprefix(b"  "))
    return b"\n".join(held)


def value(data: bytes, chance: Random) -> bytes:
    """Another value after a key or between separators."""
    found = list(re.finditer(rb"(?<=[:,\[{>;]) ?[^:,\[\]{}<>;\n]+", data))
    if not found:
        return insert(data, chance)
    place = chance.choice(found)
    return data[: place.start()] + b" " + _bytes(chance.choice(WORDS)) + data[place.end() :]


def key(data: bytes, chance: Random) -> bytes:
    """A word of the file where another one stands."""
    found = list(re.finditer(rb"[A-Za-z_]{2,}", data))
    if not found:
        return flip(data, chance)
    one, other = chance.choice(found), chance.choice(found)
    new = other.group() if chance.random() < 0.7 else _bytes(chance.choice(WORDS))
    return data[: one.start()] + new + data[one.end() :]


def coding(data: bytes, chance: Random) -> bytes:
    """The text in another encoding, or with other ends of lines."""
    text = data.decode("utf-8", errors="replace")
    if chance.random() < 0.4:
        return text.replace("\n", chance.choice(("\r\n", "\r", "\n\n", "\x85", "\u2028"))).encode()
    return text.encode(chance.choice(CODINGS), errors="replace")


def nesting(data: bytes, chance: Random) -> bytes:
    """A value set into many brackets, or elements."""
    found = list(NUMBER.finditer(data))
    if not found:
        return repeat(data, chance)
    place, deep = chance.choice(found), chance.choice((1, 2, 39, 60, 3_000))
    before, after = chance.choice(
        ((b"[", b"]"), (b"{a: ", b"}"), (b'{"a":', b"}"), (b"<g>", b"</g>"))
    )
    return (
        data[: place.start()] + before * deep + place.group() + after * deep + data[place.end() :]
    )


def many(data: bytes, chance: Random) -> bytes:
    """A line over and over."""
    held = data.split(b"\n")
    index = chance.randrange(len(held))
    count = min(chance.choice((20, 200, 2_001)), BYTES_MOST // (len(held[index]) + 1))
    return b"\n".join([*held[:index], *[held[index]] * count, *held[index:]])


def tree(data: bytes, chance: Random) -> bytes:
    """JSON with values changed, left out, exchanged, doubled and set deeper; else a value."""
    try:
        held = json.loads(data)
    except (ValueError, RecursionError):
        return value(data, chance)
    for _ in range(chance.choice((1, 1, 2, 5))):
        held = _changed_tree(held, chance)
    return json.dumps(held, ensure_ascii=chance.random() < 0.5).encode("utf-8", "surrogatepass")


def _changed_tree(held: Any, chance: Random) -> Any:
    places = list(_places(held))
    if not places:
        return chance.choice(VALUES)
    inside, at = chance.choice(places)
    what = chance.randrange(6)
    if what == 0:
        del inside[at]
    elif what == 1:
        other, there = chance.choice(places)
        inside[at] = json.loads(json.dumps(other[there]))
    elif what == 2:
        inside[at] = [inside[at]] * chance.choice((1, 2, 300))
    elif what == 3 and isinstance(inside, dict):
        inside[chance.choice(WORDS)] = inside.pop(at)
    else:
        inside[at] = chance.choice(VALUES)
    return held


def _places(held: Any) -> Any:
    steps = (
        held.items()
        if isinstance(held, dict)
        else enumerate(held)
        if isinstance(held, list)
        else ()
    )
    for at, each in list(steps):
        yield held, at
        yield from _places(each)


def chunk(data: bytes, chance: Random) -> bytes:
    """A PNG with a figure of its head, or a chunk, changed and its checksum right; else bytes."""
    if not data.startswith(b"\x89PNG"):
        return element(data, chance)
    chunks, at = [], 8
    while at + 12 <= len(data):
        (length,) = struct.unpack(">I", data[at : at + 4])
        chunks.append((data[at + 4 : at + 8], data[at + 8 : at + 8 + length]))
        at += 12 + length
    if not chunks:  # what an earlier change has left
        return element(data, chance)
    index = chance.randrange(len(chunks))
    name, body = chunks[index]
    what = chance.randrange(4)
    if what == 0:
        chunks[index] = (name, flip(body, chance))
    elif what == 1:
        chunks.insert(chance.randrange(len(chunks) + 1), (name, body))
    elif what == 2:
        del chunks[index]
    else:
        chunks[index] = (chance.choice((b"zTXt", b"IHDR", b"tRNS", b"acTL", b"IDAT")), body)
    return data[:8] + b"".join(
        struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
        for name, body in chunks
    )


def element(data: bytes, chance: Random) -> bytes:
    """An element of XML doubled, left out, named otherwise or set into itself; else a line."""
    found = list(re.finditer(rb"<[^<>]+>", data))
    if not found:
        return lines(data, chance)
    one, other = chance.choice(found), chance.choice(found)
    new = chance.choice(
        (
            *(
                b"",
                one.group() * 2,
                other.group(),
                b"<!DOCTYPE a>",
                b"<![CDATA[x]]>",
                b"<!-- a -->",
            ),
            *(
                b"&lol;",
                b"&#0;",
                b"<?x?>",
                one.group().replace(b">", b' transform="scale(1e300)">'),
            ),
            *(one.group().replace(b'="', b'="1e300 '), one.group().replace(b'="', b'="nan')),
            one.group() * 500,
        )
    )
    return data[: one.start()] + new + data[one.end() :]


def _bytes(text: Any) -> bytes:
    return str(text).encode("utf-8", "surrogatepass")


PLAIN: tuple[Mutation, ...] = (flip, insert, cut, repeat, coding)
FORMED: tuple[Mutation, ...] = (
    *(number, number, same_number, lines, lines, value, value, key, key, nesting, many),
    *(tree, tree, chunk, element),
)


def mutated(data: bytes, chance: Random) -> bytes:
    """The file with one to four changes, more often such that know its form."""
    for _ in range(chance.choice((1, 1, 1, 2, 2, 4))):
        change = chance.choice(FORMED if chance.random() < 0.8 else PLAIN)
        data = change(data, chance)[:BYTES_MOST]
    return data
