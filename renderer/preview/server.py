"""Answers the window, and nobody else: on this machine only, under an address that has a key."""

from __future__ import annotations

import json
import re
import secrets
from functools import cache, cached_property
from hmac import compare_digest
from html import escape
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import parse_qs, urlsplit

from renderer.language import load_words
from renderer.preview.desk import summary
from renderer.preview.lines import excerpt
from renderer.text.faces import FACE_FILES, face_path

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from renderer.language import Words
    from renderer.options import PrintOptions
    from renderer.preview.desk import Desk

HERE = "127.0.0.1"
NAMES = (HERE, "localhost")
WAIT_S = 20.0  # for news, after which the window asks again
IDLE_S = 60.0  # after which a silent connection is closed
CHOICE_MOST = 4_000  # bytes of a choice
FAR_M = 100_000.0  # the longest distance that is written out
# Nothing from elsewhere, no script or style in the page itself, no frame around it.
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; "
    "img-src 'self' data:; connect-src 'self'; base-uri 'none'; form-action 'none'; "
    "frame-ancestors 'none'"
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cache-Control": "no-store",
}
HTML, CSS, SCRIPT = "text/html; charset=utf-8", "text/css; charset=utf-8", "text/javascript"
JSON, SVG, PDF, FACE = "application/json", "image/svg+xml", "application/pdf", "font/ttf"
Query = dict[str, str]
Reply = tuple[HTTPStatus, str, bytes]


class Server(ThreadingHTTPServer):
    """Listens on this machine's own address; port 0 is one that is free.

    ``address`` is what to open. It ends in a key of 32 letters, without which there is no answer.
    """

    daemon_threads = True

    def __init__(self, desk: Desk, usual_layout: str, port: int = 0) -> None:
        self.desk = desk
        self.usual_layout = usual_layout
        self.key = secrets.token_urlsafe(24)
        super().__init__((HERE, port), _Handler)

    @property
    def address(self) -> str:
        """The address of the window."""
        return f"http://{HERE}:{self.server_address[1]}/{self.key}/"

    @cached_property
    def words(self) -> Words:
        """The window's words."""
        return load_words(self.desk.asked.language, "preview")

    def handle_error(self, request: Any, client_address: Any) -> None:
        """A window that was closed while it was answered is no error."""


class _Handler(BaseHTTPRequestHandler):
    """One connection. What is asked for is looked up in ``ROUTES``; no path leads to a file."""

    server: Server
    protocol_version = "HTTP/1.1"
    server_version = "pegline"
    sys_version = ""
    timeout = IDLE_S

    def do_GET(self) -> None:
        self._answer(ROUTES)

    def do_POST(self) -> None:
        self._answer(CHANGES)

    def log_message(self, format: str, *args: Any) -> None:
        """Says nothing: the terminal is for what concerns the plan."""

    def _answer(self, routes: Mapping[str, Callable[[Server, Query], Reply]]) -> None:
        body = self._body()
        status, kind, data = self._reply(routes, body)
        self.send_response(status)
        for name, value in HEADERS.items():
            self.send_header(name, value)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(data)))
        self.end_headers()
        self.wfile.write(data)

    def _body(self) -> bytes:
        """What a choice says; a longer one is not read, and the connection ends with its answer."""
        length = self.headers.get("Content-Length", "0")
        if not length.isdecimal() or int(length) > CHOICE_MOST:
            self.close_connection = True
            return b""
        return self.rfile.read(int(length))

    def _reply(self, routes: Mapping[str, Callable[[Server, Query], Reply]], body: bytes) -> Reply:
        if not self._is_for_us():
            return _text(HTTPStatus.FORBIDDEN, "not for this address")
        parts = urlsplit(self.path)
        _, key, *rest = [*parts.path.split("/"), ""]
        if not compare_digest(key.encode(), self.server.key.encode()) or len(rest) != 2:
            return _text(HTTPStatus.NOT_FOUND, "nothing here")
        route = routes.get(rest[0])
        if route is None:
            return _text(HTTPStatus.NOT_FOUND, "nothing here")
        given = parse_qs(body.decode("ascii", "replace") or parts.query, max_num_fields=20)
        return route(self.server, {name: values[0] for name, values in given.items()})

    def _is_for_us(self) -> bool:
        """Whether the request is from this machine's own window, whatever a name server says.

        A change has to come from the page itself, which a browser states in ``Origin``.
        """
        port = self.server.server_address[1]
        hosts = {f"{name}:{port}" for name in NAMES}
        origin = self.headers.get("Origin")
        own = {f"http://{host}" for host in hosts}
        if self.headers.get("Host") not in hosts or (origin is not None and origin not in own):
            return False
        return self.command != "POST" or origin is not None


def _text(status: HTTPStatus, text: str) -> Reply:
    return status, "text/plain; charset=utf-8", f"{text}\n".encode()


def _json(value: object) -> Reply:
    return HTTPStatus.OK, JSON, json.dumps(value, ensure_ascii=False).encode()


def _none() -> Reply:
    return _text(HTTPStatus.CONFLICT, "there is something newer, or nothing yet")


@cache
def _asset(name: str) -> bytes:
    """A file of the page; ``name`` is one of those in ``ROUTES``."""
    return (Path(__file__).parent / "page" / name).read_bytes()


