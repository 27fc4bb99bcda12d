"""What has changed between two plans, as values for JSON and as text that a person reads."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from renderer.ground.leg_names import peg_names
from renderer.report import finding_json, plan_json
from renderer.trade import MOVED_M
from renderer.units import M_PER_FOOT

if TYPE_CHECKING:
    from renderer.compare import Difference
    from renderer.compare.difference import LoopChange
    from renderer.compare.moved import Stretch
    from renderer.findings_text import FindingText
    from renderer.ground.lay import Peg, Splice
    from renderer.job import Job

DECIMALS = 4
SAID_MOST = 24  # numbers of pegs that a line lists


def compare_json(found: Difference) -> dict[str, Any]:
    """The difference in metres and ohms."""
    return {
        "old": plan_json(found.old),
        "new": plan_json(found.new),
        "moved_from_m": MOVED_M,
        "loops": [_loop_json(each) for each in found.loops],
        "pegs": {
            "kept": found.pegs_kept,
            "moved": [_moved_json(*each) for each in found.pegs_moved],
            "renumbered": [{"old": old.id, "new": new.id} for old, new in found.renumbered],
            "gained": [_peg_json(found.new, each) for each in found.pegs_gained],
            "lost": [_peg_json(found.old, each) for each in found.pegs_lost],
        },
        "splices": {
            "gained": [_place_json(each) for each in found.splices_gained],
            "lost": [_place_json(each) for each in found.splices_lost],
        },
        "findings": {
            "new": [finding_json(each) for each in found.findings_new],
            "gone": [finding_json(each) for each in found.findings_gone],
        },
    }


def _number(value: float | None) -> float | None:
    return None if value is None else round(float(value), DECIMALS) + 0.0


def _loop_json(loop: LoopChange) -> dict[str, Any]:
    return {
        "name": loop.name,
        "length_m": {"old": _number(loop.old_m), "new": _number(loop.new_m)},
        "resistance_ohm": {"old": _number(loop.old_ohm), "new": _number(loop.new_ohm)},
        "laid_anew": [_stretch_json(each) for each in loop.laid_anew],
        "taken_up": [_stretch_json(each) for each in loop.taken_up],
    }


def _stretch_json(stretch: Stretch) -> dict[str, Any]:
    off = None if stretch.off_m == float("inf") else _number(stretch.off_m)
    return {
        "of": stretch.of,
        "from_m": _number(stretch.from_m),
        "to_m": _number(stretch.to_m),
        "off_m": off,
        "at": [_number(along) for along in stretch.at],
    }


def _moved_json(old: Peg, new: Peg) -> dict[str, Any]:
    return {
        "id": new.id,
        "from": [_number(old.x), _number(old.y)],
        "to": [_number(new.x), _number(new.y)],
        "off_m": _number(math.dist((old.x, old.y), (new.x, new.y))),
    }


def _peg_json(job: Job, peg: Peg) -> dict[str, Any]:
    loop = next(loop for loop in job.lay.loops if peg in loop.pegs)
    return {**_place_json(peg), "name": peg_names(loop)[peg.id]}


def _place_json(place: Peg | Splice) -> dict[str, Any]:
    return {
        "id": place.id,
        "at_m": _number(place.at_m),
        "x": _number(place.x),
        "y": _number(place.y),
    }


def compare_text(old_path: str, new_path: str, found: Difference) -> str:
    """The difference line by line, lengths in the unit of the new plan."""
    return "\n".join(_lines(old_path, new_path, found)) + "\n"


def _lines(old_path: str, new_path: str, found: Difference) -> Iterator[str]:
    units = found.new.plan.units
    heads = [each.plan.job for each in (found.old, found.new)]
    for path, job in ((old_path, found.old), (new_path, found.new)):
        state = "as built" if job.is_built else "as planned"
        yield f"{path}: {job.plan.job.number}, revision {job.plan.job.revision}, {state}"
    if heads[0].number != heads[1].number:
        yield "  these are plans of two different jobs"
    if found.is_none:
        nothing = f"nothing lies more than {_length(MOVED_M, units)} from where it was"
        yield f"  {nothing}; pegs, splices and findings are the same"
        return
    for loop in found.loops:
        yield ""
        yield from _loop_lines(loop, units)
    yield ""
    yield f"  pegs: {found.pegs_kept} stay"
    for old, new in found.pegs_moved:
        off = math.dist((old.x, old.y), (new.x, new.y))
        yield f"    peg {new.id} stands {_length(off, units)} from where it was"
    if found.renumbered:
        pairs = [f"{old.id} is now {new.id}" for old, new in found.renumbered]
        yield from _listed("stay under another number", pairs)
    yield from _listed("set, by their new numbers", [each.id for each in found.pegs_gained])
    yield from _listed("pulled, by their old numbers", [each.id for each in found.pegs_lost])
    if found.splices_gained or found.splices_lost:
        yield "  splices"
        yield from _splices("made", found.splices_gained, units)
        yield from _splices("gone", found.splices_lost, units)
    yield from _findings("new findings", found.findings_new)
    yield from _findings("findings that are gone", found.findings_gone)


def _loop_lines(loop: LoopChange, units: str) -> Iterator[str]:
    if loop.old_m is None or loop.new_m is None:
        word, length = ("gone", loop.old_m) if loop.new_m is None else ("new", loop.new_m)
        yield f"  loop {loop.name} is {word}: {_length(length or 0.0, units)}"
        return
    more = f"{loop.more_m / _unit(units):+.2f} {units}"
    told = f"{_length(loop.old_m, units)} -> {_length(loop.new_m, units)} ({more})"
    ohms = f"{loop.old_ohm:.2f} -> {loop.new_ohm:.2f} ohm at 20 degC"
    yield f"  loop {loop.name}: {told}, {ohms}"
    for word, stretches, which in (
        ("laid anew", loop.laid_anew, "new"),
        ("taken up", loop.taken_up, "old"),
    ):
        for each in stretches:
            along = f"{_length(each.from_m, units)} to {_length(each.to_m, units)}"
            off = f"up to {_length(each.off_m, units)} off, round {each.of}"
            yield f"    {word}: {along} along the {which} wire, {off}"


def _splices(word: str, splices: Sequence[Splice], units: str) -> Iterator[str]:
    for each in splices:
        yield f"    {word}: {each.id} at {_length(each.at_m, units)}"


def _findings(title: str, findings: Sequence[FindingText]) -> Iterator[str]:
    if findings:
        yield f"  {title}"
        yield from (f"    {each.level:<4} {each.message} [{each.rule}]" for each in findings)


def _listed(word: str, names: Sequence[str]) -> Iterator[str]:
    if names:
        more = f" and {len(names) - SAID_MOST} more" if len(names) > SAID_MOST else ""
        yield f"    {len(names)} {word}: {', '.join(names[:SAID_MOST])}{more}"


def _unit(units: str) -> float:
    return M_PER_FOOT if units == "ft" else 1.0


def _length(metres: float, units: str) -> str:
    return f"{metres / _unit(units):.2f} {units}"
