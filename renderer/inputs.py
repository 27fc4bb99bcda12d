"""The files that a piece of work reads, noted with a digest of the bytes that were read."""

from __future__ import annotations

import os
from contextlib import contextmanager
from contextvars import ContextVar
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

Digests = dict[str, str]  # by the file's whole path; empty where it has changed meanwhile

_NOTED: ContextVar[Digests | None] = ContextVar("noted", default=None)


def note(path: str | os.PathLike[str], data: bytes) -> None:
    """Says that a file was read, and what it held; whoever reads a user's file calls this."""
    noted = _NOTED.get()
    if noted is None:
        return
    whole, digest = os.path.abspath(path), digest_of(data)
    noted[whole] = digest if noted.get(whole, digest) == digest else ""


@contextmanager
def noted() -> Iterator[Digests]:
    """What is read while the context lasts."""
    digests: Digests = {}
    token = _NOTED.set(digests)
    try:
        yield digests
    finally:
        _NOTED.reset(token)


def digest_of(data: bytes) -> str:
    """64 hexadecimal digits over some bytes."""
    from hashlib import sha256

    return sha256(data).hexdigest()
