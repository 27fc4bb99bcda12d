"""A table of points as CSV; which column is which is stated, never guessed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from renderer.formats.cells import NUMBER, Cells
from renderer.formats.found import Found, Options, Point, Shape
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


def points(cells: Cells, options: Options) -> Found:
    """The points of a table: corners in their order, round islands, fixed points, the dock.

    Columns: name, x, y, kind, and where they are needed lawn, island, radius. A row of kind
    ``reference`` is a fixed point, one of kind ``dock`` the dock. Raises PlanError.
    """
    columns = _columns(cells)
    rows = [_row(cells, columns, *row) for row in cells.rows]
    fixed = tuple((row.name, row.at) for row in rows if row.kind == FIXED)
    docks = [row.at for row in rows if row.kind == DOCK]
    return Found(
        options.units or "m",
        tuple(shapes_of([row for row in rows if row.kind not in (FIXED, DOCK)])),
        fixed=fixed,
        dock=docks[0] if docks else None,
        named={row.name: row.at for row in rows},
        told=(f"Points from {cells.path}, x to the right of the sheet and y up it.",),
    )


def shapes_of(rows: Sequence[Row]) -> Iterator[Shape]:
    """Round islands, and the rings of the corners that name the same lawn or island."""
    grouped: dict[tuple[str, str], list[Row]] = {}
    for row in rows:
        if row.radius is not None:
            yield _shape(row.island or row.name, "", [row], True, row.radius)
        else:
            key = ("island", row.island) if row.island else ("lawn", row.lawn or "Lawn")
            grouped.setdefault(key, []).append(row)
    for (what, name), group in grouped.items():
        yield _shape(name, name, group, what == "island")


def _shape(
    name: str, layer: str, rows: Sequence[Row], island: bool, radius: float | None = None
) -> Shape:
    return Shape(
        name,
        layer,
        tuple(row.at for row in rows),
        _kinds(rows),
        rows[0].line,
        island,
        radius,
        names=tuple(row.name for row in rows),
        lines=tuple(row.line for row in rows),
    )


def _kinds(rows: Sequence[Row]) -> tuple[str, ...]:
    kinds = tuple(row.kind for row in rows)
    return kinds if any(kinds) else ()


def _columns(cells: Cells) -> tuple[str, ...]:
    """The columns by their own names; PlanError for one that is unknown or missing."""
    known = {each: column for column, others in COLUMNS.items() for each in others}
    found: list[str] = []
    for name in cells.names:
        column = known.get(name.lower())
        if column is None:
            cure = did_you_mean(name, known) or f"columns are {', '.join(COLUMNS)}"
            raise cells.wrong(f"{shown(name)} is not a column", cure)
        if column in found:
            raise cells.wrong(f"{column} appears twice", "remove one")
        found.append(column)
    if missing := [each for each in ("name", "x", "y") if each not in found]:
        raise cells.wrong(f"there is no column {missing[0]}", "columns are name, x, y, and kind")
    return tuple(found)


def _row(cells: Cells, columns: Sequence[str], line: int, row: tuple[str, ...]) -> Row:
    held = cells.by_column(columns, line, row)

    def number(column: str) -> float:
        text = held.get(column, "")
        plain = cells.plain(text)
        if not NUMBER.fullmatch(plain) or abs(float(plain)) > 1e9:
            raise PlanError(
                cells.path, line, column, f"{shown(text)} is not a length", "write 12.35"
            )
        return float(plain)

    radius = number("radius") if held.get("radius") else None
    if radius is not None and radius <= 0:
        problem = f"{shown(held['radius'])} is not a radius"
        raise PlanError(cells.path, line, "radius", problem, "write 0.4")
    return Row(
        line,
        held.get("name") or f"row {line}",
        (number("x"), number("y")),
        held.get("kind", "").lower(),
        held.get("lawn", ""),
        held.get("island", ""),
        radius,
    )
