"""Figures that acceptances state, against the definitions of their units."""

from __future__ import annotations

import json
import re

import jsonschema
import pytest

from renderer.plan import PlanError, dump, loads, schema
from renderer.plan.figures import FIGURE_PATTERN, Figure, figure_of
from tests.plan.gardens import GARDEN

# The foot is 0.3048 m by definition (international yard and pound agreement, 1959).
READ = {
    "12.4 m": (12.4, "m"),
    "30 cm": (0.3, "m"),
    "9 ft 6 1/2 in": (2.9083, "m"),
    "1/2 in": (0.0127, "m"),
    "35 m2": (35.0, "m2"),
    "35 m²": (35.0, "m2"),
    "100 sq ft": (9.290304, "m2"),
    "22 %": (22.0, "percent"),
    "6.65%": (6.65, "percent"),
    "0.73 Ω": (0.73, "ohm"),
    "111°": (111.0, "deg"),
    "35": (35.0, ""),
}
REFUSED = (
    "",
    "wide",
    "12,4 m",
    "1,200 m",
    "-3 m",
    "about 3 m",
    "3 kg",
    "1/0 in",
    "1/2",
    "9" * 50,
    "1e99",
)


@pytest.mark.parametrize("text", READ)
def test_a_figure_is_read_with_its_unit(text: str) -> None:
    value, unit = READ[text]
    assert figure_of(text) == Figure(pytest.approx(value, abs=1e-9), unit)
    assert re.search(FIGURE_PATTERN, text)


def _with(figure: object) -> str:
    held = dump(loads(GARDEN))
    each = {"rule": "gate-too-narrow", "by": "A. Lead", "reason": "seen", "figure": figure}
    return json.dumps(held | {"acknowledged": [each]})


@pytest.mark.parametrize("figure", ["12.4 m", 35, 6.5])
def test_a_plan_keeps_the_figure_as_it_is_written(figure: str | float) -> None:
    plan = loads(_with(figure))
    assert plan.acknowledged[0].figure == str(figure)
    assert loads(json.dumps(dump(plan))) == plan
    jsonschema.Draft202012Validator(schema()).validate(json.loads(_with(figure)))


@pytest.mark.parametrize("figure", [*REFUSED, True, [], -7])
def test_what_is_no_figure_is_refused_with_the_cure(figure: object) -> None:
    with pytest.raises(PlanError, match=r"is not a figure; write it as check does, such as 12.4 m"):
        loads(_with(figure))
