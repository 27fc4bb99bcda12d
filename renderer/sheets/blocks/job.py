"""The job: where, when, who, how to get in, and the day's figures at a glance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from renderer.plan.values import YesNo
from renderer.primitives import Mark, Primitive, shifted
from renderer.sheets.compact import stacked
from renderer.sheets.kit import BOOKMARK_LEVEL, HEADING_GAP_MM, Entry, note_lines, rule, upright
from renderer.sheets.piece import Piece, height_of, held_together
from renderer.sheets.runs import Part, run_texts, runs_height_mm
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Column, Row, Write, table
from renderer.sheets.type import (
    BODY,
    CLOSE_PAD_MM,
    HEAVY,
    LABEL,
    RULE,
    STRONG,
    TEXT,
    TEXT_STRONG,
    TITLE,
    Style,
)
from renderer.sheets.use import BlockUse

POSTER = Style("bold", 18)
FIGURES = (Style("bold", 15), Style("bold", 12), Style("condensed_bold", 11))
FIGURE_PAD_MM = 4.0
COLUMN_GAP_MM = 6.0
REVISION_SHARE = 0.5  # of the width, beside the number; a longer one stands under the title
ENTRY_PAD_MM = 0.8
FIRST_SHARE = 1.25  # of a column's width
HIGH_MM = 60.0  # of a row of columns; more is read better, and fits a page, at the full width


class JobUse(BlockUse):
    """``private`` prints the access notes and the customer's name and phone."""

    private: YesNo = True


def build(sheet: Sheet, use: JobUse) -> tuple[Piece, ...]:
    """The job card: poster line, entries in columns, notes, services, figures.

    Brief in a document that begins with the leaf to lay from, which has the large figures.
    """
    columns = _columns(sheet, use)
    if sheet.has("carry"):
        brief = (_head(sheet, use), *_lines(sheet, columns), *_services(sheet))
        return held_together(brief) if height_of(brief) <= HIGH_MM else brief
    pieces = [_poster(sheet)]
    pieces.extend(_entries(sheet, columns))
    pieces.extend(_notes(sheet))
    pieces.extend(_services(sheet))
    pieces.append(_figures(sheet))
    return tuple(pieces)


def _head(sheet: Sheet, use: JobUse) -> Piece:
    """The block's heading with the title of the job; its number and revision are on each page."""
    titled = sheet.heading(use)
    title = sheet.job.plan.job.title
    if use.title or not title:
        return titled
    return replace(sheet.heading(use.model_copy(update={"title": title})), marks=titled.marks)


