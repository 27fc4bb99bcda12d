"""A plan as texts for square codes, and back: packed, cut to size, numbered, with a check sum.

A text reads ``PEGLINE:1:2:5:3F2A91C0:...``: the version of this form, the number of the text, how
many there are, a check sum over all, and a part of the plan file. The parts joined are base 45
(RFC 9285), which a square code holds in least room, of a zlib stream (RFC 1950) of the file. Any
telephone reads them; nothing of pegline is needed to have the plan back.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

HEAD = "PEGLINE"
VERSION = 1
CODES_MOST = 99
ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"
_BASE = len(ALPHABET)
_PLACES = {sign: place for place, sign in enumerate(ALPHABET)}
_TEXT = re.compile(rf"{HEAD}:([0-9]{{1,3}}):([0-9]{{1,2}}):([0-9]{{1,2}}):([0-9A-F]{{8}}):(.*)")
HEAD_LETTERS = len(f"{HEAD}:{VERSION}:99:99:01234567:")


class CodeError(Exception):
    """What keeps texts of codes from giving a plan, and what to do."""

    def __init__(self, problem: str, cure: str = "") -> None:
        super().__init__(problem, cure)
        self.problem = problem
        self.cure = cure


@dataclass(frozen=True, slots=True)
class Part:
    """The text of one code, taken apart."""

    number: int
    count: int
    check: str
    data: str


def packed(data: bytes) -> str:
    """A file as letters that a square code holds in least room."""
    return to_base45(zlib.compress(data, 9))


def texts(data: bytes, letters: int) -> tuple[str, ...]:
    """The file as texts of at most so many letters, as even as they can be.

    Raises ValueError where that would take more than 99.
    """
    whole = packed(data)
    room = letters - HEAD_LETTERS
    if room < 3:
        raise ValueError(f"a text of {letters} letters has no room for a part of a plan")
    count = max(1, -(-len(whole) // room))
    if count > CODES_MOST:
        raise ValueError(f"the plan takes {count} codes, more than {CODES_MOST}")
    each = -(-len(whole) // count)
    count = -(-len(whole) // each)
    check = f"{zlib.crc32(data):08X}"
    cut = (whole[at : at + each] for at in range(0, len(whole), each))
    return tuple(
        f"{HEAD}:{VERSION}:{number}:{count}:{check}:{part}" for number, part in enumerate(cut, 1)
    )


def taken_apart(text: str) -> Part | None:
    """The part that a text holds; nothing for the text of another code.

    Raises CodeError for one of a later form.
    """
    found = _TEXT.fullmatch(text)
    if found is None:
        return None
    version, number, count = map(int, found.groups()[:3])
    if version != VERSION:
        raise CodeError(f"the codes are of form {version}", "read them with a newer pegline")
    if not 1 <= number <= count:
        return None
    return Part(number, count, found[4], found[5])


def joined(parts: Iterable[Part], bytes_max: int) -> dict[str, bytes]:
    """The files that parts make up, by their check sums.

    Raises CodeError where one is not whole, damaged or larger than ``bytes_max``.
    """
    sets: dict[tuple[str, int], dict[int, str]] = {}
    for part in parts:
        sets.setdefault((part.check, part.count), {})[part.number] = part.data
    return {check: _whole(held, count, check, bytes_max) for (check, count), held in sets.items()}


def _whole(held: Mapping[int, str], count: int, check: str, bytes_max: int) -> bytes:
    missing = [number for number in range(1, count + 1) if number not in held]
    if missing:
        raise CodeError(
            f"{_codes(missing)} of {count} {'is' if len(missing) == 1 else 'are'} missing",
            "take another picture of the page, flatter or nearer, and name all pictures at once",
        )
    machine = zlib.decompressobj()
    try:
        data = machine.decompress(
            from_base45("".join(held[number] for number in range(1, count + 1))), bytes_max + 1
        )
    except (ValueError, zlib.error):
        data = b""
    if len(data) > bytes_max:
        raise CodeError("the codes hold more than a plan file")
    if not machine.eof or f"{zlib.crc32(data):08X}" != check:
        raise CodeError("the codes do not fit together", "read them again from the paper")
    return data


def _codes(numbers: list[int]) -> str:
    if len(numbers) == 1:
        return f"square {numbers[0]}"
    *first, last = map(str, numbers)
    return f"squares {', '.join(first)} and {last}"


def to_base45(data: bytes) -> str:
    """Base 45 by RFC 9285: two bytes as three letters, one left over as two."""
    signs: list[str] = []
    for at in range(0, len(data) - 1, 2):
        value = data[at] * 256 + data[at + 1]
        signs += (
            ALPHABET[value % _BASE],
            ALPHABET[value // _BASE % _BASE],
            ALPHABET[value // _BASE**2],
        )
    if len(data) % 2:
        signs += (ALPHABET[data[-1] % _BASE], ALPHABET[data[-1] // _BASE])
    return "".join(signs)


def from_base45(text: str) -> bytes:
    """The bytes of a base 45 text; raises ValueError for what is none."""
    try:
        places = [_PLACES[sign] for sign in text]
    except KeyError as error:
        raise ValueError(f"{error.args[0]!r} is no letter of base 45") from None
    data = bytearray()
    for at in range(0, len(places), 3):
        part = places[at : at + 3]
        value = sum(place * _BASE**power for power, place in enumerate(part))
        if len(part) == 1 or value >= 256 ** (len(part) - 1):
            raise ValueError("the text is not base 45")
        data += value.to_bytes(len(part) - 1, "big")
    return bytes(data)
