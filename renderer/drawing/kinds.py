"""What labels say, and which of them are placed first: one table for all drawings."""

from __future__ import annotations

from enum import Enum


class LabelKind(Enum):
    """A kind of label and its rank; a lower one is placed first, equal ones in the order given."""

    SETBACK = ("setback", 0)
    VERDICT = ("verdict", 1)
    MATCH_LINE = ("match line", 2)
    TAIL = ("tail", 3)
    STRAIGHT_RUN = ("straight run", 4)
    WALK = ("walk", 5)
    CUT = ("cut", 6)
    SIDE_NUMBER = ("side number", 9)
    DOCK = ("dock", 10)
    GENERATOR = ("generator", 10)
    SPLICE = ("splice", 10)
    FOUND = ("found", 10)  # a point by which a sheet is found on the ground
    REFERENCE = ("reference", 11)
    SUPPLY = ("supply", 12)
    PIN = ("pin", 13)
    DIMENSION = ("dimension", 14)
    FINDING = ("finding", 15)
    SIDE = ("side", 16)
    FALL = ("fall", 17)
    PLACE = ("place", 18)
    THING = ("thing", 19)
    PEG_FIXED = ("peg at dock, corner or splice", 20)
    PEG_CONTROL = ("control peg", 22)
    PEG_TENTH = ("tenth peg", 40)
    PEG_FIFTH = ("fifth peg", 42)
    PAIR = ("pair", 45)
    PEG = ("peg", 46)
    LAWN = ("lawn", 60)
    # On an overview, below the readable scale, names come before peg numbers.
    FAR_PEG_FIXED = ("peg at dock, corner or splice, from afar", 70)
    FAR_PEG_CONTROL = ("control peg, from afar", 72)
    FAR_PEG_TENTH = ("tenth peg, from afar", 90)
    FAR_PEG_FIFTH = ("fifth peg, from afar", 92)
    FAR_PEG = ("peg, from afar", 96)

    @property
    def rank(self) -> int:
        return self.value[1]

    @property
    def from_afar(self) -> LabelKind:
        """The kind of a peg's number on an overview."""
        return LabelKind[f"FAR_{self.name}"]


PEGS = frozenset(kind for kind in LabelKind if "PEG" in kind.name)
# Numbers between those by which a crew finds its way: they take what room all others leave.
SPARE = frozenset(
    kind for kind in LabelKind if kind.name.endswith(("PEG", "PEG_FIFTH", "PEG_TENTH"))
)
# A crew finds its way by these, so that all else gives way to them.
NEEDED = frozenset({LabelKind.PEG_FIXED, LabelKind.PEG_CONTROL})
# Numbers of pegs and of legs go beside what they number, whatever lies there.
ANYWHERE = PEGS | {LabelKind.WALK}
# Labels of what a mistake in the lay can move.
MOVABLE = PEGS | {LabelKind.PAIR, LabelKind.DOCK, LabelKind.SPLICE}
