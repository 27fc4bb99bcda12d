"""Fault plates: a garden with one mistake made in its lay, one without any, all in mixed order."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from renderer.teaching.mistakes import mistakes
from renderer.teaching.plate import TRIPS, Plate, Skip, unspoilt

if TYPE_CHECKING:
    from renderer.checks.finding import Finding
    from renderer.job import Job
    from renderer.language import Words


TRIES = 3  # places of a mistake that are looked at


class Plates(NamedTuple):
    """The plates of a garden in the order of the sheet, and the mistakes that it does not get."""

    plates: tuple[Plate, ...]
    skipped: tuple[Skip, ...]


def plates(job: Job, words: Words, scale: float) -> Plates:
    """The mistakes that a garden allows and one plate without any, in an order of no meaning.

    Each mistake can be seen at 1:``scale`` and trips its check; the garden itself trips none of
    these. A mistake that several places allow is made once, if it can be where the check finds
    nothing else of it. Nothing where nothing is laid.
    """
    if not job.lay.loops:
        return Plates((), ())
    found: dict[str, Plate] = {}
    second: dict[str, Plate] = {}
    why: dict[str, Skip] = {}
    tried: Counter[str] = Counter()
    for made in mistakes(job, words, scale, found):
        if isinstance(made, Skip):
            why.setdefault(made.key, made)
        elif made.key not in found and tried[made.key] < TRIES:
            tried[made.key] += 1
            plate = _checked(made, job.findings)
            if plate is None:
                why.setdefault(made.key, Skip(made.key, "found-already"))
            elif plate.also:
                second.setdefault(made.key, plate)
            else:
                found[made.key] = plate
    found = {**second, **found}
    mixed = sorted((*found.values(), unspoilt(job)), key=lambda plate: _number(job, plate))
    skipped = tuple(why[key] for key in TRIPS if key in why and key not in found)
    return Plates(tuple(mixed), skipped)


def _number(job: Job, plate: Plate) -> str:
    return hashlib.sha256(f"{job.digest} {plate.key}".encode()).hexdigest()


def _checked(plate: Plate, before: Sequence[Finding]) -> Plate | None:
    """The plate with its findings; ``None`` where no check is tripped, or one was ``before``.

    Those come first that name what the plate itself is named by.
    """
    from renderer.checks import check_plan, taped
    from renderer.checks.registry import RULES as ALL

    rules = TRIPS[plate.key]
    if not rules:
        return plate
    if rules & {finding.rule for finding in before}:
        return None
    if not check_plan(plate.plan, plate.lay, only=rules):
        return None  # which most places without the mistake show, before all rules are asked
    by_tape = {rule.id for rule in taped.RULES}  # whether pegs are found, which no plate asks
    found = check_plan(plate.plan, plate.lay, only=ALL.keys() - by_tape)
    tripped = [each for each in found if each.rule in rules]
    own = plate.of.split(" + ")
    tripped.sort(key=lambda each: each.facts.get("name", each.about) not in own)
    known = {(each.rule, each.about) for each in (*before, *tripped)}
    also = [each for each in found if each.level != "note" and (each.rule, each.about) not in known]
    return replace(plate, findings=tuple(tripped), also=tuple(also))
