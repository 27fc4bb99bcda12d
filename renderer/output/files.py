"""Writes a file whole or not at all."""

from __future__ import annotations

import os
import secrets
import stat
from collections.abc import Callable
from contextlib import suppress
from io import BytesIO
from pathlib import Path
from typing import BinaryIO

try:
    import fcntl
except ImportError:  # where there is no such thing, what a killed run has left stays
    fcntl = None  # type: ignore[assignment]


class OutputError(OSError):
    """A file could not be written; ``str()`` is one clear line with the path and the reason."""


DRAFT, PART = ".pegline-", ".part"  # what the name of a half written file begins and ends with
WRITABLE = stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH
PRIVATE = stat.S_IRUSR | stat.S_IWUSR
Fill = Callable[[BinaryIO], object]
_DRAFTS: set[Path] = set()
"""What this process is writing, for a signal that ends it."""


def write_whole(path: str | os.PathLike[str], data: bytes | Fill, *, private: bool = False) -> None:
    """Puts ``data`` in a file: a reader sees the old content or all of the new.

    Data too large for memory are written by a function that is given the file. The
    bytes go to a new file in the same folder, which then takes the name; on any error it is
    removed and what was there before stays. What a killed run has left there is removed too. A link
    is followed, a device such as a pipe is written to as it is. A ``private`` file is one that only
    its owner can read. Raises OutputError, and what the function raises.
    """
    require_writable(path)
    target = Path(os.path.realpath(path))
    try:
        if target.exists() and not target.is_file():
            target.write_bytes(data if isinstance(data, bytes) else filled(data))
        else:
            _replace(target, data, private)
    except OSError as error:
        reason = error.strerror or str(error)
        raise OutputError(f"cannot write {os.fspath(path)}: {reason}") from error


def require_writable(path: str | os.PathLike[str]) -> None:
    """Raises OutputError for what is already known to prevent writing."""
    problem = _problem(Path(os.path.realpath(path)))
    if problem:
        raise OutputError(f"cannot write {os.fspath(path)}: {problem}")


def _problem(target: Path) -> str | None:
    """What prevents writing, as far as it can be known beforehand."""
    folder = target.parent
    if target.is_dir():
        return "it is a folder; name a file in it"
    if not folder.exists():
        return f"the folder {folder} does not exist; create it first"
    if not folder.is_dir():
        return f"{folder} is a file, not a folder"
    if target.exists() and not target.is_file():
        return None  # a device
    if target.exists() and not stat.S_IMODE(target.stat().st_mode) & WRITABLE:
        return "it is write-protected; remove the protection or name another file"
    if not os.access(folder, os.W_OK | os.X_OK):
        return f"the folder {folder} cannot be written to"
    return None


def filled(fill: Fill) -> bytes:
    """What a function writes to a file, as bytes."""
    file = BytesIO()
    fill(file)
    return file.getvalue()


def _replace(target: Path, data: bytes | Fill, private: bool) -> None:
    _remove_abandoned(target.parent)
    draft, file = _begun(target.parent, private)
    try:
        if isinstance(data, bytes):
            file.write(data)
        else:
            data(file)
        file.flush()
        os.fsync(file.fileno())
        if fcntl is None:
            file.close()  # an open file might not be renamed; with locks it keeps its own till then
        if target.exists() and not private:
            os.chmod(draft, stat.S_IMODE(target.stat().st_mode))
        os.replace(draft, target)
    except BaseException:
        with suppress(OSError):  # the error that stopped the writing is the one to tell
            draft.unlink(missing_ok=True)
        raise
    finally:
        with suppress(OSError):
            file.close()
        _DRAFTS.discard(draft)
    _settle(target.parent)


def _begun(folder: Path, private: bool) -> tuple[Path, BinaryIO]:
    """A new file that is locked; one that another run took for abandoned meanwhile is given up."""
    while True:
        # Short, because a long name of the file itself may already fill what a name may hold.
        draft = folder / f"{DRAFT}{secrets.token_hex(6)}{PART}"
        _DRAFTS.add(draft)
        try:
            opener = _privately if private else None
            file = open(draft, "xb", opener=opener)  # noqa: SIM115  closed by who writes it
        except BaseException:
            _DRAFTS.discard(draft)
            raise
        if _locked(file.fileno()) is not False and draft.exists():
            return draft, file
        file.close()
        _DRAFTS.discard(draft)


def _privately(path: str, flags: int) -> int:
    return os.open(path, flags, PRIVATE)


def _settle(folder: Path) -> None:
    """The new name reaches the disk too, as far as the file system can say so of a folder."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _locked(handle: int) -> bool | None:
    """Takes the lock that a process has on its file to its end; ``None`` where there are none."""
    if fcntl is None:
        return None
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    except OSError:
        return None
    return True


def _remove_abandoned(folder: Path) -> None:
    """Removes what runs that were killed have left half written: files that no process holds."""
    with suppress(OSError):
        for left in folder.glob(f"{DRAFT}*{PART}"):
            with suppress(OSError), open(left, "rb") as file:
                if left not in _DRAFTS and _locked(file.fileno()):
                    left.unlink()


def remove_drafts() -> None:
    """Removes files that are half written, for a process that ends at once."""
    for draft in tuple(_DRAFTS):
        draft.unlink(missing_ok=True)
