"""The plan's own numbers for the steps along one loop, in the order of its walk."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import TYPE_CHECKING

from renderer.ground.parts import mown_parts, part_names
from renderer.sheets.sheet import Sheet

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from renderer.ground.lay import Lead, LoopLay, Ring, Splice

Facts = Mapping[str, str]
OTHER_WAY: dict[str, str] = {"anticlockwise": "clockwise", "clockwise": "anticlockwise"}


def loop_facts(sheet: Sheet, loop: LoopLay) -> dict[str, Facts]:
    """Facts by the key of the steps that each loop has once."""
    measure, machine = sheet.measure, sheet.job.plan.machine
    named = {"loop": loop_words(sheet, loop), "peg": loop.pegs[0].id}
    sign = sheet.figures.machine_sign
    tail = measure.length(machine.tail) + sign("tail")
    tails = {
        key: sheet.words(f"kept.{key}", tail=tail) if machine.tail else ""
        for key in ("tail", "tails")
    }
    controls = sum(peg.control for peg in loop.pegs)
    first = sum(peg.round == 1 for peg in loop.pegs)
    return {
        "control" if sheet.gauges else "control-bare": {
            **named,
            "count": str(controls),
            "tie": measure.small(sheet.figures["tie_within"]),
            "star": sheet.figures.sign("tie_within"),
        },
        "start": {**named, "station": _station(sheet, loop), "kept": tails["tail"]},
        "loose": {
            **named,
            "direction": sheet.words(f"direction.{machine.lay_direction}"),
            "length": measure.length(loop.length_m),
        },
        "pull": {
            **named,
            "count": str(first),
            "spacing": measure.length(machine.peg_spacing.first) + sign("peg_spacing.first"),
        },
        "close": {**named, "kept": tails["tails"]},
    }


def along_the_wire(sheet: Sheet, loop: LoopLay) -> list[tuple[str, Facts]]:
    """Lead pairs, crossings and splices with the key of their step, in the order of the walk."""
    stations: list[tuple[float, str, Facts]] = [
        (_leaves_at(loop, lead), lead.kind, _lead(sheet, loop, lead)) for lead in loop.leads
    ]
    stations += [(each.at_m, "splice", _splice(sheet, each)) for each in loop.splices]
    ordered = sorted(stations, key=lambda station: station[0])
    return [(key, facts) for _, key, facts in ordered]


def _leaves_at(loop: LoopLay, lead: Lead) -> float:
    return _outward(loop)[lead.id]


@lru_cache(maxsize=16)
def _outward(loop: LoopLay) -> Mapping[str, float]:
    """Where each part of the walk is first begun, by its id."""
    return {leg.part: leg.from_m for leg in reversed(loop.legs) if not leg.back}


@lru_cache(maxsize=16)
def _rings(loop: LoopLay) -> Mapping[str, Ring]:
    return {ring.id: ring for ring in loop.rings}


@lru_cache(maxsize=16)
def _pegged_at(loop: LoopLay) -> NDArray[np.float64]:
    """The running distances of a loop's pegs, looked through once for each of its pairs."""
    import numpy as np

    return np.array([peg.at_m for peg in loop.pegs])


def _splice(sheet: Sheet, splice: Splice) -> Facts:
    return {
        "splice": splice.id,
        "at": sheet.measure.length(splice.at_m),
        "strip": sheet.measure.small(sheet.figures["strip_splice"]),
        "star": sheet.figures.sign("strip_splice"),
    }


def _lead(sheet: Sheet, loop: LoopLay, lead: Lead) -> Facts:
    words = sheet.words
    at = _leaves_at(loop, lead)
    rings = _rings(loop)
    way: str = sheet.job.plan.machine.lay_direction
    if rings[lead.to_ring].kind == "island":
        way = OTHER_WAY[way]
    left, names = rings[lead.from_ring], part_names(loop)
    part = "-part" if left.kind == "outer" and len(mown_parts(loop)) > 1 else ""
    return {
        "peg": loop.pegs[int(abs(_pegged_at(loop) - at).argmin())].id,
        "at": sheet.measure.length(at),
        "left": words(f"left.{left.kind}{part}", of=names[left.id]),
        "of": names[lead.id],
        "way": words(f"way.{way}"),
        "length": sheet.measure.length(lead.length_m),
        "under": words("leg.under", under=lead.under) if lead.under else "",
    }


def loop_words(sheet: Sheet, loop: LoopLay) -> str:
    """The loop's name in a sentence; there is no need of a name where it is the only one."""
    if len(sheet.job.lay.loops) == 1:
        return sheet.words("loop.only")
    return sheet.words("loop.this", name=loop.name)


def _station(sheet: Sheet, loop: LoopLay) -> str:
    planned = next(each for each in sheet.job.plan.loops if each.name == loop.name)
    return sheet.words("station.dock" if planned.dock else "station.generator")
