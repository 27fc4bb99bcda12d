"""What the model refuses, turned into plain words and places of the file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, get_args

from pydantic import ValidationError

from renderer.plan.base import Model
from renderer.plan.errors import Loc, Problem, Problems, nearest, shown


def complaints(error: ValidationError, model: type[Model]) -> Iterator[Problem]:
    """Each mistake as a problem whose ``loc`` starts at ``model``."""
    for entry in error.errors(include_url=False):
        loc: Loc = entry["loc"]
        cause = entry.get("ctx", {}).get("error")
        if isinstance(cause, Problems):
            yield from (item._replace(loc=(*loc, *item.loc)) for item in cause.items)
        elif entry["type"] == "missing":
            yield Problem(loc, "this key is missing", f"add '{loc[-1]}'")
        elif entry["type"] == "extra_forbidden":
            yield _unknown_key(loc, model)
        else:
            yield _other(loc, dict(entry), model)


def _unknown_key(loc: Loc, model: type[Model]) -> Problem:
    holder = _model_at(loc[:-1], model)
    known = holder.known_keys() if holder else []
    near = nearest(str(loc[-1]), known)
    cure = f"did you mean '{near}'?" if near else f"known keys here: {', '.join(known)}"
    return Problem(loc, "this key is not known", cure)


def _other(loc: Loc, entry: Mapping[str, Any], model: type[Model]) -> Problem:
    value = shown(entry["input"])
    kind = str(entry["type"])
    if kind in {"model_type", "model_attributes_type", "dict_type"}:
        holder = _model_at(loc, model)
        keys = ", ".join(holder.known_keys()) if holder else "key: value"
        return Problem(loc, f"{value} stands where keys belong", f"write a mapping of: {keys}")
    if kind in {"tuple_type", "list_type"}:
        return Problem(loc, f"{value} is not a list", "write a list: [...], or lines with '- '")
    if kind == "too_short":
        return Problem(loc, "the list is empty", "give at least one")
    return Problem(loc, f"{value} does not fit here ({entry['msg'].lower()})")


def _model_at(loc: Loc, model: type[Model]) -> type[Model] | None:
    """The model that holds the keys at ``loc``."""
    found: type[Model] | None = model
    for step in loc:
        if isinstance(step, int):
            continue
        field = found.model_fields.get(step) if found else None
        found = _model_in(field.annotation) if field else None
    return found


def _model_in(annotation: Any) -> type[Model] | None:
    if isinstance(annotation, type) and issubclass(annotation, Model):
        return annotation
    inner = (_model_in(part) for part in get_args(annotation))
    return next((part for part in inner if part is not None), None)
