"""A laid wire put elsewhere on the ground, every place in it."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from functools import cache
from typing import TYPE_CHECKING, Any, TypeVar

import numpy as np
import shapely

if TYPE_CHECKING:
    from collections.abc import Callable

    from renderer.ground.lay import Lay, Points

    Put = Callable[[Points], Points]

T = TypeVar("T")
XY = tuple[float, float]

DECIMALS = 8  # a hundredth of a micron: what sums far from zero leave beyond it is noise
PLACE = ("x", "y")


def moved_lay(lay: Lay, by: XY) -> Lay:
    """The same lay moved by metres; its running distances, lengths and areas stay."""
    return placed_value(lay, lambda points: points + np.array(by))


def placed_value(value: T, put: Put) -> T:
    """A frozen value with what its fields' annotations call points and shapes put elsewhere."""
    changed: dict[str, Any] = {}
    names = _kinds(type(value))  # type: ignore[arg-type]
    for name, kind in names:
        held = getattr(value, name)
        if held is not None:
            changed[name] = _placed(held, kind, put)
    if all(name in changed for name in PLACE):
        at = (getattr(value, PLACE[0]), getattr(value, PLACE[1]))
        changed |= zip(PLACE, _placed(at, "Point", put), strict=True)
    return replace(value, **changed) if changed else value  # type: ignore[type-var]


def _placed(held: Any, kind: str, put: Put) -> Any:
    if kind in PLACE:
        return held
    if kind == "Point":
        return tuple((np.round(put(np.array([held])), DECIMALS) + 0.0)[0].tolist())
    if kind == "Points":
        points = np.round(put(held), DECIMALS) + 0.0
        points.setflags(write=False)
        return points
    if kind == "shape":
        return shapely.transform(held, lambda points: np.round(put(points), DECIMALS) + 0.0)
    return tuple(placed_value(each, put) if is_dataclass(each) else each for each in held)


@cache
def _kinds(of: type[Any]) -> tuple[tuple[str, str], ...]:
    """The fields of a value that hold places, by what their annotations say."""
    found = []
    for field in fields(of) if is_dataclass(of) else ():
        said = str(field.type)
        if said in ("Point", "Points"):
            found.append((field.name, said))
        elif "Polygon" in said:
            found.append((field.name, "shape"))
        elif field.name in PLACE:
            found.append((field.name, field.name))
        elif said.startswith("tuple[") and said.endswith(", ...]"):
            found.append((field.name, "values"))
    return tuple(found)
