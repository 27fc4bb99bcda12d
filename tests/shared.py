"""Lays, findings and documents that several tests look at, worked out once in a run of the tests.

The calls have the names and arguments of the product's own and give the same values. What one of
the processes of a run has worked out is kept, pickled, in a folder of the run, from which the
others take it; the folder goes with the run, so that nothing in it is older than the code. A test
of the calls themselves (that they give the same twice, how long they take) uses the product's.

Each job takes its lay and its findings from here too, by whatever call it is made: a print, the
command, a pack; so have the sheets of a class the plates with a mistake. A test marked
``own_work`` has all that is its own worked out anew.
"""

from __future__ import annotations

import hashlib
import os
import pickle
import threading
from collections import OrderedDict
from contextlib import contextmanager
from functools import partial
from importlib import import_module
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from pydantic import BaseModel

try:
    from fcntl import LOCK_EX, flock
except ImportError:  # where there is none, two processes may work out the same value
    flock = None  # type: ignore[assignment]

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from renderer import Ending
    from renderer.checks.finding import Finding
    from renderer.checks.past import Past
    from renderer.ground.lay import Lay
    from renderer.ground.mown import MownLawn
    from renderer.ground.setting_out import SettingOut
    from renderer.job import Job
    from renderer.language import Words
    from renderer.output.recorder import Drawn
    from renderer.plan import Plan
    from renderer.plan.model import Lawn, Machine, Obstacle
    from renderer.primitives import Document
    from renderer.sheets import Layout
    from renderer.teaching.plates import Plates

T = TypeVar("T")
FOLDER = "PEGLINE_TESTS_FOLDER"  # set for the processes of a run by ``tests/conftest.py``
NEAR = 32  # of the last values a process keeps as they are

_near: OrderedDict[str, Any] = OrderedDict()
_turn = threading.Lock()
_own: dict[str, Any] = {}  # the product's calls that jobs make, while they make those from here


def lay_plan(plan: Plan, *more: Any) -> Lay:
    """As ``renderer.ground.lay_plan``."""
    from renderer.ground.engine import lay_plan as call

    return once(call, plan, *more)


def check_plan(plan: Plan, lay: Lay) -> tuple[Finding, ...]:
    """As ``renderer.checks.check_plan``, with all rules."""
    from renderer import checks

    return once(_own.get("check_plan", checks.check_plan), plan, lay)


def _check_of_job(
    plan: Plan,
    lay: Lay,
    setting: SettingOut | None = None,
    only: Iterable[str] | None = None,
    past: Past | None = None,
) -> tuple[Finding, ...]:
    """The same where a job asks; what it is set out by follows from plan and lay, boards aside."""
    if only is not None or past is not None or (setting and setting.boards):
        found: tuple[Finding, ...] = _own["check_plan"](plan, lay, setting, only, past)
        return found
    return check_plan(plan, lay)


def _mow_of_plan(lawn: Lawn, obstacles: Sequence[Obstacle], machine: Machine) -> MownLawn:
    """The ground of one lawn: plans that differ elsewhere share it."""
    call = _own["mow_lawn"]
    name = "mown-" + digest((lawn, tuple(obstacles), machine))
    return _stored(name, lambda: call(lawn, obstacles, machine))


def _plates_of_class(job: Job, words: Words, scale: float) -> Plates:
    """The plates with a mistake of this very job, for each sheet that has them."""
    call = _own["class_plates"]
    name = f"plates {id(job)} {words.language} {scale}"
    _, made = near(name, lambda: (job, call(job, words, scale)))
    return made


CALLS = {  # that a job or a sheet makes: where it finds them, and what it gets instead
    "lay_plan": ("renderer.ground.lay_plan", lay_plan),
    "check_plan": ("renderer.checks.check_plan", _check_of_job),
    "mow_lawn": ("renderer.ground.engine.mow_lawn", _mow_of_plan),
    "class_plates": ("renderer.sheets.blocks.fault_plates.plates", _plates_of_class),
}


def serve_jobs(served: bool) -> None:
    """Whether jobs and sheets have these from here, or work them out themselves."""
    for name, (path, call) in CALLS.items():
        home, _, attribute = path.rpartition(".")
        module = import_module(home)
        if served and name not in _own:
            _own[name] = getattr(module, attribute)
            setattr(module, attribute, call)
        elif not served and name in _own:
            setattr(module, attribute, _own.pop(name))


