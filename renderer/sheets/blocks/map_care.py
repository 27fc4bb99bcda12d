"""Care: what not to do near the wire, how deep it lies, what to look after in later years."""

from __future__ import annotations

from collections.abc import Iterator

from renderer.sheets.compact import (
    FINE,
    FINE_STRONG,
    TEXT,
    TEXT_STRONG,
    abreast,
    beside_head_mm,
    dashes,
    head,
    listed,
    to_write,
)
from renderer.sheets.draft_notice import beside, doubled_paragraph
from renderer.sheets.kit import paragraph
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.use import BlockUse

WORKS = ("aerate", "edge", "cables")  # after digging, the gravest
YEARS = ("1", "3", "10")
WORTH_SAYING_M2 = 0.1  # of ground that is trimmed by hand


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """What not to do where at the left; depth and later years at the right."""
    return *_first(sheet, use), *abreast(
        sheet,
        lambda width: _keep_off(sheet, width),
        lambda width: _right(sheet, width),
    )


def _first(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """The heading, and what this map does not show: beside it where that fits, else under it."""
    told = sheet.words("care.services")
    fits = FINE_STRONG.width_mm(told) <= beside_head_mm(sheet, use)
    if fits and not beside(sheet, lambda each: each.words("care.services")):
        return (head(sheet, use, told),)
    return head(sheet, use), *doubled_paragraph(
        sheet, lambda each: each.words("care.services"), sheet.width_mm, TEXT_STRONG
    )


def _keep_off(sheet: Sheet, width: float) -> tuple[Piece, ...]:
    words, figures = sheet.words, sheet.figures
    clear, aside = (sheet.measure.length(figures[key]) for key in ("keep_off", "cable_off"))
    facts = {"clear": clear, "aside": aside, "star": figures.sign("cable_off")}
    kept = words("care.rule", clear=clear, star=figures.sign("keep_off"))
    return (
        *paragraph(kept, width, TEXT_STRONG),
        *doubled_paragraph(sheet, lambda each: _work(each, "dig", facts), width, TEXT),
        *(piece for work in WORKS for piece in paragraph(_work(sheet, work, facts), width, TEXT)),
        *paragraph(words("care.first"), width, FINE),
    )


def _work(sheet: Sheet, work: str, facts: dict[str, str]) -> str:
    """A work near the wire, and its rule."""
    what, rule = sheet.words(f"care.{work}.what"), sheet.words(f"care.{work}.rule", **facts)
    return sheet.words("care.item", what=what, rule=rule)


def _right(sheet: Sheet, width: float) -> tuple[Piece, ...]:
    words = sheet.words
    return (
        *paragraph(words("care.safe"), width, TEXT),
        *listed(_depths(sheet), width, dashes(), FINE),
        to_write(words("care.deeper"), width),
        *listed(_years(sheet), width, (words(f"care.year.{year}.when") for year in YEARS), FINE),
    )


def _depths(sheet: Sheet) -> Iterator[str]:
    """How deep the wire lies, how far in from each edge; how services and crossings are known."""
    from renderer.ground.strips import SERVICES

    words, measure, job = sheet.words, sheet.measure, sheet.job
    yield words("care.depth")
    setback = job.plan.machine.setback
    edges = [
        words("care.edge-at", kind=words(f"kind.{kind}"), distance=measure.length(setback[kind]))
        for kind in job.kinds()
        if kind in setback
    ]
    yield words("care.edges", edges=", ".join(edges))
    for feature in job.plan.features:
        if feature.kind in SERVICES:
            key = "located" if feature.located else "not-located"
            day = measure.short_day(feature.located)
            yield words(f"care.service.{key}", name=feature.name, day=day)
    for lead in job.crossings:
        if lead.under:
            yield words("care.crossing", of=lead.of, under=lead.under)
        else:
            yield words("care.crossing-open", of=lead.of)


def _years(sheet: Sheet) -> Iterator[str]:
    words, measure, job = sheet.words, sheet.measure, sheet.job
    trim = sum(lawn.trim.area for lawn in job.lay.lawns)
    longest = max((loop.length_m for loop in job.lay.loops), default=0.0)
    trimmed = words("care.trimmed", trim=measure.area(trim)) if trim >= WORTH_SAYING_M2 else ""
    facts = {"trimmed": trimmed, "longest": measure.length(longest)}
    for year in YEARS:
        yield words(f"care.year.{year}.do", **facts).strip()
