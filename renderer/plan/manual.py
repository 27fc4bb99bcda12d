"""Where a machine's figures come from: its manual, the plan alone, or common practice."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Annotated, Literal

from pydantic import BeforeValidator, WithJsonSchema

from renderer.plan.base import Model, models_in
from renderer.plan.errors import refuse
from renderer.plan.kinds import SETBACK_KINDS
from renderer.plan.texts import to_name
from renderer.plan.values import each_read, to_yes_no, unknown_word

if TYPE_CHECKING:
    from renderer.plan.machine import Machine

Source = Literal["manual", "stated", "practice"]
"""Copied from the manual and checked; stated without that; not stated, so common practice."""

# What a machine's mapping holds beside the figures of its manual.
NO_FIGURES = frozenset({"label", "from_manual", "minutes", "practice"})


def read_from_manual(value: object) -> bool | tuple[str, ...]:
    """Yes or no for all that is stated, or the names of the figures that were compared."""
    if isinstance(value, list | tuple):
        return tuple(each_read(enumerate(value), lambda _, name: to_name(name)))
    return to_yes_no(value)


FromManual = Annotated[
    bool | tuple[str, ...],
    BeforeValidator(read_from_manual),
    WithJsonSchema({"form": "FromManual"}),
]


def source(machine: Machine, figure: str) -> Source:
    """Where a figure comes from, by its keys in the file: ``tail``, ``dock.lead_max``."""
    if not is_stated(machine, figure):
        return "practice"
    vouched = machine.from_manual
    if isinstance(vouched, tuple):
        vouched = any(f"{figure}.".startswith(f"{name}.") for name in vouched)
    return "manual" if vouched else "stated"


def is_stated(machine: Machine, figure: str) -> bool:
    """Whether the file gives the figure, or any of the group."""
    held: object = machine
    for part in figure.split("."):
        given = held.model_fields_set if isinstance(held, Model) else held
        if not isinstance(given, set | dict) or part not in given:
            return False
        held = held[part] if isinstance(held, dict) else getattr(held, part)
    return held is not None


def unconfirmed(machine: Machine) -> list[str]:
    """Figures that the file states and nobody has compared with the manual, groups by one name."""
    found: list[str] = []
    for group in figure_groups(type(machine)):
        leaves = [name for name in _leaves(machine, group) if is_stated(machine, name)]
        loose = [name for name in leaves if source(machine, name) == "stated"]
        found += [group] if loose and len(loose) == len(leaves) else loose
    return found


def refuse_what_is_not_stated(machine: Machine) -> None:
    """Raise Problems where ``from_manual`` names no figure, or one that the file does not give."""
    names = machine.from_manual if isinstance(machine.from_manual, tuple) else ()
    each_read(enumerate(names), lambda _, name: _one_stated(machine, str(name)))


def _one_stated(machine: Machine, name: str) -> None:
    if name not in (known := figure_names(type(machine))):
        unknown_word(name, known, "figure of the machine")
    if not is_stated(machine, name):
        refuse(f"the file does not state '{name}'", f"give {name} a figure, or leave it out here")


def figure_groups(model: type[Machine]) -> list[str]:
    """The machine's keys that hold figures of its manual."""
    return [key for key in model.model_fields if key not in NO_FIGURES]


def figure_names(model: type[Machine]) -> list[str]:
    """All that ``from_manual`` may name: groups and the figures in them."""
    found = figure_groups(model)
    for group in figure_groups(model):
        for inner in models_in(model.model_fields[group].annotation):
            found += [f"{group}.{key}" for key in inner.model_fields]
    return [*found, *(f"setback.{kind}" for kind in SETBACK_KINDS)]


def _leaves(machine: Machine, group: str) -> Iterator[str]:
    """The figures of a group by their full names; a figure alone is a group of its own."""
    held = getattr(machine, group)
    if isinstance(held, Model):
        yield from (f"{group}.{key}" for key in type(held).model_fields)
    elif isinstance(held, dict):
        yield from (f"{group}.{key}" for key in held)
    else:
        yield group
