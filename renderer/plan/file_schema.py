"""The JSON Schema of the plan file, made from the models."""

from __future__ import annotations

from typing import Any

from renderer.plan.base import Model, models_in
from renderer.plan.descriptions import DESCRIPTIONS, TITLE
from renderer.plan.examples import examples_of
from renderer.plan.figures import FIGURE_PATTERN
from renderer.plan.kinds import SETBACK_KINDS, SIDE_KINDS
from renderer.plan.lengths import LENGTH_PATTERN, UNITS
from renderer.plan.machine import Machine
from renderer.plan.manual import figure_names
from renderer.plan.model import Plan
from renderer.plan.survey import SIDES, Leg, SurveyedPoint, Taped, TurnedAngle
from renderer.plan.texts import LINE_MAX, NAME_MAX, TEXT_MAX
from renderer.plan.values import AREA_PATTERN, COORDINATE_MAX, DIGEST_PATTERN

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
    parts = {
        name: _part(part, models[name])
        for name, part in parts.items()
        if name != SurveyedPoint.__name__
    }
    parts["Circle"] = _circle(parts["Circle"])
    parts["Vertex"] = {"anyOf": [_SIDE_AS_LIST, _SIDE_BY_NAME, parts["Vertex"]]}
    properties = root["properties"]
    machine = [{"$ref": "#/$defs/Machine"}, {"type": "string", "minLength": 1}]
    properties["machine"] = _with_words({"anyOf": machine}, "Plan.machine")
    properties["shown_in"] = _with_words({"enum": list(UNITS)}, "Plan.shown_in")
    forms = _FORMS | _survey_forms()
    return {"$schema": DRAFT, "title": TITLE, **root, "$defs": forms | parts}


_LENGTH = {"$ref": "#/$defs/Length"}
_POINT = {"$ref": "#/$defs/Point"}
_FORMS: dict[str, Schema] = {
    "Length": {
        "description": "A number in the file's unit, or a text with its own: 30 cm, 12 ft 6 in",
        "anyOf": [
            {"type": "number", "minimum": -COORDINATE_MAX, "maximum": COORDINATE_MAX},
            {"type": "string", "pattern": LENGTH_PATTERN},
        ],
    },
    "Area": {
        "anyOf": [
            {"type": "number", "exclusiveMinimum": 0},
            {"type": "string", "pattern": AREA_PATTERN},
        ]
    },
    "Point": {
        "description": "East and north as [x, y], or the name of a surveyed point",
        "anyOf": [
            {"type": "array", "prefixItems": [_LENGTH, _LENGTH], "minItems": 2, "maxItems": 2},
            {"type": "string", "minLength": 1, "maxLength": NAME_MAX},  # of a surveyed point
        ],
    },
    "Points": {"type": "array", "items": _POINT},
    "Setback": {
        "type": "object",
        "properties": dict.fromkeys(SETBACK_KINDS, _LENGTH),
        "additionalProperties": False,
    },
    # bare 413 in YAML is a number to a validator, and a fine job number
    "Text": {"type": ["string", "number"], "maxLength": TEXT_MAX},
    "Line": {"type": ["string", "number"], "maxLength": LINE_MAX},
    "Name": {"type": ["string", "number"], "minLength": 1, "maxLength": NAME_MAX},
    "Figure": {"type": ["string", "number"], "pattern": FIGURE_PATTERN, "minimum": 0},
    "Tapes": {"type": "object", "additionalProperties": _LENGTH, "minProperties": 2},
    "Digest": {"type": "string", "pattern": DIGEST_PATTERN},
    "Day": {"type": "string", "format": "date", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"},
    "YesNo": {"enum": [True, False, "yes", "no"]},
    "FromManual": {
        "anyOf": [
            {"enum": [True, False, "yes", "no"]},
            {"type": "array", "items": {"enum": figure_names(Machine)}},
        ]
    },
}
_NAME = {"$ref": "#/$defs/Name"}
_NAME_PAIR: Schema = {"type": "array", "items": _NAME, "minItems": 2, "maxItems": 2}
_SIDE_WORD: Schema = {"enum": list(SIDES)}


def _survey_forms() -> dict[str, Schema]:
    """The tables of a survey, which are read by functions of their own."""
    taped = {"anyOf": [_LENGTH, _part(Taped.model_json_schema(), Taped)]}
    side_of = {
        "type": "array",
        "prefixItems": [_NAME, _NAME, _SIDE_WORD],
        "minItems": 3,
        "maxItems": 3,
    }
    row = {
        "type": "object",
        "properties": {"side": {"anyOf": [_SIDE_WORD, side_of]}},
        "additionalProperties": taped,
    }
    pair = {"type": "array", "prefixItems": [_LENGTH, _LENGTH], "minItems": 2, "maxItems": 2}
    line = {
        "type": "object",
        "properties": {
            "line": _with_words(_NAME_PAIR, "Offsets.line"),
            "points": _with_words(
                {"type": "object", "additionalProperties": pair}, "Offsets.points"
            ),
            "sigma": _with_words(_LENGTH, "Offsets.sigma"),
        },
        "required": ["line", "points"],
        "additionalProperties": False,
    }
    between = {
        "type": "array",
        "prefixItems": [_NAME, _NAME, taped],
        "minItems": 3,
        "maxItems": 3,
    }
    return {
        "Ties": {"type": "object", "additionalProperties": row},
        "TapedSides": {"type": "array", "items": between},
        "OffsetLines": {"type": "array", "items": line},
        "Legs": {"type": "array", "items": _part(Leg.model_json_schema(), Leg)},
        "TurnedAngles": {
            "type": "array",
            "items": _part(TurnedAngle.model_json_schema(), TurnedAngle),
        },
    }


def _of_file(key: str) -> str:
    return "from" if key == "start" else key


def _circle(part: Schema) -> Schema:
    """Either centre and radius, or three points of the edge."""
    made = {key: value for key, value in part.items() if key != "required"}
    return made | {"anyOf": [{"required": ["at", "radius"]}, {"required": ["through"]}]}


_SIDE_AS_LIST: Schema = {
    "type": "array",
    "prefixItems": [_LENGTH, _LENGTH, {"enum": list(SIDE_KINDS)}],
    "minItems": 3,
    "maxItems": 3,
}
_SIDE_BY_NAME: Schema = {
    "type": "array",
    "prefixItems": [{"$ref": "#/$defs/Name"}, {"enum": list(SIDE_KINDS)}],
    "minItems": 2,
    "maxItems": 2,
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
        _of_file(key): _with_words(_form(form), f"{model.__name__}.{_of_file(key)}")
        for key, form in part["properties"].items()
        if key not in model.made_keys
    }
    made: Schema = {"type": "object", "properties": properties, "additionalProperties": False}
    if "required" in part:
        made["required"] = [_of_file(key) for key in part["required"]]
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
    return form | {"description": DESCRIPTIONS[key]} | examples_of(form, key)
