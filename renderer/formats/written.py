"""A new plan file as text: what is known, and comments on what is still to be looked up."""

from __future__ import annotations

import json
import math
import re
import textwrap
from collections.abc import Iterator
from typing import TYPE_CHECKING

from renderer.plan.errors import one_line
from renderer.plan.lengths import UNITS

if TYPE_CHECKING:
    from renderer.formats.draft import Draft
    from renderer.formats.found import Point, Shape

# Common practice, no published source; metres. The manual's figures take their place.
SETBACKS_M = {
    "flush": 0.10, "kerb": 0.30, "wall": 0.30, "fence": 0.30, "hedge": 0.30, "bed": 0.30,
    "water": 1.0, "drop": 1.0, "road": 1.0, "neighbour": 0.30, "low": 0.30, "soft": 0.30,
    "tree": 0.30,
}  # fmt: skip
PLAIN = re.compile(r"[A-Za-z][A-Za-z ]*")
WORDS = frozenset({"yes", "no", "true", "false", "null", "on", "off", "y", "n"})
SPOOL_M = 100.0


def written(draft: Draft) -> str:
    """The text of the plan file, which reads back as a valid plan."""
    return "\n".join(_lines(draft)) + "\n"


def _lines(draft: Draft) -> Iterator[str]:
    for told in draft.told:
        yield from textwrap.wrap(
            one_line(_whole(told)), 96, initial_indent="# ", subsequent_indent="#   "
        )
    yield "plan: 1"
    yield f"units: {draft.units}"
    yield "job:"
    yield f"  number: {_text(draft.number)}"
    yield f"  title: {_text(draft.title)}"
    yield "  # site, access, customer, crew and planned_for can go here too"
    if draft.services:
        yield f"  services_asked: {_text(draft.services)}"
    else:
        yield "  # services_asked: who was asked about buried cables and pipes, and the answer"
    if draft.notes:
        yield f"  notes: [{', '.join(map(_text, draft.notes))}]"
    yield from _machine()
    if draft.fixed:
        yield "survey:"
        yield "  points:"
        for name, at in draft.fixed:
            yield f"    - {{name: {_text(name)}, at: {_point(at)}}}"
    yield "lawns:        # x, y, and the kind of the side that starts there"
    for lawn in draft.lawns:
        yield f"  - name: {_text(lawn.name)}"
        yield "    outline:"
        yield from (f"      - {corner}" for corner in _corners(lawn))
    if draft.islands:
        yield "obstacles:"
        yield from (f"  - {_island(each)}" for each in draft.islands)
    yield from _loop(draft)
    spools = ", ".join(map(_number, draft.spools)) or _number(SPOOL_M / UNITS[draft.units])
    yield f"wire: {{conductor_mm2: 0.75, spools: [{spools}]}}   # what is in the van"


def _machine() -> Iterator[str]:
    yield "machine:      # common practice throughout: copy each figure from your machine's manual,"
    yield "              # then write from_manual: true"
    yield "  label: Machine still to be named"
    setbacks = ", ".join(f"{kind}: {metres} m" for kind, metres in SETBACKS_M.items())
    yield from textwrap.wrap(
        f"  setback: {{{setbacks}}}", 96, subsequent_indent="    ", drop_whitespace=False
    )
    yield "  passage_min: 1 m"
    yield "  loop_max: 400 m"


def _loop(draft: Draft) -> Iterator[str]:
    if draft.dock is None:
        yield "loops:        # the dock is at the middle of the longest side until you move it"
    else:
        yield "loops:"
    yield f"  - dock: {{at: {_point(draft.dock or _middle(draft.lawns[0]))}}}"
    yield "    # supply: {at: [x, y], lead: length}      the socket, and the cable from it"


def _middle(lawn: Shape) -> Point:
    """The middle of a lawn's longest side."""
    ends = zip(lawn.points, (*lawn.points[1:], lawn.points[0]), strict=True)
    (ax, ay), (bx, by) = max(ends, key=lambda each: math.dist(*each))
    return (ax + bx) / 2.0, (ay + by) / 2.0


def _corners(lawn: Shape) -> Iterator[str]:
    for index, (at, kind) in enumerate(zip(lawn.points, lawn.kinds, strict=True)):
        through = lawn.arcs.get(index)
        if through is None:
            yield f"[{_number(at[0])}, {_number(at[1])}, {kind}]"
        else:
            yield f"{{at: {_point(at)}, side: {kind}, through: {_point(through)}}}"


def _island(shape: Shape) -> str:
    head = f"name: {_text(shape.name)}, kind: {shape.kinds[0]}"
    if shape.radius is not None:
        at = _point(shape.points[0])
        return f"{{{head}, circle: {{at: {at}, radius: {_number(shape.radius)}}}}}"
    return f"{{{head}, polygon: [{', '.join(map(_point, shape.points))}]}}"


def _point(at: Point) -> str:
    return f"[{_number(at[0])}, {_number(at[1])}]"


def _number(value: float) -> str:
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _text(text: str) -> str:
    """A text as YAML reads it again: as it is where it is plain, else in quotes."""
    plain = PLAIN.fullmatch(text) and text == text.strip() and text.lower() not in WORDS
    return text if plain else one_line(json.dumps(_whole(text), ensure_ascii=False))


def _whole(text: str) -> str:
    """The text on one line, without halves of characters."""
    return " ".join(text.encode("utf-8", "replace").decode().split())
