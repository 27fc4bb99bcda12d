"""A plan written back as a file, and the digest that distinguishes two plans."""

from __future__ import annotations

import hashlib
import json
from typing import Any

from renderer.plan.model import Plan


def dump(plan: Plan) -> dict[str, Any]:
    """The plan as the mapping of a plan file: plain JSON values, lengths as numbers in metres.

    What has its default is left out; of the machine what was not stated, since sheets distinguish
    the two. ``loads(json.dumps(dump(plan)))`` equals ``plan``; where it is shown in feet that is
    kept by the key ``shown_in``.
    """
    from renderer.plan.origin import as_measured

    plan = as_measured(plan)
    held = plan.model_dump(mode="json", exclude_defaults=True)
    for key in plan.survey.made_keys:
        held.get("survey", {}).pop(key, None)
    held["machine"] = plan.machine.model_dump(mode="json", exclude_unset=True)
    head: dict[str, Any] = {"plan": plan.plan, "units": "m"}
    if plan.units != "m":
        head["shown_in"] = plan.units
    for lawn in held["lawns"]:
        lawn["outline"] = [_side(vertex) for vertex in lawn["outline"]]
    return head | {key: value for key, value in held.items() if key not in {"plan", "units"}}


def digest(plan: Plan) -> str:
    """``sha256:<hex>`` of what the plan says, whatever file form, order or comments it came in.

    What the machine's file holds counts; that it was a separate file does not. A copy for the owner
    has that of the plan it was made from, as long as nothing in it has been changed.
    """
    copy, own = plan.owner_copy, digest_of_content(plan)
    return copy.of if copy is not None and copy.holds == own else own


def digest_of_content(plan: Plan) -> str:
    """The same of what stands in the plan itself, whatever it is a copy of."""
    held = dump(plan)
    held.pop("owner_copy", None)
    text = json.dumps(held, sort_keys=True, separators=(",", ":"), ensure_ascii=True)
    return "sha256:" + hashlib.sha256(text.encode("ascii")).hexdigest()


def _side(vertex: dict[str, Any]) -> list[Any] | dict[str, Any]:
    return vertex if "through" in vertex else [*vertex["at"], vertex["side"]]
