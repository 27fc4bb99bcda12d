"""Cautions that the plan's own facts call for, with the firm's own; then those of every job.

Each caution that this garden calls for has a panel. What is said on every job is in one group, a
row per signal word, so that the panels keep their weight.

Signal words as in ANSI Z535.6, which is for words printed in manuals and
similar papers: NOTICE is not about injury and has no alert sign.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from renderer.primitives import Line, Primitive, shifted
from renderer.sheets.compact import TEXT
from renderer.sheets.draft_notice import beside, english
from renderer.sheets.kit import box, rule, subheading
from renderer.sheets.layout import Signal
from renderer.sheets.piece import Piece, height_of
from renderer.sheets.sheet import Sheet
from renderer.sheets.type import BODY, HEAVY, RULE, Style
from renderer.sheets.use import BlockUse

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
COLUMN_GAP_MM = 4.0
DOUBLED_MOST = 3  # cautions a row where English stands under each: a taller one leaves pages empty
DASH = "–  "
# Signal word, the text with its English where that is printed under it, whether on every job.
Told = tuple[Signal, tuple[str, str], bool]

WORST_FIRST: tuple[Signal, ...] = ("DANGER", "WARNING", "CAUTION", "NOTICE")


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """A panel per caution of this garden, worst first; the everyday ones in one group.

    In a document that begins with the leaf to lay from, which has this garden's, only the others;
    a draft language has all of them here, with their English.
    """
    told = list(_from_plan(sheet))
    own = [(signal, told) for signal, told, everyday in told if not everyday]
    own += [(mine.signal, (mine.text, "")) for mine in sheet.layout.cautions]
    own.sort(key=lambda each: WORST_FIRST.index(each[0]))
    if own and sheet.has("carry") and not sheet.words.is_draft:
        return sheet.heading(use, sheet.words("everyday.besides")), *_everyday(sheet, told)[1:]
    if sheet.page_mm:
        panels = [_group(sheet, signal, [text], sheet.width_mm) for signal, text in own]
        panels = list(with_gaps(panels))
    else:
        panels = [_panel(sheet, signal, [text]) for signal, text in own]
    if panels:
        panels[0] = replace(panels[0], gap_mm=2.0)
    return sheet.heading(use), *panels, *_everyday(sheet, told)


def own_cautions(sheet: Sheet) -> tuple[tuple[Signal, str], ...]:
    """What this garden's facts call for, and the firm's own cautions, in the sheet's language."""
    found = [(signal, own) for signal, (own, _), everyday in _from_plan(sheet) if not everyday]
    return (*found, *((mine.signal, mine.text) for mine in sheet.layout.cautions))


def everyday(sheet: Sheet) -> tuple[Piece, ...]:
    """What is said on every job, by itself."""
    return _everyday(sheet, list(_from_plan(sheet)))


def _everyday(sheet: Sheet, told: Sequence[Told]) -> tuple[Piece, ...]:
    """What every job needs, worst first: boxes in two columns, or rows with the English too."""
    if sheet.page_mm or not sheet.words.is_draft:
        return _abreast(sheet, told)
    rows = []
    for signal in WORST_FIRST:
        texts = [text for of, text, everyday in told if everyday and of == signal]
        starts = range(0, len(texts), DOUBLED_MOST)
        parts = [texts[start : start + DOUBLED_MOST] for start in starts]
        rows += [replace(_panel(sheet, signal, part), gap_mm=0.0) for part in parts]
    return subheading(sheet.words("everyday.heading"), sheet.width_mm), *rows


