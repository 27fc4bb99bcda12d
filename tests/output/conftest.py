"""A document with one of everything that a page can hold."""

from __future__ import annotations

from io import BytesIO

import pytest
from PIL import Image

from renderer.primitives import (
    Area,
    Circle,
    Document,
    Drawing,
    Field,
    Line,
    Link,
    Mark,
    Page,
    Pen,
    Picture,
    Primitive,
    Ruler,
    Text,
)

THIN, THICK = Pen(0.25), Pen(0.7, cap="round")
DASHED = Pen(0.35, (3.0, 1.5), "#a00000", join="miter")


def picture(colour: tuple[int, int, int] = (200, 30, 30)) -> bytes:
    file = BytesIO()
    Image.new("RGB", (4, 2), colour).save(file, format="PNG")
    return file.getvalue()


def everything() -> tuple[Primitive, ...]:
    outline = ((20.0, 30.0), (120.0, 30.0), (120.0, 90.123), (64.5, 70.0), (20.0, 90.0))
    island = ((40.0, 40.0), (60.0, 40.0), (60.0, 60.0), (40.0, 60.0))
    return (
        Line(outline, THICK, closed=True, id="lawn-rear", title="Lawn Rear", role="outline"),
        Line(((25.0, 35.0), (80.0, 52.5), (115.0, 36.75)), DASHED, id="wire-main", role="wire"),
        Line(((130.0, 30.0), (150.0, 30.0), (150.0, 45.0)), None, closed=True, fill="#dddddd"),
        Area((island, (island[1], island[0], (50.0, 50.0))), THIN, "#cccccc", id="bed"),
        Circle((25.0, 35.0), 0.8, None, "#000000", id="peg-1", role="peg"),
        Circle((80.0, 52.5), 0.8, THIN, "#ffffff", id="peg-2", role="peg"),
        Text((20.0, 100.0), "Rear lawn — Größe 12.5 m²", 10.0, role="label"),
        Text((105.0, 110.0), "Κήπος Сад", 12.0, "bold", "middle"),
        Text((190.0, 120.0), "−3.25 ≤ x", 8.0, "condensed", "end"),
        Text((150.0, 200.0), "along the wall", 9.0, "italic", "middle", 35.0),
        Picture((160.0, 40.0), 20.0, 10.0, picture(), "Logo"),
        Field((20.0, 220.0), 7.0, 7.0, "tick", "step.1", "Step 1 done"),
        Field((40.0, 220.0), 60.0, 9.0, "text", "ohm"),
        Link((20.0, 95.0), 60.0, 6.0, "second"),
        Ruler((20.0, 30.0), 100.0, 60.0, 100.0, "m"),
    )


@pytest.fixture
def document() -> Document:
    return Document(
        (
            Page(210.0, 297.0, everything(), (Mark("first", 20.0, "Plan of the lawn"),)),
            Page(
                279.4,
                215.9,
                (Text((20.0, 20.0), "Página 2", 10.0),),
                (Mark("second", 10.0, "Σχέδιο", 1), Mark("quiet", 50.0)),
            ),
        ),
        title="Rear lawn Größe",
        author="Fernhill Lawns (invented)",
        subject="Crew work order",
        language="en-GB",
        keywords=("TG-0413", "A"),
    )


@pytest.fixture
def drawing() -> Drawing:
    items = tuple(
        item for item in everything() if isinstance(item, Line | Area | Circle | Text | Picture)
    )
    return Drawing(210.0, 250.0, items, 100.0, "Rear <lawn>", "One lawn & one bed")
