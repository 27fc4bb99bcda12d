"""DXF of release 12, plain text that every drawing program reads; metres, a layer for each thing.

Group codes as in Autodesk's DXF reference of release 12: https://help.autodesk.com/view/OARX. A
header of that release cannot say in which unit the drawing is ($INSUNITS and $MEASUREMENT came with
release 2000), so a remark and a text on the layer NOTES say it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from renderer.formats.things import DECIMALS, Thing, things

if TYPE_CHECKING:
    from renderer.geometry.point import Point
    from renderer.job import Job

NAME_M = 0.2  # height of the names
# Layers with the colour that each has on a screen; names stand on a layer of their own.
COLOURS = {
    "LAWNS": 7, "OBSTACLES": 8, "FEATURES": 9, "FIXED-POINTS": 6, "SUPPLY": 6, "WIRE": 1,
    "PEGS-ROUND-1": 5, "PEGS-ROUND-2": 4, "SPLICES": 2, "DOCK": 3,
}  # fmt: skip
NAMES = "-NAMES"
NOTES, NOTES_COLOUR = "NOTES", 7
UNIT = "1 drawing unit = 1 metre"
_Group = tuple[int, object]


def write(job: Job, path: str) -> bytes:
    """Lawns and areas as closed polylines, round things as circles, the wire as one polyline.

    Pegs, splices and docks are points, each with its name beside it.
    """
    drawn = [thing for thing in things(job) if thing.layer in COLOURS]
    groups = [*_header(job, drawn), *_tables(), *_entities(drawn), (0, "EOF")]
    lines = (f"{code:3d}\r\n{_value(value)}\r\n" for code, value in groups)
    return "".join(lines).encode("cp1252")


def _value(value: object) -> str:
    return f"{value + 0.0:.{DECIMALS}f}" if isinstance(value, float) else _text(str(value))


def _text(text: str) -> str:
    """The text in the code page of the file; other signs as ``\\U+0142``, the usual way."""
    told = []
    for sign in text:
        try:
            sign.encode("cp1252")
            told.append(sign)
        except UnicodeEncodeError:
            halves = sign.encode("utf-16-be")
            told += [f"\\U+{halves[k : k + 2].hex().upper()}" for k in range(0, len(halves), 2)]
    return "".join(told).replace("%%", "% %")


def _header(job: Job, drawn: Sequence[Thing]) -> Iterator[_Group]:
    head = job.plan.job
    yield 999, f"{head.number}, revision {head.revision}; {UNIT}"
    yield from ((0, "SECTION"), (2, "HEADER"), (9, "$ACADVER"), (1, "AC1009"))
    yield from ((9, "$DWGCODEPAGE"), (3, "ANSI_1252"))
    yield from ((9, "$LUNITS"), (70, 2), (9, "$LUPREC"), (70, DECIMALS))
    low, high = _extent(drawn)
    for name, at in (("$EXTMIN", low), ("$EXTMAX", high)):
        yield from ((9, name), (10, at[0]), (20, at[1]), (30, 0.0))
    yield 0, "ENDSEC"


def _extent(drawn: Iterable[Thing]) -> tuple[Point, Point]:
    """The corners of all that is drawn."""
    reach = [(at, thing.radius_m or 0.0) for thing in drawn for at in thing.points]
    xs = [x + side * radius for (x, _), radius in reach for side in (-1, 1)]
    ys = [y + side * radius for (_, y), radius in reach for side in (-1, 1)]
    return (min(xs), min(ys)), (max(xs), max(ys))


def _tables() -> Iterator[_Group]:
    yield from ((0, "SECTION"), (2, "TABLES"))
    yield from ((0, "TABLE"), (2, "LTYPE"), (70, 1), (0, "LTYPE"), (2, "CONTINUOUS"), (70, 0))
    yield from ((3, "Solid line"), (72, 65), (73, 0), (40, 0.0), (0, "ENDTAB"))
    yield from ((0, "TABLE"), (2, "LAYER"), (70, 2 * len(COLOURS) + 1))
    for layer, colour in COLOURS.items():
        for name in (layer, layer + NAMES):
            yield from _layer(name, colour)
    yield from _layer(NOTES, NOTES_COLOUR)
    yield from ((0, "ENDTAB"), (0, "TABLE"), (2, "STYLE"), (70, 1), (0, "STYLE"))
    yield from ((2, "STANDARD"), (70, 0), (40, 0.0), (41, 1.0), (50, 0.0), (71, 0), (42, 0.2))
    yield from ((3, "txt"), (4, ""), (0, "ENDTAB"), (0, "ENDSEC"))


def _layer(name: str, colour: int) -> Iterator[_Group]:
    yield from ((0, "LAYER"), (2, name), (70, 0), (62, colour), (6, "CONTINUOUS"))


def _entities(drawn: Sequence[Thing]) -> Iterator[_Group]:
    yield from ((0, "SECTION"), (2, "ENTITIES"))
    for thing in drawn:
        if thing.is_point:
            yield from ((0, "POINT"), (8, thing.layer), *_at(thing.points[0]))
        elif thing.radius_m is not None:
            yield from ((0, "CIRCLE"), (8, thing.layer), *_at(thing.points[0]))
            yield 40, float(thing.radius_m)
        else:
            yield from _polyline(thing)
        if thing.layer != "WIRE":
            yield from ((0, "TEXT"), (8, thing.layer + NAMES), *_at(thing.points[0]))
            yield from ((40, NAME_M), (1, thing.name))
    (x, y), _ = _extent(drawn)
    yield from ((0, "TEXT"), (8, NOTES), *_at((x, y - 2 * NAME_M)), (40, NAME_M), (1, UNIT))
    yield 0, "ENDSEC"


def _polyline(thing: Thing) -> Iterator[_Group]:
    yield from ((0, "POLYLINE"), (8, thing.layer), (66, 1), *_at((0.0, 0.0)))
    yield 70, int(thing.closed)
    for at in thing.points:
        yield from ((0, "VERTEX"), (8, thing.layer), *_at(at))
    yield from ((0, "SEQEND"), (8, thing.layer))


def _at(at: Point) -> tuple[_Group, ...]:
    return (10, float(at[0])), (20, float(at[1])), (30, 0.0)
