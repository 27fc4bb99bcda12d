"""Names of files that go along with a print, bare and safe on every system."""

from __future__ import annotations

import re

SAFE = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,79}(\.[A-Za-z0-9_-]{1,20}){0,2}\.(yaml|yml|json)")
# Names that belong to devices under Windows, whatever their ending.
_DEVICES = re.compile(r"(con|prn|aux|nul|com[0-9]|lpt[0-9])(\..*)?", re.IGNORECASE)


def is_safe(name: str) -> bool:
    """Whether a name leads to a file in the folder at hand, and to nothing else, anywhere."""
    return bool(SAFE.fullmatch(name)) and not _DEVICES.fullmatch(name)


def plan_name(number: str, ending: str = "yaml") -> str:
    """The name of a plan's file by its job number."""
    return f"{_plain(number)}.plan.{ending}"


def machine_name(number: str, ending: str = "yaml") -> str:
    """The name of the file of a plan's machine, where its own name cannot be used."""
    return f"{_plain(number)}.machine.{ending}"


def _plain(number: str) -> str:
    """A job number with nothing but letters, figures and dashes."""
    plain = re.sub(r"[^A-Za-z0-9]+", "-", number).strip("-")[:60] or "job"
    return f"job-{plain}" if _DEVICES.fullmatch(plain) else plain
