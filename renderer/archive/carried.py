"""The files that go along with a print: the plans it was made from, so that it can be made again.

With sheets for the crew go the files as they were written, the machine's too. With the owner's map
goes a copy without what is private, in one file.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import count
from pathlib import PurePath
from typing import TYPE_CHECKING, Any

from renderer.archive.names import is_safe, machine_name, plan_name
from renderer.plan import dump, for_owner
from renderer.primitives import Attachment

if TYPE_CHECKING:
    from renderer.plan.model import Plan
    from renderer.plan.source import SourceFile

TYPES = {"yaml": "application/yaml", "json": "application/json"}  # RFC 9512, RFC 8259
OWNERS_REMARK = "# A copy of the plan without what is private. pegline print reads it as it is."
PLAN_REMARK = "# The plan as pegline read it, lengths in metres."


@dataclass(frozen=True, slots=True)
class Carried(Iterable[Attachment]):
    """The files of some plans, each made when it is asked for.

    ``whole`` gives them as they were written, else each is a copy for the garden's owner; without
    ``place`` one that does not say where the garden is.
    """

    plans: Iterable[Plan]
    whole: bool
    place: bool = True

    def __iter__(self) -> Iterator[Attachment]:
        taken: dict[str, str] = {}
        for plan in self.plans:
            files = whole_files(plan, taken) if self.whole else [owners_file(plan, self.place)]
            for name, text in files:
                if taken.get(name) != text:  # jobs of a day may share their machine's file
                    taken[name] = text
                    yield Attachment(name, text.encode(), TYPES[PurePath(name).suffix[1:]])


def owners_file(plan: Plan, place: bool = True) -> tuple[str, str]:
    """Name and text of the copy of a plan that its garden's owner may have."""
    return plan_name(plan.job.number), plan_text(for_owner(plan, place=place), OWNERS_REMARK)


def whole_files(plan: Plan, taken: dict[str, str]) -> list[tuple[str, str]]:
    """Names and texts of a plan's files as they were written; ``taken`` are those there already.

    The plan names its machine's file by the name that it has here. What cannot be had so is one
    file with all that was read.
    """
    sources = plan.source.files
    number = plan.job.number
    if sources:
        own, *others = sources
        name = _free(plan_name, number, own, taken)
        if not others:
            return [(name, own.text)]
        machine = _machine_name(number, others[0], taken)
        text = _naming(own, others[0].name, machine)
        if text is not None:
            return [(name, text), (machine, others[0].text)]
    return [(_unused(plan_name(number), taken), plan_text(plan, PLAN_REMARK))]


def _machine_name(number: str, machine: SourceFile, taken: dict[str, str]) -> str:
    """The own name of a machine's file, unless it is unsafe or that of another file here."""
    name = PurePath(machine.name).name
    if is_safe(name) and taken.get(name, machine.text) == machine.text:
        return name
    return _free(machine_name, number, machine, taken)


def _free(make: Any, number: str, file: SourceFile, taken: dict[str, str]) -> str:
    ending = "json" if file.name.lower().endswith(".json") else "yaml"
    return _unused(make(number, ending), taken)


def _unused(name: str, taken: dict[str, str]) -> str:
    stem, dot, rest = name.partition(".")
    names = (name if n == 1 else f"{stem}-{n}{dot}{rest}" for n in count(1))
    return next(each for each in names if each not in taken)


def _naming(plan: SourceFile, path: str, machine: str) -> str | None:
    """The text of a plan with another name for its machine's file; nothing where it is not found.

    ``path`` is that of the machine's file, which ends in what the plan calls it.
    """
    lines = plan.text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    line = lines[plan.line - 1]
    found = _MACHINE.search(line)
    if found is None:
        return None
    called = found["quoted"] or found["single"] or found["plain"]
    if "\\" in called or not path.replace("\\", "/").endswith(called.replace("\\", "/")):
        return None
    if called == machine:
        return plan.text
    lines[plan.line - 1] = f'{line[: found.start("value")]}"{machine}"{line[found.end("value") :]}'
    return "\n".join(lines)


_MACHINE = re.compile(
    r"""["']?machine["']?\s*:\s*"""
    r"""(?P<value>"(?P<quoted>[^"]+)"|'(?P<single>[^']+)'|(?P<plain>[^\s"'{}\[\],#&*!|>%@`]+))"""
)


def plan_text(plan: Plan, remark: str) -> str:
    """A plan written as the text of a plan file, which reads back as the same plan.

    Each thing of a list has a line of its own.
    """
    lines = [remark]
    for key, value in dump(plan).items():
        if isinstance(value, list) and value and isinstance(value[0], dict):
            lines += [f"{key}:", *(f"  - {_flow(each)}" for each in value)]
        else:
            lines.append(f"{key}: {_flow(value)}")
    return "\n".join(lines) + "\n"


def _flow(value: Any) -> str:
    """A value on one line: what JSON writes, YAML reads."""
    return json.dumps(value, ensure_ascii=False)
