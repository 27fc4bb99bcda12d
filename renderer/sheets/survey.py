"""The tables of the survey form: columns named as the plan file's keys, rows from a known plan.

A table knows how to write what a plan has already; where there is no plan, or less than the form
has rows, rows are empty.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

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
    nothing,
    obstacles,
    outlines,
    points,
    sockets,
)
from renderer.sheets.table import Cell, Styled, Ticks, Write

if TYPE_CHECKING:
    from renderer.plan.model import Plan

Known = Callable[["Plan", Measure], Iterator[Values]]


@dataclass(frozen=True, slots=True)
class Key:
    """A column: the plan file's key, its share of the width, and whether yes or no is ticked."""

    name: str
    share: float
    ticked: bool = False


@dataclass(frozen=True, slots=True)
class SurveyTable:
    """Where the table's rows stand in the plan file, its columns, and the rows of a plan."""

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
        "survey.points", (Key("name", 20), Key("x", 25), Key("y", 25), Key("what", 120)), points
    ),
    "ties": SurveyTable(
        "ties",
        (
            Key("point", 16),
            Key("a", 16),
            Key("a-m", 26),
            Key("b", 16),
            Key("b-m", 26),
            Key("side", 20),
            Key("third", 18),
            Key("third-m", 26),
            Key("note", 26),
        ),
        nothing,
    ),
    "offsets": SurveyTable(
        "offsets",
        (
            Key("point", 16),
            Key("from", 22),
            Key("to", 22),
            Key("along-m", 30),
            Key("off-m", 30),
            Key("side", 20),
            Key("note", 50),
        ),
        nothing,
    ),
    "outline": SurveyTable(
        "lawns.outline",
        (
            Key("lawn", 34),
            Key("corner", 16),
            Key("x", 28),
            Key("y", 28),
            Key("side", 40),
            Key("through", 44),
        ),
        outlines,
    ),
    "obstacles": SurveyTable(
        "obstacles",
        (
            Key("name", 36),
            Key("kind", 24),
            Key("x", 22),
            Key("y", 22),
            Key("radius", 20),
            Key("polygon", 66),
        ),
        obstacles,
    ),
    "features": SurveyTable(
        "features",
        (
            Key("name", 34),
            Key("kind", 30),
            Key("at", 54),
            Key("percent", 16),
            Key("radius", 16),
            Key("depth", 16),
            Key("located", 24),
        ),
        features,
    ),
    "sockets": SurveyTable(
        "features.socket",
        (
            Key("name", 60),
            Key("x", 25),
            Key("y", 25),
            Key("protected", 40, ticked=True),
            Key("outdoor", 40, ticked=True),
        ),
        sockets,
    ),
    "loops": SurveyTable(
        "loops",
        (
            Key("name", 30),
            Key("dock", 34),
            Key("generator", 34),
            Key("mounted", 28),
            Key("supply", 36),
            Key("lead", 28),
        ),
        loops,
    ),
    "crossings": SurveyTable(
        "loops.crossings",
        (Key("loop", 26), Key("between", 50), Key("via", 74), Key("under", 40)),
        crossings,
    ),
}


def known_rows(sheet: Sheet, name: str) -> list[Values]:
    """What the plan, where there is one, says for a table."""
    if sheet.known is None:
        return []
    return list(TABLES[name].known(as_measured(sheet.known.plan), sheet.measure.as_typed))


def cells_of(
    sheet: Sheet, name: str, known: Sequence[Values], count: int
) -> list[tuple[Cell, ...]]:
    """The rows of a table: the known ones, then empty ones up to ``count``."""
    keys = TABLES[name].keys
    empty = [("",) * len(keys)] * (count - len(known))
    return [
        tuple(
            (yes_no if key.ticked else filled)(sheet, value, name, number, key.name)
            for key, value in zip(keys, values, strict=True)
        )
        for number, values in enumerate((*known, *empty))
    ]