def _abreast(sheet: Sheet, told: Sequence[Told]) -> tuple[Piece, ...]:
    """The same in two columns, each signal word above its cautions and never parted from them."""
    narrow = bool(sheet.page_mm)
    width = sheet.width_mm if narrow else (sheet.width_mm - COLUMN_GAP_MM) / 2
    boxes = []
    for signal in WORST_FIRST:
        texts = [text for of, text, everyday in told if everyday and of == signal]
        most = DOUBLED_MOST if sheet.words.is_draft else len(texts)
        starts = range(0, len(texts), most or 1)
        boxes += [_group(sheet, signal, texts[at : at + most], width) for at in starts]
    head = subheading(sheet.words("everyday.heading"), sheet.width_mm)
    if not boxes:
        return ()
    if narrow:
        return head, *with_gaps(boxes)
    columns: tuple[list[Piece], list[Piece]] = ([], [])
    for each in boxes:
        min(columns, key=height_of).append(each)
    items: list[Primitive] = []
    for number, column in enumerate(columns):
        y = 0.0
        for each in column:
            items += [shifted(item, number * (width + COLUMN_GAP_MM), y) for item in each.items]
            y += each.height_mm + GAP_MM
    height = max(height_of(with_gaps(column)) for column in columns)
    return head, Piece(height, tuple(items))


def with_gaps(column: Sequence[Piece]) -> tuple[Piece, ...]:
    """The boxes of a column with the gaps between them."""
    return tuple(replace(each, gap_mm=GAP_MM) for each in column)


def _group(sheet: Sheet, signal: Signal, texts: Sequence[tuple[str, str]], width: float) -> Piece:
    """A box with the signal word over its cautions, each with its English where it has one."""
    hang = TEXT.width_mm(DASH) if len(texts) > 1 else 0.0
    room = width - 2 * PAD_MM - hang
    band = SIGN_MM + 1.2
    danger = signal == "DANGER"
    pen = HEAVY if signal in ("DANGER", "WARNING") else RULE
    items: list[Primitive] = list(
        _signal((" · ".join(_signal_words(sheet, signal)),), signal, band, danger)
    )
    if danger:
        items.insert(0, box(0.0, 0.0, width, band, None, "#000000"))
    y = band + 0.6
    for text, other in texts:
        if hang:
            items.append(TEXT.line(DASH.strip(), PAD_MM, y))
        items.extend(TEXT.lines(text, PAD_MM + hang, y, room))
        y += TEXT.height_mm(text, room) + 0.3
        if other:
            items.extend(ITALIC.lines(other, PAD_MM + hang, y, room))
            y += ITALIC.height_mm(other, room)
    height = y + 0.8
    return Piece(height, (box(0.0, 0.0, width, height, pen), rule(0.0, width, band), *items))


def _from_plan(sheet: Sheet) -> Iterator[Told]:
    plain = english(sheet)
    for caution in sheet.job.cautions:
        own, other = (
            each.words(f"caution.{caution.text_key}", **dict(_facts(each, caution.facts)))
            if each
            else ""
            for each in (sheet, plain)
        )
        yield caution.signal, (own, other), caution.everyday


def _facts(sheet: Sheet, facts: Mapping[str, Fact]) -> Iterator[tuple[str, str]]:
    """The facts as texts: ``..._m`` is a length, ``..._percent`` a share, under the name before."""
    for name, fact in facts.items():
        if isinstance(fact, tuple):
            yield name, sheet.words.listed(fact)
        elif isinstance(fact, date):
            yield name, sheet.measure.numbers.day(fact)
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


def _panel(sheet: Sheet, signal: Signal, texts: Sequence[tuple[str, str]]) -> Piece:
    """Cautions of one signal word; the English of each stands under it in italics."""
    panel = _panel_mm(sheet)
    hang = BODY.width_mm(DASH) if len(texts) > 1 else 0.0
    width = sheet.width_mm - panel - 2 * PAD_MM - hang
    styled = [part for own, other in texts for part in ((BODY, own), (ITALIC, other)) if part[1]]
    taken = sum(style.height_mm(text, width) for style, text in styled)
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
    ]
    for style, text in styled:
        if hang and style is BODY:
            items.append(BODY.line(DASH.strip(), panel + PAD_MM, top))
        items.extend(style.lines(text, panel + PAD_MM + hang, top, width))
        top += style.height_mm(text, width)
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
