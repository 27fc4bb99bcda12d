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
from renderer.trade import SETBACK_M

if TYPE_CHECKING:
    from renderer.formats.draft import Draft
    from renderer.formats.found import Point, Shape

PLAIN = re.compile(r"[A-Za-z][A-Za-z ]*")
NAME = re.compile(r"[A-Za-z][A-Za-z0-9]*")
READING = re.compile(r"[0-9]+(?:\.[0-9]+)?")  # YAML reads the same number
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
    if draft.position:
        longitude, latitude = (f"{degrees:.9f}" for degrees in draft.position)
        yield "north: 0      # y of this plan runs north"
        yield f"position: {{at: [0, 0], latitude: {latitude}, longitude: {longitude}}}"
    yield from _machine()
    if draft.fixed:
        yield from _survey(draft)
    start = "a point," if draft.tied else "x, y,"
    yield f"lawns:        # {start} and the kind of the side that starts there"
    for lawn in draft.lawns:
        yield f"  - name: {_text(lawn.name)}"
        yield "    outline:"
        yield from (f"      - {corner}" for corner in _corners(lawn, draft.tied is not None))
    if draft.islands:
        yield "obstacles:"
        yield from (f"  - {_island(each, draft.tied is not None)}" for each in draft.islands)
    yield from _loop(draft)
    spools = ", ".join(map(_number, draft.spools)) or _number(SPOOL_M / UNITS[draft.units])
    yield f"wire: {{conductor_mm2: 0.75, spools: [{spools}]}}   # what is in the van"


def _survey(draft: Draft) -> Iterator[str]:
    """The fixed points, and the readings where the points were taped."""
    yield "survey:"
    if draft.tied is None:
        yield "  points:"
    else:
        yield "  points:     # add what each one is, such as what: left house corner"
    for name, at in draft.fixed:
        yield f"    - {{name: {_name(name)}, at: {_point(at)}}}"
    if draft.tied is None:
        return
    if draft.tied.side:
        (one, _), (two, _) = draft.fixed[:2]
        line = one_line(_whole(f"of the line from {one} to {two}, for rows that do not say"))
        yield f"  side: {draft.tied.side}  # {line}"
    yield "  ties:       # a row for each point, a column for each tape"
    for point in draft.tied.points:
        cells = [f"{_name(start)}: {_reading(reads)}" for start, reads in point.tapes]
        cells += [f"side: {point.side}"] if point.side else []
        yield f"    {_name(point.name)}: {{{', '.join(cells)}}}"
    if draft.tied.sides:
        yield "  sides:      # taped between two points"
        for start, end, reads in draft.tied.sides:
            yield f"    - [{_name(start)}, {_name(end)}, {_reading(reads)}]"


def _machine() -> Iterator[str]:
    yield "machine:      # common practice throughout: copy each figure from your machine's manual,"
    yield "              # then write from_manual: true"
    yield "  label: Machine still to be named"
    setbacks = ", ".join(f"{kind}:\0{metres}\0m" for kind, metres in SETBACK_M.items())
    for line in textwrap.wrap(f"  setback: {{{setbacks}}}", 96, subsequent_indent="    "):
        yield line.replace("\0", " ")
    yield "  passage_min: 1 m"
    yield "  loop_max: 400 m"


def _loop(draft: Draft) -> Iterator[str]:
    if draft.dock is None:
        yield "loops:        # the dock is at the middle of the longest side until you move it"
    else:
        yield "loops:"
    at = _name(draft.dock_name) if draft.dock_name else ""
    at = at or _point(draft.dock or _middle(draft.lawns[0]))
    yield f"  - dock: {{at: {at}}}"
    yield "    # supply: {at: [x, y], lead: length}      the socket, and the cable from it"


def _middle(lawn: Shape) -> Point:
    """The middle of a lawn's longest side."""
    ends = zip(lawn.points, (*lawn.points[1:], lawn.points[0]), strict=True)
    (ax, ay), (bx, by) = max(ends, key=lambda each: math.dist(*each))
    return (ax + bx) / 2.0, (ay + by) / 2.0


def _corners(lawn: Shape, by_name: bool) -> Iterator[str]:
    for index, (at, kind) in enumerate(zip(lawn.points, lawn.kinds, strict=True)):
        through = lawn.arcs.get(index)
        if by_name:
            yield f"[{_name(lawn.names[index])}, {kind}]"
        elif through is None:
            yield f"[{_number(at[0])}, {_number(at[1])}, {kind}]"
        else:
            yield f"{{at: {_point(at)}, side: {kind}, through: {_point(through)}}}"


def _island(shape: Shape, by_name: bool) -> str:
    head = f"name: {_text(shape.name)}, kind: {shape.kinds[0]}"
    points = list(map(_name, shape.names) if by_name else map(_point, shape.points))
    if shape.radius is not None:
        return f"{{{head}, circle: {{at: {points[0]}, radius: {_number(shape.radius)}}}}}"
    return f"{{{head}, polygon: [{', '.join(points)}]}}"


def _point(at: Point) -> str:
    return f"[{_number(at[0])}, {_number(at[1])}]"


def _number(value: float) -> str:
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _name(text: str) -> str:
    """The name of a point, without quotes where it is plain: ``p1``."""
    return text if NAME.fullmatch(text) and text.lower() not in WORDS else _text(text)


def _reading(text: str) -> str:
    """A reading with its digits as they were noted, in quotes where it states its unit."""
    return text if READING.fullmatch(text) else _text(text)


def _text(text: str) -> str:
    """A text as YAML reads it again: as it is where it is plain, else in quotes."""
    plain = PLAIN.fullmatch(text) and text == text.strip() and text.lower() not in WORDS
    return text if plain else one_line(json.dumps(_whole(text), ensure_ascii=False))


def _whole(text: str) -> str:
    """The text on one line, without halves of characters."""
    return " ".join(text.encode("utf-8", "replace").decode().split())
