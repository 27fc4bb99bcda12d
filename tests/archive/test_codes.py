"""Plans as texts of square codes: RFC 9285's own examples, and texts that are not whole."""

from __future__ import annotations

import zlib
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from renderer.archive.codes import (
    HEAD_LETTERS,
    CodeError,
    from_base45,
    joined,
    taken_apart,
    texts,
    to_base45,
)

# RFC 9285, 4.3 and 4.4
EXAMPLES = {
    b"AB": "BB8",
    b"Hello!!": "%69 VD92EX0",
    b"base-45": "UJCLQE7W581",
    b"ietf!": "QED8WEX0",
}
DATA = b"".join(b"line %d of a plan\n" % (n * n) for n in range(200))


@pytest.mark.parametrize(("plain", "coded"), EXAMPLES.items())
def test_base_45_is_that_of_the_rfc(plain: bytes, coded: str) -> None:
    assert to_base45(plain) == coded
    assert from_base45(coded) == plain


@given(st.binary(max_size=40))
def test_base_45_comes_back(data: bytes) -> None:
    assert from_base45(to_base45(data)) == data


@pytest.mark.parametrize("wrong", ["GGW", ":::", "::", "A", "ab", "BB8A"])
def test_what_is_not_base_45_is_refused(wrong: str) -> None:
    """GGW is the RFC's own example of a value beyond 65535."""
    with pytest.raises(ValueError, match="base 45"):
        from_base45(wrong)


@pytest.mark.parametrize("letters", [HEAD_LETTERS + 11, 120, 311, 528, 970, 5000])
def test_a_file_comes_back_from_its_texts_in_any_order(letters: int) -> None:
    cut = texts(DATA, letters)
    assert max(map(len, cut)) <= letters
    parts = [taken_apart(text) for text in reversed(cut)]
    assert list(joined([part for part in parts if part], 10_000).values()) == [DATA]


def test_the_texts_can_be_read_without_us() -> None:
    """As the map says: what follows the fifth colon, joined, base 45 undone, zlib unpacked."""
    whole = "".join(text.split(":", 5)[5] for text in texts(DATA, 528))
    letters = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"
    data = bytearray()
    for at in range(0, len(whole), 3):
        value = sum(letters.index(sign) * 45**n for n, sign in enumerate(whole[at : at + 3]))
        data += value.to_bytes(len(whole[at : at + 3]) - 1, "big")
    assert zlib.decompress(bytes(data)) == DATA


@pytest.mark.parametrize(
    ("lost", "said"),
    [({2}, "square 2 of 6 is missing"), ({1, 3, 6}, "squares 1, 3 and 6 of 6 are missing")],
)
def test_what_is_missing_is_told_by_number(lost: set[int], said: str) -> None:
    parts = [part for part in map(taken_apart, texts(DATA, 200)) if part]
    assert {part.count for part in parts} == {6}
    with pytest.raises(CodeError) as told:
        joined([part for part in parts if part.number not in lost], 10_000)
    assert told.value.problem == said


def test_what_does_not_fit_together_is_refused() -> None:
    first, *others = [part for part in map(taken_apart, texts(DATA, 311)) if part]
    for wrong in (replace(first, data=first.data[::-1]), replace(first, data=others[0].data)):
        with pytest.raises(CodeError, match="do not fit together"):
            joined([wrong, *others], 10_000)
    with pytest.raises(CodeError, match="more than a plan file"):
        joined([first, *others], 100)
    bomb = [part for part in map(taken_apart, texts(b"\0" * 3_000_000, 4000)) if part]
    with pytest.raises(CodeError, match="more than a plan file"):
        joined(bomb, 100_000)


def test_texts_of_other_codes_are_passed_over_and_later_forms_named() -> None:
    others = (
        "",
        "FH-100 A 0123456789ABCDEF",
        "PEGLINE:1:3:2:00000000:AB",
        "PEGLINE:1:0:2:00000000:",
    )
    assert [taken_apart(text) for text in others] == [None] * len(others)
    with pytest.raises(CodeError, match="of form 2"):
        taken_apart("PEGLINE:2:1:1:00000000:AB")


def test_a_plan_that_takes_too_many_codes_is_refused() -> None:
    with pytest.raises(ValueError, match="more than 99"):
        texts(bytes(range(256)) * 40, HEAD_LETTERS + 3)
