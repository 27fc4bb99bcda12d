"""Who gets an answer from the preview, and to what; by raw requests, without a browser.

Against other pages of the browser: the rules of the Fetch standard for ``Origin`` and of RFC 9110,
7.2 for ``Host``; against what a page could load: Content Security Policy Level 3.
"""

from __future__ import annotations

import http.client
import json
import threading
from collections.abc import Iterator
from typing import Any

import pytest

from renderer.options import PrintOptions
from renderer.preview.desk import Asked, Shown
from renderer.preview.message import Answer, Composed, Drawn, Told
from renderer.preview.server import CHANGES, ROUTES, Server

TEXT = "plan: 1\nunits: m\njob: {number: T-1}\n"
HEAD = {"number": "T-1", "title": "", "revision": "A", "units": "m"}


class OneJob:
    """A desk on which one job lies, worked out."""

    def __init__(self) -> None:
        self.asked = Asked("garden.plan.yaml", PrintOptions())
        self.shown = Shown(
            version=4,
            change=1,
            working=False,
            told=Told(1, HEAD, (), TEXT),
            drawn=Drawn(1, {"svg": "<svg/>"}),
            composed=Composed(1, 2, "Sheets", False),
        )

    def newer(self, version: int, patience_s: float) -> Shown:
        return self.shown

    def choose(self, options: PrintOptions) -> None:
        self.asked = Asked(self.asked.path, options)

    def page(self, change: int, number: int) -> Answer | None:
        return Answer(0, b"<svg/>") if (change, number) == (1, 2) else None

    def pdf(self) -> Answer:
        return Answer(0, b"%PDF-")


@pytest.fixture
def server() -> Iterator[Server]:
    server = Server(OneJob(), "crew-work-order")  # type: ignore[arg-type]
    threading.Thread(target=server.serve_forever, args=(0.02,), daemon=True).start()
    yield server
    server.shutdown()
    server.server_close()


def asked(
    server: Server, path: str, method: str = "GET", body: str | None = None, **headers: str
) -> tuple[int, dict[str, str], bytes]:
    """Status, headers and body of the answer to one request; ``path`` begins with a slash."""
    connection = http.client.HTTPConnection("127.0.0.1", server.server_address[1], timeout=10)
    named = {name.replace("_", "-"): value for name, value in headers.items()}
    connection.request(method, path, body, named)
    answer = connection.getresponse()
    data = answer.read()
    connection.close()
    return answer.status, dict(answer.getheaders()), data


def test_it_listens_on_this_machine_only(server: Server) -> None:
    assert server.server_address[0] == "127.0.0.1"
    assert server.address == f"http://127.0.0.1:{server.server_address[1]}/{server.key}/"
    assert len(server.key) == 32


@pytest.mark.parametrize("route", ROUTES)
def test_everything_needs_the_key(server: Server, route: str) -> None:
    given = {"garden": "?of=1", "page": "?of=1&number=2", "length": "?metres=2"}.get(route, "")
    assert asked(server, f"/{server.key}/{route}{given}")[0] == 200
    for wrong in (f"/{route}", f"/{server.key[:-1]}/{route}", f"/{'x' * 32}/{route}", f"//{route}"):
        assert asked(server, wrong)[0] == 404


@pytest.mark.parametrize(
    "path",
    [
        *("../../SECURITY.md", "%2e%2e/desk.py", "window.html", "desk.py", "garden.plan.yaml"),
        *("window.css/../../desk.py", "window.css%00", "etc/passwd", "/etc/passwd", "layouts/x"),
        *("face-regular.ttf/..", "page/../desk.py", "\\..\\desk.py", "choose"),
    ],
)
def test_no_path_leads_to_a_file(server: Server, path: str) -> None:
    assert asked(server, f"/{server.key}/{path}")[0] == 404


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1", "127.0.0.1:1", "0.0.0.0:80", ""])
def test_another_name_for_this_machine_gets_nothing(server: Server, host: str) -> None:
    """A page elsewhere whose name is made to lead here (DNS rebinding) names itself in Host."""
    assert asked(server, f"/{server.key}/state", Host=host)[0] == 403


