"""A laid plan as plain values for JSON, under the names that scripts rely on.

Lengths are metres, areas square metres, both to 0.1 mm (or mm2) as the walk
itself is; the unit stands in each key that has one.
"""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from renderer.ground.leg_names import peg_names
from renderer.language import ENGLISH

if TYPE_CHECKING:
    from renderer.findings_text import FindingText
    from renderer.ground.lay import Cut, Item, Leg, LoopLay, Peg, Splice, SpoolPlan
    from renderer.job import Job

Json = dict[str, Any]

DECIMALS = 4  # the walk is rounded to 0.1 mm before anything is measured on it


def lay_json(job: Job) -> Json:
    """The whole of ``pegline lay``: loops, take-off, findings."""
    lay = job.lay
    return {
        "plan": plan_json(job),
        "loops": [_loop(loop) for loop in lay.loops],
        "spools": _spools(lay.spools),
        "cuts": [_cut(cut) for cut in lay.cuts],
        "takeoff": [_item(item) for item in lay.takeoff],
        "findings": [finding_json(finding) for finding in job.findings_in(ENGLISH)],
    }


def plan_json(job: Job) -> Json:
    """What tells one plan from another."""
    head = job.plan.job
    state = "as built" if job.is_built else "as planned"
    return {
        "number": head.number,
        "revision": head.revision,
        "state": state,
        "digest": job.digest,
    }


def finding_json(finding: FindingText) -> Json:
    """A finding; ``at`` is null where it has no place on the ground.

    ``facts`` are what its message says as plain values, lengths in metres.
    """
    return {
        "rule": finding.rule,
        "level": finding.level,
        "message": finding.message,
        "at": None if finding.at is None else _point(*finding.at),
        "cure": finding.cure,
        "about": finding.about,
        "at_m": None if finding.at_m is None else _number(finding.at_m),
        "acknowledged": finding.acknowledged,
        "accept_with": finding.accept_with,
        "facts": finding.facts,
    }


def _number(value: float) -> float:
    return round(float(value), DECIMALS) + 0.0  # adding zero turns -0.0 into 0.0


def _point(x: float, y: float) -> list[float]:
    return [_number(x), _number(y)]


def _loop(loop: LoopLay) -> Json:
    names = peg_names(loop)
    return {
        "name": loop.name,
        "length_m": _number(loop.length_m),
        "order_length_m": _number(loop.order_length_m),
        "resistance_ohm": _number(loop.resistance_ohm),
        "working_area_m2": _number(loop.working_area_m2),
        "tail_m": _number(loop.tail_m),
        "slope_extra_m": _number(loop.slope_extra_m),
        "path": [_point(x, y) for x, y in loop.path.tolist()],
        "legs": [_leg(leg) for leg in loop.legs],
        "pegs": [_peg(peg, names[peg.id]) for peg in loop.pegs],
        "splices": [_splice(splice) for splice in loop.splices],
    }


def _leg(leg: Leg) -> Json:
    return {
        "kind": leg.kind,
        "of": leg.of,
        "from_m": _number(leg.from_m),
        "to_m": _number(leg.to_m),
        "back": leg.back,
    }


def _peg(peg: Peg, name: str) -> Json:
    return {
        "id": peg.id,
        "name": name,
        "at_m": _number(peg.at_m),
        "also_at_m": None if peg.also_at_m is None else _number(peg.also_at_m),
        "x": _number(peg.x),
        "y": _number(peg.y),
        "round": peg.round,
        "reason": peg.reason,
        "control": peg.control,
    }


def _splice(splice: Splice) -> Json:
    return {
        "id": splice.id,
        "at_m": _number(splice.at_m),
        "x": _number(splice.x),
        "y": _number(splice.y),
    }


def _spools(spools: SpoolPlan) -> Json:
    return {
        "pieces": [_rounded(asdict(piece)) for piece in spools.pieces],
        "offcuts": [_rounded(asdict(offcut)) for offcut in spools.offcuts],
        "unused_m": [_number(length) for length in spools.unused],
        "short_m": _number(spools.short_m),
    }


def _cut(cut: Cut) -> Json:
    return {
        "kind": cut.kind,
        "lawn": cut.lawn,
        "of": list(cut.of),
        "at": _point(*cut.at),
        "width_m": None if cut.width_m is None else _number(cut.width_m),
        "depth_m": None if cut.depth_m is None else _number(cut.depth_m),
        "area_m2": _number(cut.area_m2),
    }


def _item(item: Item) -> Json:
    return {
        "item": item.item,
        "quantity": _number(item.quantity) if item.unit == "m" else round(item.quantity),
        "unit": item.unit,
        "of": item.of,
    }


def _rounded(values: Json) -> Json:
    return {key: _number(v) if isinstance(v, float) else v for key, v in values.items()}
