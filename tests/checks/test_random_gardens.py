"""The engine's own lays of random gardens: what it must never do, no check ever finds."""

from __future__ import annotations

from renderer.checks import cautions, check_plan
from renderer.findings_text import in_words
from tests.ground import gardens as random

# Each is a fault of the engine, whatever the garden.
NEVER = {
    "island-not-left-out",
    "lawn-wired-backwards",
    "ground-enclosed-wrongly",
    "wire-crosses-itself",
    "wire-too-near-hazard",
    "wire-too-near-side",
    "gap-too-narrow",
    "pair-apart",
}


def test_no_check_finds_a_fault_of_the_engine() -> None:
    for text in random.some_gardens():
        plan, lay = random.laid(text)
        found = check_plan(plan, lay)
        assert [hit for hit in found if hit.rule in NEVER] == [], text
        assert all(hit.message and hit.cure for hit in in_words(found, plan.units)), text
        assert len(cautions(plan, lay)) >= 12, text
