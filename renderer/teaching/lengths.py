"""Lead pairs, the whole wire, what to order, what a meter reads: worked out step by step."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from renderer.ground.parts import part_names
from renderer.job.practice import Figures
from renderer.teaching.arithmetic import Number, Step, number
from renderer.teaching.ground import Ground
from renderer.teaching.reckoner import counted, whole
from renderer.teaching.rings import between, ring_steps

if TYPE_CHECKING:
    from renderer.ground.lay import Lay, Lead, LoopLay
    from renderer.ground.sides import NumberedSide
    from renderer.plan.model import Obstacle

OHM_DECIMALS = 2
RATE_DECIMALS = 3
ON_CIRCLE_M = 0.002


def lead_steps(ground: Ground, loop: LoopLay, lead: Lead) -> tuple[Step, ...]:
    """Steps to the length of a lead pair or crossing, one way; the last one gives it."""
    points = [(float(x), float(y)) for x, y in lead.points]
    facts = {"of": part_names(loop)[lead.id]}
    if len(points) == 2:
        straight = between(ground.reckon, "lead.places", points[0], points[1], facts)
        square = _square_lead(ground, loop, lead)
        return (square if square is not None and square.agrees else straight,)
    parts = tuple(
        between(ground.reckon, "lead.part", one, two, facts) for one, two in pairwise(points)
    )
    terms = [(1, part.result) for part in parts]
    return *parts, ground.reckon.sum("lead.sum", terms, lead.length_m, facts)


def _square_lead(ground: Ground, loop: LoopLay, lead: Lead) -> Step | None:
    """From a straight side to a round island: the middle's distance less setbacks and radius."""
    found = [each for each in ground.plan.obstacles if each.name == lead.of and each.circle]
    rings = {ring.id: ring for ring in loop.rings}
    if not found or rings[lead.from_ring].kind != "outer":
        return None
    island = found[0]
    sides = [side for side in ground.sides if side.lawn == rings[lead.from_ring].lawn]
    return next((s for s in (_from(ground, side, island, lead) for side in sides) if s), None)


def _from(ground: Ground, side: NumberedSide, island: Obstacle, lead: Lead) -> Step | None:
    circle = island.circle
    if circle is None or side.arc:
        return None
    way = (side.points[-1] - side.points[0]) / side.length_m

    def off(point: Sequence[float]) -> float:
        x, y = point[0] - side.points[0, 0], point[1] - side.points[0, 1]
        return float(way[0] * y - way[1] * x)

    reckon, setback = ground.reckon, ground.plan.machine.setback
    along = float(way @ (lead.points[0] - side.points[0]))
    if not 0.0 <= along <= side.length_m:  # of another side on the same line
        return None
    if abs(off(lead.points[0]) - setback[side.kind]) > ON_CIRCLE_M:
        return None
    put_in = {
        "D": reckon.length(off(circle.at)),
        "a": reckon.length(setback[side.kind]),
        "b": reckon.length(setback[island.kind]),
        "R": reckon.length(circle.radius),
    }
    facts = {"of": lead.of, "side": str(side.number)}
    step = reckon.step("lead.square", "{D} − {a} − {b} − {R}", put_in, lead.length_m, facts)
    return step if step.agrees else None


def wire_step(ground: Ground, loop: LoopLay) -> Step:
    """All rings once, all lead pairs and crossings twice, two tails."""
    terms = [(1, ring_steps(ground, loop, ring)[-1].result) for ring in loop.rings]
    terms += [(2, lead_steps(ground, loop, lead)[-1].result) for lead in loop.leads]
    terms.append((2, ground.reckon.length(loop.tail_m)))
    return ground.reckon.sum("wire", terms, loop.length_m, {"name": loop.name})


def order_steps(ground: Ground, lay: Lay) -> tuple[Step, ...]:
    """What slopes add, slack, and whole units to order."""
    reckon = ground.reckon
    order = sum(item.quantity for item in lay.takeoff if item.item == "wire.order")
    wires = [wire_step(ground, loop).result for loop in lay.loops]
    put_in = {f"W{index}": each for index, each in enumerate(wires, 1)} if len(wires) > 1 else {}
    put_in = put_in or {"W": wires[0]}
    formula = " + ".join(f"{{{key}}}" for key in put_in)
    formula = f"({formula})" if len(put_in) > 1 else formula
    put_in["p"] = _plain(ground.plan.wire.slack_percent)
    formula += " × (100 + {p}) ÷ 100"
    steps = [_slope_step(ground, lay)] if any(loop.slope_extra_m for loop in lay.loops) else []
    if steps:
        put_in["e"] = steps[0].result
        formula += " + {e}"
    steps.append(reckon.step("order.wire", formula, put_in, order, {}, 0.02 * len(wires)))
    up = math.ceil(order / reckon.metres - 1e-6)
    return *steps, counted(f"order.up.{reckon.units}", "up({o})", {"o": steps[-1].result}, up)


