"""A laid wire moved on the ground: every place in it by the same metres."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from functools import cache
from typing import TYPE_CHECKING, Any, TypeVar

import numpy as np
import shapely

if TYPE_CHECKING:
    from renderer.ground.lay import Lay

T = TypeVar("T")
XY = tuple[float, float]

DECIMALS = 8  # a hundredth of a micron: what sums far from zero leave beyond it is noise
ABSCISSA, ORDINATE = "x", "y"


def moved_lay(lay: Lay, by: XY) -> Lay:
    """The same lay at another place; its running distances, lengths and areas stay."""
    return _moved(lay, np.array(by))


def _moved(value: T, by: Any) -> T:
    """A frozen value with what its fields' annotations call points and shapes moved."""
    changed: dict[str, Any] = {}
    for name, kind in _kinds(type(value)):  # type: ignore[arg-type]
        held = getattr(value, name)
        if held is not None:
            changed[name] = _placed(held, kind, by)
    return replace(value, **changed) if changed else value  # type: ignore[type-var]


def _placed(held: Any, kind: str, by: Any) -> Any:
    if kind in (ABSCISSA, ORDINATE):
        return round(held + float(by[int(kind == ORDINATE)]), DECIMALS)
    if kind == "Point":
        return tuple(np.round(np.add(held, by), DECIMALS).tolist())
    if kind == "Points":
        points = np.round(held + by, DECIMALS)
        points.setflags(write=False)
        return points
    if kind == "shape":
        return shapely.transform(held, lambda points: np.round(points + by, DECIMALS))
    return tuple(_moved(each, by) if is_dataclass(each) else each for each in held)


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
        elif field.name in (ABSCISSA, ORDINATE):
            found.append((field.name, field.name))
        elif said.startswith("tuple[") and said.endswith(", ...]"):
            found.append((field.name, "values"))
    return tuple(found)
