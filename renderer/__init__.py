"""Boundary wire of a lawn from a plan file: laid, checked, drawn to scale, printed as sheets.

The calls here are all that most scripts need; each imports its libraries when
it is called, so that ``import renderer`` costs next to nothing.

>>> import renderer
>>> plan = renderer.load("garden.plan.yaml")            # doctest: +SKIP
>>> for finding in renderer.check(plan):                # doctest: +SKIP
...     print(finding.level, finding.message)
>>> pdf = renderer.print_sheets([plan], paper="A4")     # doctest: +SKIP
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from os import PathLike

    from renderer.checks.finding import Finding
    from renderer.ground.lay import Lay
    from renderer.plan.day import DayPlan
    from renderer.plan.model import Plan
    from renderer.primitives import Document
    from renderer.sheets import Layout

__all__ = [
    "Refused",
    "check",
    "compose_sheets",
    "draw",
    "lay",
    "load",
    "load_day",
    "print_class",
    "print_sheets",
]
__version__ = "0.1.0"

DEFAULT_LAYOUT = "crew-work-order"
DEFAULT_PACK = "day-pack"
DEFAULT_LESSON = "exercise"

Ending = str  # of a file that a backend of ``renderer.output.BACKENDS`` writes


class Refused(Exception):
    """Sheets that were not printed because a finding stops the lay; ``stops`` holds them by job."""

    def __init__(self, stops: tuple[tuple[str, tuple[Finding, ...]], ...]) -> None:
        super().__init__(stops)
        self.stops = stops

    def __str__(self) -> str:
        job, found = self.stops[0]
        others = sum(len(each) for _, each in self.stops) - 1
        more = f" (and {others} more)" if others else ""
        return f"not printed, a finding stops the lay of {job}: {found[0].message}{more}"


def load(path: str | PathLike[str]) -> Plan:
    """The plan in a YAML or JSON file, validated, lengths in metres.

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


def lay(plan: Plan) -> Lay:
    """The wire laid on the ground: rings, lead pairs, walk, pegs, splices, take-off; metres."""
    from renderer.ground import lay_plan

    return lay_plan(plan)


def check(plan: Plan, laid: Lay | None = None, *, language: str = "en") -> tuple[Finding, ...]:
    """The findings on a plan, worst first; ``laid`` saves laying it a second time.

    ``language`` is that of their texts.
    """
    from renderer.checks import check_plan

    return check_plan(plan, laid if laid is not None else lay(plan), language)


def draw(
    plan: Plan,
    ending: Ending = "svg",
    *,
    paper: str | None = None,
    scale: float | None = None,
    language: str = "en",
) -> bytes:
    """One scaled diagram as the bytes of a file: ``svg``, ``pdf`` or ``png``.

    ``paper`` is a paper's name, A4 when left out, or Letter for a plan in feet;
    ``scale`` is the N of 1:N, the largest usual one that fits when left out. A
    scale that does not fit is refused with ``renderer.drawing.DrawError``,
    never shrunk. ``language`` is that of the words; one that has none is refused with
    ``renderer.language.WordError``.
    """
    from renderer.drawing import drawing_words, figure
    from renderer.drawing.paper import USUAL
    from renderer.output import writer

    words = drawing_words(language)
    laid = lay(plan)
    sheet = paper or USUAL[plan.units]
    drawing = figure(plan, laid, check(plan, laid), paper=sheet, scale=scale, words=words)
    return writer(ending)(drawing, language)


def print_sheets(
    plans: Sequence[Plan],
    *,
    day: DayPlan | None = None,
    layout: str | None = None,
    paper: str | None = None,
    scale: float | None = None,
    language: str | None = None,
    draft: bool = False,
    fields: bool | None = None,
    two_sided: bool | None = None,
    processes: int = 1,
    progress: Callable[[int, int], None] | None = None,
) -> bytes:
    """The sheets of one or several jobs as the bytes of one PDF.

    ``layout`` is the name of a layout or the path of one's own: when left out, the crew work order
    for one plan, the day pack for several or for a ``day``. ``paper`` is the layout's own when left
    out, or as for ``draw``; ``fields`` makes boxes fillable, ``two_sided`` lets each job of a pack
    begin on a new leaf, both as the layout says when left out. ``processes`` share the jobs of a
    pack; the bytes are the same.
    ``progress`` is called with the steps done and their total. ``language`` is that of the words,
    the layout's own when left out; names and notes of the plan stay as they are. Raises ``Refused``
    where a finding stops a lay, unless ``draft`` prints it with a mark on every page, and
    ``renderer.language.WordError`` for a language that has no words.
    """
    from renderer.output.pdf import write_pdf

    return write_pdf(
        compose_sheets(
            plans,
            day=day,
            layout=layout,
            paper=paper,
            scale=scale,
            language=language,
            draft=draft,
            fields=fields,
            two_sided=two_sided,
            processes=processes,
            progress=progress,
        )
    )


