"""Cautions that the plan's own facts call for, then the firm's own.

Signal words as in ANSI Z535.6, which is for words printed in manuals and
similar papers: NOTICE is not about injury and has no alert sign.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import repeat
from typing import TYPE_CHECKING

from renderer.primitives import Line, Primitive
from renderer.sheets.draft_notice import beside, english
from renderer.sheets.kit import box
from renderer.sheets.layout import BlockUse, Signal
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.type import BODY, HEAVY, RULE, Style

if TYPE_CHECKING:
    from renderer.checks.caution import Fact

SIGNAL = Style("bold", 11.5)
ITALIC = Style("italic", 10)  # what English prints at least for cautions
MARK = Style("bold", 9)
PANEL_MM = 36.0
PAD_MM = 2.0
SIGN_MM = 5.6
SIGN_GAP_MM = 1.4
GAP_MM = 1.6
WORST_FIRST: tuple[Signal, ...] = ("DANGER", "WARNING", "CAUTION", "NOTICE")


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """A panel a caution, worst first."""
    plain = english(sheet)
    twice = [text for _, text in _from_plan(plain)] if plain else repeat("")
    told = [(*own, other) for own, other in zip(_from_plan(sheet), twice, strict=False)]
    told += [(own.signal, own.text, "") for own in sheet.layout.cautions]
    if not told:
        return ()
    ordered = sorted(told, key=lambda each: WORST_FIRST.index(each[0]))
    panels = [_panel(sheet, *each) for each in ordered]
    return sheet.heading(use), replace(panels[0], gap_mm=2.0), *panels[1:]


def _from_plan(sheet: Sheet) -> Iterator[tuple[Signal, str]]:
    from renderer.checks import cautions

    for caution in cautions(sheet.job.plan, sheet.job.lay):
        facts = dict(_facts(sheet, caution.facts))
        yield caution.signal, sheet.words(f"caution.{caution.text_key}", **facts)


def _facts(sheet: Sheet, facts: Mapping[str, Fact]) -> Iterator[tuple[str, str]]:
    """The facts as texts: ``..._m`` is a length, ``..._percent`` a share, under the name before."""
    for name, fact in facts.items():
        if isinstance(fact, tuple):
            yield name, sheet.words.listed(fact)
        elif name.endswith("_m"):
            yield name.removesuffix("_m"), sheet.measure.length(float(fact))
        elif name.endswith("_percent"):
            yield name.removesuffix("_percent"), sheet.measure.percent(float(fact))
        else:
            yield name, sheet.measure.numbers.plain(fact) if isinstance(fact, float) else str(fact)


def _panel_mm(sheet: Sheet) -> float:
    """Width of the panel that holds each signal word of the language."""
    sheets = [each for each in (sheet, english(sheet)) if each]
    words = (each.words(f"signal.{signal}") for each in sheets for signal in WORST_FIRST)
    widest = max(map(SIGNAL.width_mm, words))
    return max(PANEL_MM, widest + SIGN_MM + SIGN_GAP_MM + 2 * PAD_MM)


def _panel(sheet: Sheet, signal: Signal, text: str, other: str) -> Piece:
    """A caution; ``other`` is its English, which stands under it in italics."""
    panel = _panel_mm(sheet)
    width = sheet.width_mm - panel - 2 * PAD_MM
    own = BODY.height_mm(text, width)
    taken = own + (ITALIC.height_mm(other, width) if other else 0.0)
    signals = tuple(_signal_words(sheet, signal))
    height = max(taken + 2 * 1.2, SIGN_MM + 2.0, len(signals) * SIGNAL.pitch_mm + 1.0)
    top = (height - taken) / 2
    danger = signal == "DANGER"
    pen = HEAVY if signal in ("DANGER", "WARNING") else RULE
    items: list[Primitive] = [
        box(0.0, 0.0, panel, height, None, "#000000" if danger else None),
        box(0.0, 0.0, panel, height, pen),
        box(0.0, 0.0, sheet.width_mm, height, pen),
        *_signal(signals, signal, height, danger),
        *BODY.lines(text, panel + PAD_MM, top, width),
        *ITALIC.lines(other, panel + PAD_MM, top + own, width),
    ]
    return Piece(height, tuple(items), gap_mm=GAP_MM)


def _signal_words(sheet: Sheet, signal: Signal) -> Iterator[str]:
    """The signal word, and the English one where that prevails and is another."""
    yield sheet.words(f"signal.{signal}")
    other = beside(sheet, lambda each: each.words(f"signal.{signal}"))
    if other:
        yield other


def _signal(words: tuple[str, ...], signal: Signal, height: float, danger: bool) -> list[Primitive]:
    ink = "#ffffff" if danger else "#000000"
    style = Style("italic", SIGNAL.size_pt) if signal == "NOTICE" else SIGNAL
    x = PAD_MM
    items: list[Primitive] = []
    if signal != "NOTICE":
        items.extend(_alert(x, (height - SIGN_MM) / 2, ink, "#000000" if danger else "#ffffff"))
        x += SIGN_MM + SIGN_GAP_MM
    top = (height - len(words) * style.pitch_mm) / 2
    lines = [style.line(word, x, top + n * style.pitch_mm) for n, word in enumerate(words)]
    return [*items, *(replace(line, colour=ink) for line in lines)]


def _alert(x: float, y: float, ink: str, ground: str) -> list[Primitive]:
    """A triangle with an exclamation mark."""
    corners = ((x, y + SIGN_MM), (x + SIGN_MM / 2, y + 0.4), (x + SIGN_MM, y + SIGN_MM))
    mark = MARK.line("!", x + SIGN_MM / 2, y + SIGN_MM - MARK.pitch_mm + 0.55, "middle")
    return [Line(corners, None, closed=True, fill=ink), replace(mark, colour=ground)]
