"""What was read off the tape: the survey of a plan file, and the points that came of it.

Its tables have forms of their own (a row per point, a column per tape), so each is read by a
function here and written back in the same form.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Annotated, Any, ClassVar, Literal, TypeVar

from pydantic import (
    BeforeValidator,
    ValidationError,
    ValidationInfo,
    WithJsonSchema,
    field_serializer,
    model_validator,
)

from renderer.plan.base import Model
from renderer.plan.complaints import complaints
from renderer.plan.errors import Problem, Problems, refuse, shown
from renderer.plan.limits import Within
from renderer.plan.texts import to_name
from renderer.plan.tree import Mapping as Tree
from renderer.plan.values import (
    Length,
    Name,
    Number,
    Point,
    Step,
    Text,
    Units,
    YesNo,
    at,
    each_read,
    one_of,
    word_of,
)
from renderer.trade import (
    SURVEY_ANGLE_ERROR_DEG,
    SURVEY_BEARING_ERROR_DEG,
    SURVEY_OFFSET_ERROR_M,
    TAPE_ERROR_M,
)

M = TypeVar("M", bound=Model)
T = TypeVar("T")

Side = Literal["left", "right"]
State = Literal["controlled", "uncontrolled", "in question"]
SIDES = ("left", "right")

Sigma = Annotated[Length, Within(0.0, 10.0, " m", above=True)]
Turn = Annotated[Number, Within(-360, 360, " degrees")]
TurnSigma = Annotated[Number, Within(0.0, 90.0, " degrees", above=True)]
Slope = Annotated[Number, Within(-200, 200, " %")]

_TAPED = "write a length such as 6.91, or {reads: 6.91, sigma: 0.05}"


class ReferencePoint(Model):
    """A fixed point that can be found again: a house corner, a gate post."""

    name: Name
    at: Point
    what: Text = ""


class Taped(Model):
    """A length that was read: metres; ``taken_as`` is what it is used as in its place, and why.

    ``slope`` is the steepness of ground or tape, rise in 100, where it was not held level.
    """

    reads: Length
    sigma: Sigma | None = None
    taken_as: Length | None = None
    because: Text = ""
    slope: Slope | None = None
    left_out: YesNo = False


class TieRow(Model):
    """The tapes to one point, and on which side of a line it lies."""

    made_keys: ClassVar = ("point", "tapes", "side", "line")

    point: Name
    tapes: tuple[tuple[Name, Taped], ...]
    side: Side | None = None
    line: tuple[Name, Name] | None = None  # of ``side``; left out: from the first two fixed points


class TapedSide(Model):
    """A length between two points."""

    made_keys: ClassVar = ("of", "taped")

    of: tuple[Name, Name]
    taped: Taped


class SetOff(Model):
    """A point by its length along a line and its length square off it, plus to the left."""

    made_keys: ClassVar = ("point", "along", "off")

    point: Name
    along: Length
    off: Length


class Offsets(Model):
    """Points set off one line, from its first point."""

    line: tuple[Name, Name]
    points: tuple[SetOff, ...]
    sigma: Sigma | None = None


class Leg(Model):
    """A leg of a run: its length, and its bearing or the angle turned to it.

    ``start`` is the file's ``from``; ``back`` is the point that the angle is turned from, where no
    leg came before.
    """

    start: Name
    to: Name
    reads: Length
    bearing: Turn | None = None
    angle: Turn | None = None
    back: Name | None = None
    sigma: Sigma | None = None
    turn_sigma: TurnSigma | None = None
    taken_as: Length | None = None
    because: Text = ""
    slope: Slope | None = None

    @classmethod
    def known_keys(cls) -> list[str]:
        """The keys of the file."""
        return [_of_file(key) for key in super().known_keys()]


class TurnedAngle(Model):
    """An angle at ``at``, turned clockwise from ``start`` (the file's ``from``) to ``to``."""

    at: Name
    start: Name
    to: Name
    reads: Turn
    sigma: TurnSigma | None = None
    taken_as: Turn | None = None
    because: Text = ""

    @classmethod
    def known_keys(cls) -> list[str]:
        """The keys of the file."""
        return [_of_file(key) for key in super().known_keys()]


class Sigmas(Model):
    """Standard deviations by method, where a reading states none; common practice."""

    tape: Sigma = TAPE_ERROR_M
    offset: Sigma = SURVEY_OFFSET_ERROR_M
    bearing: TurnSigma = SURVEY_BEARING_ERROR_DEG
    angle: TurnSigma = SURVEY_ANGLE_ERROR_DEG


class SurveyedPoint(Model):
    """A point that the readings came to; metres, one standard deviation, degrees from y.

    ``unseen`` is how far one slip that does not show could have moved it; nothing: any distance.
    """

    made_keys: ClassVar = (
        "name", "at", "sigma_x", "sigma_y", "major", "minor", "azimuth_deg", "state", "unseen",
    )  # fmt: skip

    name: Name
    at: Point
    sigma_x: float
    sigma_y: float
    major: float
    minor: float
    azimuth_deg: float
    state: State
    unseen: float | None = None


def read_ties(value: object, info: ValidationInfo) -> tuple[TieRow, ...]:
    """Rows of tapes by the name of their point; raises Problems, one for each bad cell."""
    if isinstance(value, tuple):
        return value
    rows = _mapping(value, "write one row per point: p1: {A: 6.91, B: 9.60}")
    return tuple(each_read(rows.items(), lambda name, row: _tie_row(name, row, info)))


def _tie_row(name: Step, row: object, info: ValidationInfo) -> TieRow:
    cells = _mapping(row, "write one column per tape: {A: 6.91, B: 9.60}")
    tapes = [(key, cell) for key, cell in cells.items() if key != "side" and cell is not None]
    read = each_read(tapes, lambda key, cell: (to_name(key), _taped(cell, info)))
    if not read:
        refuse("the row has no tape", "add one: {A: 6.91, B: 9.60}")
    side, line = _placed("side", cells.get("side"), _side_of)
    return TieRow(point=to_name(name), tapes=tuple(read), side=side, line=line)


def _placed(key: str, value: object, read: Callable[[object], T]) -> T:
    try:
        return read(value)
    except Problems as problems:
        raise Problems(at(key, problems)) from None


def _side_of(value: object) -> tuple[Side | None, tuple[str, str] | None]:
    """``left``, or ``[C, D, left]`` for the side of another line."""
    if value is None:
        return None, None
    word, line = value, None
    if isinstance(value, list | tuple):
        if len(value) != 3:
            refuse(f"{shown(value)} is not a side of a line", "write left, or [C, D, left]")
        word, line = value[2], (to_name(value[0]), to_name(value[1]))
    side: Any = one_of(SIDES, "side of a line")(word)
    return side, line


def _taped(cell: object, info: ValidationInfo) -> Taped:
    if isinstance(cell, list):
        refuse(f"{shown(cell)} is not a reading", _TAPED)
    held = cell if isinstance(cell, dict | Taped) else {"reads": cell}
    try:
        return _read(Taped, held, info)
    except Problems as problems:
        if isinstance(cell, dict):
            raise
        raise Problems(item._replace(loc=item.loc[1:]) for item in problems.items) from None


def read_sides(value: object, info: ValidationInfo) -> tuple[TapedSide, ...]:
    """Lengths between two points: ``[p1, p2, 5.12]``."""
    if isinstance(value, tuple):
        return value
    return tuple(each_read(_listed(value), lambda _, row: _side(row, info)))


def _side(row: object, info: ValidationInfo) -> TapedSide:
    if not isinstance(row, list | tuple) or len(row) != 3:
        refuse(f"{shown(row)} is not a taped side", "write [p1, p2, 5.12]")
    names = each_read(enumerate(row[:2]), lambda _, name: to_name(name))
    (taped,) = each_read([(2, row[2])], lambda _, cell: _taped(cell, info))
    return TapedSide(of=(names[0], names[1]), taped=taped)


def read_offsets(value: object, info: ValidationInfo) -> tuple[Offsets, ...]:
    """Points set off lines: ``{line: [A, B], points: {p7: [3.20, 1.15]}}``."""
    if isinstance(value, tuple):
        return value
    return tuple(each_read(_listed(value), lambda _, row: _offsets(row, info)))


def _offsets(row: object, info: ValidationInfo) -> Offsets:
    held = _mapping(row, "write {line: [A, B], points: {p7: [3.20, 1.15]}}")
    points = held.get("points")
    if isinstance(points, dict):
        rows = points
        held["points"] = _placed("points", value=None, read=lambda _: _points(rows, info))
    elif not isinstance(points, tuple):
        refuse("the points are missing", "write points: {p7: [3.20, 1.15]}")
    if isinstance(held.get("line"), list):
        held["line"] = tuple(held["line"])
    return _read(Offsets, held, info)


def _points(rows: dict[str, Any], info: ValidationInfo) -> tuple[SetOff, ...]:
    return tuple(each_read(rows.items(), lambda name, pair: _set_off(name, pair, info)))


def _set_off(name: Step, pair: object, info: ValidationInfo) -> SetOff:
    if not isinstance(pair, list | tuple) or len(pair) != 2:
        problem = f"{shown(pair)} is not a length along and a length off"
        refuse(problem, "write [3.20, 1.15], the second plus to the left")
    return _read(SetOff, {"point": name, "along": pair[0], "off": pair[1]}, info)


def read_traverse(value: object, info: ValidationInfo) -> tuple[Leg, ...]:
    """The legs of a run, each with a bearing or an angle."""
    if isinstance(value, tuple):
        return value
    return tuple(each_read(_listed(value), lambda _, row: _leg(row, info)))


def _leg(row: object, info: ValidationInfo) -> Leg:
    leg = _from_start(Leg, row, "{from: A, to: p9, bearing: 41.5, reads: 7.30}", info)
    if (leg.bearing is None) == (leg.angle is None):
        refuse("a leg has either a bearing or an angle", "keep one of them, or add one")
    return leg


def read_angles(value: object, info: ValidationInfo) -> tuple[TurnedAngle, ...]:
    """Angles between two points."""
    if isinstance(value, tuple):
        return value
    form = "{at: A, from: B, to: p1, reads: 52.4}"
    return tuple(
        each_read(_listed(value), lambda _, row: _from_start(TurnedAngle, row, form, info))
    )


def _from_start(model: type[M], row: object, form: str, info: ValidationInfo) -> M:
    """A row whose key ``from`` is the field ``start``."""
    held = {_of_model(key): cell for key, cell in _mapping(row, f"write {form}").items()}
    try:
        return _read(model, held, info)
    except Problems as problems:
        told = (_told_of_file(item) for item in problems.items)
        raise Problems(told) from None


def _told_of_file(item: Problem) -> Problem:
    loc = tuple(_of_file(part) if isinstance(part, str) else part for part in item.loc)
    return item._replace(loc=loc, cure=item.cure.replace("'start'", "'from'"))


def _of_file(key: str) -> str:
    return "from" if key == "start" else key


def _of_model(key: str) -> str:
    return {"from": "start", "start": "start "}.get(key, key)


def _mapping(value: object, cure: str) -> dict[str, Any]:
    if not isinstance(value, dict):
        refuse(f"keys are expected here, not {shown(value)}", cure)
    return dict(value)


def _listed(value: object) -> list[tuple[int, object]]:
    if not isinstance(value, list):
        refuse(f"{shown(value)} is not a list", "write a list: [...], or lines with '- '")
    return list(enumerate(value))


def _read(model: type[M], value: object, info: ValidationInfo) -> M:
    """A model inside a table; raises Problems relative to it."""
    try:
        return model.model_validate(value, context=info.context)
    except ValidationError as error:
        raise Problems(complaints(error, model)) from None


def _form(reader: Callable[..., Any], form: str) -> tuple[Any, Any]:
    return BeforeValidator(reader), WithJsonSchema({"form": form})


class Survey(Model):
    """Fixed points, what was measured from them, and the points that came of it.

    ``adjusted`` is made by the reader and stands in no file. ``called_in`` is the unit that
    readings were called out in.
    """

    made_keys: ClassVar = ("adjusted",)

    points: tuple[ReferencePoint, ...] = ()
    side: Annotated[Side, word_of(Side, "side of a line")] | None = None
    ties: Annotated[tuple[TieRow, ...], *_form(read_ties, "Ties")] = ()
    sides: Annotated[tuple[TapedSide, ...], *_form(read_sides, "TapedSides")] = ()
    offsets: Annotated[tuple[Offsets, ...], *_form(read_offsets, "OffsetLines")] = ()
    traverse: Annotated[tuple[Leg, ...], *_form(read_traverse, "Legs")] = ()
    angles: Annotated[tuple[TurnedAngle, ...], *_form(read_angles, "TurnedAngles")] = ()
    sigma: Sigmas = Sigmas()
    called_in: Annotated[Units, word_of(Units, "unit of readings")] = "m"
    adjusted: tuple[SurveyedPoint, ...] = ()

    @property
    def has_readings(self) -> bool:
        """Whether there is anything to adjust."""
        return any((self.ties, self.sides, self.offsets, self.traverse, self.angles))

    @model_validator(mode="before")
    @classmethod
    def _nothing_made_is_written(cls, value: Any) -> Any:
        if isinstance(value, Tree):
            for key in cls.made_keys:
                if key in value:
                    refuse("this key is not known", "leave it out", (key,))
        return value

    @field_serializer("ties")
    def _ties_of_file(self, rows: tuple[TieRow, ...]) -> dict[str, Any]:
        return {row.point: _row_of_file(row) for row in rows}

    @field_serializer("sides")
    def _sides_of_file(self, rows: tuple[TapedSide, ...]) -> list[Any]:
        return [[*row.of, _cell(row.taped)] for row in rows]

    @field_serializer("offsets")
    def _offsets_of_file(self, rows: tuple[Offsets, ...]) -> list[Any]:
        return [
            _kept({"line": list(row.line), "sigma": row.sigma})
            | {"points": {each.point: [each.along, each.off] for each in row.points}}
            for row in rows
        ]

    @field_serializer("traverse", "angles")
    def _legs_of_file(self, rows: tuple[Model, ...]) -> list[Any]:
        return [{_of_file(key): value for key, value in _plain(row).items()} for row in rows]


def _row_of_file(row: TieRow) -> dict[str, Any]:
    cells: dict[str, Any] = {name: _cell(taped) for name, taped in row.tapes}
    if row.side is not None:
        cells["side"] = [*row.line, row.side] if row.line else row.side
    return cells


def _cell(taped: Taped) -> dict[str, Any]:
    return _plain(taped)


def _plain(model: Model) -> dict[str, Any]:
    return model.model_dump(mode="json", exclude_defaults=True)


def _kept(values: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in values.items() if value is not None}


TABLES = ("ties", "sides", "offsets", "traverse", "angles")


def is_measured(value: object) -> bool:
    """Whether the survey of a file holds readings."""
    return isinstance(value, dict) and any(value.get(table) for table in TABLES)


def places(survey: Survey) -> dict[str, tuple[float, float]]:
    """Every point that a plan may name, fixed or found, in metres."""
    found = {point.name: point.at for point in survey.points}
    return found | {point.name: point.at for point in survey.adjusted}
