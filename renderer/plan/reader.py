"""Reads a plan file: YAML or JSON text in, a validated `Plan` out, or a `PlanError`."""

from __future__ import annotations

import os
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar, get_args

from pydantic import ValidationError

from renderer.plan.complaints import complaints
from renderer.plan.errors import PATH_MAX, PlanError, Problem, Problems, key_path, nearest, shown
from renderer.plan.files import text_of, tree_of
from renderer.plan.lengths import UNITS
from renderer.plan.machine import Machine
from renderer.plan.model import Plan
from renderer.plan.source import SourceFile, source_of
from renderer.plan.survey import Survey, is_measured, places
from renderer.plan.tree import Mapping, Scalar, line_of
from renderer.plan.values import Units, one_of

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from renderer.survey.solve import Solution

T = TypeVar("T")


class _Source(NamedTuple):
    """A file that was read: its name as shown to the user, its tree, its text."""

    name: str
    tree: Mapping
    text: str


def load(path: str | os.PathLike[str]) -> Plan:
    """The plan in the YAML or JSON file at ``path``, in metres.

    A machine file that the plan names is looked for from the plan's folder. Raises PlanError for
    everything that can be wrong with the files.
    """
    name = os.fspath(path)
    return _plan(text_of(name), name, Path(name).parent)


def loads(text: str, name: str = "plan.yaml", folder: str | os.PathLike[str] | None = None) -> Plan:
    """The plan in a YAML or JSON text; ``name`` stands for the file in messages.

    ``folder`` is where a machine file is looked for, the current one when left out. The text is
    read as JSON where ``name`` ends in ``.json`` or where it looks like JSON. Raises PlanError.
    """
    return _plan(text, name, Path(folder if folder is not None else "."))


def machine_file(path: str | os.PathLike[str]) -> str | None:
    """The machine file that the plan at ``path`` names, if it names one. Raises PlanError."""
    name = os.fspath(path)
    chosen = tree_of(text_of(name), name, "plan, job, machine").get("machine")
    return os.path.join(Path(name).parent, chosen) if isinstance(chosen, Scalar) else None


def load_survey(path: str | os.PathLike[str]) -> tuple[str, Solution | None, Units]:
    """Job number, adjusted survey and unit of the plan at ``path``, which may hold a survey alone.

    There is no solution where it holds no readings. The rest of the file may wait until the points
    are settled. Raises PlanError.
    """
    from renderer.plan.surveyed import survey_and_solution

    name = os.fspath(path)
    text = text_of(name)
    source = _Source(name, tree_of(text, name, "plan, units, survey"), text)
    held: Any = source.tree.get("survey")
    context: dict[str, Any] = {"units": _unit(source.tree)}
    if not is_measured(held):
        return "", None, "m"
    job = source.tree.get("job")
    number = str(job.get("number", "")) if isinstance(job, dict) else ""
    shown = source.tree.get("shown_in") or _unit(source.tree)
    survey, solution = _surveyed(source, partial(survey_and_solution, held, context))
    return number, solution if survey.has_readings else None, "ft" if shown == "ft" else "m"


def _plan(text: str, name: str, folder: Path) -> Plan:
    tree = tree_of(text, name, "plan, job, machine, lawns, loops, wire")
    source = _Source(name, tree, text)
    wrong = _unit_unknown(source, "unit of a plan file")
    if "day" in tree or not (wrong or _unit_misspelt(tree)):
        return _plan_in(_unit(tree), source, folder)
    found = [_refused(partial(_plan_in, unit, source, folder)) for unit in UNITS]
    raise _first_of([*wrong, *_whatever_the_unit(found)])


def _unit_unknown(source: _Source, what: str) -> list[tuple[int, PlanError]]:
    """What is wrong with the unit that a file names; nothing where it names none."""
    try:
        one_of(get_args(Units), what)(source.tree.get("units") or "m")
    except Problems as problems:
        return [
            _told(item._replace(loc=("units", *item.loc)), source, None) for item in problems.items
        ]
    return []


def _unit_misspelt(tree: Mapping) -> bool:
    """Whether a key that is not known is likely meant for the unit."""
    known = Plan.model_fields
    unknown = (key for key in tree if key not in known)
    return "units" not in tree and any(nearest(key, known) == "units" for key in unknown)


def _refused(make: Callable[[], object]) -> tuple[PlanError, ...]:
    try:
        make()
    except PlanError as error:
        return error.all
    return ()


def _whatever_the_unit(found: Sequence[Sequence[PlanError]]) -> list[tuple[int, PlanError]]:
    """Of the complaints about a file read in each unit, those that do not come from the unit."""
    first, *others = found
    alike = [{str(error) for error in each} for each in others]
    return [
        (error.line, error)
        for error in first
        if error.key != "units" and all(str(error) in each for each in alike)
    ]


