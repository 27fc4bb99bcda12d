"""Exit codes, and what goes to the terminal or a pipe; light enough for ``--help``."""

from __future__ import annotations

import errno
import os
import signal
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress

from renderer.progress import Work, followed

STANDARD = "-"  # standard input or output, where a file is named
EXIT_FINE = 0
EXIT_STOPPED = 1
EXIT_INVALID = 2
EXIT_SIGNAL = 128  # and the number of the signal, as shells report it
EXIT_INTERRUPTED = 130  # 128 + SIGINT
EXIT_BROKEN_PIPE = 141  # 128 + SIGPIPE
CLEAR = "\r\033[K"  # the line of a terminal that the cursor is in
PATIENCE_S = 3.0  # before a command tells what it is doing
EVERY_S = 0.5  # between two looks at that
COLUMNS = 80  # of a terminal that does not say
PLAIN_EVERY_S = 10.0  # between two lines where they stay


def complain(message: str) -> None:
    """Writes one line to standard error, with escapes for what the terminal cannot show."""
    if sys.stderr is None:  # closed by the caller
        return
    line = " ".join(f"pegline: {message}".split())
    encoding = sys.stderr.encoding or "ascii"
    start = CLEAR if sys.stderr.isatty() else ""
    print(start + line.encode(encoding, "backslashreplace").decode(encoding), file=sys.stderr)


def answer(question: str) -> str | None:
    """One line from standard input, prompted for on standard error; ``None`` at its end."""
    if sys.stdin is None:
        return None
    if sys.stderr is not None:
        encoding = sys.stderr.encoding or "ascii"
        shown = question.encode(encoding, "backslashreplace").decode(encoding)
        print(shown, end="" if sys.stdin.isatty() else "\n", file=sys.stderr, flush=True)
    try:
        line = sys.stdin.readline()
    except UnicodeDecodeError:
        return None
    return line.rstrip("\r\n") if line else None


def read_in(most: int) -> bytes:
    """What standard input holds, of more than ``most`` bytes one too many."""
    if sys.stdin is None:
        raise OSError(errno.EBADF, "it is closed", "standard input")
    return sys.stdin.buffer.read(most + 1)


def report_written(path: str, pages: int = 0) -> None:
    """Names a file that was written, on standard error if that is a terminal; otherwise silent.

    ``pages`` is how many pages it has; 0 leaves them out. Standard output, ``-``, is not named.
    """
    if path != STANDARD and _is_terminal():
        count = f", {pages} page{'' if pages == 1 else 's'}" if pages else ""
        complain(f"wrote {path}{count}")


def write_out(text: str) -> None:
    """Writes UTF-8 to standard output, so that a pipe gets the same bytes on every machine."""
    write_bytes(text.encode())


def write_bytes(data: bytes) -> None:
    """Writes to standard output. Raises OSError where it is closed."""
    if sys.stdout is None:
        raise OSError(errno.EBADF, "it is closed", "standard output")
    try:
        sys.stdout.flush()
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()
    except BrokenPipeError:
        raise
    except OSError as error:
        raise OSError(error.errno, error.strerror, "standard output") from error


class Line:
    """What a command that takes long is doing, on one line of standard error, for how long.

    Nothing is shown in the first seconds. On a terminal one line is written over and over and
    cleared at the end; elsewhere ``plain`` asks for a line now and then, and nothing else.
    """

    def __init__(self, work: Work, name: str, plain: bool, clock: Callable[[], float]) -> None:
        self._work, self._name, self._plain, self._clock = work, name, plain, clock
        self._begun = clock()
        self._shown = ""
        self._again = PATIENCE_S

    def look(self) -> str:
        """What is to be written now; nothing while the command is young or between two stages."""
        passed = self._clock() - self._begun
        if passed < self._again or not self._work.stages:
            return ""
        self._again = passed + (PLAIN_EVERY_S if self._plain else 0.0)
        text = f"pegline: {self._name}: {', '.join(self._work.stages)}, {passed:.0f} s"
        if self._plain:
            return f"{text}\n"
        self._shown = text[: _columns() - 1]
        return f"\r{self._shown}\033[K"

    def cleared(self) -> str:
        """What clears the line where one is shown."""
        return CLEAR if self._shown else ""


@contextmanager
def told_while(name: str) -> Iterator[None]:
    """Tells on standard error what a command of a name is doing, once it has run for a while.

    On a terminal only, or anywhere with PEGLINE_PROGRESS=1. A timer's signal writes, not a thread,
    since processes that share the work are forked; without such a timer nothing is told.
    """
    plain = not _is_terminal()
    if sys.stderr is None or (plain and not os.environ.get("PEGLINE_PROGRESS")):
        yield
        return
    with followed() as work:
        line = Line(work, name, plain, time.monotonic)
        try:
            with _timed(lambda: _write(line.look())):
                yield
        finally:
            _write(line.cleared())


def is_shown() -> bool:
    """Whether standard output is a terminal, which would show what is written to it."""
    return sys.stdout is not None and sys.stdout.isatty()


def _is_terminal() -> bool:
    return sys.stderr is not None and sys.stderr.isatty()


def _columns() -> int:
    try:
        return os.get_terminal_size(sys.stderr.fileno()).columns or COLUMNS
    except OSError:
        return COLUMNS


@contextmanager
def _timed(look: Callable[[], None]) -> Iterator[None]:
    """Calls ``look`` now and then, in the main thread of a system with such timers; else never."""

    def alarm(*_: object) -> None:
        look()

    try:
        before = signal.signal(signal.SIGALRM, alarm)
    except (AttributeError, ValueError):
        yield
        return
    signal.setitimer(signal.ITIMER_REAL, PATIENCE_S, EVERY_S)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0.0)
        signal.signal(signal.SIGALRM, before)


def _write(text: str) -> None:
    """Straight to the file: what is interrupted may be writing to the stream itself."""
    if text:
        encoding = sys.stderr.encoding or "ascii"
        with suppress(OSError):
            os.write(sys.stderr.fileno(), text.encode(encoding, "backslashreplace"))
