"""Writes a file whole or not at all."""

from __future__ import annotations

import os
import secrets
import stat
from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from typing import BinaryIO


class OutputError(OSError):
    """A file could not be written; ``str()`` is one clear line with the path and the reason."""


WRITABLE = stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH
Fill = Callable[[BinaryIO], object]
_DRAFTS: set[Path] = set()
"""What this process is writing, for a signal that ends it."""


def write_whole(path: str | os.PathLike[str], data: bytes | Fill) -> None:
    """Puts ``data`` in a file: a reader sees the old content or all of the new.

    Data too large for memory are written by a function that is given the file. The
    bytes go to a new file in the same folder, which then takes the name; on any error it is
    removed and what was there before stays. A link is followed, a device such as a pipe is
    written to as it is. Raises OutputError, and what the function raises.
    """
    require_writable(path)
    target = Path(os.path.realpath(path))
    try:
        if target.exists() and not target.is_file():
            target.write_bytes(data if isinstance(data, bytes) else _filled(data))
        else:
            _replace(target, data)
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


def _filled(fill: Fill) -> bytes:
    file = BytesIO()
    fill(file)
    return file.getvalue()


def _replace(target: Path, data: bytes | Fill) -> None:
    # Short, because a long name of the file itself may already fill what a name may hold.
    draft = target.with_name(f".pegline-{secrets.token_hex(6)}.part")
    _DRAFTS.add(draft)
    try:
        with open(draft, "xb") as file:
            if isinstance(data, bytes):
                file.write(data)
            else:
                data(file)
            file.flush()
            os.fsync(file.fileno())
        if target.exists():
            os.chmod(draft, stat.S_IMODE(target.stat().st_mode))
        os.replace(draft, target)
    except BaseException:
        draft.unlink(missing_ok=True)
        raise
    finally:
        _DRAFTS.discard(draft)


def remove_drafts() -> None:
    """Removes files that are half written, for a process that ends at once."""
    for draft in tuple(_DRAFTS):
        draft.unlink(missing_ok=True)
