"""The JSON Schema of the plan file, made from the models."""

from __future__ import annotations

from typing import Any

from renderer.plan.base import Model, models_in
from renderer.plan.descriptions import DESCRIPTIONS, TITLE
from renderer.plan.kinds import SETBACK_KINDS, SIDE_KINDS
from renderer.plan.lengths import LENGTH_PATTERN, UNITS
from renderer.plan.machine import Machine
from renderer.plan.manual import figure_names
from renderer.plan.model import Plan
from renderer.plan.texts import NAME_MAX, TEXT_MAX
from renderer.plan.values import AREA_PATTERN, COORDINATE_MAX

Schema = dict[str, Any]

DRAFT = "https://json-schema.org/draft/2020-12/schema"


def schema() -> Schema:
    """The JSON Schema (draft 2020-12) of the plan file as users write it.

    Lengths are numbers or texts, a side is a list or a mapping, the machine a mapping or a path.
    Dates are texts. What holds between values (names that must exist, outlines that must not
    cross themselves) only reading the plan can tell.
    """
    root = Plan.model_json_schema()
    parts: dict[str, Schema] = root.pop("$defs")
    models = _models(Plan)
    root = _part(root, Plan)
    parts = {name: _part(part, models[name]) for name, part in parts.items()}
    parts["Vertex"] = {"anyOf": [_SIDE_AS_LIST, parts["Vertex"]]}
    properties = root["properties"]
    machine = [{"$ref": "#/$defs/Machine"}, {"type": "string", "minLength": 1}]
    properties["machine"] = _with_words({"anyOf": machine}, "Plan.machine")
    properties["shown_in"] = _with_words({"enum": list(UNITS)}, "Plan.shown_in")
    return {"$schema": DRAFT, "title": TITLE, **root, "$defs": _FORMS | parts}


_LENGTH = {"$ref": "#/$defs/Length"}
_POINT = {"$ref": "#/$defs/Point"}
_FORMS: dict[str, Schema] = {
    "Length": {
        "anyOf": [
            {"type": "number", "minimum": -COORDINATE_MAX, "maximum": COORDINATE_MAX},
            {"type": "string", "pattern": LENGTH_PATTERN},
        ]
    },
    "Area": {
        "anyOf": [
            {"type": "number", "exclusiveMinimum": 0},
            {"type": "string", "pattern": AREA_PATTERN},
        ]
    },
    "Point": {"type": "array", "prefixItems": [_LENGTH, _LENGTH], "minItems": 2, "maxItems": 2},
    "Points": {"type": "array", "items": _POINT},
    "Setback": {
        "type": "object",
        "properties": dict.fromkeys(SETBACK_KINDS, _LENGTH),
        "additionalProperties": False,
    },
    # bare 413 in YAML is a number to a validator, and a fine job number
    "Text": {"type": ["string", "number"], "maxLength": TEXT_MAX},
    "Name": {"type": ["string", "number"], "minLength": 1, "maxLength": NAME_MAX},
    "Day": {"type": "string", "format": "date", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"},
    "YesNo": {"enum": [True, False, "yes", "no"]},
    "FromManual": {
        "anyOf": [
            {"enum": [True, False, "yes", "no"]},
            {"type": "array", "items": {"enum": figure_names(Machine)}},
        ]
    },
}
_SIDE_AS_LIST: Schema = {
    "type": "array",
    "prefixItems": [_LENGTH, _LENGTH, {"enum": list(SIDE_KINDS)}],
    "minItems": 3,
    "maxItems": 3,
}


def _models(model: type[Model]) -> dict[str, type[Model]]:
    """``model`` and all models in it, by name."""
    found = {model.__name__: model}
    for field in model.model_fields.values():
        for inner in models_in(field.annotation):
            found |= _models(inner)
    return found


def _part(part: Schema, model: type[Model]) -> Schema:
    """The schema of one mapping, with words for each key and forms told by reference."""
    properties = {
        key: _with_words(_form(form), f"{model.__name__}.{key}")
        for key, form in part["properties"].items()
    }
    made: Schema = {"type": "object", "properties": properties, "additionalProperties": False}
    if "required" in part:
        made["required"] = part["required"]
    if model.exactly_one:
        made["oneOf"] = [{"required": [key]} for key in model.exactly_one]
    return made


def _form(form: Schema) -> Schema:
    """A value's schema as the file has it: no null, no title, its default with a unit."""
    made = {key: value for key, value in form.items() if key not in {"title", "form", "default"}}
    if "anyOf" in made:
        (inner,) = (one for one in made.pop("anyOf") if one != {"type": "null"})
        made = _form(inner)
    for key in ("items", "prefixItems"):
        if key in made:
            held = made[key]
            made[key] = _form(held) if isinstance(held, dict) else [_form(one) for one in held]
    if "form" in form:
        made["$ref"] = f"#/$defs/{form['form']}"
    default = form.get("default")
    if isinstance(default, str | int | float) and default != "":
        made["default"] = f"{default:g} m" if form.get("form") == "Length" else default
    return made


def _with_words(form: Schema, key: str) -> Schema:
    return form | {"description": DESCRIPTIONS[key]}
