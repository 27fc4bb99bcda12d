"""Names for what a change concerns: states of a plan, numbers of pegs, legs of the wire."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from renderer.sheets.blocks.wire_list import LegNames, leg_name
from renderer.sheets.sheet import Sheet

if TYPE_CHECKING:
    from renderer.ground.lay import LoopLay, Peg
    from renderer.job import Job


def state_of(sheet: Sheet, job: Job) -> str:
    """The revision of a job, and whether it is as planned or as built."""
    state = sheet.words("diff.built" if job.is_built else "diff.planned")
    return sheet.words("diff.state", revision=job.plan.job.revision, state=state)


def numbers(sheet: Sheet, pegs: Iterable[Peg]) -> str:
    """The numbers of pegs, those that follow each other as a range."""
    known = sorted({int(peg.id) for peg in pegs if peg.id.isdecimal()})
    runs: list[list[int]] = []
    for number in known:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    told = [
        str(run[0])
        if len(run) == 1
        else sheet.words(
            "wire.peg-range" if len(run) > 2 else "diff.two", first=run[0], last=run[-1]
        )
        for run in runs
    ]
    return ", ".join(told)


def legs_between(sheet: Sheet, loop: LoopLay, from_m: float, to_m: float) -> str:
    """The legs of a loop that a stretch of its wire is part of, in words."""
    names = LegNames.of(loop)
    touched = [
        leg
        for leg in loop.legs
        if leg.kind != "tail" and min(leg.to_m, to_m) - max(leg.from_m, from_m) > LEAST_M
    ]
    return sheet.words.listed(unique([leg_name(sheet, names, leg) for leg in touched]))


LEAST_M = 0.02  # of a leg that counts as touched


def unique(texts: Sequence[str]) -> list[str]:
    """The texts in their order, each once."""
    return list(dict.fromkeys(texts))
