"""A correct job, and ways to write it with something changed."""

from __future__ import annotations

import copy
import json
from typing import TYPE_CHECKING, Any

from renderer.findings_text import in_words
from renderer.plan import loads
from tests.shared import check_plan, lay_plan

if TYPE_CHECKING:
    from renderer.findings_text import FindingText
    from renderer.ground.lay import Lay
    from renderer.plan import Plan

Job = dict[str, Any]

TOLD_OF_TWO_LAWNS = {"parts-carried-to"}  # no mistake: so it is with two lawns in a loop

MACHINE: Job = {
    "label": "Test machine",
    "from_manual": True,
    "lay_direction": "anticlockwise",
    "setback": {
        "flush": 0.1,
        "kerb": 0.3,
        "wall": 0.35,
        "fence": 0.35,
        "hedge": 0.3,
        "bed": 0.3,
        "water": 1.0,
        "drop": 1.0,
        "road": 1.0,
        "neighbour": 0.35,
        "low": 0.3,
        "soft": 0.3,
        "tree": 0.4,
    },
    "corner_radius": 0.2,
    "corner_angle_min": 80,
    "passage_min": 1.2,
    "loop_max": 400,
    "tail": 0.3,
    "peg_spacing": {"first": 3.0, "final": 0.75},
    "dock": {"straight_before": 2.0, "straight_after": 1.0, "clear_of_corner": 1.0, "lead_max": 10},
    "supply": {"current_a": 2.0, "voltage_v": 24, "conductor_mm2": 1.0},
}

JOB: Job = {
    "plan": 1,
    "job": {"number": "T-1", "services_asked": "yes: one cable, located"},
    "machine": MACHINE,
    "survey": {"points": [{"name": "A", "at": [0, 0]}, {"name": "B", "at": [24, 0]}]},
    "lawns": [
        {
            "name": "Rear",
            "outline": [[0, 0, "flush"], [24, 0, "fence"], [24, 14, "hedge"], [0, 14, "wall"]],
        },
        {
            "name": "Front",
            "outline": [[0, -14, "wall"], [24, -14, "fence"], [24, -4, "bed"], [0, -4, "flush"]],
        },
    ],
    "obstacles": [
        {"name": "Pond", "kind": "water", "circle": {"at": [17, 8], "radius": 1.2}},
        {"name": "Roses", "kind": "bed", "polygon": [[4, 6], [7, 6], [7, 8], [4, 8]]},
        {"name": "Post", "kind": "firm", "circle": {"at": [10, 11], "radius": 0.15}},
        {"name": "Court bed", "kind": "bed", "circle": {"at": [10, -9], "radius": 1.0}},
    ],
    "features": [
        {"name": "Socket", "kind": "socket", "at": [5, -0.5], "protected": True, "outdoor": True},
        {"name": "Mound", "kind": "slope", "percent": 12, "circle": {"at": [11, 6], "radius": 1.0}},
        {"name": "Side gate", "kind": "gate", "line": [[24, 9], [24, 10.2]]},
        {"name": "Head", "kind": "sprinkler", "at": [21, 4], "radius": 2.0},
        {
            "name": "Lamp cable",
            "kind": "buried cable",
            "line": [[30, -10], [21, -10]],
            "located": "2026-05-01",
        },
        {"name": "Drive", "kind": "paving", "polygon": [[0, -4], [24, -4], [24, 0], [0, 0]]},
    ],
    "loops": [
        {
            "name": "main",
            "dock": {"at": [8, 0.1]},
            "supply": {"at": [5, -0.5], "lead": 4},
            "crossings": [
                {"between": ["Rear", "Front"], "via": [[20, -1], [20, -3]], "under": "paving"}
            ],
        }
    ],
    "wire": {"conductor_mm2": 0.75, "spools": [300]},
}


def one_lawn() -> Job:
    """The job with its first lawn alone."""
    job = copy.deepcopy(JOB)
    job["lawns"] = job["lawns"][:1]
    job["obstacles"] = job["obstacles"][:3]
    job["features"] = job["features"][:4]
    del job["loops"][0]["crossings"]
    return job


def two_loops() -> Job:
    """The job with its lawns on two loops."""
    job = copy.deepcopy(JOB)
    del job["loops"][0]["crossings"]
    job["lawns"][1]["loop"] = "front"
    job["features"].append(
        {"name": "Porch", "kind": "socket", "at": [-0.5, -9], "protected": True, "outdoor": True}
    )
    generator = {"at": [0.1, -9], "mounted": "wall"}
    supply = {"at": [-0.5, -9], "lead": 2}
    job["loops"].append({"name": "front", "generator": generator, "supply": supply})
    return job


def clockwise() -> Job:
    """The job laid the other way round."""
    return changed(JOB, {"machine.lay_direction": "clockwise"})


def sharp() -> Job:
    """One lawn with an acute corner, which is cut off, and no rounding."""
    job = changed(one_lawn(), {"machine.corner_radius": 0})
    job["lawns"][0]["outline"][2] = [30, 14, "hedge"]
    job["features"][2]["line"] = [[26.4, 5.6], [27.0, 7.0]]
    return job


def in_feet() -> Job:
    """One lawn shown in feet and inches."""
    return changed(one_lawn(), {"shown_in": "ft"})


CORRECT = {
    "two lawns and a crossing": lambda: copy.deepcopy(JOB),
    "one lawn": one_lawn,
    "two loops": two_loops,
    "clockwise": clockwise,
    "sharp corners": sharp,
    "in feet": in_feet,
}


def changed(job: Job, changes: dict[str, Any]) -> Job:
    """A copy with values put at dotted places such as ``loops.0.dock.at``; ``None`` takes away.

    A place that ends in ``+`` adds to the list there.
    """
    copied = copy.deepcopy(job)
    for place, value in changes.items():
        *way, last = place.split(".")
        held: Any = copied
        for key in way:
            held = held[int(key)] if isinstance(held, list) else held.setdefault(key, {})
        if last == "+":
            held.append(value)
        elif value is None:
            del held[int(last) if isinstance(held, list) else last]
        else:
            held[int(last) if isinstance(held, list) else last] = value
    return copied


def plan_of(job: Job) -> Plan:
    """The job as a validated plan."""
    return loads(json.dumps(job), "job.json")


def found(plan: Plan, lay: Lay | None = None) -> tuple[FindingText, ...]:
    """All findings on a plan in English, laid here where no lay is given."""
    return in_words(check_plan(plan, lay_plan(plan) if lay is None else lay), plan.units)


def faults_found(plan: Plan, lay: Lay | None = None) -> tuple[FindingText, ...]:
    """All findings but what is so with every job of two lawns in a loop."""
    return tuple(each for each in found(plan, lay) if each.rule not in TOLD_OF_TWO_LAWNS)


def tripped(plan: Plan, lay: Lay | None = None) -> set[str]:
    """Ids of the rules above the level of a note that a plan breaks."""
    return {finding.rule for finding in found(plan, lay) if finding.level != "note"}


def noted(plan: Plan) -> set[str]:
    """Ids of the rules that give a note."""
    return {finding.rule for finding in found(plan) if finding.level == "note"}
