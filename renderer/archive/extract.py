"""The plan that a print was made from, out of the PDF itself."""

from __future__ import annotations

import os
import stat
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from renderer.archive.names import is_safe
from renderer.plan import digest, load, short_code
from renderer.plan.errors import PlanError

if TYPE_CHECKING:
    from renderer.plan.model import Plan

READ_MAX = 100_000_000  # bytes of a file that is looked into
PLANS = (".plan.yaml", ".plan.yml", ".plan.json")
NONE_CURE = "its layout may say plan_file: no, or another program has saved it without"


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


def recover(path: str) -> Recovered:
    """The plan files in a PDF that pegline printed, each read to see that it is whole.

    Nothing is written. Raises PlanError where there are none, or one cannot be read.
    """
    data = _bytes(path)
    if b"%PDF-" not in data[:1024]:
        raise PlanError(path, 0, "", "this is not a PDF", "name the file that pegline printed")
    from renderer.archive.pdf_in import attached

    files: dict[str, bytes] = {}
    for name, held in attached(path, data):
        if not is_safe(name):
            continue  # none of ours
        if name in files:
            raise PlanError(path, 0, "", f"two files that go along are called {name}")
        files[name] = held
    if not any(name.endswith(PLANS) for name in files):
        raise PlanError(path, 0, "", "no plan goes along in this PDF", NONE_CURE)
    return _checked(path, files)


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
            code = short_code(digest(plan))
            plans.append(Found(name, head.number, head.revision, code))
            kept |= {each: files[each] for each in _names(plan)}
    return Recovered(kept, tuple(plans))


def _names(plan: Plan) -> Sequence[str]:
    return [Path(source.name).name for source in plan.source.files]
