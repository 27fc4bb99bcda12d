"""Exit codes, and what goes to the terminal or a pipe; light enough for ``--help``."""

from __future__ import annotations

import errno
import sys
from typing import Self

EXIT_FINE = 0
EXIT_STOPPED = 1
EXIT_INVALID = 2
EXIT_SIGNAL = 128  # and the number of the signal, as shells report it
EXIT_INTERRUPTED = 130  # 128 + SIGINT
EXIT_BROKEN_PIPE = 141  # 128 + SIGPIPE


def complain(message: str) -> None:
    """Writes one line to standard error, with escapes for what the terminal cannot show."""
    if sys.stderr is None:  # closed by the caller
        return
    line = " ".join(f"pegline: {message}".split())
    encoding = sys.stderr.encoding or "ascii"
    print(line.encode(encoding, "backslashreplace").decode(encoding), file=sys.stderr)


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

    ``pages`` is how many pages it has; 0 leaves them out.
    """
    if sys.stderr is not None and sys.stderr.isatty():
        count = f", {pages} page{'' if pages == 1 else 's'}" if pages else ""
        complain(f"wrote {path}{count}")


def write_out(text: str) -> None:
    """Writes UTF-8 to standard output, so that a pipe gets the same bytes on every machine."""
    if sys.stdout is None:
        raise OSError(errno.EBADF, "it is closed", "standard output")
    try:
        sys.stdout.flush()
        sys.stdout.buffer.write(text.encode())
        sys.stdout.buffer.flush()
    except BrokenPipeError:
        raise
    except OSError as error:
        raise OSError(error.errno, error.strerror, "standard output") from error


class Bar:
    """A progress bar on standard error, if that is a terminal; otherwise silent.

    Used as a context, at whose end the line is cleared.
    """

    WIDTH = 32

    def __init__(self, what: str) -> None:
        self._what = what
        self._shown = False

    def __enter__(self) -> Self:
        return self

    def step(self, done: int, count: int) -> None:
        """Shows that ``done`` of ``count`` steps are done."""
        if sys.stderr is None or not sys.stderr.isatty():
            return
        full = self.WIDTH * done // max(count, 1)
        bar = "#" * full + "." * (self.WIDTH - full)
        print(f"\r{self._what} [{bar}] {done}/{count}", end="", file=sys.stderr, flush=True)
        self._shown = True

    def __exit__(self, *_: object) -> None:
        if self._shown:
            print("\r\033[K", end="", file=sys.stderr, flush=True)
