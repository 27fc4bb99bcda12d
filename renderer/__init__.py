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

from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Sequence
    from os import PathLike

    from renderer.checks.finding import Finding
    from renderer.ground.lay import Lay
    from renderer.plan.model import Plan

__all__ = ["Refused", "check", "draw", "lay", "load", "print_sheets"]
__version__ = "0.1.0"

DEFAULT_LAYOUT = "crew-work-order"
USUAL_PAPER = {"m": "A4", "ft": "Letter"}
PICTURE_DPI = 150.0

Ending = Literal["svg", "pdf", "png"]


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


def lay(plan: Plan) -> Lay:
    """The wire laid on the ground: rings, lead pairs, walk, pegs, splices, take-off; metres."""
    from renderer.ground import lay_plan

    return lay_plan(plan)


def check(plan: Plan, laid: Lay | None = None) -> tuple[Finding, ...]:
    """The findings on a plan, worst first; ``laid`` saves laying it a second time."""
    from renderer.checks import check_plan

    return check_plan(plan, laid if laid is not None else lay(plan))


def draw(
    plan: Plan,
    ending: Ending = "svg",
    *,
    paper: str | None = None,
    scale: float | None = None,
) -> bytes:
    """One scaled diagram as the bytes of an SVG, PDF or PNG file.

    ``paper`` is a paper's name, A4 when left out, or Letter for a plan in feet;
    ``scale`` is the N of 1:N, the largest usual one that fits when left out. A
    scale that does not fit is refused with ``renderer.drawing.DrawError``,
    never shrunk.
    """
    from renderer.drawing import figure

    laid = lay(plan)
    sheet = paper or USUAL_PAPER[plan.units]
    drawing = figure(plan, laid, check(plan, laid), paper=sheet, scale=scale)
    if ending == "svg":
        from renderer.output.svg import write_svg

        return write_svg(drawing)
    from renderer.output import drawing_page

    page = drawing_page(drawing)
    if ending == "pdf":
        from renderer.output.pdf import write_pdf

        return write_pdf(page)
    from renderer.output.png import write_png

    return write_png(page, dpi=PICTURE_DPI)[0]


def print_sheets(
    plans: Sequence[Plan],
    *,
    layout: str = DEFAULT_LAYOUT,
    paper: str | None = None,
    scale: float | None = None,
    draft: bool = False,
) -> bytes:
    """The sheets of one or several jobs as the bytes of one PDF.

    ``layout`` is the name of a layout or the path of one's own; ``paper`` is
    the layout's own when left out. Raises ``Refused`` where a finding stops a
    lay, unless ``draft`` prints it with a mark on every page.
    """
    from renderer.output.pdf import write_pdf
    from renderer.plan import digest
    from renderer.sheets import JobData, compose, load_layout

    chosen = load_layout(layout)
    jobs = []
    for plan in plans:
        laid = lay(plan)
        jobs.append(JobData(plan, laid, check(plan, laid), digest(plan)))
    stops = tuple(
        (job.plan.job.number, found)
        for job in jobs
        if (found := tuple(f for f in job.findings if f.level == "stop"))
    )
    if stops and not draft:
        raise Refused(stops)
    return write_pdf(compose(jobs, chosen, paper=paper, scale=scale, draft=draft))
