"""Plans for tests of what is counted: one garden, of which each test changes what it needs."""

from __future__ import annotations

import copy
import json
from typing import Any

from renderer.plan import Plan, loads

GARDEN: dict[str, Any] = {
    "plan": 1,
    "job": {"number": "T-1"},
    "machine": {
        "label": "Training machine",
        "setback": {"wall": 0.30, "bed": 0.30, "flush": 0.10, "water": 1.0, "tree": 0.45},
        "corner_radius": 0.30,
        "passage_min": 0.8,
        "loop_max": 400,
        "tail": 2.0,
    },
    "lawns": [
        {
            "name": "Rear",
            "outline": [[0, 0, "wall"], [20, 0, "wall"], [20, 12, "wall"], [0, 12, "wall"]],
        }
    ],
    "obstacles": [{"name": "Bed", "kind": "bed", "circle": {"at": [10, 6], "radius": 1.0}}],
    "loops": [{"name": "main", "dock": {"at": [4, 0.3]}}],
    "wire": {"conductor_mm2": 0.75, "spools": [100, 100], "slack_percent": 5},
}


def plan_of(**changes: Any) -> Plan:
    """The garden's plan with changes, each by the path of its key, such as ``wire__spools``."""
    tree = copy.deepcopy(GARDEN)
    for path, value in changes.items():
        *parents, key = path.split("__")
        node = tree
        for parent in parents:
            node = node.setdefault(parent, {})
        node[key] = value
    return loads(json.dumps(tree), "garden.json")
