"""Boundary wire of a lawn from a plan file: laid, checked, drawn to scale, printed as sheets.

The calls here are all that most scripts need; each imports its libraries when
it is called, so that ``import renderer`` costs next to nothing.

>>> import renderer
>>> plan = renderer.load("demo/practice-lawn.plan.yaml")
>>> job = renderer.prepare(plan)
>>> [finding.rule for finding in renderer.check(job)]
['machine-not-confirmed']
>>> pdf = renderer.print_sheets([job], layout="drawing", paper="A4")
>>> pdf[:5]
b'%PDF-'
"""

from __future__ import annotations

from renderer import early

early.watch()  # before anything else is imported

from typing import TYPE_CHECKING, Any, cast  # noqa: E402

if TYPE_CHECKING:
    from collections.abc import Sequence
    from os import PathLike
    from typing import Unpack

    from renderer.checks.finding import Finding
    from renderer.display import Shown
    from renderer.fault import Asked
    from renderer.findings_text import FindingText
    from renderer.ground.lay import Lay
    from renderer.job import Job
    from renderer.options import Inks, PrintKeywords, PrintOptions
    from renderer.plan.day import DayPlan
    from renderer.plan.model import Plan
    from renderer.plan.values import Units
    from renderer.primitives import Document
    from renderer.progress import Progress
    from renderer.sheets.layout import Layout

__all__ = [
    "PrintOptions",
    "Refused",
    "check",
    "compare_sheets",
    "compose_sheets",
    "draw",
    "fault_sheets",
    "lay",
    "load",
    "load_day",
    "prepare",
    "print_class",
    "print_sheets",
    "show",
]
__version__ = "0.1.0"

DEFAULT_LAYOUT = "crew-work-order"
DEFAULT_PACK = "day-pack"
DEFAULT_LESSON = "exercise"
DEFAULT_CHANGES = "changes"
DEFAULT_FAULT = "fault"

Ending = str  # of a file that a backend of ``renderer.output.BACKENDS`` writes


class Refused(Exception):
    """Sheets that were not printed because a finding stops the lay; ``stops`` holds them by job."""

    def __init__(self, stops: tuple[tuple[str, tuple[FindingText, ...]], ...]) -> None:
        super().__init__(stops)
        self.stops = stops

    def __str__(self) -> str:
        job, found = self.stops[0]
        others = sum(len(each) for _, each in self.stops) - 1
        more = f" (and {others} more)" if others else ""
        return f"not printed, a finding stops the lay of {job}: {found[0].message}{more}"


def load(path: str | PathLike[str]) -> Plan:
    """The plan in a YAML or JSON file, validated, lengths in metres.

    >>> plan = load("demo/practice-lawn.plan.yaml")
    >>> plan.job.number, len(plan.lawns), plan.machine.passage_min
    ('FH-100', 1, 1.2)

    Raises ``renderer.plan.PlanError`` with file, line, key and cure where the
    file cannot be read or is not valid.
    """
    from renderer.plan import load as read

    return read(path)


def load_day(path: str | PathLike[str]) -> tuple[DayPlan, tuple[Plan, ...]]:
    """The day in a day file, and the plans of its jobs in their order.

    Raises ``renderer.plan.PlanError`` as ``load`` does, for the day file and for each plan.
    """
    from renderer.plan import load_day as read

    return read(path)


def prepare(plan: Plan, *, as_planned: bool = False) -> Job:
    """The job of a plan: lay, findings, digest and setting out, each worked out once, when asked.

    It is the job as built where the plan has records of that, unless ``as_planned``.
    ``lay``, ``check``, ``draw`` and the calls that print take it in place of the plan, and then
    nothing is laid or checked a second time.
    """
    from renderer.job import prepare as made

    return made(plan, as_planned)


def lay(plan: Plan | Job) -> Lay:
    """The wire laid on the ground: rings, lead pairs, walk, pegs, splices, take-off; metres.

    >>> loop = lay(load("demo/practice-lawn.plan.yaml")).loops[0]
    >>> [ring.kind for ring in loop.rings], round(loop.pegs[0].at_m, 2) == loop.tail_m
    (['outer', 'island'], True)
    """
    return _job(plan).lay


def check(
    plan: Plan | Job, laid: Lay | None = None, *, language: str = "en"
) -> tuple[FindingText, ...]:
    """The findings on a plan, worst first; ``laid`` saves laying it a second time.

    ``language`` is that of their texts, which tell figures in the plan's unit; ``facts`` are the
    same figures as plain values, lengths in metres. One that has no words is refused with
    ``renderer.language.WordError``.

    >>> for found in check(load("demo/practice-lawn.plan.yaml")):
    ...     print(found.level, found.rule, "accepted" if found.acknowledged else "open")
    warn machine-not-confirmed accepted
    """
    job = _job(plan)
    if laid is None:
        return job.findings_in(language)
    from renderer.checks import check_plan
    from renderer.findings_text import in_words

    return in_words(check_plan(job.plan, laid), job.plan.units, language)


