"""What was really laid, and what was changed later: the records of a plan file.

The plan as designed stays as it is. ``as_built`` says what the crew did otherwise, each of
``changes`` what was changed in a later year, and each is applied to what the one before it left.
"""

from __future__ import annotations

from typing import Annotated, ClassVar, Self

from pydantic import (
    BeforeValidator,
    PlainSerializer,
    ValidationInfo,
    WithJsonSchema,
    model_validator,
)

from renderer.plan.base import Model
from renderer.plan.codes import CODE_LENGTH, CODE_LETTERS
from renderer.plan.errors import refuse, shown
from renderer.plan.limits import AtMost, Within
from renderer.plan.obstacle import Obstacle
from renderer.plan.survey import Side
from renderer.plan.texts import to_name, to_text
from renderer.plan.values import (
    Day,
    Length,
    Line,
    Name,
    Number,
    Point,
    Text,
    each_read,
    read_length,
    to_metres,
    word_of,
)
from renderer.plan.wire import Spool

ROWS_MAX = 2_000  # moved pegs, splices or readings of a record
CHANGES_MAX = 200  # later changes or revisions of a plan

Celsius = Annotated[Number, Within(-30, 60, " degC")]
Ohms = Annotated[Number, Within(0, 10_000, " ohm", above=True)]
Megohms = Annotated[Number, Within(0, 1_000_000, " Mohm")]
Along = Annotated[Length, Within(0, 100_000, " m")]


def read_tapes(value: object, info: ValidationInfo) -> tuple[tuple[str, float], ...]:
    """Tapes from named points, ``{A: 6.91, B: 9.60}``; raises Problems, one a bad cell."""
    if isinstance(value, tuple):
        return value
    if not isinstance(value, dict):
        refuse(f"{shown(value)} is not a set of tapes", "write {A: 6.91, B: 9.60}")
    cells = [(name, cell) for name, cell in value.items() if cell is not None]
    read = each_read(cells, lambda name, cell: (to_name(name), _tape(cell, info)))
    if len(read) < 2:
        refuse("a place needs two tapes", "tape it from a second point: {A: 6.91, B: 9.60}")
    return tuple(read)


def _tape(cell: object, info: ValidationInfo) -> float:
    length = read_length(cell, info)
    if length <= 0.0:
        refuse(f"{shown(cell)} is not a length that a tape reads", "write a length such as 6.91")
    return length


def read_station(value: object) -> float:
    """A running distance along the wire under a key that ends in ``_m``: metres if bare."""
    return to_metres(value, "m")


def read_design(value: object) -> str:
    """A design code in capitals; raises Problems for what cannot be one."""
    text = to_text(value).strip().upper()
    if text and (len(text) != CODE_LENGTH or not set(text) <= set(CODE_LETTERS)):
        refuse(f"{shown(value)} is not a design code", "copy it from the as-built page")
    return text


DesignCode = Annotated[str, BeforeValidator(read_design), WithJsonSchema({"form": "Text"})]
Tapes = Annotated[
    tuple[tuple[str, float], ...],
    BeforeValidator(read_tapes),
    PlainSerializer(dict),
    WithJsonSchema({"form": "Tapes"}),
]
Station = Annotated[
    float,
    BeforeValidator(read_station),
    Within(0, 100_000, " m"),
    WithJsonSchema({"form": "Length"}),
]
SideWord = Annotated[Side, word_of(Side, "side of a line")]


class Placed(Model):
    """A place on the ground: ``to`` a point, or by ``ties``, or along the wire.

    ``side`` is that of the line from the first point of the ties to the second, where the place
    lies; the side nearer to the planned place where it is left out. ``at`` and ``at_m`` are running
    distances along the wire, the second in metres whatever the unit of the file.
    """

    ways: ClassVar = "to, ties, at or at_m"

    to: Point | None = None
    ties: Tapes | None = None
    side: SideWord | None = None
    at: Along | None = None
    at_m: Station | None = None

    @property
    def along_m(self) -> float | None:
        """The running distance, by whichever key it is given."""
        return self.at if self.at_m is None else self.at_m

    @property
    def by_wire(self) -> bool:
        """Whether it is given from the wire as it was before."""
        return self.along_m is not None

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        given = (self.to is not None) + (self.ties is not None) + self.by_wire
        if given == 0:
            refuse("it does not say where", f"give one of {self.ways}")
        if given > 1:
            refuse("it says in several ways where", f"keep one of {self.ways}")
        if self.at is not None and self.at_m is not None:
            refuse("it has both at and at_m", "keep one of them", ("at_m",))
        if self.side is not None and self.ties is None:
            refuse("only ties have a side", "leave it out", ("side",))
        return self


class MovedPeg(Placed):
    """A peg, which may hold a corner, that stands elsewhere than planned.

    ``offset`` is square off the wire, plus to its left as it is walked: off the planned place of
    the peg, or off the running distance that is given beside it.
    """

    ways: ClassVar = "to, ties, offset, at or at_m"

    peg: Name
    offset: Length | None = None

    @property
    def by_wire(self) -> bool:
        """Whether it is given from the wire as it was before."""
        return self.along_m is not None or self.offset is not None


class FoundSplice(Placed):
    """A splice as it lies: where along the wire, or where on the ground."""

    splice: Name | None = None
    loop: Name | None = None


class Reading(Model):
    """What a meter showed, its own leads subtracted: of a loop by its name, or of ``spool N``.

    ``insulation_megohm`` is between the wire and earth, by the insulation tester.
    """

    what: Name
    ohm: Ohms | None = None
    temperature: Celsius = 20.0
    insulation_megohm: Megohms | None = None

    @model_validator(mode="after")
    def _reads_something(self) -> Self:
        if self.ohm is None and self.insulation_megohm is None:
            refuse("it does not say what was read", "give ohm, or insulation_megohm")
        return self


class Record(Model):
    """What was laid otherwise than the wire was before: as planned, or as the last record left it.

    ``splices``, where given, are all there are; ``spools`` the lengths that were on the spools in
    the order in which they were laid. ``design`` is the code of the design that was laid from, as
    the as-built page prints it.
    """

    revision: Line = ""
    date: Day | None = None
    by: Line = ""
    design: DesignCode = ""
    what: Text = ""
    moved: Annotated[tuple[MovedPeg, ...], AtMost(ROWS_MAX)] = ()
    splices: Annotated[tuple[FoundSplice, ...], AtMost(ROWS_MAX)] | None = None
    spools: Annotated[tuple[Spool, ...], AtMost(ROWS_MAX)] = ()
    left_out: Annotated[tuple[Name, ...], AtMost(ROWS_MAX)] = ()
    added: Annotated[tuple[Obstacle, ...], AtMost(ROWS_MAX)] = ()
    readings: Annotated[tuple[Reading, ...], AtMost(ROWS_MAX)] = ()

    @property
    def changes_ground(self) -> bool:
        """Whether islands were added or left out, so that rings lie elsewhere."""
        return bool(self.left_out or self.added)


class Revision(Model):
    """A line of the history of the plan."""

    revision: Name
    date: Day | None = None
    by: Line = ""
    what: Text = ""
