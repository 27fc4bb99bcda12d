"""The supply: lead, voltage lost in it, socket, and where a generator stands."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import shapely

from renderer.checks.case import middle
from renderer.checks.rule import Hit, Rule
from renderer.ground.electric import lead_drop
from renderer.ground.supply import GRASS_M
from renderer.trade import LEAD_IN_WALL_M, SOCKET_NEAR_M

if TYPE_CHECKING:
    from collections.abc import Iterator

    from renderer.checks.case import Case
    from renderer.checks.fact import Facts
    from renderer.plan.model import Feature, Loop, SupplyFigures

LEAST_M = 1e-3


def lead_too_short(case: Case) -> Iterator[Hit]:
    """Supplies whose lead is too short for the route that it takes."""
    for loop, _, run in case.leads:
        assert loop.supply is not None
        stated = loop.supply.lead
        reach = case.plan.machine.dock.lead_max if stated is None else stated
        if run.length_m > reach + LEAST_M:
            key = f"lead-too-short.{'longest' if stated is None else 'found'}"
            facts: Facts = {"loop": loop.name, "away_m": run.length_m, "lead_m": reach}
            yield Hit(key, facts, loop.supply.at, loop.name, apart=("away_m", "lead_m"))


def lead_through_building(case: Case) -> Iterator[Hit]:
    """Leads that run through a building for more than the thickness of a wall."""
    for loop, _, run in case.leads:
        if run.in_building.length > LEAD_IN_WALL_M:
            facts: Facts = {"loop": loop.name, "length_m": float(run.in_building.length)}
            at = middle(shapely.get_parts(run.in_building)[0])
            yield Hit("lead-through-building.found", facts, at, loop.name)


def lead_over_grass(case: Case) -> Iterator[Hit]:
    """Leads over ground that is mown."""
    for loop, laid, run in case.leads:
        if run.on_grass.length > GRASS_M and not _in_mown(case, loop):
            facts: Facts = {"loop": loop.name, "length_m": float(run.on_grass.length)}
            at = middle(shapely.get_parts(run.on_grass)[0])
            yield Hit("lead-over-grass.found", facts, at, loop.name, case.station(at, laid))


def lead_goes_round(case: Case) -> Iterator[Hit]:
    """Leads whose route is not stated, where a straight one would meet a building or mown grass."""
    for loop, _, run in case.leads:
        if run.round and loop.supply is not None:
            facts: Facts = {"loop": loop.name, "length_m": run.length_m}
            yield Hit("lead-way-not-stated.found", facts, loop.supply.at, loop.name)


def supply_on_lawn(case: Case) -> Iterator[Hit]:
    """Supplies inside a working area."""
    for loop, _, _ in case.leads:
        if _in_mown(case, loop) and loop.supply is not None:
            facts = {"loop": loop.name}
            yield Hit("supply-on-lawn.found", facts, loop.supply.at, loop.name)


def _in_mown(case: Case, loop: Loop) -> bool:
    place = shapely.Point(loop.supply.at) if loop.supply else shapely.Point()
    inside = shapely.contains(case.working, place)
    return bool(inside and shapely.distance(case.working.boundary, place) > GRASS_M)


def lead_too_long(case: Case) -> Iterator[Hit]:
    """Leads longer than the machine's figure."""
    most = case.plan.machine.dock.lead_max
    for loop, _ in case.pairs():
        if loop.supply is not None and (loop.supply.lead or 0.0) > most + LEAST_M:
            lead = loop.supply.lead or 0.0
            facts: Facts = {"loop": loop.name, "lead_m": lead, "limit_m": most}
            at, apart = loop.supply.at, ("lead_m", "limit_m")
            yield Hit("lead-too-long.found", facts, at, loop.name, apart=apart)


def lead_loses_voltage(case: Case) -> Iterator[Hit]:
    """Leads in which too much of the voltage is lost."""
    figures = case.plan.machine.supply
    for loop, _ in case.pairs():
        if figures is None or loop.supply is None or not loop.supply.lead:
            continue
        drop = lead_drop(figures, loop.supply.lead)
        if drop.percent > figures.drop_max_percent:
            facts: Facts = {
                "loop": loop.name,
                "lost_percent": drop.percent,
                "limit_percent": figures.drop_max_percent,
                "length_m": loop.supply.lead,
                "current_a": figures.current_a,
                "voltage_v": figures.voltage_v,
                **_size(figures),
            }
            yield Hit("lead-loses-voltage.found", facts, loop.supply.at, loop.name)


def _size(figures: SupplyFigures) -> Facts:
    """Size of the lead's conductor."""
    if figures.conductor_awg is not None:
        return {"size_awg": figures.conductor_awg}
    return {"size_mm2": figures.conductor_mm2 or 0.0}


def socket_of(case: Case, loop: Loop) -> Feature | None:
    """The socket that a loop's supply is plugged into, where the plan has one beside it."""
    if loop.supply is None:
        return None
    near = [
        (math.dist(feature.at, loop.supply.at), feature.name, feature)
        for feature in case.plan.features
        if feature.kind == "socket" and feature.at is not None
    ]
    if not near or min(near)[0] > SOCKET_NEAR_M:
        return None
    return min(near, key=lambda each: each[:2])[2]


def socket_unfit(case: Case) -> Iterator[Hit]:
    """Sockets that are stated to lack protection or an outdoor rating."""
    for loop in case.plan.loops:
        socket = socket_of(case, loop)
        if socket is not None and False in (socket.protected, socket.outdoor):
            lacks = "protected" if socket.outdoor is not False else "outdoor"
            key = "both" if socket.protected is socket.outdoor else lacks
            yield Hit(f"socket-unfit.{key}", {"name": socket.name}, socket.at, socket.name)


def socket_unknown(case: Case) -> Iterator[Hit]:
    """Supplies whose socket is not on the plan, or not known to be fit."""
    for loop in case.plan.loops:
        if loop.supply is None:
            yield Hit("socket-not-known.supply", {"loop": loop.name}, about=loop.name)
            continue
        socket = socket_of(case, loop)
        if socket is None:
            facts = {"loop": loop.name}
            yield Hit("socket-not-known.socket", facts, loop.supply.at, loop.name)
        elif None in (socket.protected, socket.outdoor) and False not in (
            socket.protected,
            socket.outdoor,
        ):
            yield Hit("socket-not-known.found", {"name": socket.name}, socket.at, socket.name)


def generator_on_lawn(case: Case) -> Iterator[Hit]:
    """Generators inside a working area."""
    for loop in case.plan.loops:
        if loop.generator is not None:
            place = shapely.Point(loop.generator.at)
            if shapely.contains(case.working, place):
                facts = {"loop": loop.name}
                yield Hit("generator-on-lawn.found", facts, loop.generator.at, loop.name)


RULES = (
    Rule("supply-on-lawn", "stop", supply_on_lawn),
    Rule("lead-through-building", "stop", lead_through_building),
    Rule("lead-over-grass", "warn", lead_over_grass),
    Rule("lead-way-not-stated", "warn", lead_goes_round),
    Rule("socket-unfit", "stop", socket_unfit),
    Rule("lead-too-short", "stop", lead_too_short),
    Rule("lead-too-long", "warn", lead_too_long),
    Rule("lead-loses-voltage", "warn", lead_loses_voltage),
    Rule("socket-not-known", "warn", socket_unknown),
    Rule("generator-on-lawn", "warn", generator_on_lawn),
)