def draw(
    plan: Plan | Job,
    ending: Ending = "svg",
    *,
    paper: str | None = None,
    scale: float | None = None,
    language: str = "en",
    ellipses: bool = False,
    ink: Inks = "grey",
) -> bytes:
    """One scaled diagram as the bytes of a file: ``svg``, ``pdf`` or ``png``.

    ``paper`` is a paper's name, A4 when left out, or Letter for a plan in feet;
    ``scale`` is the N of 1:N, the largest usual one that fits when left out. A
    scale that does not fit is refused with ``renderer.drawing.DrawError``,
    never shrunk. ``language`` is that of the words; one that has none is refused with
    ``renderer.language.WordError``. ``ellipses`` draws how sure surveyed points are.
    ``ink`` is ``grey`` or ``colour``.

    >>> svg = draw(load("demo/practice-lawn.plan.yaml"), "svg", scale=100)
    >>> b'data-scale="100"' in svg
    True
    """
    from renderer.inks import drawing_in
    from renderer.output import writer
    from renderer.sheets.figure import figure

    drawing = figure(_job(plan), paper=paper, scale=scale, language=language, ellipses=ellipses)
    return writer(ending)(drawing_in(ink, drawing), language)


def show(plan: Plan | Job, *, language: str = "en", ink: Inks = "grey") -> Shown:
    """The garden to scale and its findings, which a notebook shows when it is a cell's last value.

    >>> print(show(load("demo/practice-lawn.plan.yaml")))  # doctest: +ELLIPSIS
    FH-100 · Practice lawn
    warn Not confirmed against the manual of ...

    Raises what ``draw`` raises.
    """
    from renderer.display import Shown

    job = _job(plan)
    head = " · ".join(filter(None, (job.plan.job.number, job.plan.job.title)))
    svg = draw(job, "svg", language=language, ink=ink).decode()
    return Shown(head, svg, job.findings_in(language), language)


def print_sheets(
    plans: Sequence[Plan | Job],
    options: PrintOptions | None = None,
    *,
    day: DayPlan | None = None,
    processes: int = 1,
    progress: Progress | None = None,
    **more: Unpack[PrintKeywords],
) -> bytes:
    """The sheets of one or several jobs as the bytes of one PDF.

    What is printed is said by ``options``, or by keywords of their names: ``layout``, ``paper``,
    ``scale``, ``language``, ``draft``, ``fields``, ``two_sided``, ``ink``, ``as_planned``,
    ``full``. ``processes`` share the jobs of a pack; the bytes are the same. ``progress`` is called
    with the steps done and their total.
    Raises ``Refused`` where a finding stops a lay, unless it is a draft, and
    ``renderer.language.WordError`` for a language that has no words.
    """
    from renderer.output.pdf import write_pdf

    chosen = _options(options, more)
    return write_pdf(compose_sheets(plans, chosen, day=day, processes=processes, progress=progress))


def compose_sheets(
    plans: Sequence[Plan | Job],
    options: PrintOptions | None = None,
    *,
    day: DayPlan | None = None,
    processes: int = 1,
    progress: Progress | None = None,
    **more: Unpack[PrintKeywords],
) -> Document:
    """The same as a document, for ``renderer.output.pdf.write_pdf_to`` and a file.

    The pages of a pack come from a temporary file, so that memory does not grow with the jobs.
    """
    from renderer.inks import document_in

    chosen = _options(options, more)
    return document_in(chosen.ink, _composed(plans, chosen, day, processes, progress))


def _composed(
    plans: Sequence[Plan | Job],
    chosen: PrintOptions,
    day: DayPlan | None,
    processes: int,
    progress: Progress | None,
) -> Document:
    """The document in grey."""
    from renderer.sheets import compose, layout_for

    is_pack = day is not None or len(plans) > 1
    layout = layout_for(chosen, DEFAULT_PACK if is_pack else DEFAULT_LAYOUT)
    if layout.each is None:
        planned = layout.as_planned or chosen.as_planned
        jobs = [_job(plan, planned) for plan in plans]
        found = [(job.plan.job.number, job.findings, job.plan.units) for job in jobs]
        _refuse_stops(found, chosen.draft)
        document = compose(
            jobs,
            layout,
            paper=chosen.paper,
            scale=chosen.scale,
            draft=chosen.draft,
            progress=progress,
        )
        return _with_plans(document, [job.written for job in jobs], layout)
    from renderer.batch.compose_pack import compose_pack
    from renderer.batch.pack import pack_of
    from renderer.batch.workers import Workers
    from renderer.sheets.errors import no_job

    if not plans:
        raise no_job(layout.document)
    with Workers(min(processes, len(plans))) as workers:
        pack = pack_of(_plans(plans), day, progress, workers.map)
        found = [(each.job.number, each.findings, each.units) for each in pack.told]
        _refuse_stops(found, chosen.draft)
        document = compose_pack(
            pack,
            layout,
            paper=chosen.paper,
            scale=chosen.scale,
            draft=chosen.draft,
            progress=progress,
            mapped=workers.map,
        )
    return _with_plans(document, _plans(plans), layout.each)