def compose_sheets(
    plans: Sequence[Plan],
    *,
    day: DayPlan | None = None,
    layout: str | None = None,
    paper: str | None = None,
    scale: float | None = None,
    language: str | None = None,
    draft: bool = False,
    fields: bool | None = None,
    two_sided: bool | None = None,
    processes: int = 1,
    progress: Callable[[int, int], None] | None = None,
) -> Document:
    """The same as a document, for ``renderer.output.pdf.write_pdf_to`` and a file.

    The pages of a pack come from a temporary file, so that memory does not grow with the jobs.
    """
    from renderer.sheets import in_language, load_layout

    is_pack = day is not None or len(plans) > 1
    chosen = load_layout(layout or (DEFAULT_PACK if is_pack else DEFAULT_LAYOUT))
    switches = {"form_fields": fields, "two_sided": two_sided}
    chosen = chosen.model_copy(update={k: v for k, v in switches.items() if v is not None})
    chosen = in_language(chosen, language)
    if chosen.each is None:
        return _job_by_job(plans, chosen, paper, scale, draft, progress)
    from renderer.batch.compose_pack import compose_pack
    from renderer.batch.pack import pack_of
    from renderer.batch.workers import Workers
    from renderer.sheets.errors import no_job

    if not plans:
        raise no_job(chosen.document)
    with Workers(min(processes, len(plans))) as workers:
        pack = pack_of(plans, day, progress, workers.map)
        _refuse_stops([(told.job.number, told.findings) for told in pack.told], draft)
        return compose_pack(
            pack,
            chosen,
            paper=paper,
            scale=scale,
            draft=draft,
            progress=progress,
            mapped=workers.map,
        )


def print_class(
    plan: Plan,
    count: int,
    *,
    seed: int = 1,
    layout: str = DEFAULT_LESSON,
    paper: str | None = None,
    scale: float | None = None,
    language: str | None = None,
    fields: bool | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> tuple[bytes, bytes]:
    """Different exercises from one garden: the trainees' PDF, and the trainer's with the key.

    ``count`` is how many, ``seed`` which ones: the same seed gives the same bytes. Nothing in
    either file says whose garden it is, and nothing in the first answers anything. ``layout`` is
    one that names a ``key``; ``paper``, ``scale``, ``language`` and ``fields`` are as for
    ``print_sheets``.
    Raises ``renderer.teaching.LessonError`` where no such garden lays without a stop.
    """
    from renderer.output.pdf import write_pdf
    from renderer.sheets import compose, in_language
    from renderer.sheets.class_layouts import class_layouts
    from renderer.teaching.variants import exercises

    sheets = [in_language(each, language) for each in class_layouts(layout, fields)]
    jobs = exercises(plan, sheets[0].language, count, seed, progress)
    for_trainees, for_trainer = (
        write_pdf(compose(jobs, each, paper=paper, scale=scale)) for each in sheets
    )
    return for_trainees, for_trainer


def _job_by_job(
    plans: Sequence[Plan],
    layout: Layout,
    paper: str | None,
    scale: float | None,
    draft: bool,
    progress: Callable[[int, int], None] | None,
) -> Document:
    from renderer.plan import digest
    from renderer.sheets import JobData, compose

    jobs = []
    for plan in plans:
        laid = lay(plan)
        jobs.append(JobData(plan, laid, check(plan, laid), digest(plan)))
    _refuse_stops([(job.plan.job.number, job.findings) for job in jobs], draft)
    return compose(jobs, layout, paper=paper, scale=scale, draft=draft, progress=progress)


def _refuse_stops(jobs: Sequence[tuple[str, Sequence[Finding]]], draft: bool) -> None:
    stops = tuple(
        (number, found)
        for number, findings in jobs
        if (found := tuple(each for each in findings if each.level == "stop"))
    )
    if stops and not draft:
        raise Refused(stops)
