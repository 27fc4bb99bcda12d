"""The copy of a plan for its owner: what it leaves out, and the code that it keeps."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any, get_args

import pytest

from renderer.plan import Plan, digest, dump, for_owner, load, loads
from renderer.plan.base import Model, models_in
from renderer.plan.private import PLACE, PRIVATE
from tests.plans import demo_plans, example_plans

PLANS = [*demo_plans(), *example_plans()]
# Texts that the owner may read: they stand on the map, or say nothing of people.
PUBLIC = {
    *("JobHead.number", "JobHead.title", "JobHead.revision", "JobHead.site"),
    *("JobHead.planned_for", "Machine.label", "Wire.conductor"),
    *("Lawn.name", "Lawn.loop", "Loop.name", "Obstacle.name", "Feature.name"),
    *("Generator.mounted", "Crossing.between", "Crossing.under"),
    *("ReferencePoint.name", "ReferencePoint.what"),
    # names of points, kinds and figures, and why a reading is kept
    *("Leg.back", "Leg.because", "Leg.start", "Leg.to", "Offsets.line", "SetOff.point"),
    *("SurveyedPoint.name", "Taped.because", "TapedSide.of"),
    *("TieRow.line", "TieRow.point", "TieRow.tapes"),
    *("TurnedAngle.at", "TurnedAngle.because", "TurnedAngle.start", "TurnedAngle.to"),
    # what was built, which the log of the map tells
    *("FoundSplice.loop", "FoundSplice.splice", "FoundSplice.ties", "MovedPeg.peg"),
    *(
        "MovedPeg.ties",
        "Reading.what",
        "Record.by",
        "Record.design",
        "Record.left_out",
        "Record.revision",
    ),
    *("Record.what", "Revision.by", "Revision.revision", "Revision.what"),
    *("Machine.from_manual", "Machine.setback", "OwnerCopy.holds", "OwnerCopy.of"),
}


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.name)
def test_the_copy_keeps_the_code_and_says_nothing_private(path: Any) -> None:
    whole = load(path)
    held = dump(for_owner(whole))
    copy = loads(json.dumps(held))
    assert digest(copy) == digest(whole)
    assert for_owner(copy) == copy, "a copy of the copy is the same"
    assert held["job"].keys().isdisjoint({"crew", "access", "customer", "notes"})
    assert held["job"].get("services_asked", "yes") == "yes", "that it was asked is told"
    assert "acknowledged" not in held
    assert dump(for_owner(whole, place=False))["job"].keys().isdisjoint({"site"})


def test_a_copy_that_was_changed_has_a_code_of_its_own() -> None:
    whole = load(next(path for path in PLANS if path.name.startswith("quarry-lane")))
    held = dump(for_owner(whole))
    held["job"]["title"] += " and more"
    changed = loads(json.dumps(held))
    assert changed.owner_copy is not None
    assert digest(changed) != digest(whole)
    held.pop("owner_copy")
    assert digest(loads(json.dumps(held))) == digest(changed)


def test_a_plan_without_anything_private_is_its_own_copy() -> None:
    held = dump(for_owner(load(PLANS[0])))
    held.pop("owner_copy")
    plain = loads(json.dumps(held))
    assert for_owner(plain) == plain
    assert plain.owner_copy is None


def test_each_free_text_of_a_plan_is_private_or_public() -> None:
    """A key added to the plan has to be put in one of the two lists."""
    whole = {"Acknowledgement", "Customer"}  # which are private as they are
    texts = {
        f"{model.__name__}.{name}"
        for model in _models(Plan)
        if model.__name__ not in whole
        for name, field in model.model_fields.items()
        if _is_text(field.annotation)
    }
    assert texts - {*PRIVATE, *PLACE, "JobHead.services_asked"} <= PUBLIC


def _models(model: type[Model]) -> Iterator[type[Model]]:
    yield model
    for field in model.model_fields.values():
        for inner in models_in(field.annotation):
            yield from _models(inner)


def _is_text(annotation: Any) -> bool:
    if annotation is str:
        return True
    return not isinstance(annotation, type) and any(map(_is_text, get_args(annotation)))
