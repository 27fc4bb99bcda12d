"""The JSON Schema of the plan file."""

from __future__ import annotations

from typing import Any

from renderer.plan.model import Plan


def schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of the plan file as users write it."""
    return Plan.model_json_schema()