def _slope_step(ground: Ground, lay: Lay) -> Step:
    """Wire on the one slope there is, along its fall; as laid where there are several."""
    reckon = ground.reckon
    extra = sum(loop.slope_extra_m for loop in lay.loops)
    slopes = [each.percent for each in ground.plan.features if each.kind == "slope"]
    if len(slopes) != 1 or not slopes[0]:
        return reckon.read("slope.read", extra)
    factor = math.hypot(1.0, slopes[0] / 100.0) - 1.0
    put_in = {"l": reckon.length(extra / factor), "g": _plain(slopes[0])}
    formula = "{l} × (√(1 + ({g} ÷ 100)²) − 1)"
    return reckon.first_right(
        reckon.step("slope.one", formula, put_in, extra), reckon.read("slope.read", extra)
    )


def _plain(value: float) -> Number:
    """A percentage or another figure of the file, with the decimals that it has."""
    decimals = next(n for n in range(6) if n == 5 or abs(round(value, n) - value) < 1e-9)
    return number(value, decimals)


def ohm_rates(ground: Ground) -> tuple[Number, Number]:
    """Resistance of 100 printed units of sound wire, the least and the greatest."""
    from renderer.ground.bands import rate_of

    rate = rate_of(ground.plan.wire)
    low, high = (100.0 * each * ground.reckon.metres for each in (rate.low, rate.high))
    return number(low, RATE_DECIMALS), number(high, RATE_DECIMALS)


def ohm_steps(ground: Ground, lay: Lay, loop: LoopLay) -> tuple[Step, ...]:
    """What a loop resists at most at 20 degC, and the least and greatest reading that is good."""
    from renderer.ground.bands import loop_band, rate_of

    rate, meter = rate_of(ground.plan.wire), Figures(ground.plan.machine, ground.plan.units).meter
    least, most = ohm_rates(ground)
    wire, facts = wire_step(ground, loop).result, {"name": loop.name}
    resists = most if rate.source != "awg" else least
    reads = _ohms("ohm.loop", "{W} × {k} ÷ 100", {"W": wire, "k": resists}, loop.resistance_ohm,
                  facts)  # fmt: skip
    band = loop_band(loop, rate, meter)
    off = {"q": _plain(meter.percent), "d": number(meter.ohm, OHM_DECIMALS)}
    low = {"W": wire, "j": least, **off}
    high: dict[str, Number] = {"W": wire, "k": most, **off}
    longest = "{W}"
    if loop.slope_extra_m:
        high["e"] = ground.reckon.length(loop.slope_extra_m)
        longest = "({W} + {e})"
    under = _ohms("ohm.low", "{W} × {j} × (100 − {q}) ÷ 10000 − {d}", low, band.low, facts)
    over = _ohms(
        "ohm.high", f"{longest} × {{k}} × (100 + {{q}}) ÷ 10000 + {{d}}", high, band.high, facts
    )
    return reads, under if band.low > 0 else _ohms_read(band.low, facts), over


def _ohms_read(low: float, facts: Mapping[str, str]) -> Step:
    return Step("ohm.nothing", "", {}, low, OHM_DECIMALS, "Ω", 0.01, facts)


def _ohms(
    key: str, formula: str, put_in: Mapping[str, Number], laid: float, facts: Mapping[str, str]
) -> Step:
    within = 0.015 + 0.005 * abs(laid) / 10.0
    return Step(key, formula, put_in, laid, OHM_DECIMALS, "Ω", within, facts)


def bypass_step(ground: Ground, lay: Lay, loop: LoopLay, lead: Lead) -> Step | None:
    """By how much a meter reads less where an island at the end of the tree is left out."""
    from renderer.ground.bands import rate_of
    from renderer.ground.electric import bypass_table

    laid = next((row for row in bypass_table(loop, lay.ohm_per_m) if row.lead == lead.id), None)
    if laid is None or any(other.from_ring == lead.to_ring for other in loop.leads):
        return None
    ring = next(ring for ring in loop.rings if ring.id == lead.to_ring)
    put_in = {
        "I": ring_steps(ground, loop, ring)[-1].result,
        "l": lead_steps(ground, loop, lead)[-1].result,
        "k": ohm_rates(ground)[0 if rate_of(ground.plan.wire).source == "awg" else 1],
    }
    formula = "({I} + 2 × {l}) × {k} ÷ 100"
    facts = {"of": part_names(loop)[lead.id]}
    return _ohms("ohm.bypass", formula, put_in, laid.deficit_ohm, facts)


def minutes_step(ground: Ground, lay: Lay) -> Step:
    """The two-person time, row by row of the estimate."""
    from renderer.ground.minutes import crew_minutes

    rows, total = crew_minutes(ground.plan, lay.loops)
    put_in: dict[str, Number] = {}
    parts = []
    for index, row in enumerate(rows):
        count, rate = whole(row.count), _plain(row.rate)
        if row.key == "per_m":
            count = number(row.count / ground.reckon.metres, 1)
            rate = number(row.rate * ground.reckon.metres, RATE_DECIMALS)
        put_in |= {f"c{index}": count, f"m{index}": rate}
        one = row.count == 1 and row.key != "per_m"
        parts.append(f"{{m{index}}}" if one else f"{{c{index}}} × {{m{index}}}")
    return Step("minutes", " + ".join(parts), put_in, total, 0, "min", 1.0, {}, False)
