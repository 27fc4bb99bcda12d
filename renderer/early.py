"""The first thing that the command does: an interrupt while it still imports is one line too.

``import renderer`` comes here first, so nothing but what every interpreter has loaded is used. A
program that imports the library keeps its own ways: only where the process is the command is
anything set.
"""

from __future__ import annotations

import os
import sys

TYPE_CHECKING = False  # typing takes ten times as long to load as all of this
if TYPE_CHECKING:
    from types import TracebackType
    from typing import Any

NAMES = ("pegline", "renderer")
EXIT_INTERRUPTED = 130  # 128 + SIGINT


def is_command() -> bool:
    """Whether this process runs ``python -m renderer`` or the script that an install makes."""
    first = sys.argv[0] if sys.argv else ""
    if first == "-m":  # as long as the module that was asked for is being looked for
        asked = sys.orig_argv
        return "-m" in asked[:-1] and asked[asked.index("-m") + 1] in NAMES
    return os.path.splitext(os.path.basename(first))[0] == "pegline"


def stopped(name: str) -> bytes:
    """The line that a person is told."""
    return f"pegline: stopped by {name}; no file is left half written\n".encode()


def watch() -> None:
    """Ends the command with that line at an interrupt that comes before signals are handled."""
    if not is_command():
        return

    def uncaught(kind: type[BaseException], error: BaseException, at: TracebackType | None) -> None:
        _end(kind)
        sys.__excepthook__(kind, error, at)

    def swallowed(unraisable: Any) -> None:
        _end(unraisable.exc_type)
        sys.__unraisablehook__(unraisable)

    sys.excepthook = uncaught
    sys.unraisablehook = swallowed


def _end(kind: type[BaseException]) -> None:
    if issubclass(kind, KeyboardInterrupt):
        try:  # noqa: SIM105 - contextlib is not loaded yet
            os.write(2, stopped("SIGINT"))
        except OSError:
            pass
        os._exit(EXIT_INTERRUPTED)
