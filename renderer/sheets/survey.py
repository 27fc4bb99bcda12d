"""The tables of the survey form: columns with the plan file's keys, rows from a known plan.

A table knows how to write what a plan has already; where there is no plan, or less than the form
has rows, rows are empty.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date
from typing import TYPE_CHECKING

from renderer.frozen import dataclass
from renderer.language.numbers import NO_BREAK
from renderer.plan import as_measured
from renderer.sheets.compact import FINE
from renderer.sheets.measure import Measure
from renderer.sheets.sheet import Sheet
from renderer.sheets.survey_known import (
    YES_NO,
    Values,
    crossings,
    features,
    loops,
    obstacles,
    offsets,
    outlines,
    points,
    sockets,
    ties,
)
from renderer.sheets.table import Cell, Keyed, Styled, Ticks, Write

if TYPE_CHECKING:
    from renderer.plan.model import Plan

OWN_WORDS = ("kind", "side")  # keys of columns whose values the plan file has its own words for

Known = Callable[["Plan", Measure], Iterator[Values]]
HANDS = ("left", "right")  # of a line, where a row of tapes says on which side its point lies


@dataclass(frozen=True, slots=True)
class Key:
    """A column: its name, its share of the width, the plan file's key for it where it has one.

    ``ticked`` columns have boxes for yes and no.
    """

    name: str
    share: float
    key: str = ""
    ticked: bool = False


@dataclass(frozen=True, slots=True)
class SurveyTable:
    """Where the plan file has the rows, if anywhere; the columns, and the rows of a plan."""

    path: str
    keys: tuple[Key, ...]
    known: Known


def filled(sheet: Sheet, text: str, *name: object) -> Cell:
    """What is known already, or a space to write."""
    return Styled(text, FINE) if text else Write(sheet.field_name("survey", *name))


def yes_no(sheet: Sheet, text: str, *name: object) -> Cell:
    """Boxes for yes and no, or the answer that is known already."""
    words = tuple(sheet.words(f"survey.{answer}") for answer in YES_NO)
    if text:
        return Styled(words[YES_NO.index(text)], FINE)
    return Ticks(tuple(sheet.field_name("survey", *name, answer) for answer in YES_NO), "", words)


TABLES: dict[str, SurveyTable] = {
    "points": SurveyTable(
        "survey.points",
        (Key("name", 20, "name"), Key("x", 25, "at"), Key("y", 25, "at"), Key("what", 120, "what")),
        points,
    ),
    "ties": SurveyTable(
        "survey.ties, survey.sides",
        (
            Key("point", 22),
            Key("a", 28),
            Key("b", 28),
            Key("c", 28),
            Key("next", 28),
            Key("side", 20, "side"),
            Key("note", 36),
        ),
        ties,
    ),
    "offsets": SurveyTable(
        "survey.offsets",
        (
            Key("point", 16),
            Key("from", 22),
            Key("to", 22),
            Key("along-m", 30),
            Key("off-m", 30),
            Key("side", 20),
            Key("note", 50),
        ),
        offsets,
    ),
    "outline": SurveyTable(
        "lawns: outline",
        (
            Key("lawn", 34, "name"),
            Key("corner", 16),
            Key("x", 28, "at"),
            Key("y", 28, "at"),
            Key("side", 40, "side"),
            Key("through", 44, "through"),
        ),
        outlines,
    ),
    "obstacles": SurveyTable(
        "obstacles",
        (
            Key("name", 36, "name"),
            Key("kind", 24, "kind"),
            Key("x", 22, "at"),
            Key("y", 22, "at"),
            Key("radius", 20, "radius"),
            Key("polygon", 66, "polygon"),
        ),
        obstacles,
    ),
    "features": SurveyTable(
        "features",
        (
            Key("name", 34, "name"),
            Key("kind", 30, "kind"),
            Key("at", 50, "at, line, polygon"),
            Key("percent", 16, "percent"),
            Key("radius", 16, "radius"),
            Key("depth", 16, "depth"),
            Key("located", 28, "located"),
        ),
        features,
    ),
    "sockets": SurveyTable(
        "features, kind: socket",
        (
            Key("name", 60, "name"),
            Key("x", 25, "at"),
            Key("y", 25, "at"),
            Key("protected", 40, "protected", ticked=True),
            Key("outdoor", 40, "outdoor", ticked=True),
        ),
        sockets,
    ),
    "loops": SurveyTable(
        "loops",
        (
            Key("name", 30, "name"),
            Key("dock", 34, "dock: at"),
            Key("generator", 34, "generator: at"),
            Key("mounted", 28, "mounted"),
            Key("supply", 36, "supply: at"),
            Key("lead", 28, "lead"),
        ),
        loops,
    ),
    "crossings": SurveyTable(
        "loops: crossings",
        (
            Key("loop", 26, "name"),
            Key("between", 50, "between"),
            Key("via", 74, "via"),
            Key("under", 40, "under"),
        ),
        crossings,
    ),
}


def known_rows(sheet: Sheet, name: str) -> list[Values]:
    """What the plan, where there is one, says for a table.

    The ties have a row for the socket in any case, which is easily forgotten among the corners.
    """
    known = sheet.known.plan if sheet.known else None
    rows: list[Values] = []
    if known is not None:
        rows = list(TABLES[name].known(as_measured(known), sheet.measure.as_typed))
    if name == "offsets":
        return [(*row[:-2], sheet.words(f"hand.{row[-2]}"), row[-1]) for row in rows]
    if name != "ties":
        return rows
    rows = [(*row[:-1], sheet.words(f"kind.{row[-1]}") if row[-1] else "") for row in rows]
    if known is None or not any(loop.supply for loop in known.loops):
        rows.append((*("",) * (len(TABLES[name].keys) - 1), sheet.words("kind.socket")))
    return rows


def cells_of(
    sheet: Sheet, name: str, known: Sequence[Values], count: int
) -> list[tuple[Cell, ...]]:
    """The rows of a table: the known ones, then empty ones up to ``count``."""
    keys = TABLES[name].keys
    empty = [("",) * len(keys)] * (count - len(known))
    return [
        tuple(
            _cell(sheet, key, value, name, number) for key, value in zip(keys, values, strict=True)
        )
        for number, values in enumerate((*known, *empty))
    ]


def _cell(sheet: Sheet, key: Key, value: str, name: str, number: int) -> Cell:
    """What is known in words, with the plan file's own word small beside it; or a space."""
    if key.ticked:
        return yes_no(sheet, value, name, number, key.name)
    if value and key.key in OWN_WORDS:
        words = sheet.words
        return Keyed(words(f"yard.{value}") if value in HANDS else words(f"kind.{value}"), value)
    if value and key.key == "located":
        day = sheet.measure.short_day(date.fromisoformat(value))
        value = day.replace(NO_BREAK, " ")  # may need two lines
    return filled(sheet, value, name, number, key.name)
