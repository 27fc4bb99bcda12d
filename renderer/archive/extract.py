"""The plan that a print was made from, out of the PDF itself or from pictures of the paper."""

from __future__ import annotations

import os
import re
import stat
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from renderer.archive.codes import CodeError, Part, joined
from renderer.archive.names import is_safe, plan_name
from renderer.plan import digest, load, short_code
from renderer.plan.errors import PlanError
from renderer.plan.files import BYTES_MAX

if TYPE_CHECKING:
    from renderer.plan.model import Plan

READ_MAX = 100_000_000  # bytes of a file that is looked into
_FROM_CODES = re.compile(r"[0-9A-F]{8}\.plan\.yaml")
PLANS = (".plan.yaml", ".plan.yml", ".plan.json")
NONE_CURE = (
    "name the PDF that pegline printed, or sharp pictures of the map's page with the squares"
)
ONE_CURE = "take them one at a time"


class Found(NamedTuple):
    """A plan that was found: the name of its file, job, revision and the code on its sheets."""

    name: str
    number: str
    revision: str
    code: str


class Recovered(NamedTuple):
    """Files by their names, and the plans among them."""

    files: dict[str, bytes]
    plans: tuple[Found, ...]


def recover(paths: Sequence[str]) -> Recovered:
    """The plan files in PDFs that pegline printed, or in the square codes on pictures of its maps.

    Each plan is read to see that it is whole. Nothing is written. Raises PlanError where there are
    none, or one cannot be read.
    """
    files: dict[str, bytes] = {}
    parts: list[Part] = []
    for path in paths:
        data = _bytes(path)
        is_pdf = b"%PDF-" in data[:1024]
        held = _attached(path, data) if is_pdf else {}
        for name, each in held.items():
            if files.setdefault(name, each) != each:
                raise PlanError(path, 0, "", f"another file is called {name} too", ONE_CURE)
        if not held:
            parts += _parts(path, data, is_pdf)
    return _checked(paths[0], files | _joined(paths[0], parts))


def _attached(path: str, data: bytes) -> dict[str, bytes]:
    """The plans that go along in a PDF, and their machines; nothing where no plan does."""
    from renderer.archive.pdf_in import attached

    files: dict[str, bytes] = {}
    for name, held in attached(path, data):
        if not is_safe(name):
            continue  # none of ours
        if name in files:
            raise PlanError(path, 0, "", f"two files that go along are called {name}")
        files[name] = held
    return files if any(name.endswith(PLANS) for name in files) else {}


def _parts(path: str, data: bytes, is_pdf: bool) -> list[Part]:
    """The parts of plans in the codes of a picture. Raises PlanError where there is none."""
    from renderer.archive.scan import parts_in_pdf, parts_in_picture

    parts = parts_in_pdf(path, data) if is_pdf else parts_in_picture(path, data)
    if not parts:
        problem = "no plan goes along in it, and no square with one is seen on it"
        raise PlanError(path, 0, "", problem, NONE_CURE)
    return parts


def _joined(path: str, parts: Sequence[Part]) -> dict[str, bytes]:
    """The plans that codes hold, by names of their own until they have been read."""
    try:
        found = joined(parts, BYTES_MAX)
    except CodeError as error:
        raise PlanError(path, 0, "", error.problem, error.cure) from None
    return {f"{check}.plan.yaml": data for check, data in found.items()}


def _bytes(path: str) -> bytes:
    try:
        if not stat.S_ISREG(os.stat(path).st_mode):
            raise PlanError(path, 0, "", "this is not a regular file", "name a PDF")
        with open(path, "rb") as file:
            data = file.read(READ_MAX + 1)
    except FileNotFoundError:
        raise PlanError(path, 0, "", "file not found", "check the path") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise PlanError(path, 0, "", f"the file cannot be read ({reason.lower()})") from None
    if len(data) > READ_MAX:
        raise PlanError(path, 0, "", f"the file is larger than {READ_MAX // 1_000_000} MB")
    return data


def _checked(path: str, files: dict[str, bytes]) -> Recovered:
    """The files, once each plan among them has been read as it will be; raises PlanError.

    What is neither a plan nor a plan's machine is left out.
    """
    with tempfile.TemporaryDirectory(prefix="pegline-") as folder:
        for name, data in files.items():
            (Path(folder) / name).write_bytes(data)
        plans: list[Found] = []
        kept: dict[str, bytes] = {}
        for name in sorted(files):
            if not name.endswith(PLANS):
                continue
            try:
                plan = load(os.path.join(folder, name))
            except PlanError as error:
                told = f"the plan {name} in it cannot be read ({error.problem})"
                raise PlanError(path, 0, error.key, told) from None
            head = plan.job
            own, *machine = _names(plan)
            called = plan_name(head.number) if _FROM_CODES.fullmatch(own) else own
            plans.append(Found(called, head.number, head.revision, short_code(digest(plan))))
            kept |= {called: files[own], **{each: files[each] for each in machine}}
    return Recovered(kept, tuple(plans))


def _names(plan: Plan) -> Sequence[str]:
    return [Path(source.name).name for source in plan.source.files]
