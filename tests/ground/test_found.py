"""Small gardens that random search found hard, cut down to what matters."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import pytest

from tests.ground.gardens import figures, lay_of
from tests.ground.wire_rules import violations


@dataclass(frozen=True)
class Hard:
    """A lawn, what stands in it, and the figures of the machine that count."""

    outline: list[list[Any]]
    back: dict[str, float]
    machine: dict[str, Any]
    things: list[dict[str, Any]] = field(default_factory=list)


HARD = {
    "a widened bend beside a slight one must not lose the lawn": Hard(
        [
            [-3.255, -5.536, "water"],
            [-3.66, 1.113, "fence"],
            [-2.92, 1.6, "water"],
            [-2.865, 1.516, "road"],
            [6.373, 0.789, "neighbour"],
        ],
        {"fence": 0.3, "water": 0.1, "road": 0.1, "neighbour": 0.35},
        {"corner_radius": 0.2, "passage_min": 1.5},
    ),
    "a jagged yard across a lawn must not lose it": Hard(
        [[7.0, 3.0, "bed"], [-7.0, -5.0, "road"], [-8.0, 6.0, "flush"]],
        {"flush": 0.1, "wall": 0.3, "bed": 0.3, "road": 1.0},
        {"corner_radius": 0.3, "passage_min": 0.8},
        [
            {
                "name": "Yard",
                "kind": "wall",
                "polygon": [
                    [0.259, 4.149],
                    [-5.138, 1.043],
                    [-5.097, 0.987],
                    [-5.083, 0.996],
                    [-5.072, 0.974],
                    [-4.937, 0.953],
                ],
            }
        ],
    ),
    "a small thing over the end of a wide one is a neck": Hard(
        [[5.0, 9.0, "drop"], [16.0, -3.0, "hedge"], [-11.0, -3.0, "kerb"]],
        {"kerb": 0.0, "wall": 0.0, "hedge": 1.0, "bed": 0.2, "drop": 0.1},
        {"corner_angle_min": 60, "lead_clear_of_corner": 0.3},
        [
            {
                "name": "Wide",
                "kind": "wall",
                "polygon": [[-0.546, -0.8], [0.806, -0.8], [-0.546, -5.8]],
            },
            {"name": "Small", "kind": "bed", "circle": {"at": [-0.2443, 0.2657], "radius": 0.1}},
        ],
    ),
    "a tongue behind a step is a dead end": Hard(
        [
            [-3.12, -7.04, "hedge"],
            [-1.326, 7.04, "drop"],
            [0.234, 7.04, "water"],
            [0.234, 11.624, "kerb"],
            [1.326, 11.624, "wall"],
            [1.326, 7.04, "drop"],
            [1.794, 7.04, "flush"],
            [1.794, 3.648, "water"],
        ],
        {"flush": 0.1, "kerb": 0.3, "wall": 0.2, "hedge": 1.0, "water": 0.35, "drop": 0.0},
        {"passage_min": 1.5},
    ),
    "where a throat is closed its corners are rounded": Hard(
        [
            [10.7, -7.3, "drop"],
            [9.1, 4.1, "wall"],
            [9.1, 5.4, "fence"],
            [8.0, 5.4, "fence"],
            [8.0, 4.1, "wall"],
            [0.4, 4.5, "kerb"],
        ],
        {"kerb": 0.2, "wall": 0.35, "fence": 0.0, "drop": 0.0},
        {"corner_radius": 0.2, "passage_min": 1.5, "corner_angle_min": 60},
    ),
    "a corner cut beside another corner": Hard(
        [[42.4, 10.7, "kerb"], [55.6, 15.7, "kerb"], [51.6, -0.7, "drop"]],
        {"kerb": 0.0, "hedge": 0.2, "drop": 0.35},
        {"corner_angle_min": 90, "passage_min": 1.5},
        [{"name": "Hedge", "kind": "hedge", "polygon": [[55.0, 15.4], [54.1, 15.7], [55.2, 15.0]]}],
    ),
}


@pytest.mark.parametrize(
    "hard", [pytest.param(hard, id=name.replace(" ", "-")) for name, hard in HARD.items()]
)
def test_a_hard_garden_keeps_every_rule(hard: Hard) -> None:
    machine = figures(**hard.machine, back=figures()["setback"] | hard.back)
    assert violations(*lay_of(hard.outline, hard.things, machine=machine)) == []
