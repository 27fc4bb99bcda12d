"""``pegline preview``: a job in the browser."""

from __future__ import annotations

from typing import TYPE_CHECKING

import renderer
from renderer.commands.common import options_of
from renderer.explain import Usage
from renderer.terminal import EXIT_FINE, complain, write_out

if TYPE_CHECKING:
    import argparse

    from renderer.preview import Desk, Server


def run_preview(arguments: argparse.Namespace) -> int:
    """Shows a job in a browser on this machine until the command is interrupted."""
    import signal
    from contextlib import suppress

    from renderer.language import require_language
    from renderer.plan.files import is_day_file, text_of
    from renderer.preview import Asked, Desk, Server

    if is_day_file(arguments.job):
        raise Usage(f"{arguments.job}: preview shows one job; name a plan of that day")
    text_of(arguments.job)  # one that is not there is refused at once
    language = arguments.language or "en"
    require_language(language)
    options = options_of(arguments)
    signal.signal(signal.SIGINT, signal.default_int_handler)  # the usual way to end it, no error
    desk = Desk(Asked(arguments.job, options, language), renderer.compose_sheets)
    try:
        with _listening(Server, desk, arguments.port) as server, suppress(KeyboardInterrupt):
            write_out(f"{server.address}\n")
            complain("open this address in the browser; Ctrl+C ends the preview")
            if arguments.open:
                import webbrowser

                webbrowser.open(server.address)
            server.serve_forever()
    finally:
        desk.close()
    return EXIT_FINE


def _listening(server: type[Server], desk: Desk, port: int) -> Server:
    """A server that has its port. Raises Usage where another program has it."""
    try:
        return server(desk, renderer.DEFAULT_LAYOUT, port)
    except OSError as error:
        cure = "leave --port out to take a free one"
        raise Usage(f"--port {port}: {error.strerror}; {cure}") from None
