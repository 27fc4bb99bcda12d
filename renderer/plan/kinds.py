"""The kinds of side, obstacle and feature, and what is particular to each.

To add a kind, add its word and its line in the table here, and its entry in
``layouts/words/*.kinds.yaml``. Where it has no drawing of its own it is drawn as another kind is.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Literal, NamedTuple, get_args

if TYPE_CHECKING:
    from collections.abc import Mapping

SideKind = Literal[
    "flush", "kerb", "wall", "fence", "hedge", "bed", "water", "drop", "road", "neighbour"
]
# A thing on the lawn is of the kind of a side, or one of these.
ObstacleKind = Literal[SideKind, "firm", "low", "soft", "tree"]
FeatureKind = Literal[
    "sprinkler",
    "buried cable",
    "buried pipe",
    "slope",
    "paving",
    "gate",
    "socket",
    "play",
    "building",
    "neighbour wire",
    "metal",
]


class BorderUse(NamedTuple):
    """What a kind of side or obstacle is to a crew, and whose drawing it has where not its own."""

    hazard: bool = False  # beyond it the machine drowns, falls or meets traffic
    stops_tape: bool = False  # no tape is taken across it
    lasting: bool = False  # stays in its place for years
    drawn_as: str = ""  # the kind whose pattern, filling and section it shares


BORDERS: Mapping[str, BorderUse] = MappingProxyType(
    {
        "flush": BorderUse(lasting=True),
        "kerb": BorderUse(lasting=True),
        "wall": BorderUse(stops_tape=True, lasting=True),
        "fence": BorderUse(stops_tape=True, lasting=True),
        "hedge": BorderUse(stops_tape=True),
        "bed": BorderUse(),
        "water": BorderUse(hazard=True, stops_tape=True),
        "drop": BorderUse(hazard=True, stops_tape=True),
        "road": BorderUse(hazard=True, stops_tape=True, lasting=True),
        "neighbour": BorderUse(),
        "firm": BorderUse(stops_tape=True),
        "low": BorderUse(),
        "soft": BorderUse(),
        "tree": BorderUse(stops_tape=True),
    }
)


class FeatureUse(NamedTuple):
    """How sheets use a kind of feature; ``symbol`` and ``line`` are names that drawing/ knows."""

    symbol: str = "place"  # of one at a point
    line: str = ""  # of one along a line; a thin one where none is named
    flagged: bool = False  # marked with flags before work starts, and photographed
    private: bool = False  # left out of sheets for a class


FEATURES: Mapping[str, FeatureUse] = MappingProxyType(
    {
        "sprinkler": FeatureUse(symbol="sprinkler", flagged=True),
        "buried cable": FeatureUse(line="chain", flagged=True),
        "buried pipe": FeatureUse(line="dashed", flagged=True),
        "slope": FeatureUse(),
        "paving": FeatureUse(),
        "gate": FeatureUse(symbol="gate", line="gate"),
        "socket": FeatureUse(symbol="socket", private=True),  # where power is found at a house
        "play": FeatureUse(symbol="play"),
        "building": FeatureUse(),
        "neighbour wire": FeatureUse(line="double chain"),
        "metal": FeatureUse(line="middle"),
    }
)

# What a buried cable or pipe carries.
Carried = Literal[
    "power", "gas", "water", "drain", "heating", "telecom", "low voltage", "irrigation"
]

SIDE_KINDS: tuple[str, ...] = get_args(SideKind)
SETBACK_KINDS: tuple[str, ...] = tuple(
    kind
    for kind in get_args(ObstacleKind)
    if kind != "firm"  # no wire round what stops the machine by itself
)


def drawn_as(kind: str) -> str:
    """The kind of side or obstacle whose drawing a kind has: its own, or another's."""
    use = BORDERS.get(kind)  # the ground on the proof is filled as no kind is
    return (use and use.drawn_as) or kind
