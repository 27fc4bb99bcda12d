"""The design that a record was made on: what decides where wire, pegs and splices were planned."""

from __future__ import annotations

import hashlib
import json
from typing import TYPE_CHECKING, Any

from renderer.ground.strips import SERVICES
from renderer.plan.codes import short_code
from renderer.plan.origin import as_measured

if TYPE_CHECKING:
    from renderer.plan.model import Plan

# Of the machine, what the lay goes by.
MACHINE = (
    "lay_direction",
    "setback",
    "corner_radius",
    "corner_angle_min",
    "corner_cut",
    "passage_min",
    "lead_clear_of_corner",
    "tail",
    "peg_spacing",
    "peg_sag",
    "splice_clear",
    "dock",
)
DECIMALS = 4  # of a metre: what the wire is rounded to
UNSAID = ("name", "supply", "under", "mounted", "located", "carries", "depth")


def design_code(plan: Plan) -> str:
    """Eight letters and figures for the plan as it was designed, whatever was recorded of it since.

    They stay where names, notes, dates, prices and what is drawn only are edited, and in a copy for
    the owner; they change with all that moves wire, pegs or splices by 0.1 mm.
    """
    held = as_measured(plan).model_dump(mode="json")
    design = {
        "machine": {key: held["machine"][key] for key in MACHINE},
        "spools": held["wire"]["spools"],
        "services": [each for each in held["features"] if each["kind"] in SERVICES],
        **{key: held[key] for key in ("lawns", "obstacles", "loops")},
    }
    text = json.dumps(_plain(design), sort_keys=True, separators=(",", ":"))
    return short_code("sha256:" + hashlib.sha256(text.encode("ascii")).hexdigest())


def _plain(value: Any) -> Any:
    """Without what moves nothing, and numbers as far as they count."""
    if isinstance(value, dict):
        return {key: _plain(each) for key, each in value.items() if key not in UNSAID}
    if isinstance(value, list):
        return [_plain(each) for each in value]
    return round(value, DECIMALS) + 0.0 if isinstance(value, float) else value
