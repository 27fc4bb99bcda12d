"""The plan's own numbers for each step, and how often the step comes."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from renderer.sheets import practice
from renderer.sheets.readings import expected_range
from renderer.sheets.sheet import Sheet

if TYPE_CHECKING:
    from renderer.ground.lay import Lead, LoopLay, Splice

Facts = Mapping[str, str]
FLAGGED = ("sprinkler", "buried cable", "buried pipe")
OTHER_WAY: dict[str, str] = {"anticlockwise": "clockwise", "clockwise": "anticlockwise"}
ONCE: tuple[Facts, ...] = ({},)


def facts_for(sheet: Sheet) -> dict[str, Sequence[Facts]]:
    """Facts by the key of the step: one set for each time it comes, none where it does not."""
    return {
        "walk": ONCE,
        "insulation": ONCE,
        "charge": ONCE,
        "signal": ONCE,
        "photos": ONCE,
        "hand-over": ONCE,
        **_before(sheet),
        **_lay(sheet),
        **_connect(sheet),
        **_test(sheet),
    }


def _before(sheet: Sheet) -> dict[str, Sequence[Facts]]:
    words, measure, job = sheet.words, sheet.measure, sheet.job
    flagged = [f.name for f in job.plan.features if f.kind in FLAGGED]
    gauges = [
        words("gauge.cut", letter=gauge.letter, length=measure.length(gauge.length_m))
        for gauge in sheet.gauges
    ]
    spools = [
        {
            "spool": str(number),
            "length": measure.length(length),
            "ohms": measure.ohms(length * job.lay.ohm_per_m),
        }
        for number, length in job.spools
    ]
    return {
        "check-bar": [
            {"check_bar": words("check-bar.inch" if sheet.inch_paper else "check-bar.mm")}
        ],
        "flag": [{"flagged": ", ".join(flagged)}] if flagged else (),
        "mow": [{"grass": measure.small(practice.GRASS_M)}],
        "gauges": [{"gauges": ", ".join(gauges)}] if gauges else (),
        "spool": spools,
    }


def _lay(sheet: Sheet) -> dict[str, Sequence[Facts]]:
    words, measure, job = sheet.words, sheet.measure, sheet.job
    machine = job.plan.machine
    tie = measure.small(practice.TIE_WITHIN_M)
    tail = measure.length(machine.tail)
    loops = job.lay.loops
    references = sheet.references
    between = []
    if len(references) > 1:
        first, second = references[0], references[1]
        between = [
            {
                "references": ", ".join(reference.name for reference in references),
                "first": first.name,
                "second": second.name,
                "between": measure.length(math.dist(first.at, second.at)),
                "tie": tie,
            }
        ]
    return {
        "references": between,
        "control": [
            {
                "count": str(sum(p.control for p in loop.pegs)),
                "loop": _loop(sheet, loop),
                "tie": tie,
            }
            for loop in loops
        ],
        "start": [
            {"peg": loop.pegs[0].id, "station": _station(sheet, loop), "tail": tail}
            for loop in loops
        ],
        "loose": [
            {
                "direction": words(f"direction.{machine.lay_direction}"),
                "length": measure.length(loop.length_m),
            }
            for loop in loops
        ],
        "pull": [
            {
                "count": str(sum(peg.round == 1 for peg in job.pegs)),
                "spacing": measure.length(machine.peg_spacing.first),
            }
        ],
        "close": [{"peg": loop.pegs[0].id, "tail": tail} for loop in loops],
    }


def along_the_wire(sheet: Sheet) -> list[tuple[str, Facts]]:
    """Lead pairs, crossings and splices with the key of their step, in the order of the walk."""
    found: list[tuple[str, Facts]] = []
    for loop in sheet.job.lay.loops:
        stations: list[tuple[float, str, Facts]] = [
            (_leaves_at(loop, lead), lead.kind, _lead(sheet, loop, lead)) for lead in loop.leads
        ]
        stations += [(each.at_m, "splice", _splice(sheet, each)) for each in loop.splices]
        ordered = sorted(stations, key=lambda station: station[0])
        found += [(key, facts) for _, key, facts in ordered]
    return found


def _leaves_at(loop: LoopLay, lead: Lead) -> float:
    return next(leg.from_m for leg in loop.legs if leg.part == lead.id and not leg.back)


def _splice(sheet: Sheet, splice: Splice) -> Facts:
    strip = sheet.measure.small(practice.STRIP_SPLICE_M)
    return {"splice": splice.id, "at": sheet.measure.length(splice.at_m), "strip": strip}


def _lead(sheet: Sheet, loop: LoopLay, lead: Lead) -> Facts:
    words = sheet.words
    at = _leaves_at(loop, lead)
    rings = {ring.id: ring for ring in loop.rings}
    way: str = sheet.job.plan.machine.lay_direction
    if rings[lead.to_ring].kind == "island":
        way = OTHER_WAY[way]
    left = rings[lead.from_ring]
    return {
        "peg": min(loop.pegs, key=lambda peg: abs(peg.at_m - at)).id,
        "at": sheet.measure.length(at),
        "left": words(f"left.{left.kind}", of=left.of),
        "of": lead.of,
        "way": words(f"way.{way}"),
        "length": sheet.measure.length(lead.length_m),
        "under": words("leg.under", under=lead.under) if lead.under else "",
    }


def _connect(sheet: Sheet) -> dict[str, Sequence[Facts]]:
    measure, job = sheet.measure, sheet.job
    machine = job.plan.machine
    docks = [loop for loop in job.plan.loops if loop.dock]
    generators = [loop for loop in job.plan.loops if loop.generator]
    strip = measure.small(practice.STRIP_TERMINAL_M)
    ohms = []
    for loop in job.lay.loops:
        low, high = expected_range(loop.resistance_ohm)
        named = {"loop": _loop(sheet, loop), "ohms": measure.ohms(loop.resistance_ohm)}
        ohms.append({**named, "low": measure.ohms(low), "high": measure.ohms(high)})
    dock = {
        "before": measure.length(machine.dock.straight_before),
        "after": measure.length(machine.dock.straight_after),
        "level": measure.percent(machine.dock.level_max_percent),
    }
    return {
        "loop-ohms": ohms,
        "dock": [dock] if docks else (),
        "generator": [{"loop": _loop(sheet, job.loop_of(loop.name))} for loop in generators],
        "terminals": [{"loop": _loop(sheet, loop), "strip": strip} for loop in job.lay.loops],
        "supply": [{"lead": measure.length(machine.dock.lead_max)}] if docks else (),
    }


def _test(sheet: Sheet) -> dict[str, Sequence[Facts]]:
    measure, job = sheet.measure, sheet.job
    docked = any(loop.dock for loop in job.plan.loops)
    areas = ", ".join(
        sheet.words("loop.area", name=loop.name, area=measure.area(loop.working_area_m2))
        for loop in job.lay.loops
    )
    second = {
        "count": str(sum(peg.round == 2 for peg in job.pegs)),
        "spacing": measure.length(job.plan.machine.peg_spacing.final),
    }
    return {
        "lap": [{"lap": measure.length(practice.LAP_FROM_M[measure.units])}],
        "round-2": [second],
        "docking": ONCE if docked else (),
        "settings": [{"areas": areas}],
    }


def _loop(sheet: Sheet, loop: LoopLay) -> str:
    """The loop's name in a sentence; there is no need of a name where it is the only one."""
    if len(sheet.job.lay.loops) == 1:
        return sheet.words("loop.only")
    return sheet.words("loop.this", name=loop.name)


def _station(sheet: Sheet, loop: LoopLay) -> str:
    planned = next(each for each in sheet.job.plan.loops if each.name == loop.name)
    return sheet.words("station.dock" if planned.dock else "station.generator")
