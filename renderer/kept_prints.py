"""Finished prints kept in a folder, so that printing an unchanged job again costs next to nothing.

An entry is one file: a line of JSON that says what the print was made from, then the PDF. It is
given out only where everything that it was made from is the same: the arguments, the bytes of every
file that was read, and pegline itself with its layouts, words, faces and libraries. Nothing heavy
is imported here, since what is saved is above all the imports.
"""

from __future__ import annotations

import os
import stat
import sys
from contextlib import suppress
from typing import IO, TYPE_CHECKING, Any, NamedTuple

from renderer.inputs import Digests, digest_of
from renderer.output.files import OutputError, write_whole

if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterator

FORMAT = 1
ENDING = ".print"
MOST = 200  # prints in a folder
BYTES_MOST = 500_000_000  # of all of them
# What of the arguments makes no difference to the pages; all else does.
APART = ("run", "output", "processes", "cache", "jobs", "layout")


class Print(NamedTuple):
    """A print as it was kept: the bytes of its PDF, and how many pages it has."""

    pdf: bytes
    pages: int


class Kept:
    """The prints kept in a folder, which is made where it is missing.

    Raises OutputError where that cannot be done, or where others than its owner may write to it.
    """

    def __init__(self, folder: str, version: str) -> None:
        _require_private(folder)
        self._folder = os.path.abspath(folder)
        self._made_by = itself(version)

    def find(self, asked: str) -> Print | None:
        """The print of a request, if it was kept and nothing that it was made from has changed."""
        path = self._path(asked)
        try:
            with open(path, "rb", opener=_as_it_is) as file:
                head = _head(file.readline())
                pdf = file.read()
        except (OSError, ValueError, RecursionError):
            return None
        if head.get("format") != FORMAT or head.get("asked") != asked:
            return None
        if head.get("pdf") != digest_of(pdf) or head.get("made_by") != self._made_by:
            return None
        if not _unchanged(head.get("read")):
            return None
        with suppress(OSError):
            os.utime(path)  # those asked for longest ago go first
        return Print(pdf, int(head["pages"]))

    def keep(self, asked: str, read: Digests, pdf: IO[bytes], pages: int) -> None:
        """Keeps a print under its request; not one whose files changed while it was made.

        Raises OutputError where it cannot be written.
        """
        size = pdf.seek(0, os.SEEK_END)
        if size > BYTES_MOST or not all(read.values()):
            return
        pdf.seek(0)
        data = pdf.read()
        head = _line(
            {
                "format": FORMAT,
                "asked": asked,
                "made_by": self._made_by,
                "read": read,
                "pages": pages,
                "pdf": digest_of(data),
            }
        )
        write_whole(self._path(asked), head + data, private=True)
        self._drop_oldest()

    def _path(self, asked: str) -> str:
        return os.path.join(self._folder, asked + ENDING)

    def _drop_oldest(self) -> None:
        """Keeps the folder within its bounds."""
        entries = []
        for entry in os.scandir(self._folder):
            if entry.name.endswith(ENDING):
                with suppress(OSError):  # another process may have dropped it
                    found = entry.stat(follow_symlinks=False)
                    entries.append((found.st_mtime_ns, found.st_size, entry.path))
        count, room = 0, BYTES_MOST
        for _, size, path in sorted(entries, reverse=True):
            count, room = count + 1, room - size
            if count > MOST or room < 0:
                _remove(path)


def request(arguments: argparse.Namespace) -> str:
    """Digits over all that a print is asked for: its files by their paths, and every option.

    Options that are not known here count too, so that a new one cannot be overlooked.
    """
    options = sorted((k, repr(v)) for k, v in vars(arguments).items() if k not in APART)
    jobs = [os.path.abspath(job) for job in arguments.jobs]
    layout = arguments.layout
    asked = (options, jobs, layout, layout and os.path.abspath(layout))
    return digest_of(repr(asked).encode("utf-8", "surrogateescape"))


def itself(version: str) -> str:
    """Digits over pegline as it is installed here: code, layouts, words, faces, libraries."""
    from renderer import resources

    package = os.path.dirname(os.path.abspath(__file__))
    folders = (package, str(resources.layouts()), str(resources.fonts()))
    files = [(path, digest_of(_bytes(path))) for folder in folders for path in _files(folder)]
    made_by = (version, sys.version, sys.platform, sorted(set(_installed())), files)
    return digest_of(repr(made_by).encode("utf-8", "surrogateescape"))


def _files(folder: str) -> Iterator[str]:
    for place, folders, names in os.walk(folder):
        folders[:] = sorted(each for each in folders if each != "__pycache__")
        yield from (os.path.join(place, name) for name in sorted(names))


def _installed() -> Iterator[str]:
    """Names and versions of what is installed, which their folders tell at once."""
    for place in sys.path:
        try:
            yield from (
                name
                for name in os.listdir(place or ".")
                if name.endswith((".dist-info", ".egg-info"))
            )
        except OSError:
            continue


def _unchanged(read: Any) -> bool:
    try:
        return all(digest_of(_bytes(path)) == was for path, was in read.items())
    except (OSError, ValueError, AttributeError):
        return False


def _bytes(path: str) -> bytes:
    with open(path, "rb") as file:
        return file.read()


def _head(line: bytes) -> dict[str, Any]:
    import json

    head = json.loads(line)
    if not isinstance(head, dict) or not isinstance(head.get("pages"), int):
        raise ValueError("not the head of a print")
    return head


def _line(head: dict[str, Any]) -> bytes:
    import json

    return json.dumps(head).encode() + b"\n"


def _as_it_is(path: str, flags: int) -> int:
    """Opens a file but not what a link leads to."""
    return os.open(path, flags | getattr(os, "O_NOFOLLOW", 0))


def _remove(path: str) -> None:
    with suppress(OSError):
        os.unlink(path)


def _require_private(folder: str) -> None:
    problem = ""
    try:
        os.makedirs(folder, mode=0o700, exist_ok=True)
        found = os.stat(folder)
    except FileExistsError:
        problem = "it is a file; name a folder"
    except OSError as error:
        problem = (error.strerror or str(error)).lower()
    else:
        own = not hasattr(os, "getuid") or found.st_uid == os.getuid()
        if not own or (os.name == "posix" and stat.S_IMODE(found.st_mode) & 0o022):
            problem = "others can write to it; name a folder of your own, or one not there yet"
    if problem:
        raise OutputError(f"cannot keep prints in {folder!r}: {problem}")
