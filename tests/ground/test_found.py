"""Small gardens that random search found hard, cut down to what matters."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import pytest

from renderer.checks import check_plan
from tests.checks.test_random_gardens import NEVER
from tests.fuzz.small import GRIDS, in_feet, moved
from tests.ground.gardens import as_text, figures, laid
from tests.ground.test_turned import WAYS, moved_by
from tests.ground.wire_rules import violations

if TYPE_CHECKING:
    from collections.abc import Callable


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
    "a chord that ends where the wire round an island begins": Hard(
        [
            [2.7499056, 0.2100072, "water"],
            [3.1098744, -1.8800064, "hedge"],
            [-0.409956, -1.8800064, "hedge"],
            [-4.1199816, -3.8398704, "kerb"],
            [-3.3000696, 1.1899392, "hedge"],
            [-1.5099792, 3.7100256, "road"],
            [1.2600432, 5.3199792, "wall"],
        ],
        {"kerb": 0.0, "wall": 0.3499104, "hedge": 0.3499104, "water": 0.0999744, "road": 0.2999232},
        {"passage_min": 1.4999208},
        [
            {
                "name": "Post",
                "kind": "kerb",
                "circle": {"at": [1.4499336, 0.0100584], "radius": 0.5498592},
            }
        ],
    ),
    "a tree inside a solid thing needs no wire": Hard(
        [[0.0, 0.0, "fence"], [12.0, 1.0, "fence"], [11.0, 9.0, "wall"], [0.0, 8.0, "bed"]],
        {"tree": 0.3},
        {"passage_min": 1.5},
        [
            {"name": "Planter", "kind": "firm", "polygon": [[4, 3], [8, 3], [8, 6], [4, 6]]},
            {"name": "Tree", "kind": "tree", "circle": {"at": [6.1, 5.2], "radius": 0.36}},
        ],
    ),
    "nor does a bed on two solid things side by side": Hard(
        [[0.0, 0.0, "fence"], [12.0, 1.0, "fence"], [11.0, 9.0, "wall"], [0.0, 8.0, "bed"]],
        {"bed": 0.0},
        {"passage_min": 1.0},
        [
            {"name": "Left", "kind": "firm", "polygon": [[4, 3], [6, 3], [6, 6], [4, 6]]},
            {"name": "Right", "kind": "firm", "polygon": [[6, 3], [8, 3], [8, 6], [6, 6]]},
            {"name": "Bed", "kind": "bed", "circle": {"at": [6, 4.5], "radius": 1.2}},
        ],
    ),
}

# The plan file of a garden, and the same one laid out or written otherwise.
OTHERWISE: dict[str, Callable[[str], str]] = {
    "as-found": lambda text: text,
    "turned": lambda text: moved_by(text, WAYS["turned by 61.7"]),
    "mirrored": lambda text: moved_by(text, WAYS["mirrored"]),
    "in-feet": lambda text: json.dumps({**in_feet(json.loads(text)), "units": "ft"}),
    "on-a-grid": lambda text: json.dumps(moved(json.loads(text), GRIDS[0])),
}


@pytest.mark.parametrize("way", OTHERWISE)
@pytest.mark.parametrize(
    "hard", [pytest.param(hard, id=name.replace(" ", "-")) for name, hard in HARD.items()]
)
def test_a_hard_garden_keeps_every_rule(hard: Hard, way: str) -> None:
    machine = figures(**hard.machine, back=figures()["setback"] | hard.back)
    outline = [{"at": [x, y], "side": kind} for x, y, kind in hard.outline]
    home = {"generator": {"at": hard.outline[0][:2]}}
    lawn = {"name": "Lawn", "outline": outline}
    plan, lay = laid(OTHERWISE[way](as_text(machine, [lawn], hard.things, [home])))
    assert violations(plan, lay) == []
    found = check_plan(plan, lay)
    assert [hit for hit in found if hit.rule in NEVER or hit.rule == "part-unreached"] == []