def _window(server: Server, query: Query) -> Reply:
    """The page, its words put in."""
    words, language = server.words, server.desk.asked.language
    text = _asset("window.html").decode()
    text = re.sub(r"\{\{([a-z.-]+)\}\}", lambda found: escape(words(found[1])), text)
    return HTTPStatus.OK, HTML, text.replace('lang="en"', f'lang="{escape(language)}"').encode()


def _words(server: Server, query: Query) -> Reply:
    """The words that the page puts in as it goes."""
    words = server.words
    said = ("say.", "level.", "thing.")
    return _json({key: words[key] for key in words if key.startswith(said)})


def _state(server: Server, query: Query) -> Reply:
    """What is shown, once it is newer than what the window has."""
    desk = server.desk
    return _json(
        summary(desk.newer(_number(query, "after"), WAIT_S), desk.asked) | _choices(server)
    )


def _choices(server: Server) -> dict[str, Any]:
    options = server.desk.asked.options
    return {"layout": options.layout or "", "paper": options.paper or ""}


def _garden(server: Server, query: Query) -> Reply:
    drawn = server.desk.shown.drawn
    if drawn is None or drawn.number != _number(query, "of"):
        return _none()
    return _json(drawn.garden)


def _page(server: Server, query: Query) -> Reply:
    answer = server.desk.page(_number(query, "of"), _number(query, "number"))
    if answer is None:
        return _none()
    if answer.problem:
        return _text(HTTPStatus.INTERNAL_SERVER_ERROR, answer.problem)
    return HTTPStatus.OK, SVG, answer.data


def _print(server: Server, query: Query) -> Reply:
    """The file that ``pegline print`` writes."""
    composed, answer = server.desk.shown.composed, server.desk.pdf()
    if answer is None or composed is None:
        return _none()
    if composed.is_draft:
        return _text(HTTPStatus.CONFLICT, server.words("say.stopped"))
    if answer.problem:
        return _text(HTTPStatus.INTERNAL_SERVER_ERROR, answer.problem)
    return HTTPStatus.OK, PDF, answer.data


def _lines(server: Server, query: Query) -> Reply:
    """The lines of the plan file about one of them, as they were last read."""
    shown = server.desk.shown
    last = shown.broken or shown.told
    return _json(excerpt(last.text, _number(query, "at")) if last else [])


def _length(server: Server, query: Query) -> Reply:
    """A distance in metres as the plan writes it."""
    from renderer.language.show import Show

    told = server.desk.shown.told
    try:
        metres = float(query.get("metres", ""))
    except ValueError:
        metres = -1.0
    if told is None or not 0.0 <= metres <= FAR_M:
        return _none()
    return _json(Show("ft" if told.job["units"] == "ft" else "m", server.words).length(metres))


def _layouts(server: Server, query: Query) -> Reply:
    """The layouts that can be chosen, by name, with their titles; a file of one's own is kept."""
    known = dict(_known_layouts(server.desk.asked.language))
    own = server.desk.asked.options.layout
    if own and own not in known:
        known[own] = Path(own).name
    return _json({"usual": server.usual_layout, "layouts": known})


@cache
def _known_layouts(language: str) -> tuple[tuple[str, str], ...]:
    """Those of one job; a class and a day have commands of their own."""
    from renderer.sheets import document_title, in_language, layouts

    return tuple(
        (name, document_title(in_language(layout, language)))
        for name, layout in layouts()
        if layout.each is None and not layout.anonymous and layout.blocks
    )


def _choose(server: Server, query: Query) -> Reply:
    """Shows another layout or paper; only what the window offers can be chosen."""
    from dataclasses import replace

    from renderer.drawing.paper import SIZES_MM

    options: PrintOptions = server.desk.asked.options
    layout, paper = query.get("layout", ""), query.get("paper", "")
    known = dict(_known_layouts(server.desk.asked.language))
    if layout and layout != options.layout and layout not in known:
        return _text(HTTPStatus.BAD_REQUEST, "no such layout")
    if paper and paper != options.paper and paper not in SIZES_MM:
        return _text(HTTPStatus.BAD_REQUEST, "no such paper")
    chosen = replace(options, layout=layout or options.layout, paper=paper or options.paper)
    if chosen != options:
        server.desk.choose(chosen)
    return _json(True)


def _number(query: Query, name: str) -> int:
    """A number of a request; 0 where it is none."""
    text = query.get(name, "")
    return int(text) if text.isdecimal() and text.isascii() and len(text) < 10 else 0


def _fixed(name: str, kind: str) -> Callable[[Server, Query], Reply]:
    return lambda server, query: (HTTPStatus.OK, kind, _asset(name))


def _face(number: int) -> Callable[[Server, Query], Reply]:
    path = face_path(tuple(FACE_FILES)[number])
    return lambda server, query: (HTTPStatus.OK, FACE, path.read_bytes())


ROUTES: dict[str, Callable[[Server, Query], Reply]] = {
    "": _window,
    "window.css": _fixed("window.css", CSS),
    "window.js": _fixed("window.js", SCRIPT),
    "words": _words,
    "state": _state,
    "garden": _garden,
    "page": _page,
    "sheets.pdf": _print,
    "lines": _lines,
    "length": _length,
    "layouts": _layouts,
    **{f"face-{name.replace('_', '-')}.ttf": _face(at) for at, name in enumerate(FACE_FILES)},
}
CHANGES: dict[str, Callable[[Server, Query], Reply]] = {"choose": _choose}
