"""The plan file: what was measured and decided, read into validated values in metres."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from renderer.plan.codes import short_code
    from renderer.plan.day import DayPlan, load_day
    from renderer.plan.errors import PlanError
    from renderer.plan.file_form import digest, dump
    from renderer.plan.file_schema import schema
    from renderer.plan.files import is_day_file
    from renderer.plan.model import Plan
    from renderer.plan.origin import about_origin, as_measured
    from renderer.plan.private import for_owner
    from renderer.plan.reader import load, loads

__all__ = [
    "DayPlan",
    "Plan",
    "PlanError",
    "about_origin",
    "as_measured",
    "digest",
    "dump",
    "for_owner",
    "is_day_file",
    "load",
    "load_day",
    "loads",
    "schema",
    "short_code",
]

_HOMES = {
    "DayPlan": "day",
    "Plan": "model",
    "PlanError": "errors",
    "about_origin": "origin",
    "as_measured": "origin",
    "digest": "file_form",
    "dump": "file_form",
    "for_owner": "private",
    "is_day_file": "files",
    "load": "reader",
    "load_day": "day",
    "loads": "reader",
    "schema": "file_schema",
    "short_code": "codes",
}


def __getattr__(name: str) -> Any:
    """Fetch a name from its module when it is first used: pydantic and yaml cost start-up time."""
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
