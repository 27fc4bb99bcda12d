"""The wire as it lies: what the records of a plan make of the wire as it was designed."""

from renderer.records.built import Built, built
from renderer.records.plans import built_plan

__all__ = ["Built", "built", "built_plan"]