def _lines(sheet: Sheet, columns: Sequence[Sequence[Entry]]) -> tuple[Piece, ...]:
    """The entries line by line in two columns, each behind its label, then the notes.

    Where a column would be high, all one after the other.
    """
    words = sheet.words
    entries = [
        ((entry.label, LABEL), (entry.text, _bold(entry))) for each in columns for entry in each
    ]
    notes = (*sheet.job.plan.job.notes, *sheet.layout.notes)
    width = (sheet.width_mm - COLUMN_GAP_MM) / 2
    half = -(-len(entries) // 2)
    sides = [
        stacked(tuple(_line(parts, width) for parts in some))
        for some in (entries[:half], entries[half:])
    ]
    moved = (shifted(item, width + COLUMN_GAP_MM, 0.0) for item in sides[1].items)
    both = Piece(max(side.height_mm for side in sides), (*sides[0].items, *moved), keep=True)
    noted = [((words("job.notes"), LABEL), (note, TEXT)) for note in notes]
    if both.height_mm > HIGH_MM:
        return tuple(_line(parts, sheet.width_mm) for parts in (*entries, *noted))
    return both, *(_line(parts, sheet.width_mm) for parts in noted)


def _bold(entry: Entry) -> Style:
    return TEXT_STRONG if entry.style is STRONG else TEXT


def _line(parts: Sequence[Part], width_mm: float) -> Piece:
    """A label and its text in the same line."""
    return Piece(runs_height_mm(parts, width_mm), tuple(run_texts(parts, 0.0, 0.0, width_mm)))


def _notes(sheet: Sheet) -> tuple[Piece, ...]:
    """The notes of the job and of the layout under a small label."""
    notes = (*sheet.job.plan.job.notes, *sheet.layout.notes)
    if not notes:
        return ()
    label = Piece(LABEL.pitch_mm, (LABEL.line(sheet.words("job.notes"), 0.0, 0.0),), 1.0, keep=True)
    first, *others = note_lines(notes, sheet.width_mm, BODY)
    return label, replace(first, gap_mm=0.0), *others


def _poster(sheet: Sheet) -> Piece:
    """The number and the title, the revision at the right; each under the other where it is long.

    A revision is mostly a letter, but may be a line of words.
    """
    job, full = sheet.job.plan.job, sheet.width_mm
    number = sheet.words("job.number", number=job.number)
    revision = sheet.words("job.revision", revision=job.revision)
    is_short = TITLE.width_mm(revision) <= REVISION_SHARE * full
    room = full - TITLE.width_mm(revision) - 4 if is_short else full
    items: list[Primitive] = list(POSTER.lines(number, 0.0, 0.0, room))
    bottom = len(items) * POSTER.pitch_mm + 0.6
    x, top = POSTER.width_mm(number) + 5.0, POSTER.pitch_mm - TITLE.pitch_mm - 0.6
    if is_short:
        items.append(TITLE.line(revision, full, top, "end"))
    if len(items) > 1 + is_short or x + TITLE.width_mm(job.title) > room:
        x, top = 0.0, bottom
    below = [(job.title, x, top)] if job.title else []
    if x == 0.0 and job.title:
        bottom += TITLE.height_mm(job.title, full)
    if not is_short:
        below.append((revision, 0.0, bottom))
        bottom += TITLE.height_mm(revision, full)
    for text, left, y in below:
        items.extend(TITLE.lines(text, left, y, full - left))
    items.append(rule(0.0, full, bottom, HEAVY))
    mark = Mark(sheet.anchor("job"), 0.0, sheet.words("heading.job"), BOOKMARK_LEVEL)
    mark = mark if sheet.has("carry") else job_mark(sheet, "job")
    return Piece(bottom + 2.0, tuple(items), HEADING_GAP_MM, keep=True, marks=(mark,))


def job_mark(sheet: Sheet, anchor: str = "leaf") -> Mark:
    """The bookmark of the job, under which those of its blocks stand."""
    job = sheet.job.plan.job
    number = sheet.words("job.number", number=job.number)
    title = " ".join(part for part in (number, job.title) if part)
    return Mark(sheet.anchor(anchor), 0.0, title, 0)


def _columns(sheet: Sheet, use: JobUse) -> Sequence[Sequence[Entry]]:
    """Where and how much, when and who, how to get in; a column with nothing to say is left out."""
    job, words = sheet.job.plan.job, sheet.words
    where = [Entry(words("job.where"), ", ".join(job.site), STRONG)]
    if sheet.has("carry"):
        where.append(Entry(words("job.size"), _size(sheet), TEXT))
    when = [
        Entry(words("job.when"), sheet.measure.day(job.planned_for), STRONG),
        Entry(words("job.crew"), job.crew),
    ]
    inside = []
    if use.private:
        customer = ", ".join(part for part in (job.customer.name, job.customer.phone) if part)
        inside = [Entry(words("job.customer"), customer), Entry(words("job.access"), job.access)]
    filled = ([entry for entry in entries if entry.text] for entries in (where, when, inside))
    return [entries for entries in filled if entries]


def _size(sheet: Sheet) -> str:
    """The figures of the day that do not stand on the leaf to lay from."""
    job, measure = sheet.job, sheet.measure
    return sheet.words(
        "job.size-told",
        area=measure.area(job.working_area_m2),
        islands=len(job.islands),
        splices=len(job.splices),
        minutes=measure.minutes(job.work_minutes),
    )


def _entries(sheet: Sheet, columns: Sequence[Sequence[Entry]]) -> tuple[Piece, ...]:
    """Columns of entries as one piece, the first a little wider; none with nothing to say.

    Where one of them has so much to say that the row would be high, one after the other.
    """
    if not columns:
        return ()
    room = sheet.width_mm - COLUMN_GAP_MM * (len(columns) - 1)
    shares = (FIRST_SHARE, *(1.0,) * (len(columns) - 1))
    items: list[Primitive] = []
    x = bottom = 0.0
    for share, entries in zip(shares, columns, strict=True):
        width, y = room * share / sum(shares), 0.0
        for entry in entries:
            items.extend(entry.items(x, y, width))
            y += entry.height_mm(width) + ENTRY_PAD_MM
        x += width + COLUMN_GAP_MM
        bottom = max(bottom, y)
    if bottom > HIGH_MM and len(columns) > 1:
        return tuple(piece for each in columns for piece in _entries(sheet, [each]))
    return (Piece(bottom, tuple(items)),) if items else ()


def _services(sheet: Sheet) -> tuple[Piece, ...]:
    """What the search for buried services gave, or a space to write it in; help in an emergency."""
    words = sheet.words
    answer = sheet.job.plan.job.services_asked
    cell = answer or Write(sheet.field_name("services"))
    question = words("job.services") if answer else words("job.services-open")
    columns = [Column("", share, style=TEXT) for share in (44, 54, 40, 52)]
    row = Row((question, cell, words("job.emergency"), Write(sheet.field_name("emergency"))))
    _, *asked = table(columns, (row,), sheet.width_mm, pad_mm=CLOSE_PAD_MM)
    top = Piece(0.0, (rule(0.0, sheet.width_mm, 0.0),), gap_mm=1.5, keep=True)
    return top, *(Piece(part.height_mm, part.items) for part in asked)


def _figures(sheet: Sheet) -> Piece:
    """The day's figures, large, in one row of cells."""
    words, measure, job = sheet.words, sheet.measure, sheet.job
    minutes = job.work_minutes
    first = sum(peg.round == 1 for peg in job.pegs)
    figures = [
        (measure.area(job.working_area_m2), words("figure.area")),
        (measure.length(job.wire_m), words("figure.wire")),
        (str(first), words("figure.pegs-1")),
        (str(len(job.pegs) - first), words("figure.pegs-2")),
        (str(len(job.islands)), words("figure.islands")),
        (str(len(job.splices)), words("figure.splices")),
        (measure.minutes(minutes), words("figure.minutes")),
    ]
    return figure_row(figures, sheet.width_mm)


def figure_row(figures: Sequence[tuple[str, str]], width_mm: float) -> Piece:
    """Large figures, each over what it is, in one row of cells."""
    style = next((s for s in FIGURES if _width(figures, s) <= width_mm), FIGURES[-1])
    shares = [max(style.width_mm(f), LABEL.width_mm(w)) + FIGURE_PAD_MM for f, w in figures]
    scale = width_mm / sum(shares)
    height = style.pitch_mm + LABEL.pitch_mm + 2.4
    items: list[Primitive] = [rule(0.0, width_mm, y, HEAVY) for y in (0.0, height)]
    x = 0.0
    for number, ((figure, word), share) in enumerate(zip(figures, shares, strict=True)):
        middle = x + share * scale / 2
        items.append(style.line(figure, middle, 1.0, "middle"))
        items.append(LABEL.line(word, middle, 1.0 + style.pitch_mm, "middle"))
        if number:
            items.append(upright(x, 0.0, height, RULE))
        x += share * scale
    return Piece(height, tuple(items), gap_mm=3.0)


def _width(figures: Sequence[tuple[str, str]], style: Style) -> float:
    return sum(max(style.width_mm(f), LABEL.width_mm(w)) + FIGURE_PAD_MM for f, w in figures)
