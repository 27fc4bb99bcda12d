"""A plan about an origin of its own, so that coordinates far from zero lose no digits.

National grids put a garden millions of metres from zero, where numbers are a nanometre apart and
sums of them far worse. All that is worked out is worked out near zero, and what comes of it is
put back where the plan has it.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any, TypeVar, get_args

from pydantic import BeforeValidator

from renderer.plan.base import Model
from renderer.plan.lengths import UNITS
from renderer.plan.model import Plan
from renderer.plan.values import read_point, read_points

if TYPE_CHECKING:
    from collections.abc import Callable

XY = tuple[float, float]
M = TypeVar("M", bound=Model)

STEP = 1000.0  # origins are this many metres or feet apart, so that a grid of round figures stays
# What the reader keeps of a length: below 8,000 km it gives back the very digits that were typed.
DECIMALS = 9


def origin_of(plan: Plan) -> XY:
    """The round point nearest to the middle of the lawns; (0, 0) for a plan near zero. Metres."""
    corners = [vertex.at for lawn in plan.lawns for vertex in lawn.outline]
    step = STEP * UNITS[plan.units]
    x, y = (
        round((min(values) + max(values)) / 2.0 / step) * step
        for values in zip(*corners, strict=True)
    )
    return round(x, 4) + 0.0, round(y, 4) + 0.0


def about_origin(plan: Plan) -> Plan:
    """The same plan with coordinates from its own origin, which it then has as ``origin``."""
    origin = origin_of(plan)
    if origin == (0.0, 0.0):
        return plan
    x, y = origin
    near = moved(plan, (-x, -y), exact=True)
    near.keep_origin((plan.origin[0] + x, plan.origin[1] + y))
    return near


def as_measured(plan: Plan) -> Plan:
    """The plan with the coordinates of its file, whatever origin it is about."""
    if plan.origin == (0.0, 0.0):
        return plan
    far = moved(plan, plan.origin)
    far.keep_origin((0.0, 0.0))
    return far


def moved(model: M, by: XY, *, exact: bool = False) -> M:
    """A model with all points in it moved by metres; ``exact``: so that moving back undoes it."""

    def place(point: XY) -> XY:
        x, y = (_sum(value, step, exact) for value, step in zip(point, by, strict=True))
        return x, y

    return placed(model, place)


def placed(model: M, place: Callable[[XY], XY]) -> M:
    """A model with every point in it where ``place`` puts it; metres."""
    changed: dict[str, Any] = {}
    for name, kind in _places(type(model)):
        value = getattr(model, name)
        if value is None or value == ():
            continue
        if kind == "point":
            changed[name] = place(value)
        elif kind == "points":
            changed[name] = tuple(place(point) for point in value)
        elif isinstance(value, Model):
            changed[name] = placed(value, place)
        else:
            changed[name] = tuple(placed(each, place) for each in value)
    return model.model_copy(update=changed) if changed else model


def _sum(value: float, step: float, exact: bool) -> float:
    """The sum rounded as the reader rounds, or unrounded where that would not be enough."""
    rounded = round(value + step, DECIMALS) + 0.0
    return rounded if not exact or rounded - step == value else value + step


@cache
def _places(model: type[Model]) -> tuple[tuple[str, str], ...]:
    """The fields of a model that are points, or that hold models with points in them."""
    found = []
    for name, field in model.model_fields.items():
        readers = {read_point: "point", read_points: "points"}
        marks = [*field.metadata, *_inner(field.annotation)]
        kinds = [
            readers[mark.func]
            for mark in marks
            if isinstance(mark, BeforeValidator) and mark.func in readers
        ]
        holds = [part for part in marks if isinstance(part, type) and issubclass(part, Model)]
        if kinds:
            found.append((name, kinds[0]))
        elif any(_places(part) for part in holds):
            found.append((name, "models"))
    return tuple(found)


def _inner(annotation: Any) -> list[Any]:
    """All parts of an annotation, those of its parts too."""
    parts = [annotation, *getattr(annotation, "__metadata__", ())]
    for part in get_args(annotation):
        parts.extend(_inner(part))
    return parts
