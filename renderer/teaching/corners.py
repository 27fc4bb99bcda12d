"""What a corner of a lawn takes off the wire beside its sides: setbacks, angle and bend."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from renderer.teaching.arithmetic import Number, Step
from renderer.teaching.reckoner import Reckoner, angle

if TYPE_CHECKING:
    from renderer.ground.pieces import Piece
    from renderer.ground.sides import NumberedSide
    from renderer.teaching.ground import Ground

CUT_WITHIN_M = 0.002
SQUARE_DEG = 0.02  # a corner this near to 90 degrees is square
LETTERS = (("a", "r", "p"), ("b", "t", "q"))  # of the two ends of a straight


@dataclass(frozen=True, slots=True, eq=False)
class End:
    """How far one end of a straight lies back from its side's end: terms to take off, and steps."""

    terms: tuple[Number, ...] = ()
    steps: tuple[Step, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class _Corner:
    """A corner of two straight sides: setback of the other side, turn in degrees, left positive."""

    other: NumberedSide
    own_setback: float
    other_setback: float
    turn_deg: float

    @property
    def inside_deg(self) -> float:
        return 180.0 - self.turn_deg

    def cut_m(self, radius: float) -> float:
        """How far the wire's straight ends from the corner, measured along the side."""
        inside = math.radians(self.inside_deg)
        back = (self.other_setback + self.own_setback * math.cos(inside)) / math.sin(inside)
        return back + radius * math.tan(math.radians(self.turn_deg) / 2.0)


def end_of(ground: Ground, side: NumberedSide, piece: Piece, at: int) -> End | None:
    """How an end of a straight beside a side follows from the corner there, if it does.

    ``at`` is 0 for the end at the beginning of the side, -1 for the other.
    """
    corner = _corner(ground, side, at)
    if corner is None:
        return None
    way = (side.points[-1] - side.points[0]) / side.length_m
    along = sorted(float((point - side.points[0]) @ way) for point in piece.points[[0, -1]])
    cut = along[0] if at == 0 else side.length_m - along[1]
    if corner.turn_deg < 0:
        return End() if abs(cut) <= CUT_WITHIN_M else None
    for radius in dict.fromkeys((ground.plan.machine.corner_radius, 0.0)):
        if corner.turn_deg > SQUARE_DEG and abs(cut - corner.cut_m(radius)) <= CUT_WITHIN_M:
            return _end(ground.reckon, side, corner, radius)
    return None


def _corner(ground: Ground, side: NumberedSide, at: int) -> _Corner | None:
    own = [each for each in ground.sides if each.lawn == side.lawn]
    index = next(i for i, each in enumerate(own) if each.number == side.number)
    other = own[index - 1] if at == 0 else own[(index + 1) % len(own)]
    if other.arc:
        return None
    before, after = (other, side) if at == 0 else (side, other)
    one, two = (each.points[-1] - each.points[0] for each in (before, after))
    turn = math.degrees(math.atan2(float(one[0] * two[1] - one[1] * two[0]), float(one @ two)))
    setback: Mapping[str, float] = ground.plan.machine.setback
    return _Corner(other, setback[side.kind], setback[other.kind], turn)


def _end(reckon: Reckoner, side: NumberedSide, corner: _Corner, radius: float) -> End:
    if abs(corner.turn_deg - 90.0) <= SQUARE_DEG:
        lengths = (corner.other_setback, radius) if radius else (corner.other_setback,)
        return End(tuple(reckon.length(each) for each in lengths))
    step = _cut_step(reckon, side, corner, radius)
    return End((step.result,), (step,)) if step.agrees else End()


def _cut_step(reckon: Reckoner, side: NumberedSide, corner: _Corner, radius: float) -> Step:
    put_in = {
        "b": reckon.length(corner.other_setback),
        "a": reckon.length(corner.own_setback),
        "w": angle(corner.inside_deg),
    }
    formula = "({b} + {a} × cos({w})) ÷ sin({w})"
    key = "cut.sharp"
    if radius:
        put_in |= {"r": reckon.length(radius), "h": angle(corner.inside_deg / 2.0)}
        formula += " + {r} ÷ tan({h})"
        key = "cut.round"
    facts = {"side": str(side.number), "other": str(corner.other.number)}
    return reckon.step(key, formula, put_in, corner.cut_m(radius), facts)


@dataclass(frozen=True, slots=True)
class _Taken:
    """The formula so far and its numbers."""

    formula: str
    put_in: dict[str, Number] = field(default_factory=dict)


def straight_from_side(
    ground: Ground, side: NumberedSide, length_m: float, first: End, last: End
) -> list[Step]:
    """A straight of the wire as its side less what both corners take off."""
    reckon = ground.reckon
    taken = _Taken("{L}", {"L": reckon.length(side.length_m)})
    for end, letters in zip((first, last), LETTERS, strict=True):
        names = letters[2:] if end.steps else letters
        for letter, term in zip(names, end.terms, strict=False):
            taken = _Taken(f"{taken.formula} − {{{letter}}}", taken.put_in | {letter: term})
    facts = {"side": str(side.number), "kind": side.kind}
    key = f"straight.{_told(taken.put_in)}"
    step = reckon.step(key, taken.formula, taken.put_in, length_m, facts)
    return [*first.steps, *last.steps, step]


def _told(put_in: Mapping[str, Number]) -> str:
    """Which words explain a straight: they name no letter that its formula lacks."""
    letters = (("side", "pq"), ("bends", "rt"), ("square", "ab"))
    return next((key for key, some in letters if put_in.keys() & set(some)), "whole")
