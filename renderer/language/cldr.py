"""Any language but English, by the Unicode data (CLDR) that Babel brings."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from functools import lru_cache

from babel import Locale, UnknownLocaleError
from babel.dates import format_date
from babel.numbers import format_decimal, get_decimal_symbol

from renderer.frozen import dataclass
from renderer.language.errors import WordError
from renderer.language.numbers import NO_BREAK, short


@dataclass(frozen=True, slots=True)
class Cldr:
    """Numbers, days and plural forms of a locale.

    Digits are Python's, as in English, so that the same figure is rounded the same in each
    language; signs, groups and names are Babel's.
    """

    locale: Locale
    point: str

    def signs(self, written: str) -> str:
        return written.replace(".", self.point)

    def fixed(self, value: float, decimals: int) -> str:
        return self.signs(f"{value:z.{decimals}f}")

    def grouped(self, value: float, decimals: int = 0) -> str:
        pattern = "#,##0." + "0" * decimals if decimals else "#,##0"
        rounded = Decimal(f"{value:.{decimals}f}")
        return _held(format_decimal(rounded, format=pattern, locale=self.locale))

    def plain(self, value: float) -> str:
        return self.signs(short(value))

    def day(self, when: date) -> str:
        return _held(format_date(when, "long", locale=self.locale))

    def weekday(self, when: date) -> str:
        return _held(format_date(when, "full", locale=self.locale))

    def form(self, count: int) -> str:
        return str(self.locale.plural_form(count))


def _held(text: str) -> str:
    """The text with every space one that no line breaks at."""
    return text.replace(" ", NO_BREAK)


@lru_cache(maxsize=8)
def cldr(language: str) -> Cldr:
    """How a language writes. Raises WordError for one that CLDR does not know."""
    try:
        locale = Locale.parse(language, sep="-")
    except (UnknownLocaleError, ValueError):
        problem = "its name is not a language code"
        raise WordError(f"language {language!r}", problem, "name it as de or pt-BR") from None
    return Cldr(locale, get_decimal_symbol(locale))
