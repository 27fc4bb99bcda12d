"""Fault plates: a garden with one mistake made in its lay, one without any, all in mixed order."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from renderer.teaching.mistakes import mistakes
from renderer.teaching.plate import TRIPS, Plate, Skip, unspoilt

if TYPE_CHECKING:
    from renderer.job import Job
    from renderer.language import Words


class Plates(NamedTuple):
    """The plates of a garden in the order of the sheet, and the mistakes that it does not get."""

    plates: tuple[Plate, ...]
    skipped: tuple[Skip, ...]


def plates(job: Job, words: Words, scale: float) -> Plates:
    """The mistakes that a garden allows and one plate without any, in an order of no meaning.

    Each mistake can be seen at 1:``scale`` and trips its check; the garden itself trips none of
    these. A mistake that several places allow is made once. Nothing where nothing is laid.
    """
    if not job.lay.loops:
        return Plates((), ())
    base = {finding.rule for finding in job.findings}
    found: dict[str, Plate] = {}
    why: dict[str, Skip] = {}
    for made in mistakes(job, words, scale, found):
        if isinstance(made, Skip):
            why.setdefault(made.key, made)
        elif made.key not in found:
            plate = _checked(made, base)
            if plate is not None:
                found[made.key] = plate
            else:
                why.setdefault(made.key, Skip(made.key, "found-already"))
    mixed = sorted((*found.values(), unspoilt(job)), key=lambda plate: _number(job, plate))
    skipped = tuple(why[key] for key in TRIPS if key in why and key not in found)
    return Plates(tuple(mixed), skipped)


def _number(job: Job, plate: Plate) -> str:
    return hashlib.sha256(f"{job.digest} {plate.key}".encode()).hexdigest()


def _checked(plate: Plate, base: set[str]) -> Plate | None:
    """The plate with its findings; ``None`` where no check is tripped, or one was before.

    Those come first that name what the plate itself is named by.
    """
    from renderer.checks import check_plan

    rules = TRIPS[plate.key]
    if not rules:
        return plate
    tripped = list(check_plan(plate.plan, plate.lay, only=rules))
    if not tripped or base & {finding.rule for finding in tripped}:
        return None
    own = plate.of.split(" + ")
    tripped.sort(key=lambda each: each.facts.get("name", each.about) not in own)
    return replace(plate, findings=tuple(tripped))
