"""The cover of a pack: the jobs in their order, where each begins, how long the day is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import accumulate

from renderer.frozen import dataclass
from renderer.job.pack import PackData
from renderer.job.practice import SIGN, Figures
from renderer.primitives import Mark, Primitive
from renderer.sheets.kit import note_lines, paragraph, rule, subheading
from renderer.sheets.pack_words import crew_of, date_of, pack_on
from renderer.sheets.piece import Piece
from renderer.sheets.sheet import Sheet
from renderer.sheets.table import Cell, Column, Row, Styled, table
from renderer.sheets.type import BODY, CELL, CELL_STRONG, HEAVY, POSTER, SMALL, STRONG, TITLE
from renderer.sheets.use import BlockUse

MIN_PER_HOUR = 60


@dataclass(frozen=True, slots=True)
class Times:
    """Minutes of a job: to drive to it, to do it, and after midnight when it begins and ends."""

    drive: float
    work: float
    arrive: float | None
    leave: float | None


def build(sheet: Sheet, use: BlockUse) -> tuple[Piece, ...]:
    """Crew and date in large type, a row per job with a link to it, the sums, the notes."""
    pack = pack_on(sheet)
    times = _times(pack)
    notes = (*(pack.day.notes if pack.day else ()), *sheet.layout.notes)
    pieces = [_poster(sheet, use), *_table(sheet, pack, times)]
    pieces += _length(sheet, times)
    pieces += [
        piece
        for text in _other_days(sheet, pack)
        for piece in paragraph(text, sheet.width_mm, STRONG)
    ]
    if notes:
        pieces.append(subheading(sheet.words("job.notes"), sheet.width_mm))
        pieces += note_lines(notes, sheet.width_mm, BODY)
    pieces += paragraph(sheet.words("rules.foot"), sheet.width_mm, SMALL)
    return tuple(pieces)


def _poster(sheet: Sheet, use: BlockUse) -> Piece:
    words, width = sheet.words, sheet.width_mm
    title = use.title or words("pack.title")
    day = sheet.measure.day(date_of(sheet))
    lines = POSTER.lines(title, 0.0, 0.0, width - TITLE.width_mm(day) - 4)
    items: list[Primitive] = [*lines]
    if day:
        items.append(TITLE.line(day, width, POSTER.pitch_mm - TITLE.pitch_mm - 0.6, "end"))
    bottom = len(lines) * POSTER.pitch_mm
    for text in (crew_of(sheet),):
        items += TITLE.lines(text, 0.0, bottom, width) if text else ()
        bottom += TITLE.height_mm(text, width) if text else 0.0
    items.append(rule(0.0, width, bottom + 1.5, HEAVY))
    mark = Mark(sheet.anchor(use.block), 0.0, title, 0)
    return Piece(bottom + 3.5, tuple(items), keep=True, marks=(mark,))


def _times(pack: PackData) -> list[Times]:
    """Whole minutes, as printed, so that the times of the jobs add up to what stands under them."""
    work = [float(round(each.minutes)) for each in pack.told]
    drives = [float(round(drive)) for drive in pack.drives]
    start = pack.day.start if pack.day else None
    steps = [minutes for pair in zip(drives, work, strict=True) for minutes in pair]
    clock = list(accumulate(steps, initial=start or 0))
    return [
        Times(
            drive,
            minutes,
            None if start is None else clock[2 * job + 1],
            None if start is None else clock[2 * job + 2],
        )
        for job, (drive, minutes) in enumerate(zip(drives, work, strict=True))
    ]


def _table(sheet: Sheet, pack: PackData, times: Sequence[Times]) -> tuple[Piece, ...]:
    words = sheet.words
    clocked = times[0].arrive is not None
    driven = any(each.drive for each in times)
    columns = [
        Column(words("pack.order"), 10, "end"),
        Column(words("pack.job"), 44),
        Column(words("pack.where"), 35, style=SMALL),
        Column(words("pack.splices"), 18, "end"),
        Column(words("pack.findings"), 21, "end"),
    ]
    columns += [Column(words("pack.drive"), 21, "end")] if driven else []
    columns.append(Column(words("pack.time"), 29, "end"))
    columns += [Column(words("pack.clock"), 18, "end")] if clocked else []
    columns.append(Column(words("pack.page-at"), 14, "end"))
    rows = [_row(sheet, pack, number, each, driven) for number, each in enumerate(times)]
    return table(columns, [*rows, _sum(sheet, pack, times, driven)], sheet.width_mm)


def _row(sheet: Sheet, pack: PackData, number: int, times: Times, driven: bool) -> Row:
    words, measure = sheet.words, sheet.measure
    told, page = pack.told[number], pack.starts[number]
    warnings = sum(finding.level != "note" for finding in told.findings)
    named = words("pack.named", number=told.job.number, title=told.job.title).strip()
    cells: list[Cell] = [
        str(number + 1),
        Styled(named, CELL_STRONG),
        ", ".join(told.job.site),
        str(len(told.splices)),
        str(warnings) if warnings else "–",
    ]
    cells += [measure.minutes(times.drive)] if driven else []
    cells.append(Styled(measure.minutes(times.work), CELL_STRONG))
    if times.arrive is not None:
        cells.append(f"{_clock(times.arrive)}–\n{_clock(times.leave)}")
    cells.append(Styled(str(page) if page else "–", CELL_STRONG))
    return Row(tuple(cells), link=f"{pack.prefixes[number]}.start" if page else "")


def _sum(sheet: Sheet, pack: PackData, times: Sequence[Times], driven: bool) -> Row:
    measure = sheet.measure
    texts = [
        "",
        sheet.words("pack.sum"),
        "",
        str(sum(len(each.splices) for each in pack.told)),
        "",
    ]
    texts += [measure.minutes(sum(each.drive for each in times))] if driven else []
    texts.append(measure.minutes(sum(each.work for each in times)))
    texts += ["", ""] if times[0].leave is not None else [""]
    return Row(tuple(Styled(text, CELL_STRONG if text else CELL) for text in texts), strong=True)


def _clock(minutes: float | None) -> str:
    hours, rest = divmod(round(minutes or 0.0), MIN_PER_HOUR)
    return f"{hours % 24:02d}:{rest:02d}"


def _length(sheet: Sheet, times: Sequence[Times]) -> Iterator[Piece]:
    words, measure = sheet.words, sheet.measure
    pack = pack_on(sheet)
    work, home = sum(each.work for each in times), float(round(pack.drive_home))
    drive = sum(each.drive for each in times) + home
    rest = float(round(pack.rest(work + drive)))
    day = work + drive + rest
    guessed = pack.day is None or None in (pack.day.drive_home, pack.day.breaks)
    facts = {"work": work, "drive": drive, "home": home, "rest": rest, "all": day}
    told = {name: measure.minutes(minutes) for name, minutes in facts.items()}
    mark = SIGN if guessed and (drive or rest) else ""
    key = f"pack.{'length' if drive else 'work'}{'-rest' if rest else ''}"
    yield from paragraph(words(key, star=mark, **told), sheet.width_mm, gap_mm=3.0)
    limit, star = _longest_day(sheet)
    if day > limit:
        text = words("pack.too-long", limit=measure.minutes(limit), star=star)
        yield from paragraph(text, sheet.width_mm, STRONG)
    if mark or (star and day > limit):
        yield from paragraph(words("pack.practice"), sheet.width_mm, SMALL, gap_mm=0.6)


def _longest_day(sheet: Sheet) -> tuple[float, str]:
    """Minutes of a day by the job whose machine's file allows least, and its sign."""
    told = pack_on(sheet).told
    figures = [Figures(each.machine, sheet.measure.units) for each in told]
    least = min(figures, key=lambda each: each["day_hours"])
    return MIN_PER_HOUR * least["day_hours"], least.sign("day_hours")


def _other_days(sheet: Sheet, pack: PackData) -> Iterator[str]:
    day = pack.day.date if pack.day else None
    for each in pack.told:
        planned = each.job.planned_for
        if day is not None and planned not in (None, day):
            yield sheet.words(
                "pack.other-day", job=each.job.number, day=sheet.measure.short_day(planned)
            )
