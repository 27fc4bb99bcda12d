"""Cautions by fact: what in this garden can hurt someone, and what always can.

Signal words follow ANSI Z535: DANGER will, WARNING could kill or injure badly, CAUTION could injure
lightly, NOTICE is about things.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import shapely

from renderer.checks.caution import SIGNALS, Caution, Signal
from renderer.checks.services import services_near
from renderer.checks.supply import socket_of
from renderer.plan.show import percent

if TYPE_CHECKING:
    from collections.abc import Iterator

    from renderer.checks.case import Case

# Common practice, no published source.
WATER_NEAR_M = 5.0  # of the wire
SLOPE_PERCENT = 15.0

# Said on every job, by signal word.
ALWAYS: tuple[tuple[str, Signal], ...] = (
    ("children", "WARNING"),
    ("dead", "WARNING"),
    ("ground-opening", "WARNING"),
    ("storm", "WARNING"),
    ("eyes-hands", "CAUTION"),
    ("lifting", "CAUTION"),
    ("weather", "CAUTION"),
    ("dogs", "CAUTION"),
    ("alone", "CAUTION"),
    ("manual", "NOTICE"),
    ("night", "NOTICE"),
)

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
        *_sides(case),
        *_slopes(case),
        *_crossings(case),
        *_features(case),
        *_trees(case),
        *(Caution(key, signal, key) for signal in SIGNALS for key, at in ALWAYS if at == signal),
    ]
    return tuple(sorted(found, key=lambda caution: SIGNALS.index(caution.signal)))


def _services(case: Case) -> Iterator[Caution]:
    for feature, distance, _, _ in services_near(case):
        facts = {"name": feature.name, "distance": case.show.length(distance)}
        if feature.located is None:
            yield Caution("service-unlocated", "DANGER", "service-unlocated", facts, feature.name)
        else:
            facts["located"] = feature.located.isoformat()
            yield Caution("service-near", "WARNING", "service-near", facts, feature.name)


def _water(case: Case) -> Iterator[Caution]:
    shapes = [
        (lawn.name, shapely.linestrings(side.points))
        for lawn in case.lay.lawns
        for side in lawn.sides
        if side.kind == "water"
    ]
    shapes += [(o.name, ground) for o, ground in case.grounds if o.kind == "water"]
    nearest: dict[str, float] = {}
    for name, shape in shapes:
        for wire in case.wires.values():
            distance = float(shapely.distance(shape, wire))
            if distance <= WATER_NEAR_M:
                nearest[name] = min(distance, nearest.get(name, distance))
    for name, distance in nearest.items():
        facts = {"name": name, "distance": case.show.length(distance)}
        yield Caution("water", "WARNING", "water", facts, name)


def _sockets(case: Case) -> Iterator[Caution]:
    for loop in case.plan.loops:
        socket = socket_of(case, loop)
        if socket is None or not (socket.protected and socket.outdoor):
            name = socket.name if socket else loop.name
            yield Caution("socket", "WARNING", "socket", {"name": name}, name)


def _sides(case: Case) -> Iterator[Caution]:
    """Roads, drops, hedges and neighbours that border a lawn or stand in it."""
    for kind, signal in BORDERS:
        names = [
            lawn.name for lawn in case.lay.lawns if any(side.kind == kind for side in lawn.sides)
        ]
        names += [obstacle.name for obstacle, _ in case.grounds if obstacle.kind == kind]
        if names:
            yield Caution(kind, signal, kind, {"name": ", ".join(names)}, names[0])


def _slopes(case: Case) -> Iterator[Caution]:
    limits = case.plan.machine.slope_max_percent
    limit = min(SLOPE_PERCENT, limits.inside, limits.at_wire)
    for feature, _ in case.features("slope"):
        if (feature.percent or 0.0) > limit:
            facts = {"name": feature.name, "slope": percent(feature.percent or 0.0)}
            yield Caution("slope", "WARNING", "slope", facts, feature.name)


def _crossings(case: Case) -> Iterator[Caution]:
    for loop in case.lay.loops:
        for lead in loop.leads:
            if lead.kind == "crossing":
                under = lead.under or lead.of
                yield Caution("crossing", "WARNING", "crossing", {"under": under}, lead.of)


def _features(case: Case) -> Iterator[Caution]:
    for feature, _ in case.features("play"):
        yield Caution("play", "WARNING", "play", {"name": feature.name}, feature.name)
    for feature, _ in case.features("sprinkler"):
        yield Caution("irrigation", "NOTICE", "irrigation", {"name": feature.name}, feature.name)


def _trees(case: Case) -> Iterator[Caution]:
    names = [obstacle.name for obstacle, _ in case.grounds if obstacle.kind == "tree"]
    if names:
        yield Caution("roots", "NOTICE", "roots", {"name": ", ".join(names)}, names[0])
