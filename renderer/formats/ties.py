"""A table of ties, a row for each point and a column for each tape, as it stands in a notebook."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from renderer.formats.found import Found, Options, Point, Tied, TiedPoint
from renderer.formats.table import DOCK, FIXED, Row, shapes_of
from renderer.plan.errors import PlanError, Problem, Problems, did_you_mean, shown
from renderer.plan.lengths import UNITS, LengthError, metres

if TYPE_CHECKING:
    from renderer.formats.cells import Cells
    from renderer.plan.survey import Survey

COLUMNS = {
    "point": ("point", "name", "id"),
    "side": ("side",),
    "kind": ("kind", "code"),
    "lawn": ("lawn",),
    "island": ("island", "obstacle"),
    "radius": ("radius",),
    "next": ("next", "to next"),
}
KNOWN = {each: column for column, others in COLUMNS.items() for each in others}
PLACES = {"x", "y", "easting", "northing", "east", "north"}
SIDES = ("left", "right")
NAMED_MOST = 20  # points in a comment


@dataclass(frozen=True, slots=True)
class _Line:
    """A row of the table as read: its tapes, and the tape to the next corner."""

    line: int
    tied: TiedPoint
    kind: str
    lawn: str
    island: str
    radius: float | None
    next: str

    @property
    def ring(self) -> tuple[str, str] | None:
        """The lawn or island whose corner it is; nothing for the dock and for round islands."""
        return None if self.kind == DOCK or self.radius else (self.lawn, self.island)


def are_ties(names: Sequence[str]) -> bool:
    """Whether a table of these columns holds ties: a tape each, and neither x nor y."""
    lower = {re.split(r"[\[(]", name.lower())[0].strip() for name in names}  # "X [m]" is an x
    has_places = bool(lower & PLACES) or {"e", "n"} <= lower
    return not has_places and not lower <= {*KNOWN, "e", "n", "z", "height", "elevation"}


def tied(cells: Cells, options: Options) -> Found:
    """The corners, islands and dock of a table of ties, placed by its tapes. Raises PlanError."""
    units = options.units or "m"
    columns = _columns(cells)
    fixed = _fixed(
        cells.path, options.fixed, units, [each for each in columns if each not in KNOWN]
    )
    _require_starts(cells, columns, fixed)
    lines = [_line(cells, columns, units, *row) for row in cells.rows]
    _require_names(cells.path, fixed, lines)
    ties = Tied(
        tuple(each.tied for each in lines if each.tied.tapes),
        options.side or "",
        tuple(_sides(cells.path, lines)),
    )
    survey = _survey(cells.path, units, fixed, ties, {each.tied.name: each.line for each in lines})
    at = _places(survey, units)
    rows = [
        Row(each.line, name, at[name], each.kind, each.lawn, each.island, each.radius)
        for each in lines
        for name in [each.tied.name]
    ]
    docks = [row for row in rows if row.kind == DOCK]
    return Found(
        units,
        tuple(shapes_of([row for row in rows if row.kind != DOCK])),
        fixed=tuple(fixed.items()),
        dock=docks[0].at if docks else None,
        dock_name=docks[0].name if docks else "",
        named=at,
        told=tuple(_told(cells.path, survey)),
        tied=ties,
    )


def _told(path: str, survey: Survey) -> Iterator[str]:
    yield f"Ties from {path}; pegline survey says how sure each point is and what to measure again."
    doubted, unchecked = (
        [each.name for each in survey.adjusted if each.state == state]
        for state in ("in question", "uncontrolled")
    )
    if doubted:
        yield f"Readings do not agree at {_few(doubted)}."
    if unchecked:
        yield f"Nothing checks {_few(unchecked)}: take one more tape to each."


def _few(names: Sequence[str]) -> str:
    more = " and others" if len(names) > NAMED_MOST else ""
    return ", ".join(names[:NAMED_MOST]) + more


def _columns(cells: Cells) -> tuple[str, ...]:
    """The columns by their own names; any other is a tape from the point that it names."""
    columns = [KNOWN.get(name.lower(), name) for name in cells.names]
    for column in columns:
        if not column:
            raise cells.wrong("a column has no name", "name it by the point its tape starts from")
        if columns.count(column) > 1:
            raise cells.wrong(f"column {shown(column)} appears twice", "keep one of them")
    if "point" not in columns:
        raise cells.wrong("there is no column point", "add it, with the name of each row's point")
    return tuple(columns)


def _fixed(path: str, options: Sequence[str], units: str, tapes: Sequence[str]) -> dict[str, Point]:
    """The places of the fixed points, in the unit of the table."""
    fixed: dict[str, Point] = {}
    for option in options:
        name, place = _fixed_point(path, option, units)
        if name in fixed:
            raise PlanError(
                path, 0, f"--fixed {option}", f"{name} is given twice", "keep one of them"
            )
        fixed[name] = place
    if len(fixed) < 2:
        missing = [shown(each)[1:-1] for each in tapes or "AB" if each not in fixed]
        shown_at = ("0,0", "8.42,0")[len(fixed) :]
        options = [f"--fixed {each}={at}" for each, at in zip(missing, shown_at, strict=False)]
        cure = f"say where they are, such as {' '.join(options or ['--fixed B=8.42,0'])}"
        raise PlanError(path, 0, "--fixed", "ties need at least two fixed points", cure)
    return fixed


def _fixed_point(path: str, option: str, units: str) -> tuple[str, Point]:
    name, _, place = unicodedata.normalize("NFC", option).partition("=")
    parts = place.split(";") if ";" in place else place.split(",")
    if ";" in place:
        parts = [part.replace(",", ".") for part in parts]
    key = f"--fixed {option}"
    if not name.strip() or len(parts) != 2:
        cure = "write A=8.42,0, or with decimal commas A=8,42;0"
        raise PlanError(path, 0, key, "is not NAME=X,Y", cure)
    try:
        x, y = (metres(part.strip(), units) / UNITS[units] for part in parts)
    except LengthError as error:
        raise PlanError(path, 0, key, error.problem, error.cure) from None
    return name.strip(), (x, y)


def _line(
    cells: Cells, columns: Sequence[str], units: str, line: int, row: tuple[str, ...]
) -> _Line:
    held = cells.by_column(columns, line, row)
    name = held.get("point", "")
    if not name:
        raise PlanError(cells.path, line, "point", "the row has no name", "name its point: p1")
    side, kind = held.get("side", "").lower(), held.get("kind", "").lower()
    if side and side not in SIDES:
        cure = "write left or right; what is along the lawn goes in a column 'kind'"
        raise PlanError(cells.path, line, "side", f"{shown(side)} is not a side of a line", cure)
    if kind == FIXED:
        cure = f"give it with --fixed {name}=X,Y and remove the row"
        raise PlanError(cells.path, line, "kind", "a fixed point is not tied in", cure)

    def taped(column: str) -> str:
        return _taped(cells, units, line, column, held.get(column, ""))

    tapes = [(column, taped(column)) for column in columns if column not in COLUMNS]
    radius = taped("radius")
    return _Line(
        line,
        TiedPoint(name, tuple((start, reads) for start, reads in tapes if reads), side),
        kind,
        held.get("lawn", ""),
        held.get("island", ""),
        metres(radius, units) / UNITS[units] if radius else None,
        taped("next"),
    )


def _taped(cells: Cells, units: str, line: int, column: str, text: str) -> str:
    """A reading as the plan file takes it, its digits as they were noted; nothing for no reading.

    Raises PlanError for what is no length.
    """
    plain = cells.plain(text)
    if not plain:
        return ""
    try:
        length = metres(plain, units)
    except LengthError as error:
        raise PlanError(cells.path, line, column, error.problem, error.cure) from None
    if length <= 0:
        problem = f"{shown(text)} is not a tape reading"
        raise PlanError(cells.path, line, column, problem, "write a length such as 6.91")
    return plain


def _require_starts(cells: Cells, columns: Sequence[str], fixed: Mapping[str, Point]) -> None:
    """Raises PlanError for a tape from a point that is neither fixed nor a row of the table."""
    index = columns.index("point")
    known = {*fixed, *(row[index] for _, row in cells.rows if index < len(row))}
    for column in columns:
        if column not in COLUMNS and column not in known:
            cure = f"add --fixed {shown(column)[1:-1]}=X,Y"
            if len(column) >= 3 and (meant := did_you_mean(column, [*fixed, *KNOWN])):
                cure = f"{cure}; or {meant}"
            raise cells.wrong(f"there is no point {shown(column)} to tape from", cure)


def _require_names(path: str, fixed: Mapping[str, Point], lines: Sequence[_Line]) -> None:
    """Raises PlanError for a name used twice and for a row without a tape."""
    seen: dict[str, int] = {}
    for each in lines:
        name = each.tied.name
        first = seen.setdefault(" ".join(name.casefold().split()), each.line)
        if first != each.line:
            problem = f"{shown(name)} is already the point of line {first}"
            raise PlanError(path, each.line, "point", problem, "give each point its own name")
        if not each.tied.tapes and name not in fixed:
            cure = "write at least two, or remove the row"
            raise PlanError(path, each.line, name, "the row has no tape", cure)


def _sides(path: str, lines: Sequence[_Line]) -> Iterator[tuple[str, str, str]]:
    """The tapes from each corner to the next one of its ring, from the last to the first."""
    rings: dict[tuple[str, str], list[_Line]] = {}
    for each in lines:
        if each.ring is not None:
            rings.setdefault(each.ring, []).append(each)
    for each in lines:
        if not each.next:
            continue
        ring = [] if each.ring is None else rings[each.ring]
        if len(ring) < 2:
            cure = "remove the reading; it goes from a corner to the next row of its lawn"
            raise PlanError(path, each.line, "next", "no corner comes next", cure)
        after = ring[(ring.index(each) + 1) % len(ring)]
        yield each.tied.name, after.tied.name, each.next


def _survey(
    path: str, units: str, fixed: Mapping[str, Point], ties: Tied, lines: Mapping[str, int]
) -> Survey:
    """The survey as the plan file will hold it, with its points worked out. Raises PlanError."""
    from renderer.plan.surveyed import survey_of

    held: dict[str, Any] = {
        "points": [{"name": name, "at": list(at)} for name, at in fixed.items()],
        "ties": {
            each.name: dict(each.tapes) | ({"side": each.side} if each.side else {})
            for each in ties.points
        },
        "sides": [list(each) for each in ties.sides],
    }
    if ties.side:
        held["side"] = ties.side
    try:
        return survey_of(held, {"units": units})
    except Problems as problems:
        found = [_at_line(path, each, fixed, ties, lines) for each in problems.items]
        raise PlanError.of(sorted(found, key=lambda error: error.line)) from None


def _at_line(
    path: str, item: Problem, fixed: Mapping[str, Point], ties: Tied, lines: Mapping[str, int]
) -> PlanError:
    """A problem of the survey at the line of the table that it came from."""
    problem, cure = item.problem, item.cure
    if cure.startswith("add 'side:"):
        cure = "add --side left, or a column 'side' with left or right, or one more tape"
    elif problem.startswith("'side'"):
        cure = "take one more tape to it"
    match item.loc:
        case ("ties", str() as name, *_):
            return PlanError(path, lines[name], name, problem, cure)
        case ("sides", int() as index, *_):
            name = ties.sides[index][0]
            return PlanError(path, lines[name], f"{name}.next", problem, cure)
        case ("points", int() as index, *_):
            return PlanError(path, 0, f"--fixed {list(fixed)[index]}", problem, cure)
    return PlanError(path, 0, "--fixed", problem, cure)


def _places(survey: Survey, units: str) -> dict[str, Point]:
    """Every point of the survey, in the unit of the table."""
    from renderer.plan.survey import places

    unit = UNITS[units]
    return {name: (x / unit, y / unit) for name, (x, y) in places(survey).items()}
