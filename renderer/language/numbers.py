"""How a language writes numbers, days and plural forms; English, which needs no library for it."""

from __future__ import annotations

from datetime import date
from typing import Protocol

from renderer.frozen import dataclass

NO_BREAK = "\u00a0"
MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


class Numbers(Protocol):
    """A language's way to write numbers and days. All texts hold together on one line."""

    def signs(self, written: str) -> str:
        """A number that is written already, such as ``2.50``, with its own decimal sign."""

    def fixed(self, value: float, decimals: int) -> str:
        """A number with so many decimals: ``1234.50``."""

    def grouped(self, value: float, decimals: int = 0) -> str:
        """A number with its thousands set apart: ``1,234``."""

    def plain(self, value: float) -> str:
        """A number with the decimals that it has, six digits at most: ``0.75``."""

    def day(self, when: date) -> str:
        """A date with the month in letters, so that no two customs mix it up: ``4 May 2026``."""

    def weekday(self, when: date) -> str:
        """A date with its day of the week: ``Monday 4 May 2026``."""

    def form(self, count: int) -> str:
        """The plural form that a count takes, by its name in CLDR, such as ``one``."""


def with_minus(figure: str) -> str:
    """A figure with the sign that is as wide as a plus, in place of a hyphen."""
    return figure.replace("-", "\N{MINUS SIGN}")


def short(value: float) -> str:
    """A number in at most six digits, or as a whole number if that has more."""
    return f"{value:g}" if abs(value) < 1e6 else f"{value:.0f}"


@dataclass(frozen=True, slots=True)
class English:
    """English, as ``en-GB`` in CLDR, written without loading that."""

    def signs(self, written: str) -> str:
        return written

    def fixed(self, value: float, decimals: int) -> str:
        return f"{value:z.{decimals}f}"

    def grouped(self, value: float, decimals: int = 0) -> str:
        return f"{value:,.{decimals}f}"

    def plain(self, value: float) -> str:
        return short(value)

    def day(self, when: date) -> str:
        return f"{when.day}{NO_BREAK}{MONTHS[when.month - 1]}{NO_BREAK}{when.year}"

    def weekday(self, when: date) -> str:
        return f"{WEEKDAYS[when.weekday()]}{NO_BREAK}{self.day(when)}"

    def form(self, count: int) -> str:
        return "one" if count == 1 else "other"


IN_ENGLISH: Numbers = English()
