"""The supply: lead, voltage lost in it, socket, and where a generator stands."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import shapely

from renderer.checks.rule import Hit, Rule
from renderer.ground.dockrun import supply_gap
from renderer.ground.electric import lead_drop
from renderer.trade import SOCKET_NEAR_M

if TYPE_CHECKING:
    from collections.abc import Iterator

    from renderer.checks.case import Case
    from renderer.ground.lay import LoopLay, Point
    from renderer.plan.model import Feature, Loop

LEAST_M = 1e-3


def _home(loop: Loop, laid: LoopLay) -> Point:
    """Where the lead arrives: the dock's place on the wire, or the generator."""
    return loop.generator.at if loop.generator else laid.start


def lead_too_short(case: Case) -> Iterator[Hit]:
    """Supplies that the lead does not reach from."""
    for loop, laid in case.pairs():
        if loop.supply is None:
            continue
        stated = loop.supply.lead
        reach = case.plan.machine.dock.lead_max if stated is None else stated
        gap = supply_gap(_home(loop, laid), loop.supply.at)
        if gap > reach + LEAST_M:
            away, long = case.show.lengths(gap, reach)
            key = f"lead-too-short.{'longest' if stated is None else 'found'}"
            message = case.words(key, loop=loop.name, away=away, lead=long)
            yield Hit(message, loop.supply.at, loop.name)


def lead_too_long(case: Case) -> Iterator[Hit]:
    """Leads longer than the machine's figure."""
    most = case.plan.machine.dock.lead_max
    for loop, _ in case.pairs():
        if loop.supply is not None and (loop.supply.lead or 0.0) > most + LEAST_M:
            lead, limit = case.show.lengths(loop.supply.lead or 0.0, most)
            message = case.words("lead-too-long.found", loop=loop.name, lead=lead, limit=limit)
            yield Hit(message, loop.supply.at, loop.name)


def lead_loses_voltage(case: Case) -> Iterator[Hit]:
    """Leads in which too much of the voltage is lost."""
    figures = case.plan.machine.supply
    for loop, _ in case.pairs():
        if figures is None or loop.supply is None or not loop.supply.lead:
            continue
        drop = lead_drop(figures, loop.supply.lead)
        if drop.percent > figures.drop_max_percent:
            message = case.words(
                "lead-loses-voltage.found",
                loop=loop.name,
                lost=case.show.percent(drop.percent),
                limit=case.show.percent(figures.drop_max_percent),
                length=case.show.length(loop.supply.lead),
                current=case.show.plain(figures.current_a),
                voltage=case.show.plain(figures.voltage_v),
                size=case.show.plain(figures.conductor_mm2),
            )
            yield Hit(message, loop.supply.at, loop.name)


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
            message = case.words(f"socket-unfit.{key}", name=socket.name)
            yield Hit(message, socket.at, socket.name)


def socket_unknown(case: Case) -> Iterator[Hit]:
    """Supplies whose socket is not on the plan, or not known to be fit."""
    for loop in case.plan.loops:
        if loop.supply is None:
            yield Hit(case.words("socket-not-known.supply", loop=loop.name), about=loop.name)
            continue
        socket = socket_of(case, loop)
        if socket is None:
            message = case.words("socket-not-known.socket", loop=loop.name)
            yield Hit(message, loop.supply.at, loop.name)
        elif None in (socket.protected, socket.outdoor) and False not in (
            socket.protected,
            socket.outdoor,
        ):
            message = case.words("socket-not-known.found", name=socket.name)
            yield Hit(message, socket.at, socket.name)


def generator_on_lawn(case: Case) -> Iterator[Hit]:
    """Generators inside a working area."""
    for loop in case.plan.loops:
        if loop.generator is not None:
            place = shapely.Point(loop.generator.at)
            if shapely.contains(case.working, place):
                message = case.words("generator-on-lawn.found", loop=loop.name)
                yield Hit(message, loop.generator.at, loop.name)


RULES = (
    Rule(
        "socket-unfit",
        "stop",
        socket_unfit,
        "Mains outdoors without protection kills.",
    ),
    Rule(
        "lead-too-short",
        "stop",
        lead_too_short,
        "A lead that does not reach is not lengthened on site.",
    ),
    Rule(
        "lead-too-long",
        "warn",
        lead_too_long,
        "The maker's figure keeps the voltage at the dock up.",
    ),
    Rule(
        "lead-loses-voltage",
        "warn",
        lead_loses_voltage,
        "At too low a voltage the machine charges slowly or not at all.",
    ),
    Rule(
        "socket-not-known",
        "warn",
        socket_unknown,
        "Whether the socket is fit has to be known before the day.",
    ),
    Rule(
        "generator-on-lawn",
        "warn",
        generator_on_lawn,
        "The machine runs into it.",
    ),
)
