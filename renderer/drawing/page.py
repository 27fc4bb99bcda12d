"""One whole page with the plan on it: what ``pegline draw`` makes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from renderer.checks.finding import moved_findings
from renderer.drawing.errors import DrawError
from renderer.drawing.furniture import check_bar, orientation, scale_bar, text_at
from renderer.drawing.labels import size_pt
from renderer.drawing.legend_keys import legend_keys
from renderer.drawing.legends import legend
from renderer.drawing.paper import Paper, papers
from renderer.drawing.pens import MARK_TEXT, MIDDLE, NAME_TEXT, NOTE_TEXT, TITLE_TEXT, Lettering
from renderer.drawing.plan import PlanDrawing, fit_plan, plan_drawing
from renderer.drawing.scale import readable_scale, scale_text
from renderer.drawing.scene import LAYERS
from renderer.drawing.words import drawing_words
from renderer.geometry.rects import Rect
from renderer.ground.engine import plan_and_lay_near
from renderer.ground.setting_out import SettingOut
from renderer.primitives import Drawing, Line, Primitive, shifted
from renderer.text import line_height_mm, wrap

if TYPE_CHECKING:
    from renderer.checks.finding import Finding
    from renderer.ground.lay import Lay
    from renderer.language import Words
    from renderer.plan.model import Plan

HEAD_MM = 21.0
BARS_MM = 16.0
GAP_MM = 2.0
PAD_MM = 3.0
COLUMN_MM = 48.0
NORTH_MM = 16.0
HEAD_COLUMN_MM = 35.0
# Check bar, north arrow and scale bar side by side.
BARS_WIDE_MM = 208.0
LEAST_PLAN_MM = 60.0


@dataclass(frozen=True, slots=True, eq=False)
class _Work:
    """What a figure is made of, before it is put on a page."""

    plan: Plan
    lay: Lay
    findings: tuple[Finding, ...]
    scale: float | None
    words: Words
    setting: SettingOut
    show: frozenset[str]


class _Places(NamedTuple):
    """Where things go on a sheet: head and legend as columns below each other or at the right."""

    paper: Paper
    head: Rect
    plan: Rect
    legend: Rect
    bars: Rect

    @property
    def beside(self) -> bool:
        return self.legend.x0 >= self.plan.x1

    @property
    def north_between(self) -> bool:
        """Whether the north arrow stands between the bars, for want of room in the head."""
        return self.beside and self.bars.width >= BARS_WIDE_MM


def figure(
    plan: Plan,
    lay: Lay,
    findings: Sequence[Finding],
    paper: str = "A4",
    scale: float | None = None,
    words: Words | None = None,
    show: frozenset[str] = LAYERS,
) -> Drawing:
    """The plan on one sheet of paper with title, scale, bars, north arrow and legend.

    ``paper`` is a size, with ``portrait`` or ``landscape`` where the way matters; else whichever
    gives the larger scale is used. Head and legend stand above and below the plan or beside it,
    where the plan can be larger. Raises ``DrawError`` where a demanded scale does not fit, or
    nothing does.
    """
    near, lay = plan_and_lay_near(plan, lay)
    away = plan.origin[0] - near.origin[0], plan.origin[1] - near.origin[1]
    plan, findings = near, moved_findings(findings, away)
    work = _Work(plan, lay, findings, scale, words or drawing_words(), SettingOut(plan, lay), show)
    fitting: list[tuple[tuple[float, bool, int], _Places]] = []
    refused: dict[str, None] = {}
    for rank, places in enumerate(_arrangements(work, papers(paper))):
        try:
            fit = fit_plan(plan, lay, _size(places.plan), inch_paper=places.paper.inch, scale=scale)
        except DrawError as error:
            way = "landscape" if places.paper.landscape else "portrait"
            refused[f"{places.paper.name} {way}: {error}"] = None
        else:
            fitting.append(((fit.scale, fit.rotation_deg != 0, rank), places))
    for _, places in sorted(fitting, key=lambda found: found[0]):
        try:
            return _page(work, places)
        except DrawError as error:
            refused[str(error)] = None
    raise DrawError("; ".join(list(refused)[:2]) or "the legend leaves no room for the plan")


def _size(rect: Rect) -> tuple[float, float]:
    return rect.width, rect.height


def _arrangements(work: _Work, ways: Sequence[Paper]) -> Iterator[_Places]:
    """Ways to fill the sheets, with room for a legend that has grown by a few key numbers."""
    used = legend_keys(work.plan, work.lay, work.findings, work.show, setting=work.setting)
    spare = [("N8", "X" * 12)] * 2
    for paper in ways:
        whole = paper.frame.grown(-PAD_MM)
        row = legend(used, whole.width, work.words, spare).height_mm
        column = legend(used, COLUMN_MM, work.words, spare).height_mm
        for places in (_stacked(work, paper, whole, row), _beside(work, paper, whole, column)):
            if places and min(_size(places.plan)) >= LEAST_PLAN_MM:
                yield places


def _stacked(work: _Work, paper: Paper, whole: Rect, legend_mm: float) -> _Places:
    x0, y0, x1, y1 = whole
    bars = y1 - BARS_MM
    key = bars - legend_mm
    head = y0 + HEAD_MM + _notice_mm(work, whole.width - NORTH_MM)
    return _Places(
        paper,
        Rect(x0, y0, x1, head),
        Rect(x0, head, x1, key - GAP_MM),
        Rect(x0, key, x1, bars),
        Rect(x0, bars, x1, y1),
    )


def _beside(work: _Work, paper: Paper, whole: Rect, legend_mm: float) -> _Places | None:
    x0, y0, x1, y1 = whole
    x = x1 - COLUMN_MM
    bars = y1 - BARS_MM
    room = x - GAP_MM - x0
    head = y0 + HEAD_COLUMN_MM + (0.0 if room >= BARS_WIDE_MM else NORTH_MM)
    head += _notice_mm(work, COLUMN_MM)
    if head + legend_mm > y1 or room < BARS_WIDE_MM - NORTH_MM:
        return None
    return _Places(
        paper,
        Rect(x, y0, x1, head),
        Rect(x0, y0, x - GAP_MM, bars),
        Rect(x, head, x1, y1),
        Rect(x0, bars, x - GAP_MM, y1),
    )


def _page(work: _Work, places: _Places) -> Drawing:
    """The sheet filled as arranged; the plan gives way if the legend outgrows its room."""
    drawn = plan_drawing(
        work.plan, work.lay, work.findings,
        box_mm=_size(places.plan), inch_paper=places.paper.inch, words=work.words, scale=work.scale,
        show=work.show, setting=work.setting,
    )  # fmt: skip
    missed = [("–", text) for text in drawn.unplaced]
    key = legend(drawn.used, places.legend.width, work.words, [*drawn.keyed, *missed])
    over = key.height_mm - places.legend.height
    if over > 1e-6:
        return _page(work, _with_more_legend(places, over))
    items: list[Primitive] = [Line(places.paper.frame.corners(), MIDDLE, closed=True, role="frame")]
    items += _head(work, drawn, places)
    items += [
        shifted(item, places.legend.x0, places.legend.y1 - key.height_mm) for item in key.items
    ]
    items += _bars(work, drawn, places)
    down = places.plan.y0 + (places.plan.height - drawn.drawing.height_mm) / 2
    items += [shifted(item, places.plan.x0, round(down, 3)) for item in drawn.drawing.items]
    return Drawing(
        places.paper.width_mm,
        places.paper.height_mm,
        tuple(items),
        scale=drawn.scale,
        title=drawn.drawing.title,
        description=drawn.drawing.description,
    )


def _with_more_legend(places: _Places, over: float) -> _Places:
    plan, key = places.plan, places.legend
    if not places.beside:
        plan = plan._replace(y1=plan.y1 - over)
    else:
        raise DrawError("the legend is longer than the sheet; use larger paper")
    if plan.height < LEAST_PLAN_MM:
        raise DrawError("the legend leaves no room for the plan; use larger paper")
    return places._replace(plan=plan, legend=key._replace(y0=key.y0 - over))


def _bars(work: _Work, drawn: PlanDrawing, places: _Places) -> list[Primitive]:
    """Check bar and scale bar side by side, with the north arrow between them in a wide sheet."""
    where = places.bars
    lies = orientation(drawn.rotation_deg, work.plan.north, work.words)
    arrow = lies.items if lies and places.north_between else ()
    bar = scale_bar(drawn.scale, inch=work.plan.units == "ft", words=work.words)
    check = check_bar(inch=places.paper.inch, words=work.words)
    return [
        *(shifted(item, where.x0, where.y0) for item in check.items),
        *(shifted(item, where.x0 + check.width_mm + 4.0, where.y0) for item in arrow),
        *(shifted(item, round(where.x1 - bar.width_mm, 3), where.y0) for item in bar.items),
    ]


def _head(work: _Work, drawn: PlanDrawing, places: _Places) -> list[Primitive]:
    """Job, revision, scale and site; with the north arrow where the head is a row."""
    job, words = work.plan.job, work.words
    beside = places.beside
    where = places.head
    width = where.width if beside else where.width - NORTH_MM
    facts = [
        words["head.revision"].format(revision=job.revision),
        words["scale.name"].format(scale=scale_text(drawn.scale)),
        words[f"note.units.{work.plan.units}"],
    ]
    if drawn.scale > readable_scale(work.plan, inch_paper=places.paper.inch):
        facts.append(words["note.overview"])
    rows = [(f"{job.number}  {job.title}".strip(), MARK_TEXT if beside else TITLE_TEXT)]
    rows += [(text, NAME_TEXT) for text in (facts if beside else ["   ".join(facts)])]
    rows += [(text, NAME_TEXT) for text in (job.site if beside else [", ".join(job.site)]) if text]
    rows += [(text, NOTE_TEXT) for text in _notice(words)]
    items = _lines(rows, where, width)
    arrow = orientation(drawn.rotation_deg, work.plan.north, words)
    if places.north_between or arrow is None:
        return items
    y = where.y1 - NORTH_MM if beside else where.y0
    x = where.x0 if beside else where.x1 - arrow.width_mm
    return [*items, *(shifted(item, x, y) for item in arrow.items)]


def _notice(words: Words) -> tuple[str, ...]:
    """Says that the words are a draft, in their language and in English; empty if they are not."""
    return (words["note.draft"], drawing_words()["note.draft"]) if words.is_draft else ()


def _notice_mm(work: _Work, width: float) -> float:
    size = size_pt(NOTE_TEXT)
    lines = sum(len(wrap(text, NOTE_TEXT.face, size, width)) for text in _notice(work.words))
    return lines * line_height_mm(NOTE_TEXT.face, size)


def _lines(rows: Sequence[tuple[str, Lettering]], where: Rect, width: float) -> list[Primitive]:
    """Rows of text below each other, wrapped."""
    items: list[Primitive] = []
    y = where.y0
    for text, lettering in rows:
        size = size_pt(lettering)
        for line in wrap(text, lettering.face, size, width):
            y += line_height_mm(lettering.face, size)
            items.append(text_at(where.x0, y - 0.3 * lettering.cap_mm, line, lettering))
    return items
