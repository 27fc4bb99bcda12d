"""Notices that files have changed, by asking again and again: that works on every file system."""

from __future__ import annotations

import os
import stat
import time
from typing import TYPE_CHECKING, NamedTuple

from renderer.inputs import digest_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

YOUNG_S = 3.0  # a file saved twice within this may bear one time: some disks count whole seconds
ABSENT = "absent"


class _Seen(NamedTuple):
    """A file as it was: what the folder says of it, and digits over what it held."""

    size: int
    saved_ns: int
    number: int
    digest: str


class Watch:
    """Files, and what they held when they were last read."""

    def __init__(self) -> None:
        self._known: dict[str, str] = {}
        self._seen: dict[str, _Seen] = {}
        self._waiting: dict[str, str] = {}

    def keep(self, read: Mapping[str, str], more: Iterable[str] = ()) -> None:
        """Watches the files that were read, by their digests, and ``more`` as they are now."""
        known = dict(read)
        for path in more:
            whole = os.path.abspath(path)
            known.setdefault(whole, self._now(whole))
        self._known = known
        self._seen = {path: seen for path, seen in self._seen.items() if path in known}
        self._waiting = {}

    def changed(self) -> bool:
        """Whether a file holds something else than when it was read, and is no longer written to.

        A file that has just changed is looked at once more, so that one which an editor has emptied
        and not yet filled is not taken for the new one.
        """
        differ = {path: now for path, was in self._known.items() if (now := self._now(path)) != was}
        settled = bool(differ) and differ == self._waiting
        self._waiting = differ
        return settled

    def _now(self, path: str) -> str:
        try:
            found = os.stat(path)
        except (OSError, ValueError):
            return ABSENT
        if stat.S_ISDIR(found.st_mode):
            return str(found.st_mtime_ns)
        if not stat.S_ISREG(found.st_mode):
            return ABSENT
        seen = self._seen.get(path)
        facts = (found.st_size, found.st_mtime_ns, found.st_ino)
        is_young = abs(time.time() - found.st_mtime_ns / 1e9) < YOUNG_S
        if seen is None or seen[:3] != facts or is_young:
            seen = self._seen[path] = _Seen(*facts, _digest(path))
        return seen.digest


def _digest(path: str) -> str:
    try:
        with open(path, "rb") as file:
            return digest_of(file.read())
    except OSError:
        return ABSENT
