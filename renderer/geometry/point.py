"""A point in the plane; a module of its own, so that code without arrays need not load them."""

from __future__ import annotations

Point = tuple[float, float]  # x and y in one unit, metres on the ground or millimetres on paper
