"""Cautions by fact: what in this garden can hurt someone, and what always can.

Signal words follow ANSI Z535: DANGER will, WARNING could kill or injure badly, CAUTION could injure
lightly, NOTICE is about things and animals.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import shapely

from renderer.checks.caution import SIGNALS, Caution, Signal
from renderer.checks.services import services_near
from renderer.checks.supply import socket_of
from renderer.trade import (
    BASIN_M,
    HARD_GROUND,
    SERVICE_STRIP_M,
    SLIPPERY_PERCENT,
    WATER_NEAR_M,
    WATER_SHALLOW_M,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from renderer.checks.case import Case
    from renderer.checks.caution import Fact


# Said on every job.
ALWAYS: tuple[tuple[str, Signal], ...] = (
    ("ground-opening", "WARNING"),
    ("mains", "WARNING"),
    ("children", "WARNING"),
    ("dead", "WARNING"),
    ("storm", "WARNING"),
    ("battery", "WARNING"),
    ("loose-wire", "CAUTION"),
    ("eyes-hands", "CAUTION"),
    ("lifting", "CAUTION"),
    ("strain", "CAUTION"),
    ("weather", "CAUTION"),
    ("stings", "CAUTION"),
    ("dogs", "CAUTION"),
    ("alone", "CAUTION"),
    ("manual", "NOTICE"),
    ("night", "NOTICE"),
)

# An unlocated service that carries one of these floods the ground or cuts off supply; any other,
# and one of which nobody knows what it carries, can kill.
MILD_SERVICES = frozenset({"water", "drain", "telecom", "low voltage", "irrigation"})

# Kinds of side and obstacle that call for a caution.
BORDERS: tuple[tuple[str, Signal], ...] = (
    ("road", "WARNING"),
    ("drop", "WARNING"),
    ("hedge", "CAUTION"),
    ("neighbour", "NOTICE"),
)


def dangers(case: Case) -> tuple[Caution, ...]:
    """All cautions, most severe first; within a signal word, those of this garden first."""
    found = [
        *_services(case),
        *_water(case),
        *_sockets(case),
        *_borders(case),
        *_slopes(case),
        *_crossings(case),
        *_features(case),
        *_trees(case),
        *(Caution(key, signal, key, everyday=True) for key, signal in ALWAYS),
    ]
    return tuple(sorted(found, key=lambda caution: SIGNALS.index(caution.signal)))


def _services(case: Case) -> Iterator[Caution]:
    for feature, distance, _, _ in services_near(case):
        facts: dict[str, Fact] = {"name": feature.name}
        if distance > 0:
            facts["distance_m"] = distance
        crossed = "" if distance > 0 else "-crossed"
        if feature.located is None:
            key = f"service-not-located{crossed}"
            signal: Signal = "WARNING" if feature.carries in MILD_SERVICES else "DANGER"
            yield Caution("service-not-located", signal, key, facts, feature.name)
        else:
            facts |= {"located": feature.located, "strip_m": SERVICE_STRIP_M}
            key = "service-crossed" if crossed else "service-near"
            yield Caution("service-near", "WARNING", key, facts, feature.name)


def _water(case: Case) -> Iterator[Caution]:
    shapes = [
        (lawn.name, shapely.linestrings(side.points), False)
        for lawn in case.lay.lawns
        for side in lawn.sides
        if side.kind == "water"
    ]
    shapes += [
        (obstacle.name, ground, _is_shallow(obstacle.depth, ground))
        for obstacle, ground in case.grounds
        if obstacle.kind == "water"
    ]
    nearest: dict[str, tuple[float, bool]] = {}
    for name, shape, shallow in shapes:
        for wire in case.wires.values():
            distance = float(shapely.distance(shape, wire))
            if distance <= WATER_NEAR_M:
                nearest[name] = min((distance, shallow), nearest.get(name, (distance, shallow)))
    for name, (distance, shallow) in nearest.items():
        facts: dict[str, str | float] = {"name": name, "distance_m": distance}
        if shallow:
            yield Caution("water", "CAUTION", "water-shallow", facts, name)
        else:
            yield Caution("water", "WARNING", "water", facts, name)


def _is_shallow(depth: float | None, ground: shapely.Polygon) -> bool:
    """A bird bath or a puddle, not a pond: by its depth, or by its size where that is not known."""
    if depth is not None:
        return depth <= WATER_SHALLOW_M + 1e-9
    return float(2.0 * shapely.minimum_bounding_radius(ground)) <= BASIN_M + 2e-3


def _sockets(case: Case) -> Iterator[Caution]:
    for loop in case.plan.loops:
        socket = socket_of(case, loop)
        if socket is None:
            facts = {"name": loop.name}
            yield Caution("socket", "WARNING", "socket-missing", facts, loop.name)
        elif not (socket.protected and socket.outdoor):
            unfit = False in (socket.protected, socket.outdoor)
            key = "socket-unfit" if unfit else "socket"
            yield Caution("socket", "WARNING", key, {"name": socket.name}, socket.name)


def _borders(case: Case) -> Iterator[Caution]:
    """Roads, drops, hedges and neighbours that border a lawn or stand in it."""
    for kind, signal in BORDERS:
        names = [
            lawn.name for lawn in case.lay.lawns if any(side.kind == kind for side in lawn.sides)
        ]
        names += [obstacle.name for obstacle, _ in case.grounds if obstacle.kind == kind]
        if names:
            yield Caution(kind, signal, kind, {"name": tuple(names)}, names[0])


def _slopes(case: Case) -> Iterator[Caution]:
    limits = case.plan.machine.slope_max_percent
    for feature, shape in case.features("slope"):
        steep = feature.percent or 0.0
        facts: dict[str, str | float] = {"name": feature.name, "slope_percent": steep}
        if steep > limits.inside and shapely.intersects(shape, case.working):
            yield Caution("slope", "WARNING", "slope-too-steep", facts, feature.name)
        elif steep > min(SLIPPERY_PERCENT, limits.at_wire):
            yield Caution("slope", "CAUTION", "slope", facts, feature.name)


def _crossings(case: Case) -> Iterator[Caution]:
    for loop in case.lay.loops:
        for lead in loop.leads:
            if lead.kind == "crossing" and lead.under:
                hard = any(word in lead.under.casefold() for word in HARD_GROUND)
                key = "crossing-sawn" if hard else "crossing"
                yield Caution("crossing", "WARNING", key, {"under": lead.under}, lead.of)
            elif lead.kind == "crossing":
                yield Caution("crossing", "CAUTION", "crossing-open", {"of": lead.of}, lead.of)


def _features(case: Case) -> Iterator[Caution]:
    for feature, _ in case.features("play"):
        yield Caution("play", "WARNING", "play", {"name": feature.name}, feature.name)
    heads = [feature.name for feature, _ in case.features("sprinkler")]
    if heads:
        yield Caution("irrigation", "NOTICE", "irrigation", {"name": tuple(heads)}, heads[0])


def _trees(case: Case) -> Iterator[Caution]:
    names = [obstacle.name for obstacle, _ in case.grounds if obstacle.kind == "tree"]
    if names:
        yield Caution("roots", "NOTICE", "roots", {"name": tuple(names)}, names[0])
