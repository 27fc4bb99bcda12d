"""Gardens of any size, made up by rule, and the demo's; the same figures give the same garden."""

from __future__ import annotations

import json
import math
import random
from pathlib import Path
from typing import TYPE_CHECKING, Any

from benchmarks.measure import ROOT
from renderer.plan.kinds import SETBACK_KINDS

if TYPE_CHECKING:
    from renderer.plan.model import Plan

SMALL = ROOT / "demo/practice-lawn.plan.yaml"
MIDDLE = ROOT / "demo/old-smithy.plan.yaml"
LARGE = ROOT / "demo/hollin-park.plan.yaml"

MACHINE = {
    "label": "Garden machine (invented)",
    "setback": dict.fromkeys(SETBACK_KINDS, 0.3),
    "passage_min": 1.0,
    "loop_max": 400,
    "corner_radius": 0,
}

PARK: list[list[Any]] = [
    [0, 0, "wall"], [130, -3, "hedge"], [260, 2, "fence"], [400, 0, "bed"], [402, 120, "wall"],
    [400, 250, "hedge"], [260, 252, "bed"], [120, 249, "kerb"], [0, 250, "fence"],
    [-3, 110, "wall"],
]  # fmt: skip


def name_of(path: Path) -> str:
    """The garden's name in a table."""
    return path.name.removesuffix(".plan.yaml")


def round_garden(sides: int, islands: int) -> Plan:
    """A wavy round lawn of so many sides with so many round beds in a loose grid."""
    from renderer.plan import loads

    chance = random.Random(1)
    radius = max(20.0, 6.0 * math.sqrt(islands), 0.1 * sides)
    plan: dict[str, Any] = {
        "plan": 1,
        "job": {"number": f"B-{sides}-{islands}"},
        "machine": MACHINE,
        "lawns": [{"name": "Round", "outline": _outline(chance, sides, radius)}],
        "obstacles": _beds(chance, islands, radius),
        "loops": [{"name": "main", "dock": {"at": [radius, 0]}}],
        "wire": {"conductor_mm2": 1.5, "spools": [10000]},
    }
    return loads(json.dumps(plan), "round.plan.json", ".")


def park(islands: int) -> Plan:
    """A lawn of 400 x 250 m with so many things in it, about evenly strewn."""
    from renderer.plan import loads

    chance = random.Random(7)
    columns = round(math.sqrt(1.6 * islands))
    rows = math.ceil(islands / columns)
    things = []
    for number in range(islands):
        x = (number % columns + 0.5) * 400 / columns + chance.uniform(-2, 2)
        y = (number // columns + 0.5) * 250 / rows + chance.uniform(-2, 2)
        circle = {"at": [round(x, 2), round(y, 2)], "radius": round(chance.uniform(0.4, 2.0), 2)}
        kind = chance.choice(["tree", "bed", "wall", "water", "low"])
        things.append({"name": f"Thing {number + 1}", "kind": kind, "circle": circle})
    plan = {
        "plan": 1,
        "job": {"number": f"P-{islands}", "title": "Park"},
        "machine": MACHINE | {"loop_max": 20000},
        "lawns": [{"name": "Park", "outline": PARK}],
        "obstacles": things,
        "loops": [{"name": "main", "dock": {"at": [200, 0]}}],
        "wire": {"conductor_mm2": 1.5, "spools": [500] * 20},
    }
    return loads(json.dumps(plan), "park.plan.json", ".")


def _outline(chance: random.Random, sides: int, radius: float) -> list[list[Any]]:
    rows = []
    for number in range(sides):
        angle = 2 * math.pi * number / sides
        wave = 1 + 0.05 * math.sin(9 * angle) + 0.01 * chance.random() / (1 + sides / 200)
        kind = chance.choice(["wall", "bed"]) if number % 10 == 0 else "wall"
        x, y = radius * wave * math.cos(angle), radius * wave * math.sin(angle)
        rows.append([round(x, 4), round(y, 4), kind])
    return rows


def _beds(chance: random.Random, islands: int, radius: float) -> list[dict[str, Any]]:
    across = math.isqrt(islands) + 1
    pitch = 1.3 * radius / across
    return [
        {
            "name": f"Bed {number + 1}",
            "kind": "bed",
            "circle": {
                "at": [
                    (number % across - across / 2) * pitch,
                    (number // across - across / 2) * pitch,
                ],
                "radius": chance.uniform(0.3, 0.8),
            },
        }
        for number in range(islands)
    ]