def compose(jobs: Sequence[Job], layout: Layout, **options: Any) -> Document:
    """As ``renderer.sheets.compose``; for layouts that stay as they are while the tests run."""
    from renderer.drawing.paper import USUAL
    from renderer.sheets.compose import compose as call

    told = {name: value for name, value in options.items() if value not in (None, False)}
    usual = layout.paper or USUAL[jobs[0].plan.units if jobs else "m"]
    return once(call, tuple(jobs), layout, **({"paper": usual} | told))


def exercises(plan: Plan, count: int, seed: int) -> tuple[Job, ...]:
    """As ``renderer.teaching.variants.exercises``, in English."""
    from renderer.teaching.variants import exercises as call

    return once(call, plan, "en", count, seed)


def print_sheets(plans: Sequence[Plan | Job], **options: Any) -> bytes:
    """As ``renderer.print_sheets``; for layouts that stay as they are while the tests run."""
    return once(_printed, tuple(plans), **options)


def draw(plan: Plan | Job, ending: Ending = "svg", **options: Any) -> bytes:
    """As ``renderer.draw``; one drawing for its file of each kind."""
    import renderer
    from renderer.sheets import figure

    own = figure.figure
    figure.figure = partial(once, own)
    try:
        return renderer.draw(plan, ending, **options)
    finally:
        figure.figure = own


def _printed(plans: tuple[Plan | Job, ...], **options: Any) -> bytes:
    """A print of the document that other tests have of the same job."""
    import renderer
    from renderer import sheets

    own = sheets.compose
    sheets.compose = compose
    try:
        return renderer.print_sheets(plans, **options)
    finally:
        sheets.compose = own


def record(document: Document) -> tuple[Drawn, ...]:
    """As ``renderer.output.recorder.record``; kept in this process, for this very document."""
    from renderer.output.recorder import record as call

    _, drawn = near(f"record {id(document)}", lambda: (document, call(document)))
    return drawn


def job_of(plan: Plan) -> Job:
    """The job of a plan with its lay and findings, one and the same in a process."""
    from renderer.job import Job

    def made() -> Job:
        lay = lay_plan(plan)
        return Job.known(plan, lay, check_plan(plan, lay))

    return near("job " + digest(plan), made)


def once(call: Callable[..., T], *given: Any, **options: Any) -> T:
    """What a call gives for values that it depends on and on nothing else; frozen, as it is shared.

    An error is not kept.
    """
    name = digest((call.__module__, call.__qualname__, given, sorted(options.items())))
    return near(name, lambda: _stored(name, lambda: call(*given, **options)))


def near(name: str, make: Callable[[], T]) -> T:
    """A value by its name, made if this process has not got it among its last ones."""
    with _turn:
        if name in _near:
            _near.move_to_end(name)
            found: T = _near[name]
            return found
    made = make()
    with _turn:
        _near[name] = made
        if len(_near) > NEAR:
            _near.popitem(last=False)
    return made


def digest(value: Any) -> str:
    """Hexadecimal digits over all that a value holds; where two differ, so do their values."""
    file = BytesIO()
    pickler = _Plain(file, pickle.HIGHEST_PROTOCOL)
    pickler.fast = True  # a text that occurs twice is written twice, be it one object or two
    pickler.dump(value)
    return hashlib.sha256(file.getbuffer()).hexdigest()


class _Plain(pickle.Pickler):
    """Of a job what it was made from, not what was worked out since; sets in one order."""

    def reducer_override(self, value: Any) -> Any:
        from renderer.job import Job

        if isinstance(value, Job):
            parts = vars(value)
            made_of = [parts.get(name) for name in ("lay", "findings")]
            held_by = value.plan, value.boards, value.english, value.designed
            return tuple, ((*held_by, value.digest, *made_of),)
        if isinstance(value, BaseModel):
            held = type(value), vars(value), value.__pydantic_private__
            return tuple, ((*held, sorted(value.model_fields_set)),)
        return NotImplemented


def _stored(name: str, make: Callable[[], T]) -> T:
    """A value from the folder of the run, else made and put there, by one process at a time."""
    folder = os.environ.get(FOLDER)
    if folder is None:
        return make()
    path = Path(folder, name)
    if not path.exists():
        with _locked(path.with_suffix(".lock")):
            if not path.exists():
                value = make()
                half = path.with_suffix(f".{os.getpid()}")
                half.write_bytes(pickle.dumps(value, pickle.HIGHEST_PROTOCOL))
                half.replace(path)
                return value
    found: T = pickle.loads(path.read_bytes())
    return found


@contextmanager
def _locked(path: Path) -> Iterator[None]:
    with path.open("w") as file:
        if flock is not None:
            flock(file, LOCK_EX)
        yield
