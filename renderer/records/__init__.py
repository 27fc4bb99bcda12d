"""The wire as it lies: what the records of a plan make of the wire as it was designed."""

from renderer.records.built import Built, Laid, built
from renderer.records.design import design_code
from renderer.records.plans import built_plan

__all__ = ["Built", "Laid", "built", "built_plan", "design_code"]
