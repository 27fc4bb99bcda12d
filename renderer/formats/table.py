"""A table of points as CSV; which column is which is stated, never guessed."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from renderer.formats.found import Found, Options, Point, Shape, require_few
from renderer.plan.errors import PlanError, did_you_mean, shown

COLUMNS = {
    "name": ("name", "point", "id"),
    "x": ("x", "easting", "east", "e"),
    "y": ("y", "northing", "north", "n"),
    "kind": ("kind", "side", "code"),
    "lawn": ("lawn",),
    "island": ("island", "obstacle"),
    "radius": ("radius",),
    "z": ("z", "height", "elevation"),
}
NUMBER = re.compile(r"[-+]?\d*\.?\d+(?:[eE][-+]?\d+)?|[-+]?\d+\.")
FIXED, DOCK = "reference", "dock"  # kinds of rows that are not corners


@dataclass(frozen=True, slots=True)
class Row:
    """One point of the table, with its line in the file."""

    line: int
    name: str
    at: Point
    kind: str
    lawn: str
    island: str
    radius: float | None


def read(path: str, data: bytes, options: Options) -> Found:
    """The points of a CSV file: corners in their order, round islands, fixed points, the dock.

    Columns: name, x, y, kind, and where they are needed lawn, island, radius. A row of kind
    ``reference`` is a fixed point, one of kind ``dock`` the dock. Raises PlanError.
    """
    if options.units not in (None, "m", "ft"):
        raise PlanError(path, 0, "--units", "a table of points must be in m or ft", "write m or ft")
    rows = list(_rows(path, data, options.order))
    require_few(path, len(rows))
    fixed = tuple((row.name, row.at) for row in rows if row.kind == FIXED)
    docks = [row.at for row in rows if row.kind == DOCK]
    return Found(
        options.units or "m",
        tuple(_shapes([row for row in rows if row.kind not in (FIXED, DOCK)])),
        fixed=fixed,
        dock=docks[0] if docks else None,
        named={row.name: row.at for row in rows},
        told=(f"Points from {path}, x to the right of the sheet and y up it.",),
    )


def _shapes(rows: Sequence[Row]) -> Iterator[Shape]:
    grouped: dict[tuple[str, str], list[Row]] = {}
    for row in rows:
        if row.radius is not None:
            name = row.island or row.name
            yield Shape(name, "", (row.at,), _kinds([row]), row.line, True, row.radius)
        else:
            key = ("island", row.island) if row.island else ("lawn", row.lawn or "Lawn")
            grouped.setdefault(key, []).append(row)
    for (what, name), group in grouped.items():
        points = tuple(row.at for row in group)
        yield Shape(name, name, points, _kinds(group), group[0].line, what == "island")


def _kinds(rows: Sequence[Row]) -> tuple[str, ...]:
    kinds = tuple(row.kind for row in rows)
    return kinds if all(kinds) else ()


def _rows(path: str, data: bytes, order: Sequence[str]) -> Iterator[Row]:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise PlanError(path, 0, "", "is not UTF-8 text", "save the table as UTF-8") from None
    first = text.split("\n", 1)[0]
    parted = next((sign for sign in (";", "\t") if sign in first), ",")
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=parted)
    columns = _columns(path, order, "--order") if order else ()
    try:
        for cells in reader:
            cells = [cell.strip() for cell in cells]
            if not any(cells) or cells[0].startswith("#"):
                continue
            if not columns:
                columns = _header(path, cells)
                continue
            yield _row(path, reader.line_num, columns, cells, parted)
    except csv.Error as error:
        cure = "save the table again as CSV"
        raise PlanError(path, reader.line_num, "", f"is not a table: {error}", cure) from None


def _header(path: str, cells: Sequence[str]) -> tuple[str, ...]:
    if any(NUMBER.fullmatch(cell.replace(",", ".")) for cell in cells):
        raise PlanError(
            path,
            1,
            "",
            "the first row holds numbers, so nothing says which column is which",
            "add a header such as name,x,y,kind, or name the columns: --order name,y,x,kind",
        )
    return _columns(path, cells, "")


def _columns(path: str, names: Sequence[str], key: str) -> tuple[str, ...]:
    """The columns by their own names; PlanError for one that is unknown or missing."""
    known = {each: column for column, others in COLUMNS.items() for each in others}
    found = []
    for name in names:
        column = known.get(name.strip().lower())
        if column is None:
            cure = did_you_mean(name, known) or f"columns are {', '.join(COLUMNS)}"
            raise PlanError(path, 0 if key else 1, key, f"{shown(name)} is not a column", cure)
        if column in found:
            raise PlanError(path, 0 if key else 1, key, f"{column} appears twice", "remove one")
        found.append(column)
    if missing := [each for each in ("name", "x", "y") if each not in found]:
        cure = "columns are name, x, y, and kind"
        raise PlanError(path, 0 if key else 1, key, f"there is no column {missing[0]}", cure)
    return tuple(found)


def _row(path: str, line: int, columns: Sequence[str], cells: list[str], parted: str) -> Row:
    if len([cell for cell in cells if cell]) > len(columns):
        problem = f"has {len(cells)} cells for {len(columns)} columns"
        cure = "with a decimal comma, separate the columns by semicolons"
        raise PlanError(path, line, "", problem, cure)
    held = dict(zip(columns, cells, strict=False))

    def number(column: str) -> float:
        text = held.get(column, "")
        plain = text.replace(",", ".") if parted != "," else text
        if not NUMBER.fullmatch(plain) or abs(float(plain)) > 1e9:
            raise PlanError(path, line, column, f"{shown(text)} is not a length", "write 12.35")
        return float(plain)

    radius = number("radius") if held.get("radius") else None
    if radius is not None and radius <= 0:
        raise PlanError(
            path, line, "radius", f"{shown(held['radius'])} is not a radius", "write 0.4"
        )
    return Row(
        line,
        held.get("name") or f"row {line}",
        (number("x"), number("y")),
        held.get("kind", "").lower(),
        held.get("lawn", ""),
        held.get("island", ""),
        radius,
    )
