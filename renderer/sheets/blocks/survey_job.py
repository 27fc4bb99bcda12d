"""The head of the survey form: which job, which units, who measured, how it is done."""

from __future__ import annotations

from collections.abc import Iterator

from renderer.job.practice import SIGN
from renderer.plan.values import YesNo
from renderer.sheets.compact import TEXT, dashes, listed
from renderer.sheets.kit import paragraph
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.survey import filled
from renderer.sheets.table import Cell, Column, Keyed, Row, Styled, Ticks, table
from renderer.sheets.type import CELL_STRONG, SMALL, SMALL_STRONG, WRITE_ROW_MM
from renderer.sheets.use import BlockUse

# The keys of a job, and the words that they are asked for by.
KEYS = {
    "number": "block.number",
    "title": "block.title",
    "revision": "block.revision",
    "planned_for": "block.date",
    "crew": "job.crew",
    "site": "job.where",
    "access": "job.access",
    "notes": "job.notes",
}
PRIVATE = frozenset({"access", "notes"})
UNITS = ("m", "ft")
ROUTINE = ("order", "voices", "third", "far", "edges")


class SurveyJobUse(BlockUse):
    """``private`` prints how to get in and the notes of the job, where a plan has them."""

    private: YesNo = False


def build(sheet: Sheet, use: SurveyJobUse) -> tuple[Piece, ...]:
    """What is asked about the job, with what is known of it, then the routine of measuring."""
    words = sheet.words
    columns = (
        Column(words("survey.entry"), 32, style=SMALL_STRONG),
        Column(words("survey.value"), 63, lined=True),
        Column(words("survey.entry"), 32, style=SMALL_STRONG),
        Column(words("survey.value"), 63, lined=True),
    )
    cells = list(_cells(sheet, use))
    rows = [Row((*cells[n], *cells[n + 1]), WRITE_ROW_MM) for n in range(0, len(cells), 2)]
    routine = [words(f"survey.routine.{key}") for key in ROUTINE]
    foot = f"{words('rules.foot')} {words('load.practice', star=SIGN)}."
    return (
        sheet.heading(use),
        *table(columns, rows, sheet.width_mm),
        *listed(routine, sheet.width_mm, dashes(), TEXT),
        *paragraph(foot, sheet.width_mm, SMALL),
    )


def _cells(sheet: Sheet, use: SurveyJobUse) -> Iterator[tuple[Cell, Cell]]:
    known = _known(sheet)
    for key, word in KEYS.items():
        if sheet.known is None or use.private or key not in PRIVATE:
            yield (
                Keyed(sheet.words(word), f"job.{key}"),
                filled(sheet, known.get(key, ""), "job", key),
            )
    units = Keyed(sheet.words("survey.unit-of"), "units")
    yield units, _units(sheet)
    yield sheet.words("survey.measured"), filled(sheet, "", "measured")


def _known(sheet: Sheet) -> dict[str, str]:
    if sheet.known is None:
        return {}
    job = sheet.known.plan.job
    return {
        "number": job.number,
        "title": job.title,
        "revision": job.revision,
        "planned_for": sheet.measure.short_day(job.planned_for),
        "crew": job.crew,
        "site": ", ".join(job.site),
        "access": job.access,
        "notes": "; ".join(job.notes),
    }


def _units(sheet: Sheet) -> Cell:
    """The unit that all figures on the form are written in."""
    if sheet.known is not None:
        return Styled(sheet.words(f"survey.unit.{sheet.known.plan.units}"), CELL_STRONG)
    return Ticks(
        tuple(sheet.field_name("units", unit) for unit in UNITS),
        sheet.words("survey.units"),
        tuple(sheet.words(f"survey.unit.{unit}") for unit in UNITS),
    )