def compare_sheets(
    old: Plan | Job,
    new: Plan | Job,
    options: PrintOptions | None = None,
    **more: Unpack[PrintKeywords],
) -> Document:
    """What has changed from one plan to another, as a document; ``changes`` is the usual layout.

    The options are as for ``print_sheets``; findings that stop a lay do not stop it. Raises
    ``renderer.sheets.SheetError`` for a layout that tells of no changes.
    """
    from renderer.inks import document_in
    from renderer.sheets import compose, layout_for
    from renderer.sheets.errors import no_changes

    chosen = _options(options, more)
    layout = layout_for(chosen, DEFAULT_CHANGES)
    if not layout.tells_changes:
        raise no_changes(layout.document)
    document = compose([_job(new)], layout, paper=chosen.paper, scale=chosen.scale, older=_job(old))
    return document_in(chosen.ink, document)


def fault_sheets(
    plan: Plan | Job,
    asked: Asked,
    options: PrintOptions | None = None,
    **more: Unpack[PrintKeywords],
) -> Document:
    """What a reading may mean and where to measure next, as a document; ``fault`` is the layout.

    The options are as for ``print_sheets``; findings that stop a lay do not stop it.
    """
    from renderer.inks import document_in
    from renderer.sheets import compose, layout_for

    chosen = _options(options, more)
    layout = layout_for(chosen, DEFAULT_FAULT)
    job = _job(plan, layout.as_planned or chosen.as_planned)
    document = compose([job], layout, paper=chosen.paper, scale=chosen.scale, asked=asked)
    return document_in(chosen.ink, document)


def print_class(
    plan: Plan | Job,
    count: int,
    options: PrintOptions | None = None,
    *,
    seed: int = 1,
    progress: Progress | None = None,
    **more: Unpack[PrintKeywords],
) -> tuple[bytes, bytes]:
    """Different exercises from one garden: the trainees' PDF, and the trainer's with the key.

    ``count`` is how many, ``seed`` which ones: the same seed gives the same bytes. Nothing in
    either file says whose garden it is, and nothing in the first answers anything. The options are
    as for ``print_sheets``; their layout is one that names a ``key``.
    Raises ``renderer.teaching.LessonError`` where no such garden lays without a stop.
    """
    from renderer.inks import document_in
    from renderer.output.pdf import write_pdf
    from renderer.sheets import compose, in_language
    from renderer.sheets.class_layouts import class_layouts
    from renderer.teaching.variants import exercises

    chosen = _options(options, more)
    layouts = class_layouts(chosen.layout or DEFAULT_LESSON, chosen.fields)
    sheets = [in_language(each, chosen.language) for each in layouts]
    jobs = exercises(_job(plan, as_planned=True).plan, sheets[0].language, count, seed, progress)
    for_trainees, for_trainer = (
        write_pdf(
            document_in(chosen.ink, compose(jobs, each, paper=chosen.paper, scale=chosen.scale))
        )
        for each in sheets
    )
    return for_trainees, for_trainer


def _job(plan: Plan | Job, as_planned: bool = False) -> Job:
    from renderer.job import Job, prepare

    if isinstance(plan, Job):
        return plan.as_planned if as_planned else plan
    return prepare(plan, as_planned)


def _plans(given: Sequence[Plan | Job]) -> Sequence[Plan]:
    """The plans of jobs that a day lays anew; a long list of plans stays in its file."""
    from renderer.job import Job

    if isinstance(given, list | tuple):
        return [each.as_planned.plan if isinstance(each, Job) else each for each in given]
    return cast("Sequence[Plan]", given)


def _options(options: PrintOptions | None, more: PrintKeywords) -> PrintOptions:
    from dataclasses import replace

    from renderer.options import PrintOptions

    return replace(options or PrintOptions(), **more)


def _with_plans(document: Document, plans: Sequence[Plan], layout: Layout) -> Document:
    """The document with the files of its plans, as far as its layout lets them go along."""
    if layout.plan_file == "no":
        return document
    from dataclasses import replace

    from renderer.archive.carried import Carried

    whole = layout.plan_file == "whole"
    return replace(document, attachments=Carried(plans, whole, layout.tells_place))


def _refuse_stops(jobs: Sequence[tuple[str, Sequence[Finding], Units]], draft: bool) -> None:
    from renderer.findings_text import in_words

    stops = [
        (number, found, units)
        for number, findings, units in jobs
        if (found := [each for each in findings if each.level == "stop"])
    ]
    if stops and not draft:
        raise Refused(tuple((number, in_words(found, units)) for number, found, units in stops))


def __getattr__(name: str) -> Any:
    """Fetch the one class here that needs a library of its own when it is first used."""
    if name != "PrintOptions":
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from renderer.options import PrintOptions

    return PrintOptions
