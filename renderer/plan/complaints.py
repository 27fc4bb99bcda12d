"""What the model refuses, put in plain words with its place in the file."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError

from renderer.plan.base import Filled, Model, models_in
from renderer.plan.errors import Loc, Problem, Problems, did_you_mean, nearest, shown


def complaints(error: ValidationError, model: type[Model]) -> list[Problem]:
    """Each mistake as a problem whose ``loc`` starts at ``model``."""
    found: list[Problem] = []
    misspelt: set[Loc] = set()
    for entry in error.errors(include_url=False):
        loc: Loc = entry["loc"]
        cause = entry.get("ctx", {}).get("error")
        if isinstance(cause, Problems):
            found += [item._replace(loc=(*loc, *item.loc)) for item in cause.items]
        elif entry["type"] == "missing":
            given = entry["input"]
            if isinstance(given, Filled) and loc[-1] in given.empty:
                found.append(Problem(loc, "nothing stands after this key", "write its value there"))
            else:
                found.append(Problem(loc, _MISSING, f"add '{loc[-1]}'"))
        elif entry["type"] == "extra_forbidden":
            near = _unknown_key(loc, model, found)
            misspelt.add((*loc[:-1], near))
        else:
            found.append(_other(loc, dict(entry), model))
    # a misspelt key is not reported as missing too
    return [item for item in found if item.problem != _MISSING or item.loc not in misspelt]


_MISSING = "this key is missing"


def _unknown_key(loc: Loc, model: type[Model], found: list[Problem]) -> str:
    holder = _model_at(loc[:-1], model)
    known = holder.known_keys() if holder else []
    key = str(loc[-1])
    cure = did_you_mean(key, known)
    if not cure:
        cure = _of_no_word(key) or f"known keys here: {', '.join(known)}"
    found.append(Problem(loc, "this key is not known", cure))
    return nearest(key, known) or ""


def _of_no_word(key: str) -> str:
    """The cure for a key that nobody meant as one; nothing where it may be a word."""
    if key.startswith("-"):
        return spaced_dash(key)
    if key == "<<":
        return "write the keys of the other mapping out here"
    if re.fullmatch(r"[\d.]+", key):
        return "write a number with a point, 1.5, and a place in brackets, [1.5, 3]"
    return ""


def _other(loc: Loc, entry: Mapping[str, Any], model: type[Model]) -> Problem:
    value = shown(entry["input"])
    kind = str(entry["type"])
    if kind in {"model_type", "model_attributes_type", "dict_type"}:
        holder = _model_at(loc, model)
        keys = ", ".join(holder.known_keys()) if holder else "key: value"
        return Problem(loc, f"keys are expected here, not {value}", f"write a mapping with: {keys}")
    if kind in {"tuple_type", "list_type"}:
        given = entry["input"] if isinstance(entry["input"], Mapping) else {}
        if dashed := next((each for each in map(str, given) if each.startswith("-")), ""):
            return Problem(loc, f"{value} is not a list", spaced_dash(dashed))
        return Problem(loc, f"{value} is not a list", "write a list: [...], or lines with '- '")
    if kind == "too_short":
        return Problem(loc, "the list is empty", "give at least one")
    return Problem(loc, f"{value} is not valid here ({entry['msg'].lower()})")


def spaced_dash(key: str) -> str:
    """The cure for ``-name: A``, which YAML takes for a key with a dash in it."""
    return f"write a space after the dash: '- {key.lstrip('-')}: ...'"


def _model_at(loc: Loc, model: type[Model]) -> type[Model] | None:
    """The model that holds the keys at ``loc``."""
    found: type[Model] | None = model
    for step in loc:
        if isinstance(step, int):
            continue
        field = found.model_fields.get(step) if found else None
        found = next(models_in(field.annotation), None) if field else None
    return found
