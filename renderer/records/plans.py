"""The plan as its records leave it: islands added and left out, spools as they were measured."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from renderer.plan.record_rules import spool_number

if TYPE_CHECKING:
    from collections.abc import Sequence

    from renderer.plan.model import Plan
    from renderer.plan.records import Record
    from renderer.plan.wire import Measured


def built_plan(plan: Plan) -> Plan:
    """The plan after all its records, which it still holds; the plan itself where it has none."""
    for record in plan.records:
        plan = after(plan, record)
    return plan


def after(plan: Plan, record: Record) -> Plan:
    """The plan after one of its records."""
    kept = [each for each in plan.obstacles if each.name not in record.left_out]
    first = record is plan.as_built
    spools = record.spools or plan.wire.spools
    wire = plan.wire.model_copy(
        update={
            "spools": spools if first else (*plan.wire.spools, *record.spools),
            "measured": (*plan.wire.measured, *_measured(record, spools)),
        }
    )
    changed: dict[str, Any] = {"obstacles": (*kept, *record.added), "wire": wire}
    if record.revision:
        changed["job"] = plan.job.model_copy(update={"revision": record.revision})
    return plan.model_copy(update=changed)


def _measured(record: Record, spools: Sequence[float]) -> Sequence[Measured]:
    """The full spools that were read."""
    from renderer.plan.wire import Measured

    found = []
    for reading in record.readings:
        number = spool_number(reading.what)
        if number is not None and 1 <= number <= len(spools) and reading.ohm:
            found.append(
                Measured.model_construct(
                    length=spools[number - 1], ohm=reading.ohm, temperature=reading.temperature
                )
            )
    return found
