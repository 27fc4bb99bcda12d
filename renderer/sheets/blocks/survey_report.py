"""The adjustment of a survey on paper: what does not fit, the network, points and readings."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from renderer.language.numbers import with_minus
from renderer.plan import as_measured
from renderer.sheets.blocks.furniture import (
    cornered,
    drawing_words,
    key_table,
    keyed,
    scale_aside,
)
from renderer.sheets.compact import FINE, FINE_STRONG
from renderer.sheets.errors import no_readings
from renderer.sheets.kit import note_lines, paragraph, subheading
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Cell, Column, Row, Styled, table
from renderer.sheets.type import BODY, SMALL
from renderer.sheets.use import BlockUse
from renderer.units import MM_PER_INCH, MM_PER_M

if TYPE_CHECKING:
    from renderer.drawing import PlanDrawing
    from renderer.survey.network import Reading
    from renderer.survey.slips import Candidate
    from renderer.survey.solve import Judged, Placed, Solution

PICTURE_SHARE = 0.6  # of a page's height, at most, for the network
SHOWN = frozenset({"sides", "obstacles", "unsure", "ellipses", "lawn-names"})


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """A line where the plan has no readings; a document of nothing else is refused.

    Raises SheetError.
    """
    survey = as_measured(sheet.job.plan).survey
    if not survey.has_readings:
        if len(sheet.layout.uses) == 1:
            raise no_readings(sheet.layout.document)
        return paragraph(sheet.words("survey-report.none"), sheet.width_mm, BODY)
    from renderer.plan.surveyed import solved

    solution = solved(survey)
    return (
        sheet.heading(use),
        *_verdict(sheet, solution),
        *_picture(sheet, solution),
        *_points(sheet, solution),
        *_readings(sheet, solution),
    )


def _verdict(sheet: Sheet, solution: Solution) -> Iterator[Piece]:
    words, numbers = sheet.words, sheet.words.numbers
    facts = {
        "readings": len(solution.readings),
        "points": len(solution.points),
        "more": solution.degrees_of_freedom,
        "sigma0": numbers.fixed(solution.sigma0, 2),
    }
    yield from paragraph(words("survey-report.sum", **facts), sheet.width_mm, BODY)
    texts = [*_suspects(sheet, solution)] or [words("survey-report.sound")]
    for each in solution.closures:
        texts.append(
            words(
                "survey-report.closure",
                run="–".join(each.points),
                length=sheet.measure.length(each.length_m),
                apart=_small(sheet, each.apart_m),
                one_in=numbers.grouped(each.one_in, 0) if each.one_in else "∞",
            )
        )
    texts += _advice(sheet, solution)
    yield from note_lines(texts, sheet.width_mm, BODY)


def _suspects(sheet: Sheet, solution: Solution) -> Iterator[str]:
    words = sheet.words
    for suspect in solution.suspects:
        if len(suspect.readings) > 1:
            names = ", ".join(_name(each) for each in suspect.readings)
            yield words("survey-report.one-of", names=names)
        for candidate in suspect.one_of:
            yield _candidate(sheet, candidate)
    for reading in solution.set_aside:
        yield words("survey-report.set-aside", reading=_name(reading))


def _candidate(sheet: Sheet, candidate: Candidate) -> str:
    reading = candidate.reading
    facts = {
        "reading": _name(reading),
        "reads": _value(sheet, reading, reading.reads),
        "likely": _value(sheet, reading, candidate.likely),
        "point": candidate.instead,
    }
    if candidate.instead:
        return sheet.words("survey-report.elsewhere", **facts)
    if candidate.slip is None:
        return sheet.words("survey-report.unexplained", **facts)
    slip = sheet.words(f"survey-report.slip.{candidate.slip}")
    return sheet.words("survey-report.suspect", **facts, slip=slip)


def _advice(sheet: Sheet, solution: Solution) -> Iterator[str]:
    advice = solution.advice
    if advice is None:
        return
    now, then = (
        sheet.words("survey-report.any") if far is None else _small(sheet, far)
        for far in (advice.unseen_m, advice.unseen_then_m)
    )
    yield sheet.words(
        "survey-report.advice",
        tape="–".join(advice.of),
        length=sheet.measure.length(advice.length_m),
        point=advice.point,
        now=now,
        then=then,
    )


def _picture(sheet: Sheet, solution: Solution) -> Iterator[Piece]:
    """The network, to scale, with the ellipses enlarged."""
    from renderer.drawing import legend

    drawn = _network(sheet, solution)
    drawing = drawn.drawing
    yield subheading(
        sheet.words("survey-report.network"), sheet.width_mm, scale_aside(sheet, drawn.scale)
    )
    marks = cornered(sheet, drawn, 0.5)
    yield Piece(drawing.height_mm, (*drawing.items, *marks), gap_mm=1.0, keep=True)
    unsaid = drawing_words(sheet).altered({"legend.side.note": ""})  # sides stand without setback
    key = legend(drawn.used, sheet.width_mm, unsaid)
    yield Piece(key.height_mm, key.items, gap_mm=2.0)
    yield from key_table(sheet, [("", *each) for each in keyed(drawn)])


def _network(sheet: Sheet, solution: Solution) -> PlanDrawing:
    from renderer.drawing.plan import plan_drawing
    from renderer.drawing.surveyed import network
    from renderer.plan.survey import places

    plan = sheet.job.plan
    doubted = {
        reading.of
        for suspect in solution.suspects
        for reading in suspect.readings
        if len(reading.of) == 2
    }
    pairs = dict.fromkeys(
        (each.reading.of[0], each.reading.of[1])
        for each in solution.readings
        if len(each.reading.of) == 2
    )
    sound = [pair for pair in pairs if pair not in doubted]
    held = [pair for pair in pairs if pair in doubted]
    return plan_drawing(
        plan,
        sheet.job.lay,
        (),
        box_mm=(sheet.width_mm, sheet.height_mm * PICTURE_SHARE),
        inch_paper=sheet.inch_paper,
        words=drawing_words(sheet),
        show=SHOWN,
        extra=lambda scene: network(scene, places(plan.survey), sound, held),
    )


def _points(sheet: Sheet, solution: Solution) -> Iterator[Piece]:
    words = sheet.words
    unit = sheet.measure.unit
    columns = (
        Column(words("survey-report.point"), 26, style=FINE_STRONG),
        Column(f"x{unit}", 28, "end", style=FINE),
        Column(f"y{unit}", 28, "end", style=FINE),
        Column(words("survey-report.sigma"), 34, "end", style=FINE),
        Column(words("survey-report.ellipse"), 50, "end", style=FINE),
        Column(words("survey-report.state"), 30, style=FINE),
    )
    yield subheading(words("survey-report.points"), sheet.width_mm)
    yield from table(
        columns, [Row(_point(sheet, each)) for each in solution.points], sheet.width_mm
    )
    yield from paragraph(words("survey-report.points-note"), sheet.width_mm, SMALL)


def _point(sheet: Sheet, point: Placed) -> tuple[Cell, ...]:
    ellipse = point.ellipse
    axes = f"{_small(sheet, ellipse.major)} × {_small(sheet, ellipse.minor)}"
    state = sheet.words(f"survey-report.is.{point.state.replace(' ', '-')}")
    return (
        point.name,
        with_minus(sheet.measure.bare(point.at[0])),
        with_minus(sheet.measure.bare(point.at[1])),
        f"{_small(sheet, point.sigma_x)}, {_small(sheet, point.sigma_y)}",
        f"{axes}, {ellipse.azimuth_deg:.0f}°",
        Styled(state, FINE if point.state == "controlled" else FINE_STRONG),
    )


def _readings(sheet: Sheet, solution: Solution) -> Iterator[Piece]:
    words = sheet.words
    columns = (
        Column(words("survey-report.reading"), 44, style=FINE_STRONG),
        Column(words("survey-report.reads"), 32, "end", style=FINE),
        Column(words("survey-report.residual"), 28, "end", style=FINE),
        Column("w", 16, "end", style=FINE),
        Column(words("survey-report.least"), 34, "end", style=FINE),
        Column(words("survey-report.remark"), 42, style=FINE),
    )
    yield subheading(words("survey-report.readings"), sheet.width_mm)
    aside = set(solution.set_aside)
    rows = [Row(_reading(sheet, each, each.reading in aside)) for each in solution.readings]
    yield from table(columns, rows, sheet.width_mm)
    yield from paragraph(words("survey-report.readings-note"), sheet.width_mm, SMALL)


def _reading(sheet: Sheet, judged: Judged, aside: bool) -> tuple[Cell, ...]:
    words, reading = sheet.words, judged.reading
    least = judged.smallest_slip
    remarks = [words("survey-report.aside")] if aside else []
    if reading.taken_as is not None:
        taken = _value(sheet, reading, reading.taken_as)
        remarks.append(words("survey-report.taken-as", value=taken))
    return (
        f"{words(f'survey-report.kind.{reading.kind}')} {_name(reading)}",
        _value(sheet, reading, reading.reads),
        with_minus(_gap(sheet, reading, judged.residual)),
        with_minus(words.numbers.fixed(judged.w, 2)),
        words("survey-report.no-slip") if least is None else _gap(sheet, reading, least),
        ", ".join(remarks),
    )


def _name(reading: Reading) -> str:
    return "–".join(reading.of)


def _value(sheet: Sheet, reading: Reading, value: float) -> str:
    if reading.is_length:
        return sheet.measure.length(value)
    return f"{sheet.words.numbers.fixed(value, 2)}°"


def _gap(sheet: Sheet, reading: Reading, value: float) -> str:
    if reading.is_length:
        return _small(sheet, value)
    return f"{sheet.words.numbers.fixed(value, 2)}°"


def _small(sheet: Sheet, metres: float) -> str:
    """A small length in centimetres or inches, a tenth each."""
    numbers = sheet.words.numbers
    if abs(metres) >= 1.0:
        return sheet.measure.length(metres)
    if sheet.measure.units == "ft":
        return f"{numbers.fixed(metres * MM_PER_M / MM_PER_INCH, 1)} in"
    return f"{numbers.fixed(metres * 100, 1)} cm"