def _plan_in(unit: str, source: _Source, folder: Path) -> Plan:
    """The plan of a file whose bare numbers are in a unit."""
    name = source.name
    given: dict[str, Any] = dict(source.tree)
    if "day" in given and "plan" not in given:
        problem = "this is a day file, not a plan"
        cure = "name a plan; print takes a day file whose name ends in .day.yaml"
        raise PlanError(name, source.tree.key_lines["day"], "day", problem, cure)
    machine: _Source | None = None
    errors: list[tuple[int, PlanError]] = []
    chosen = given.get("machine")
    if isinstance(chosen, Scalar):
        try:
            given["machine"], machine = _machine(chosen, source, folder)
        except PlanError as error:
            del given["machine"]
            errors += [(source.tree.key_lines["machine"], one) for one in error.all]
    context: dict[str, Any] = {"units": unit}
    if is_measured(given.get("survey")):
        given["survey"] = _surveyed(source, partial(_survey_of, source.tree["survey"], context))
        context["points"] = places(given["survey"])
    try:
        plan = Plan.model_validate(given, context=context)
    except ValidationError as error:
        told = [_told(item, source, machine) for item in complaints(error, Plan)]
        # a machine whose own file is wrong is not also missing
        errors += [pair for pair in told if not (errors and pair[1].key == "machine")]
    if errors:
        raise _first_of(errors)
    plan.keep_source(source_of(name, source.tree, _files(source, machine)))
    return plan


def _files(plan: _Source, machine: _Source | None) -> tuple[SourceFile, ...]:
    if machine is None:
        return (SourceFile(plan.name, plan.text),)
    line = plan.tree.key_lines["machine"]
    return SourceFile(plan.name, plan.text, line), SourceFile(machine.name, machine.text)


def _survey_of(held: Any, context: dict[str, Any]) -> Survey:
    from renderer.plan.surveyed import survey_of

    return survey_of(held, context)


def _surveyed(source: _Source, make: Callable[[], T]) -> T:
    """What is made of the survey of a plan file. Raises PlanError with the lines of Problems."""
    try:
        return make()
    except Problems as problems:
        items = problems.items
    told = [_told(item._replace(loc=("survey", *item.loc)), source, None) for item in items]
    raise _first_of(told)


def _machine(chosen: Scalar, plan: _Source, folder: Path) -> tuple[Machine, _Source]:
    place = os.path.join(folder, chosen)
    try:
        text = text_of(place)
    except PlanError as error:
        line = plan.tree.key_lines["machine"]
        problem = f"the machine file {shown(place, PATH_MAX)} cannot be used ({error.problem})"
        cure = "write the path from the plan's folder, or the figures themselves"
        raise PlanError(plan.name, line, "machine", problem, cure) from None
    source = _Source(place, tree_of(text, place, "label, setback, passage_min, loop_max"), text)
    own = {key: value for key, value in source.tree.items() if key != "units"}
    wrong = _unit_unknown(source, "unit of a file")
    if wrong:
        found = [_refused(partial(_figures, unit, own, source)) for unit in UNITS]
        raise _first_of([*wrong, *_whatever_the_unit(found)])
    return _figures(_unit(source.tree), own, source), source


def _figures(unit: str, own: dict[str, Any], source: _Source) -> Machine:
    """The machine of a file whose bare numbers are in a unit."""
    try:
        return Machine.model_validate(own, context={"units": unit})
    except ValidationError as error:
        told = [_told(item, source, None) for item in complaints(error, Machine)]
    raise _first_of(told)


def _unit(tree: Mapping) -> str:
    """The unit the lengths are read in; a wrong one is reported by the model."""
    unit = tree.get("units")
    return str(unit) if isinstance(unit, Scalar) and unit in UNITS else "m"


def _told(complaint: Problem, plan: _Source, machine: _Source | None) -> tuple[int, PlanError]:
    """A complaint with its file and line, after the line of the plan file to sort it by."""
    line = line_of(plan.tree, complaint.loc)
    source, loc = plan, complaint.loc
    if machine and loc[:1] == ("machine",):
        source, loc = machine, loc[1:]
    own_line = line_of(source.tree, loc)
    error = PlanError(source.name, own_line, key_path(loc), complaint.problem, complaint.cure)
    return line, error


def _first_of(errors: list[tuple[int, PlanError]]) -> PlanError:
    ordered = [error for _, error in sorted(errors, key=lambda pair: (pair[0], pair[1].line))]
    return PlanError.of(ordered)
