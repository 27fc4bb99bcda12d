"""What was recorded of wire that lies, held against what it should be: for the checks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.checks.past import Past, Read
from renderer.ground.bands import good_band, rate_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from renderer.job.practice import Figures
    from renderer.plan.model import Plan, Record
    from renderer.plan.records import Reading
    from renderer.records import Laid


def recorded(designed: Plan, states: Sequence[Laid], figures: Figures, design: str) -> Past:
    """The records of a plan, the last reading of each loop with what is good by the wire then.

    ``states`` is the wire after each record, ``design`` the code of the plan's design.
    """
    last: dict[str, Read] = {}
    keys = ["as_built", *(f"changes[{n}]" for n in range(len(designed.changes)))]
    for key, record, state in zip(keys, designed.records, states, strict=True):
        for reading in record.readings:
            if reading.what in state.lengths_m:
                when = record.date.isoformat() if record.date else key
                last[reading.what] = _read(reading, when, state, figures)
    first = designed.records[0]
    return Past(first.design, design, _pins(first), tuple(last.values()))


def _pins(record: Record) -> bool:
    return bool(record.moved or record.splices)


def _read(reading: Reading, when: str, state: Laid, figures: Figures) -> Read:
    good = good_band(
        rate_of(state.wire),
        figures.meter,
        state.lengths_m[reading.what],
        extra_m=state.slopes_m[reading.what],
        celsius=reading.temperature,
    )
    return Read(
        reading.what,
        when,
        reading.temperature,
        reading.ohm,
        good,
        reading.insulation_megohm,
        figures["insulation_megohm"],
    )
