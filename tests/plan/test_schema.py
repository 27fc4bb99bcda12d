"""The JSON Schema against the plans there are, and against what the reader refuses."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from renderer.plan import PlanError, dump, load, loads, schema
from renderer.plan.base import models_in
from renderer.plan.descriptions import DESCRIPTIONS
from renderer.plan.model import Plan
from tests.plan.gardens import GARDEN, changed
from tests.plan.test_rules import MISTAKES

VALIDATOR = jsonschema.Draft202012Validator(schema())


class _Loader(yaml.SafeLoader):
    """YAML as editors read it: dates are texts."""


_Loader.yaml_implicit_resolvers = {
    first: [pair for pair in pairs if not pair[0].endswith(("timestamp", "int"))]
    for first, pairs in yaml.SafeLoader.yaml_implicit_resolvers.items()
}
_Loader.add_implicit_resolver(
    "tag:yaml.org,2002:int", re.compile(r"^[-+]?[0-9]+$"), list("-+0123456789")
)


def _parsed(text: str) -> Any:
    return yaml.load(text, _Loader)


def _says_valid(value: object) -> bool:
    return bool(VALIDATOR.is_valid(value))


def test_it_is_a_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(schema())
    json.dumps(schema())


def test_the_plans_there_are_fit(any_plan: Path) -> None:
    VALIDATOR.validate(_parsed(any_plan.read_text(encoding="utf-8")))
    VALIDATOR.validate(dump(load(any_plan)))


def test_both_forms_of_a_side_and_of_a_machine_fit() -> None:
    VALIDATOR.validate(
        _parsed(changed(("[20, 0, bed]", "{at: [20, 0], side: bed, through: [21, 5]}")))
    )
    held = _parsed(GARDEN) | {"machine": "machines/ours.yaml"}
    VALIDATOR.validate(held)


# what only the reader can tell: between values, in texts, or of sizes in any unit
BEYOND = {
    "the outline crosses", "crosses the side", "runs back along", "closes itself", "same place",
    "as outline[1]", "straight line", "polygon[2]", "already used by", "' + '", "no loop is named",
    "did you mean 'main'?", "no lawn is on", "more than 10 km", "wider than the first",
    "at most 0.5 m", "add 'water'", "negative", "too small", "beyond", "20 km across", "2 corners",
    "U+", "not a calendar date", "steepness", "needs an area", "ohm_per_100m", "at least 3 corners",
    "2 points", "only water", "buried cable or pipe",
}  # fmt: skip


@pytest.mark.parametrize(
    ("old", "new", "key", "says"),
    [
        case
        for case in MISTAKES
        if not any(beyond in case[3] for beyond in BEYOND) and ".nan" not in case[1]
    ],
)
def test_what_the_reader_refuses_by_shape_does_not_fit(
    old: str, new: str, key: str, says: str
) -> None:
    assert not _says_valid(_parsed(changed((old, new)))), key


def test_whatever_does_not_fit_is_refused_by_the_reader() -> None:
    """Take each key away, and put something strange in each place."""
    for held in _spoilt(dump(loads(GARDEN))):
        if _says_valid(held):
            continue
        with pytest.raises(PlanError):
            loads(json.dumps(held))


def _spoilt(held: dict[str, Any]) -> Iterator[dict[str, Any]]:
    for path in list(_paths(held)):
        for strange in (_AWAY, "strange", -7, [], {}, [[]], {"a": 1}):
            copy = json.loads(json.dumps(held))
            node = copy
            for step in path[:-1]:
                node = node[step]
            if strange is _AWAY:
                del node[path[-1]]
            else:
                node[path[-1]] = strange
            yield copy


_AWAY = object()


def _paths(value: Any, above: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    steps = value.items() if isinstance(value, dict) else enumerate(value)
    for step, inner in steps:
        yield (*above, step)
        if isinstance(inner, dict | list):
            yield from _paths(inner, (*above, step))


def _all_models(model: Any) -> Iterator[Any]:
    yield model
    for field in model.model_fields.values():
        for inner in models_in(field.annotation):
            yield from _all_models(inner)


def test_each_key_has_its_words_and_no_words_stand_for_nothing() -> None:
    keys = {f"{model.__name__}.{key}" for model in _all_models(Plan) for key in model.known_keys()}
    assert keys == set(DESCRIPTIONS)
    for name, part in ({"Plan": schema()} | schema()["$defs"]).items():
        for form in part.get("anyOf", [part]):
            for key, value in form.get("properties", {}).items():
                if name != "Setback":
                    assert value["description"] == DESCRIPTIONS[f"{name}.{key}"]


def test_defaults_of_lengths_carry_their_unit() -> None:
    machine = schema()["$defs"]["Machine"]["properties"]
    assert machine["tail"]["default"] == "0.3 m"
    assert machine["corner_radius"]["default"] == "0 m"


def _keys(held: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    for name, part in [("Plan", held), *held["$defs"].items()]:
        for key, form in part.get("properties", {}).items():
            yield f"{name}.{key}", form


# forms that are mappings or lists of their own: each key in them has its own example
WHOLE = ("type", "array"), ("type", "object")


def test_an_editor_can_show_an_example_or_the_words_of_each_key() -> None:
    held = schema()
    for key, form in _keys(held):
        for each in form.get("examples", ()):
            jsonschema.Draft202012Validator({**form, "$defs": held["$defs"]}).validate(each)
        if key.startswith("Setback."):
            continue  # its kinds are the words themselves
        assert form["description"], key
        made = held["$defs"].get(form.get("$ref", "").rpartition("/")[2], form)
        is_whole = any(made.get(word) == value for word, value in WHOLE) or "anyOf" in form
        assert is_whole or {"enum", "const", "default", "examples"} & set(form), (key, form)