def test_the_two_names_of_this_machine_are_known(server: Server) -> None:
    port = server.server_address[1]
    for name in ("127.0.0.1", "localhost"):
        assert asked(server, f"/{server.key}/state", Host=f"{name}:{port}")[0] == 200


def test_another_page_cannot_read_or_choose(server: Server) -> None:
    own = server.address.rpartition(f"/{server.key}")[0]
    path, body = f"/{server.key}/choose", "layout=carry&paper=A3"
    for origin in ("http://evil.example", "null", own.replace("http", "https")):
        assert asked(server, path, "POST", body, Origin=origin)[0] == 403
        assert asked(server, f"/{server.key}/state", Origin=origin)[0] == 403
    assert asked(server, path, "POST", body)[0] == 403
    assert server.desk.asked.options == PrintOptions()
    assert asked(server, path, "POST", body, Origin=own)[0] == 200
    assert server.desk.asked.options == PrintOptions(layout="carry", paper="A3")
    assert asked(server, path)[0] == 404 and set(CHANGES) == {"choose"}


@pytest.mark.parametrize(
    "body",
    [
        "layout=/etc/passwd",
        "layout=../demo/machine.yaml",
        "paper=B7",
        "layout=day-pack",
        "a" * 5000,
    ],
)
def test_only_what_is_offered_can_be_chosen(server: Server, body: str) -> None:
    own = server.address.rpartition(f"/{server.key}")[0]
    asked(server, f"/{server.key}/choose", "POST", body, Origin=own)
    assert server.desk.asked.options == PrintOptions()


def test_the_page_may_load_nothing_from_elsewhere(server: Server) -> None:
    status, headers, data = asked(server, f"/{server.key}/")
    assert status == 200
    policy = dict(
        part.strip().partition(" ")[::2] for part in headers["Content-Security-Policy"].split(";")
    )
    assert policy["default-src"] == "'none'" and policy["script-src"] == "'self'"
    assert not any("unsafe" in value or "http" in value for value in policy.values())
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"
    text = data.decode()
    assert (
        "://" not in text and "{{" not in text and " style=" not in text and "onclick" not in text
    )


def test_answers_are_what_the_desk_has(server: Server) -> None:
    def got(path: str) -> Any:
        status, _, data = asked(server, f"/{server.key}/{path}")
        return json.loads(data) if status == 200 else status

    assert got("state?after=3")["pages"] == 2
    assert got("lines?at=2") == [[1, "plan: 1"], [2, "units: m"], [3, "job: {number: T-1}"]]
    assert got("length?metres=12.3456") == "12.35 m"
    assert got("layouts")["usual"] == "crew-work-order"
    assert "carry" in got("layouts")["layouts"] and "day-pack" not in got("layouts")["layouts"]
    assert got("garden?of=2") == got("page?of=1&number=3") == got("page?of=x&number=-1") == 409
    assert got("length?metres=nan") == got("length?metres=1e9") == got("length") == 409
    assert asked(server, f"/{server.key}/sheets.pdf")[2] == b"%PDF-"


def test_a_draft_is_not_printed(server: Server) -> None:
    server.desk.shown = Shown(told=None, composed=Composed(1, 2, "", True))  # type: ignore[misc]
    status, _, data = asked(server, f"/{server.key}/sheets.pdf")
    assert status == 409 and b"stops" in data


def test_the_window_speaks_the_language_asked_for(server: Server) -> None:
    server.desk.asked = Asked("g", PrintOptions(), "de")
    text = asked(server, f"/{server.key}/")[2].decode()
    assert '<html lang="de">' in text and "Befunde" in text
    layouts = json.loads(asked(server, f"/{server.key}/layouts")[2])["layouts"]
    assert layouts["crew-work-order"] == "Arbeitsauftrag"
