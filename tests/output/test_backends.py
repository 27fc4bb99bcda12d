"""The table of backends: each writes a drawing with everything that a page can hold."""

from __future__ import annotations

import sys
from io import BytesIO
from types import ModuleType
from typing import get_args

import pytest
from PIL import Image

from renderer import output
from renderer.cli import main
from renderer.output import BACKENDS, writer
from renderer.output.recorder import record
from renderer.output.shapes import drawing_page
from renderer.primitives import (
    Area,
    Circle,
    Drawing,
    Field,
    Line,
    Link,
    Pen,
    Picture,
    Primitive,
    Ruler,
    Text,
)

# The signatures that the formats themselves lay down: ISO 32000-1, 7.5.2; PNG (ISO 15948), 5.2;
# the XML declaration of the recommendation XML 1.0.
SIGNATURES = {"pdf": b"%PDF-1.", "png": b"\x89PNG\r\n\x1a\n", "svg": b"<?xml "}
CORNERS = ((10.0, 10.0), (40.0, 10.0), (40.0, 30.0))


def picture() -> bytes:
    file = BytesIO()
    Image.new("RGB", (4, 2)).save(file, format="PNG")
    return file.getvalue()


def everything() -> Drawing:
    """One of each kind of primitive but a link, which a file of one page has no place for."""
    items: tuple[Primitive, ...] = (
        Line(CORNERS, Pen(0.3)),
        Area((CORNERS,), None, "#888888"),
        Circle((50.0, 50.0), 5.0, Pen(0.3)),
        Text((10.0, 60.0), "Peg 14", 9.0),
        Picture((60.0, 10.0), 10.0, 10.0, picture()),
        Field((10.0, 70.0), 5.0, 5.0, "tick", "done"),
        Ruler((10.0, 10.0), 30.0, 20.0, 100.0, "m"),
    )
    assert {type(item) for item in items} == set(get_args(Primitive)) - {Link}
    return Drawing(100.0, 100.0, items, scale=100.0, title="Everything")


@pytest.mark.parametrize("ending", BACKENDS)
def test_each_backend_writes_all_that_a_drawing_can_hold(ending: str) -> None:
    assert writer(ending)(everything()).startswith(SIGNATURES[ending])


def test_the_recorder_knows_each_kind_as_well() -> None:
    kinds = {drawn.kind for drawn in record(drawing_page(everything()))}
    assert kinds == {"line", "area", "circle", "text", "picture", "field"}


def test_a_backend_is_one_module_and_one_line(monkeypatch: pytest.MonkeyPatch) -> None:
    module = ModuleType("renderer.output.count")
    module.write_drawing = lambda drawing, language="en": b"%d" % len(drawing.items)  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "renderer.output.count", module)
    monkeypatch.setattr(output, "BACKENDS", {**BACKENDS, "txt": "count"})
    assert writer("txt")(everything()) == b"7"


def test_the_help_names_each_ending(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["draw", "--help"])
    shown = capsys.readouterr().out
    assert all(f".{ending}" in shown for ending in BACKENDS)


def test_an_ending_without_a_backend_is_named() -> None:
    with pytest.raises(ValueError, match="eps"):
        writer("eps")
