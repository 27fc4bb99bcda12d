"""What a meter should read, as sheets print it: bands of sound wire, and islands left out."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

    from renderer.ground.bands import Band, LeftOut
    from renderer.ground.lay import LoopLay
    from renderer.sheets.sheet import Sheet

TEMPERATURES_C = (0, 10, 20, 30)  # of the wire, for which readings are printed


def good_on(sheet: Sheet, loop: LoopLay, celsius: float = 20.0) -> Band:
    """Least and greatest reading of a loop with nothing wrong, in ohms."""
    return sheet.job.readings.good(loop, celsius)


def good_of(sheet: Sheet, length_m: float, celsius: float = 20.0) -> Band:
    """The same of a length of wire, such as a full spool."""
    return sheet.job.readings.good_of(length_m, celsius)


def islands_left_out(sheet: Sheet) -> tuple[tuple[LoopLay, LeftOut], ...]:
    """Each island of each loop as a meter sees it left out."""
    return sheet.job.readings.left_out


def span(sheet: Sheet, band: Band) -> str:
    """Two readings as ``0.24 to 0.27``, or one where they print alike."""
    low, high = (sheet.measure.numbers.fixed(ohms, 2) for ohms in (band.low, band.high))
    return low if low == high else sheet.words("reads.span", low=low, high=high)


def short_span(sheet: Sheet, band: Band) -> str:
    """The same for a narrow column: ``0.24–0.27``."""
    return narrow_span(sheet, band.low, band.high)


def narrow_span(sheet: Sheet, low_ohm: float, high_ohm: float) -> str:
    """The same of two figures."""
    low, high = (sheet.measure.numbers.fixed(ohms, 2) for ohms in (low_ohm, high_ohm))
    return low if low == high else sheet.words("reads.range", low=low, high=high)


def rate_span(sheet: Sheet) -> str:
    """The least and greatest resistance of 100 m or 100 ft of sound wire at 20 degC."""
    rate, measure = sheet.job.readings.rate, sheet.measure
    low, high = (measure.ohms_per_100(each) for each in (rate.low, rate.high))
    return measure.per_100(low if low == high else sheet.words("reads.range", low=low, high=high))


def reads_without(sheet: Sheet, row: LeftOut, told: Callable[[Sheet, Band], str] = span) -> str:
    """What a meter then reads; a dash where that may be the reading of a whole loop."""
    return sheet.words("tells.none") if row.tells_now == "no" else told(sheet, row.reads)


def tells(sheet: Sheet, row: LeftOut) -> str:
    """Whether a meter can tell that the island is left out."""
    later = row.tells == "yes" != row.tells_now
    return sheet.words("tells.yes-measured" if later else f"tells.{row.tells}")


def tolerance(sheet: Sheet) -> dict[str, str]:
    """How far off a reading may be, for texts: ``share``, ``least`` and ``star``."""
    figures, measure = sheet.figures, sheet.measure
    return {
        "share": measure.percent(figures["reading_percent"]),
        "least": measure.ohms(figures["reading_ohm"]),
        "star": figures.sign("reading_percent", "reading_ohm"),
    }
