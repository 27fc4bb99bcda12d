"""Records of what was built: whether they fit the design, and whether their readings are sound."""

from __future__ import annotations

from typing import TYPE_CHECKING

from renderer.checks.rule import Hit, Rule

if TYPE_CHECKING:
    from collections.abc import Iterator

    from renderer.checks.case import Case
    from renderer.checks.fact import Facts
    from renderer.checks.past import Read


def design_edited(case: Case) -> Iterator[Hit]:
    """Designs that were edited after what was laid from them was recorded."""
    past = case.past
    if past is not None and past.laid_from and past.laid_from != past.design:
        yield Hit("design-edited.found", {"then": past.laid_from, "now": past.design})


def design_not_noted(case: Case) -> Iterator[Hit]:
    """Records that name pegs or places along the wire, but not the design these are of."""
    past = case.past
    if past is not None and past.pins and not past.laid_from:
        yield Hit("design-not-noted.found", {"now": past.design})


def reading_off(case: Case) -> Iterator[Hit]:
    """Loops whose last reading is not that of sound wire as it lay then."""
    for read in _readings(case):
        if read.ohm is not None and read.ohm not in read.good:
            which = "low" if read.ohm < read.good.low else "high"
            facts: Facts = {
                "reads_ohm": read.ohm,
                "loop": read.loop,
                "celsius_deg": read.celsius,
                "when": read.when,
                "least_ohm": read.good.low,
                "most_ohm": read.good.high,
            }
            yield Hit(f"reading-off.{which}", facts, case.start_of(read.loop), read.loop)


def insulation_poor(case: Case) -> Iterator[Hit]:
    """Loops whose last reading of insulation is under what is asked for."""
    for read in _readings(case):
        found = read.insulation_megohm
        if found is not None and found < read.least_megohm:
            facts: Facts = {
                "reads_megohm": found,
                "loop": read.loop,
                "when": read.when,
                "least_megohm": read.least_megohm,
            }
            yield Hit("insulation-poor.found", facts, case.start_of(read.loop), read.loop)


def _readings(case: Case) -> Iterator[Read]:
    yield from case.past.readings if case.past else ()


RULES = (
    Rule("design-edited", "stop", design_edited),
    Rule("design-not-noted", "note", design_not_noted),
    Rule("reading-off", "warn", reading_off, figure="reads_ohm"),
    Rule("insulation-poor", "warn", insulation_poor, figure="reads_megohm"),
)
