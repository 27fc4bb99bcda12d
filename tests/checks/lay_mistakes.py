"""Mistakes made in a correct lay, each with the rules that it trips: for tests and docs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

import numpy as np

from renderer.ground import faults, lay_plan
from renderer.ground.lay import Lay, LoopLay
from renderer.plan import Plan
from tests.checks.jobs import JOB, Job, changed, sharp


def beside(plan: Plan, name: str, dx: float, dy: float) -> Plan:
    """The plan with one obstacle elsewhere, as somebody would lay it who measured it wrongly."""
    obstacles = tuple(
        each.model_copy(update={"polygon": tuple((x + dx, y + dy) for x, y in each.polygon)})
        if each.name == name and each.polygon
        else each
        for each in plan.obstacles
    )
    assert obstacles != plan.obstacles
    return plan.model_copy(update={"obstacles": obstacles})


Mistake = Callable[[Plan, Lay], Lay]


def sharpest_bend(loop: LoopLay) -> float:
    """Where the first ring turns most within 60 cm and no pair is near, along the wire."""
    free = [
        (leg.from_m + 1.5, leg.to_m - 1.5)
        for leg in loop.legs
        if leg.kind == "outer" and leg.length_m > 4
    ]
    at = np.concatenate([np.arange(low, high, 0.05) for low, high in free])
    x, y = (
        np.array([np.interp(at + by, loop.at_m, loop.path[:, axis]) for by in (-0.3, 0.0, 0.3)])
        for axis in (0, 1)
    )
    cross = (x[1] - x[0]) * (y[2] - y[1]) - (y[1] - y[0]) * (x[2] - x[1])
    return float(at[np.argmax(np.abs(cross))])


def beside_cable(lay: Lay) -> float:
    """Where the wire of the job passes its cable, at the fence of the front lawn."""
    (loop,) = lay.loops
    (at,) = (
        float(a + (b - a) * (-10.0 - y) / (v - y))
        for (a, (x, y)), (b, (_, v)) in pairwise(zip(loop.at_m, loop.path, strict=True))
        if x > 22.0 and min(y, v) < -10.0 <= max(y, v)
    )
    return at


MISTAKES: dict[str, tuple[Mistake, set[str]]] = {
    "crossed leads": (
        lambda _, lay: faults.crossed_leads(lay, "Roses"),
        {"island-not-left-out"},
    ),
    "an island walked the wrong way": (
        lambda _, lay: faults.reversed_island(lay, "Pond"),
        {"island-not-left-out"},
    ),
    "a second lawn backwards": (
        lambda _, lay: faults.reversed_lawn(lay, "Front"),
        {"lawn-wired-backwards"},
    ),
    "all of it backwards": (
        lambda _, lay: faults.reversed_lawn(lay, "Rear"),
        {"lawn-wired-backwards"},
    ),
    "a pair whose wires lie apart": (
        lambda _, lay: faults.leads_apart(lay, "Roses"),
        {"pair-apart"},
    ),
    "a gap neither passage nor pair": (
        lambda _, lay: faults.dead_gap(lay, "Pond"),
        {"gap-too-narrow"},
    ),
    "a ring laid beside its island": (
        lambda plan, _: lay_plan(beside(plan, "Roses", 0.0, 2.0)),
        {"wire-too-near-side", "island-not-left-out"},
    ),
    "a splice in a lead pair": (
        lambda _, lay: faults.splice_in_lead(lay, "Roses"),
        {"splice-in-lead-pair"},
    ),
    "a splice in a crossing": (
        lambda _, lay: faults.splice_at(lay, "main", 14.0),
        {"splice-in-lead-pair", "splice-under-paving"},
    ),
    "a splice at the dock": (
        lambda _, lay: faults.splice_at(lay, "main", 1.1),
        {"splice-in-dock-run"},
    ),
    "a splice where a pair leaves": (
        lambda _, lay: faults.splice_at(lay, "main", 124.5),
        {"splice-near-corner"},
    ),
    "a splice in a rounded corner": (
        lambda _, lay: faults.splice_at(lay, "main", sharpest_bend(lay.loops[0])),
        {"splice-near-corner"},
    ),
    "a splice beside a cable": (
        lambda _, lay: faults.splice_at(lay, "main", beside_cable(lay)),
        {"splice-in-service-strip"},
    ),
    "water taken for a bed": (
        lambda plan, _: faults.wrong_setback(plan, "Pond", "bed"),
        {"wire-too-near-hazard"},
    ),
    "a bed taken for paving": (
        lambda plan, _: faults.wrong_setback(plan, "Roses", "flush"),
        {"wire-too-near-side"},
    ),
    "a fence taken for paving": (
        lambda plan, _: faults.wrong_setback(plan, "Rear", "flush", 1),
        {"wire-too-near-side"},
    ),
    "bends left sharp": (lambda plan, _: faults.sharp_corners_left(plan), {"bend-too-tight"}),
    "wire short of the spools' end": (lambda _, lay: _short(lay), {"stock-short"}),
}


def _short(lay: Lay) -> Lay:
    return replace(lay, spools=replace(lay.spools, short_m=18.0))


def twisted(_: Plan, lay: Lay) -> Lay:
    """The lay with two points of the ring round the roses exchanged, so that it crosses itself."""
    loop = lay.loops[0]
    ring = next(ring for ring in loop.rings if ring.of == "Roses")
    leg = next(leg for leg in loop.legs if leg.part == ring.id)
    inside = np.flatnonzero((loop.at_m > leg.from_m + 1) & (loop.at_m < leg.to_m - 1))
    path = loop.path.copy()
    one, two = inside[len(inside) // 3], inside[2 * len(inside) // 3]
    path[[one, two]] = path[[two, one]]
    return replace(lay, loops=(replace(loop, path=path),))


# What trips more than its rule, or is made of a garden of its own.
ON_ITS_OWN: dict[str, tuple[Job, Mistake]] = {
    "wire-crosses-itself": (
        changed(JOB, {"machine.corner_radius": 0, "machine.corner_angle_min": None}),
        twisted,
    ),
    "corner-too-sharp": (sharp(), lambda plan, _: faults.sharp_corners_left(plan)),
}
