"""The findings one by one: the rule, its reason, what to do, and the wrong beside the right.

The wrong is a mistake made in a sound garden, from the tables that the checks are tried with; the
right is that garden, looked at in the same place.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING, Any, ClassVar

import yaml
from docutils import nodes

from docs.press.pictures import Picture
from docs.press.rules import goes_by, looks_at
from renderer.checks import check_plan
from renderer.checks.registry import ROOMS, RULES
from renderer.drawing.closeup import SHOW, Work, around, closeup, window
from renderer.drawing.pens import SUSPECT
from renderer.drawing.scale import Fit
from renderer.drawing.scene import SYMBOL, Part
from renderer.drawing.words import drawing_words
from renderer.findings_text import in_words
from renderer.job import Job, prepare
from renderer.language import load_words
from renderer.output.svg import write_svg
from renderer.primitives import Circle, Drawing
from renderer.units import MM_PER_M
from tests.checks import lay_mistakes, mistakes
from tests.checks.jobs import JOB, changed, plan_of

if TYPE_CHECKING:
    from sphinx.util.typing import OptionSpec

    from renderer.checks.finding import Finding

WINDOW_MM = (100.0, 72.0)
SCALES = (100.0, 400.0, 10_000.0)
ROUND_MM = 30.0  # about the place of a finding, on paper
RING_MM = 5.0
SHOWN = SHOW - {"peg-numbers"}
LEVELS = {"stop": "stops the job", "warn": "a warning", "note": "a note"}
ON_ITS_OWN = {
    "wire-crosses-itself": "two pegs of a ring in the wrong order",
    "corner-too-sharp": "a corner left sharp",
}
TABLES = {**mistakes.MISTAKES, **mistakes.NOTES, **mistakes.RECORDED}
VALUE_MOST = 110  # characters of a value that is set beside another


@dataclass(frozen=True, slots=True, eq=False)
class Sample:
    """A mistake in words, and the garden with it.

    ``written`` is the plan of the sound garden and ``changes`` what is put into it, by dotted
    places; nothing for a mistake in the lay alone.
    """

    name: str
    spoilt: Job
    written: dict[str, Any]
    changes: dict[str, Any]


class Findings(Picture):
    """The findings of rooms of ``checks/``, by the names of their modules."""

    required_arguments = 1
    final_argument_whitespace = True
    option_spec: ClassVar[OptionSpec] = {}

    def run(self) -> list[nodes.Node]:
        found: list[nodes.Node] = []
        for rule in rules_of(self.arguments[0].split()):
            text = self._told(rule)
            found += self.parse_text_to_nodes(text, allow_section_headings=True)
        return found

    def _told(self, rule: str) -> str:
        words = load_words(part="findings")
        sample = sample_of(rule)
        finding = found_in(sample.spoilt, rule)
        (told,) = in_words((finding,), sample.spoilt.plan.units)
        parts = [
            f"({rule})=\n## {rule}",
            f"*{LEVELS[RULES[rule].level].capitalize()}.* {words(f'{rule}.why')}",
            f"Looks at: {looks_at(rule)}{f' Goes by {goes_by(rule)}.' if goes_by(rule) else ''}",
            f"What to do: {words(f'{rule}.cure')}",
            f"For example, {sample.name}:\n\n> {told.message}",
            self._beside(sample, finding),
            _written(sample),
        ]
        return "\n\n".join(filter(None, parts)) + "\n"

    def _beside(self, sample: Sample, finding: Finding) -> str:
        """Both pictures as HTML; nothing for what has no place."""
        if finding.at is None:
            return ""
        sound = _sound(json.dumps(sample.written))
        wrong, right = seen_at(finding.at, sample.spoilt, sound)
        halves = ""
        for title, drawing, what in (
            ("Wrong", wrong, sample.name),
            ("Right", right, f"the same place without {sample.name}"),
        ):
            img = self.img(write_svg(drawing), "svg", "drawing", f"{title}: {what}")
            halves += f"<div><b>{title}</b>{img}</div>"
        return f'```{{raw}} html\n<figure class="pair">{halves}</figure>\n```'


def rules_of(rooms: list[str]) -> list[str]:
    """The rules of rooms in their order, by the names of the modules; of ``accept`` the others."""
    known = {room.__name__.rpartition(".")[2]: [rule.id for rule in room.RULES] for room in ROOMS}
    placed = {rule for rules in known.values() for rule in rules}
    known["accept"] = [rule for rule in RULES if rule not in placed]
    return [rule for room in rooms for rule in known[room]]


@cache
def sample_of(rule: str) -> Sample:
    """The plainest mistake that trips a rule."""
    plans = [
        (len(rules), not changes, name, job, changes)
        for name, (job, changes, rules) in TABLES.items()
        if rule in rules
    ]
    if plans:
        *_, name, job, changes = min(plans, key=lambda each: each[:2])
        spoilt = prepare(plan_of(changed(job, changes)))
        return Sample(name, spoilt, job, changes)
    job, make, name = _in_the_lay(rule)
    sound = _sound(json.dumps(job))
    spoilt = Job.known(sound.plan, make(sound.plan, sound.lay))
    return Sample(name, spoilt, job, {})


def _in_the_lay(rule: str) -> tuple[dict[str, Any], lay_mistakes.Mistake, str]:
    """A garden, the mistake that is made in its lay, and what that is called."""
    if rule in lay_mistakes.ON_ITS_OWN:
        return *lay_mistakes.ON_ITS_OWN[rule], ON_ITS_OWN[rule]
    name, make = next(
        (name, make) for name, (make, rules) in lay_mistakes.MISTAKES.items() if rule in rules
    )
    return JOB, make, name


@cache
def _sound(written: str) -> Job:
    """The job of a plan, laid once for all mistakes that are made in it."""
    return prepare(plan_of(json.loads(written)))


def found_in(job: Job, rule: str) -> Finding:
    """What a rule finds first in a garden."""
    return check_plan(job.plan, job.lay, only={rule}, past=job.past)[0]


def seen_at(at: tuple[float, float], spoilt: Job, sound: Job) -> tuple[Drawing, Drawing]:
    """Two gardens about a place, with a ring in the first, so far off that each shows something.

    The place may be the middle of a large lawn, with nothing to draw near it.
    """
    for scale in SCALES:
        wrong, right = _about(spoilt, at, scale, ringed=True), _about(sound, at, scale)
        if len(wrong.items) > 1 and right.items:  # more than the ring
            break
    return wrong, right


def _about(job: Job, at: tuple[float, float], scale: float, *, ringed: bool = False) -> Drawing:
    """A garden about a place, at 1:scale."""
    words = drawing_words()
    work = Work(job.plan, job.lay, (), *WINDOW_MM, 0.0, False, words, job.setting)
    ground = around(at, ROUND_MM / MM_PER_M * scale)
    scene = replace(window(work, ground, Fit(scale, 0.0)), show=SHOWN)
    ring = Circle(scene.view.point(at), RING_MM, SUSPECT, role="finding")
    return closeup(scene, "", [Part(items=((SYMBOL, ring),))] if ringed else ()).drawing


def _written(sample: Sample) -> str:
    """What the plan says, wrong and right, as a table; nothing where that is long."""
    rows = []
    for place, wrong in sample.changes.items():
        where, right = _found_at(sample.written, place)
        rows.append((where, _value(wrong), _value(right)))
    if not rows or any(len(cell) > VALUE_MOST for row in rows for cell in row):
        return ""
    lines = [f"| {where} | {wrong} | {right} |" for where, wrong, right in rows]
    return "\n".join(("| in the plan | wrong | right |", "| --- | --- | --- |", *lines))


def _found_at(job: dict[str, Any], place: str) -> tuple[str, Any]:
    """A dotted place as a reader finds it in a plan, by the names of things, and what is there."""
    held: Any = job
    told = []
    for key in place.split("."):
        if key == "+":
            told.append("one more")
            held = None
        elif isinstance(held, list):
            held = held[int(key)]
            named = isinstance(held, dict) and "name" in held
            told.append(held["name"] if named else str(int(key) + 1))
        else:
            held = held.get(key) if isinstance(held, dict) else None
            told.append(f"`{key}`")
    return " ".join(told), held


def _value(value: Any) -> str:
    """A value as a plan file has it."""
    if value is None:
        return "left out"
    text = yaml.safe_dump(value, default_flow_style=True, width=1000).removesuffix("\n...\n")
    return f"`{text.strip()}`"
