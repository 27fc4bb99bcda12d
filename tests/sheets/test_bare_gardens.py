"""Gardens at the end of what a plan may be: no setback at all, no ground left, no room to mow."""

from __future__ import annotations

from typing import Any

import pytest

from renderer.plan import Plan
from renderer.sheets import SheetError, layouts, load_layout
from tests.checks.jobs import plan_of
from tests.ground.gardens import figures
from tests.shared import compose, draw, job_of, print_sheets
from tests.sheets.sample import all_text

# A survey report of a plan without readings is refused in words, see test_bare_ground.
OF_ONE = [n for n, each in layouts() if each.each is None and n != "survey-report"]


def garden(
    outline: list[list[Any]], things: list[dict[str, Any]] | None = None, **machine: Any
) -> Plan:
    return plan_of(
        {
            "plan": 1,
            "job": {"number": "R-1"},
            "machine": figures(**machine),
            "lawns": [{"name": "A", "outline": outline}],
            "obstacles": things or [],
            "loops": [{"dock": {"at": [5, 0.1]}}],
            "wire": {"conductor_mm2": 0.75},
        }
    )


BOX = [[0, 0, "wall"], [12, 0, "wall"], [12, 8, "wall"], [0, 8, "wall"]]
ALL_OVER = {"name": "Big", "kind": "bed", "circle": {"at": [8, 4.5], "radius": 17}}
GARDENS = {
    "no setback": garden(BOX, back=0.0),
    "no setback at three sides": garden([*BOX[:2], [12, 8, "flush"]], back=0.0),
    "a bed all over the lawn": garden(BOX, [ALL_OVER], corner_radius=0.2),
    "nothing but setbacks": garden(BOX, back=4.5),
    "no room for the machine": garden([[0, 0, "wall"], [9, 0, "wall"], [9, 1.2, "wall"]]),
}


OF_CLASS = {"class-set", "class-set-key", "exercise", "exercise-key"}
OF_CLASS |= {"fault-plates", "fault-plates-key"}
WITHOUT_WIRE = {"a bed all over the lawn", "nothing but setbacks", "no room for the machine"}


@pytest.mark.parametrize("name", GARDENS)
def test_every_document_of_a_bare_garden_is_printed_as_a_draft(name: str) -> None:
    """Or refused for what a class could not do there."""
    for layout in OF_ONE:
        try:
            assert print_sheets([GARDENS[name]], layout=layout, draft=True).startswith(b"%PDF")
        except SheetError as error:
            assert name in WITHOUT_WIRE and layout in OF_CLASS, (layout, error)
            assert "no wire can be laid in this garden" in str(error)


@pytest.mark.parametrize("name", GARDENS)
def test_a_bare_garden_is_drawn(name: str) -> None:
    assert b"lawn-a" in draw(GARDENS[name])


@pytest.mark.parametrize("name", sorted(WITHOUT_WIRE))
def test_the_order_of_a_garden_without_wire_lists_no_wire_and_no_work_on_it(name: str) -> None:
    shown = order_of(GARDENS[name])
    assert "Walk the garden with the plan." in shown
    for wrong in (
        "Wire list",
        "Connect ·",
        "weekly hours",
        "second pass, first where",
        "Closest approach",
    ):
        assert wrong not in shown
    laid = order_of(GARDENS["no setback"])
    assert all(
        each in laid for each in ("Wire list", "Connect ·", "weekly hours", "Closest approach")
    )


def order_of(plan: Plan) -> str:
    document = compose([job_of(plan)], load_layout("crew-work-order"), draft=True)
    return " ".join(all_text(document).replace("\u00a0", " ").split())
