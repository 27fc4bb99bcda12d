"""Texts as long as a plan may have them, in the widest letter, are printed on every sheet."""

from __future__ import annotations

import pytest
import yaml

import renderer
from renderer import PrintOptions
from renderer.plan import loads
from tests.sheets.sample import SMALL, assert_apart_and_framed

LINE, TEXT, NAME = "W" * 150, "W" * 2000, "W" * 100  # the bounds, as SECURITY.md states them
ENTRY = {"date": "2026-07-01", "by": LINE, "what": TEXT}
LONGEST = yaml.safe_load(SMALL.format(units="m")) | {
    "job": {
        **dict.fromkeys(("title", "revision", "crew"), LINE),
        **dict.fromkeys(("access", "services_asked"), TEXT),
        "number": NAME,
        "site": [LINE] * 6,
        "notes": [TEXT, TEXT],
        "customer": {"name": LINE, "phone": LINE},
    },
    "acknowledged": [{"rule": "no-survey", "by": NAME, "reason": NAME}],
    "revisions": [{"revision": "A", **ENTRY}, {"revision": "B", **ENTRY}],
    "as_built": {"revision": LINE, **ENTRY, "splices": [{"at_m": 20}]},
    "changes": [{"revision": LINE, **ENTRY, "splices": [{"at_m": 25}]}],
}


@pytest.mark.parametrize(
    "layout",
    ["crew-work-order", "day-pack", "wiring-map", "survey-form", "first-visit", "fault-plates"],
)
def test_the_longest_texts_are_printed(layout: str) -> None:
    options = PrintOptions(layout=layout, paper="Letter", draft=True)  # the least room
    held = loads(yaml.safe_dump(LONGEST), "long.plan.yaml")
    assert_apart_and_framed(renderer.compose_sheets([held], options))


@pytest.mark.parametrize("layout", ["changes", "change-order"])
def test_the_longest_texts_are_printed_in_what_has_changed(layout: str) -> None:
    held = loads(yaml.safe_dump(LONGEST), "long.plan.yaml")
    assert renderer.compare_sheets(held, held, PrintOptions(layout=layout, paper="Letter")).pages
