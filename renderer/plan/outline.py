"""The ring of sides of a lawn, read in either of its two forms."""

from __future__ import annotations

from typing import Annotated, cast

from pydantic import BeforeValidator, ValidationInfo

from renderer.plan.base import Model
from renderer.plan.errors import Problem, Problems, refuse, shown
from renderer.plan.kinds import SIDE_KINDS, SideKind
from renderer.plan.limits import units_of
from renderer.plan.values import (
    Named,
    Point,
    at,
    each_read,
    points_of,
    to_point,
    unknown_word,
    word_of,
)

_FORMS = "write a side as [x, y, kind] or {at: [x, y], side: kind, through: [x, y]}"
_KEYS = ("at", "side", "through")


class Vertex(Model):
    """A corner of an outline, and the side that starts there; ``through`` makes it an arc.

    Written ``[x, y, kind]`` or ``{at: [x, y], side: kind, through: [x, y]}``.
    """

    at: Point
    side: Annotated[SideKind, word_of(SideKind, "kind of side")]
    through: Point | None = None


def read_outline(value: object, info: ValidationInfo) -> tuple[Vertex, ...]:
    """The sides of an outline; raises Problems, one for each bad side."""
    if not isinstance(value, list | tuple):
        refuse(f"{shown(value)} is not a list of sides", _FORMS)
    unit, points = units_of(info), points_of(info)
    return tuple(each_read(enumerate(value), lambda _, item: _side(item, unit, points)))


def _side(item: object, unit: str, points: Named) -> Vertex:
    if isinstance(item, Vertex):
        return item
    if isinstance(item, dict):
        return _from_mapping(item, unit, points)
    if not isinstance(item, list | tuple) or len(item) not in {2, 3}:
        refuse(f"{shown(item)} is not a side", _FORMS)
    if points and len(item) == 2 and _is_named(item):
        return _vertex(_at_step(item[0], 0, unit, points), _kind(item[1], 1), None)
    point = to_point(item[:2], unit)
    if len(item) == 2:
        refuse("the kind of the side is missing", _FORMS)
    return _vertex(point, _kind(item[2], 2), None)


def _from_mapping(item: dict[str, object], unit: str, points: Named) -> Vertex:
    wrong: list[Problem] = []
    for key in item:
        if key not in _KEYS:
            try:
                unknown_word(key, _KEYS, "key of a side")
            except Problems as problems:
                wrong.extend(at(key, problems))
    wrong.extend(
        Problem((), f"'{key}' is missing", _FORMS) for key in _KEYS[:2] if item.get(key) is None
    )
    if wrong:
        raise Problems(wrong)
    place = _at_step(item["at"], "at", unit, points)
    through = item.get("through")
    return _vertex(
        place,
        _kind(item["side"], "side"),
        None if through is None else _at_step(through, "through", unit, points),
    )


def _is_named(item: list[object] | tuple[object, ...]) -> bool:
    """Whether two values are a point's name and a kind, and not a point without its kind."""
    return isinstance(item[1], str) and item[1][:1].isalpha()


def _at_step(value: object, step: str | int, unit: str, points: Named) -> tuple[float, float]:
    try:
        return to_point(value, unit, points)
    except Problems as problems:
        raise Problems(at(step, problems)) from None


def _kind(value: object, step: str | int) -> SideKind:
    if isinstance(value, str) and value in SIDE_KINDS:
        return cast(SideKind, str(value))
    try:
        unknown_word(value, SIDE_KINDS, "kind of side")
    except Problems as problems:
        raise Problems(at(step, problems)) from None


def _vertex(at: tuple[float, float], side: SideKind, through: tuple[float, float] | None) -> Vertex:
    # each part has been read already, and an outline may have 20,000 of them
    return Vertex.model_construct(_FIELDS, at=at, side=side, through=through)


_FIELDS = {"at", "side", "through"}

Outline = Annotated[tuple[Vertex, ...], BeforeValidator(read_outline)]
