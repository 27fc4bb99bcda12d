"""The words for kinds of side, obstacle and feature."""

from __future__ import annotations

from typing import Literal, get_args

SideKind = Literal[
    "flush", "kerb", "wall", "fence", "hedge", "bed", "water", "drop", "road", "neighbour"
]
ObstacleKind = Literal[
    "flush",
    "kerb",
    "wall",
    "fence",
    "hedge",
    "bed",
    "water",
    "drop",
    "road",
    "neighbour",
    "firm",
    "low",
    "soft",
    "tree",
]
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

# What a buried cable or pipe carries.
Carried = Literal[
    "power", "gas", "water", "drain", "heating", "telecom", "low voltage", "irrigation"
]

SIDE_KINDS: tuple[str, ...] = get_args(SideKind)
SETBACK_KINDS: tuple[str, ...] = tuple(
    kind
    for kind in get_args(ObstacleKind)
    if kind != "firm"  # no wire round what stops by itself
)
