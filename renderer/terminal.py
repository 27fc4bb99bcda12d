"""Exit codes, and what goes to the terminal or a pipe; light enough for ``--help``."""

from __future__ import annotations

import sys

EXIT_FINE = 0
EXIT_STOPPED = 1
EXIT_INVALID = 2
EXIT_INTERRUPTED = 130  # 128 + SIGINT, as shells report it
EXIT_BROKEN_PIPE = 141  # 128 + SIGPIPE


def complain(message: str) -> None:
    """Writes one line to standard error, with escapes for what the terminal cannot show."""
    line = " ".join(f"pegline: {message}".split())
    encoding = sys.stderr.encoding or "ascii"
    print(line.encode(encoding, "backslashreplace").decode(encoding), file=sys.stderr)


def write_out(text: str) -> None:
    """Writes UTF-8 to standard output, so that a pipe gets the same bytes on every machine."""
    sys.stdout.flush()
    sys.stdout.buffer.write(text.encode())
    sys.stdout.buffer.flush()
