"""Finding a break: steps by halves, and what a loop reads that leaves an island out."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from itertools import pairwise
from typing import TYPE_CHECKING

from renderer.ground.parts import part_names
from renderer.sheets.compact import (
    FINE,
    TEXT_STRONG,
    abreast,
    head,
    listed,
)
from renderer.sheets.draft_notice import doubled_paragraph
from renderer.sheets.kit import paragraph
from renderer.sheets.piece import Piece, height_of
from renderer.sheets.places import LoopPlaces, places_of
from renderer.sheets.readings import (
    TEMPERATURES_C,
    good_on,
    islands_left_out,
    span,
)
from renderer.sheets.sheet import Sheet
from renderer.sheets.use import BlockUse

if TYPE_CHECKING:
    from renderer.ground.lay import LoopLay

Part = Callable[[Sheet, float], tuple[Piece, ...]]

SHOWS = ("none", "less", "good", "more")
STEPS = ("whole", "halve", "narrow", "mend")


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """The steps at the left; what the meter shows, and what reads too low, at the right.

    Where to begin stands under the steps, or what the meter shows, where that is less high. Nothing
    where a draft has no wire.
    """
    if not sheet.job.lay.loops:
        return ()
    tried = (
        abreast(sheet, partial(left, sheet), partial(right, sheet))
        for left, right in (
            (_in_turn(_steps, _shows), _in_turn(_begins, _too_low)),
            (_in_turn(_steps, _begins), _in_turn(_shows, _too_low)),
            (_steps, _in_turn(_begins, _shows, _too_low)),
        )
    )
    return head(sheet, use), *min(tried, key=height_of)


def _in_turn(*parts: Part) -> Part:
    """The parts one under the other."""
    return lambda sheet, width: tuple(piece for part in parts for piece in part(sheet, width))


def _steps(sheet: Sheet, width: float) -> tuple[Piece, ...]:
    numbers = [str(number) for number in range(1, len(STEPS) + 1)]
    return (
        *doubled_paragraph(sheet, lambda each: each.words("break.first"), width, TEXT_STRONG),
        *listed((_step(sheet, key) for key in STEPS), width, numbers),
    )


def _begins(sheet: Sheet, width: float) -> tuple[Piece, ...]:
    """Where to begin in each loop, and what the readings have to be multiplied by."""
    return (
        *(piece for text in _orders(sheet) for piece in paragraph(text, width, FINE)),
        *paragraph(_at_other_temperatures(sheet), width, FINE),
    )


def _step(sheet: Sheet, key: str) -> str:
    longest = max((loop.length_m for loop in sheet.job.lay.loops), default=0.0)
    return sheet.words(f"break.{key}", most=sheet.measure.ordered(longest / 2))


def _shows(sheet: Sheet, width: float) -> tuple[Piece, ...]:
    """Four lines: what the meter may show on the whole loop, and the next place for each."""
    words = sheet.words
    loops = sheet.job.lay.loops
    next_of = dict.fromkeys(SHOWS, "next")
    if not islands_left_out(sheet):
        next_of |= {"less": "next-no-islands", "good": "next-no-islands"}
    reads = {key: words(f"shows.{key}.reads") for key in SHOWS if key != "good"}
    then = {key: words(f"shows.{key}.{next_of[key]}") for key in SHOWS}
    star = sheet.figures.sign("reading_percent", "reading_ohm")
    ohms = ", ".join(_named(sheet, loop, span(sheet, good_on(sheet, loop))) for loop in loops)
    reads["good"] = words("shows.good.reads", ohms=ohms, star=star)
    if len(loops) > 1:  # too long to stand before its line
        then["good"] = words("shows.good.told", reads=reads["good"], next=then["good"])
        reads["good"] = words("shows.good.several")
    return listed((then[key] for key in SHOWS), width, (reads[key] for key in SHOWS), FINE)


def _named(sheet: Sheet, loop: LoopLay, text: str) -> str:
    """A text about a loop, with the loop's name where there are several."""
    if len(sheet.job.lay.loops) == 1:
        return text
    return sheet.words("break.of-loop", name=loop.name, text=text)


def _orders(sheet: Sheet) -> Iterator[str]:
    """Where to begin in each loop, and how many tests it takes at the most."""
    from renderer.ground.breaks import turns_needed

    for loop in places_of(sheet):
        text = sheet.words("break.one-piece")
        if loop.first is not None:
            text = sheet.words.count(
                "break.begin",
                turns_needed(loop.segments),
                segments=loop.segments,
                longest=sheet.measure.length(_longest(loop)),
                first=loop.first.name,
            )
        yield _named(sheet, loop.loop, text)


def _longest(loop: LoopPlaces) -> float:
    at = [0.0, *(place.at_m for place in loop.tested), loop.loop.length_m]
    return max(b - a for a, b in pairwise(at))


def _at_other_temperatures(sheet: Sheet) -> str:
    from renderer.ground.electric import temperature_factor

    words, fixed = sheet.words, sheet.measure.numbers.fixed
    factors = [
        words("break.factor", degrees=degrees, factor=fixed(temperature_factor(degrees), 2))
        for degrees in TEMPERATURES_C
        if degrees != 20
    ]
    return words("break.temperature", factors=words("break.join").join(factors))


def _too_low(sheet: Sheet, width: float) -> tuple[Piece, ...]:
    """How much an island left out takes off the reading when laid; whether a meter can tell."""
    words = sheet.words
    found = islands_left_out(sheet)
    if not found:
        return ()
    names = [_named(sheet, loop, part_names(loop)[row.lead]) for loop, row in found]
    told = [
        words("low.reads", less=span(sheet, row.less), tells=words(f"tells.{row.tells}"))
        for _, row in found
    ]
    intro = paragraph(words("low.intro"), width, FINE, gap_mm=2.0, keep=True)
    return *intro, *listed(told, width, names, FINE)
