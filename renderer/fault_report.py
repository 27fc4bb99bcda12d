"""What a reading may mean, as values for JSON and as text that a person reads in the garden."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from renderer.language import load_words
from renderer.report import plan_json
from renderer.units import M_PER_FOOT

if TYPE_CHECKING:
    from renderer.fault import Cause, Search
    from renderer.ground.bands import Band
    from renderer.ground.breaks import Probe
    from renderer.ground.lay import LoopLay
    from renderer.job import Job

DECIMALS = 4
START, FINISH = "START", "FINISH"


@dataclass(frozen=True, slots=True)
class Fault:
    """A loop's reading with what may have caused it; ``search`` where that is a break."""

    job: Job
    loop: LoopLay
    ohms: float | None
    celsius: float
    causes: tuple[Cause, ...]
    search: Search | None


def places_named(job: Job, loop: LoopLay) -> tuple[tuple[str, Probe], ...]:
    """The places to test a loop at, by the names that the wiring map gives them."""
    from renderer.ground.breaks import numbered_probes

    words = load_words()
    return tuple(
        (probe.splice or words("place.test", number=number), probe)
        for probe, number in numbered_probes(job.lay.loops)[loop.name]
    )


def fault_json(fault: Fault) -> dict[str, Any]:
    """Causes, likeliest first, and the search for a break."""
    good = fault.job.readings.good(fault.loop, fault.celsius)
    return {
        "plan": plan_json(fault.job),
        "loop": fault.loop.name,
        "reads_ohm": fault.ohms,
        "temperature_c": fault.celsius,
        "good_ohm": _band(good),
        "causes": [_cause_json(each) for each in fault.causes],
        "search": None if fault.search is None else _search_json(fault, fault.search),
    }


def _band(band: Band | None) -> list[float] | None:
    return None if band is None else [round(band.low, DECIMALS), round(band.high, DECIMALS)]


def _cause_json(cause: Cause) -> dict[str, Any]:
    held: dict[str, Any] = {
        "cause": cause.kind,
        "of": list(cause.of),
        "reads_ohm": _band(cause.reads),
    }
    if cause.wire_m is not None:
        held["wire_m"] = round(cause.wire_m, DECIMALS)
    if cause.more_ohm is not None:
        held["more_ohm"] = round(cause.more_ohm, DECIMALS)
    return held


def _search_json(fault: Fault, found: Search) -> dict[str, Any]:
    following = None
    if found.next is not None:
        name, probe = found.next
        following = {
            "place": name,
            "at_m": round(probe.at_m, DECIMALS),
            "x": probe.x,
            "y": probe.y,
            "whole_reads_ohm": _band(_to_start(fault, probe)),
            "tapes": [[point, round(length, 2)] for point, length in _tapes(fault, probe)],
        }
    return {
        "between": [found.first or START, found.last or FINISH],
        "from_m": round(found.from_m, DECIMALS),
        "to_m": round(found.to_m, DECIMALS),
        "round": list(dict.fromkeys(leg.of for leg in found.legs if leg.of)),
        "splices": list(found.splices),
        "tests": found.tests,
        "next": following,
    }


def _to_start(fault: Fault, probe: Probe) -> Band:
    """What a meter reads between a place and the start where the wire between is sound."""
    return fault.job.readings.good_of(probe.at_m, fault.celsius)


def _tapes(fault: Fault, probe: Probe) -> Sequence[tuple[str, float]]:
    """Two tapes to a place from fixed points; none where none reach it well."""
    import numpy as np

    from renderer.ground.ties import Tie

    (way,) = fault.job.setting.tapes.found(np.array([(probe.x, probe.y)]))
    if not isinstance(way, Tie) or any(way.hops):
        return ()
    return (way.a, way.a_m), (way.b, way.b_m)


def fault_text(path: str, fault: Fault) -> str:
    """The reading, what it may mean and what to do, lengths in the plan's unit."""
    return "\n".join(_lines(path, fault)) + "\n"


def _lines(path: str, fault: Fault) -> Iterator[str]:
    plan, loop = fault.job.plan, fault.loop
    reads = "no reading" if fault.ohms is None else f"{fault.ohms:.2f} ohm"
    good = fault.job.readings.good(loop, fault.celsius)
    yield f"{path}: {plan.job.number}, revision {plan.job.revision}, loop {loop.name}"
    yield (
        f"  {reads} at {fault.celsius:g} degC; sound wire reads {good.low:.2f} to {good.high:.2f}"
    )
    for number, cause in enumerate(fault.causes, 1):
        yield f"  {number}. {_told(cause, plan.units)}"
    if fault.search is not None:
        yield ""
        yield from _search_lines(fault, fault.search, plan.units)


def _told(cause: Cause, units: str) -> str:
    of = ", ".join(cause.of)
    match cause.kind:
        case "sound":
            return (
                "The wire reads as sound wire does: look at the terminals, the plug and the lamp, "
                "then at the machine."
            )
        case "left-out":
            length = _about(cause.wire_m or 0.0, units)
            return (
                f"{of} may be left out, ring and pair, {length} of wire: see whether the machine "
                "turns at it, then open the near end of its pair and measure through it."
            )
        case "joint":
            where = f"open and remake {of}" if of else "look at the terminals"
            return (
                f"A joint may be bad, it adds about {cause.more_ohm:.2f} ohm: clean the terminals, "
                f"then {where}."
            )
        case "bridged":
            length = _about(cause.wire_m or 0.0, units)
            return (
                f"About {length} of wire may be bridged: look for two wires that touch bare, first "
                "at splices and lead pairs."
            )
    return "The wire is broken, or off its terminals: look there first."


def _search_lines(fault: Fault, found: Search, units: str) -> Iterator[str]:
    from renderer.ground.parts import legs_named

    ends = f"{found.first or START} and {found.last or FINISH}"
    span = f"{_length(found.from_m, units)} to {_length(found.to_m, units)} along the wire"
    around = ", ".join(legs_named(fault.loop, found.legs))
    yield f"  the break is between {ends}: {span}, round {around}"
    if found.splices:
        yield f"    splices there, which go first: {', '.join(found.splices)}"
    if found.next is None:
        yield "    nothing is left to halve: lift the wire there, peg by peg"
        return
    name, probe = found.next
    least = _to_start(fault, probe)
    tapes = ", ".join(f"{point} {_length(length, units)}" for point, length in _tapes(fault, probe))
    where = f" (tapes: {tapes})" if tapes else ""
    yield f"    measure next at {name}, {_length(probe.at_m, units)} along the wire{where}"
    yield f"    whole wire reads {least.low:.2f} to {least.high:.2f} ohm from there to {START}"
    tests = f"{found.tests} test{'' if found.tests == 1 else 's'} at the most"
    yield f"    then add --at {name}=whole or --at {name}=open; {tests}"


def _length(metres: float, units: str) -> str:
    return f"{metres / (M_PER_FOOT if units == 'ft' else 1.0):.2f} {units}"


def _about(metres: float, units: str) -> str:
    return f"{metres / (M_PER_FOOT if units == 'ft' else 1.0):.0f} {units}"


def answered(texts: Sequence[str], names: Sequence[str]) -> Mapping[str, Any]:
    """What ``--at`` says of each place. Raises ValueError that tells what would be right."""
    held: dict[str, str] = {}
    for text in texts:
        name, _, answer = text.partition("=")
        if answer not in ("whole", "open"):
            raise ValueError(f"--at {text}: write PLACE=whole or PLACE=open")
        if name not in names:
            raise ValueError(f"--at {text}: no such place; they are {', '.join(names) or 'none'}")
        held[name] = answer
    return held
