"""How languages write: ours for English is Babel's, and others are Babel's with Python's digits."""

from __future__ import annotations

import subprocess
import sys
from datetime import date, timedelta
from decimal import Decimal

import pytest
from babel import Locale
from babel.dates import format_date
from babel.numbers import format_decimal
from hypothesis import given, settings
from hypothesis import strategies as st

from renderer.language import WordError, Words
from renderer.language.cldr import cldr
from renderer.language.numbers import IN_ENGLISH, NO_BREAK

OTHERS = ("de", "es", "fr", "pl", "sv", "pt-BR")
DAYS = [date(2026, 1, 1) + timedelta(days=17 * n) for n in range(25)]
figures = st.floats(-1e6, 1e6).map(lambda value: value + 0.0)
quick = settings(max_examples=150, deadline=None, derandomize=True, database=None)


def by_babel(value: float, decimals: int, language: str, group: bool) -> str:
    """Babel's own text of the figure that Python rounds to."""
    pattern = ("#,##0" if group else "0") + ("." + "0" * decimals if decimals else "")
    rounded = Decimal(f"{value:z.{decimals}f}")
    locale = Locale.parse(language, sep="-")
    return format_decimal(rounded, format=pattern, locale=locale)


@given(figures, st.integers(0, 3))
@quick
def test_english_is_as_babel_writes_it(value: float, decimals: int) -> None:
    rounded = float(f"{value:.{decimals}f}") + 0.0  # Babel writes no sign on nothing
    assert IN_ENGLISH.fixed(rounded, decimals) == by_babel(rounded, decimals, "en-GB", False)
    assert IN_ENGLISH.grouped(rounded, decimals) == by_babel(rounded, decimals, "en-GB", True)


@pytest.mark.parametrize("language", OTHERS)
@given(figures, st.integers(0, 3))
@quick
def test_other_languages_are_as_babel_writes_them(
    language: str, value: float, decimals: int
) -> None:
    rounded = float(f"{value:.{decimals}f}") + 0.0
    numbers = cldr(language)
    assert numbers.fixed(rounded, decimals) == by_babel(rounded, decimals, language, False)
    grouped = by_babel(rounded, decimals, language, True).replace(" ", NO_BREAK)
    assert numbers.grouped(rounded, decimals) == grouped


def test_a_figure_is_rounded_the_same_in_each_language() -> None:
    """Half a unit is where libraries differ: 0.125 and 2.675 are not what they look like."""
    for value in (0.125, 0.375, 2.675, 1.005, 12.345):
        texts = {cldr(each).fixed(value, 2).replace(",", ".") for each in OTHERS}
        assert texts == {IN_ENGLISH.fixed(value, 2)}


@pytest.mark.parametrize("when", DAYS, ids=str)
def test_english_days_are_as_babel_names_them(when: date) -> None:
    assert IN_ENGLISH.day(when).replace(NO_BREAK, " ") == format_date(when, "long", "en_GB")
    told = IN_ENGLISH.weekday(when).replace(NO_BREAK, " ")
    assert told == format_date(when, "EEEE d MMMM y", "en_GB")


@pytest.mark.parametrize(
    ("language", "day", "weekday", "area", "plain"),
    [
        ("de", "4. Mai 2026", "Montag, 4. Mai 2026", "1.234", "0,75"),
        ("es", "4 de mayo de 2026", "lunes, 4 de mayo de 2026", "1.234", "0,75"),
        ("fr", "4 mai 2026", "lundi 4 mai 2026", "1\u202f234", "0,75"),
    ],
)
def test_what_readers_expect(language: str, day: str, weekday: str, area: str, plain: str) -> None:
    numbers, when = cldr(language), date(2026, 5, 4)
    assert numbers.day(when).replace(NO_BREAK, " ") == day
    assert numbers.weekday(when).replace(NO_BREAK, " ") == weekday
    assert " " not in numbers.weekday(when)
    assert numbers.grouped(1234.4) == area
    assert numbers.plain(0.75) == plain


@pytest.mark.parametrize(
    ("language", "counts", "forms"),
    [
        ("en", (0, 1, 2, 5), ("other", "one", "other", "other")),
        ("fr", (0, 1, 2, 1_000_000), ("one", "one", "other", "many")),
        ("pl", (1, 2, 5, 22), ("one", "few", "many", "few")),
    ],
)
def test_plural_forms(language: str, counts: tuple[int, ...], forms: tuple[str, ...]) -> None:
    numbers = IN_ENGLISH if language == "en" else cldr(language)
    assert tuple(map(numbers.form, counts)) == forms


def test_a_form_that_the_catalogue_lacks_is_the_other_one() -> None:
    words = Words({"peg.one": "{n} piquet", "peg.other": "{n} piquets"}, "fr", cldr("fr"))
    told = [words.count("peg", n) for n in (0, 1, 2, 1_000_000)]
    assert told == ["0 piquet", "1 piquet", "2 piquets", "1000000 piquets"]


def test_a_name_that_is_no_language() -> None:
    with pytest.raises(WordError, match="language 'nope-x': its name is not a language code"):
        cldr("nope-x")


def test_english_needs_no_babel() -> None:
    script = (
        "import sys\n"
        "from renderer.language import load_words\n"
        "words = load_words()\n"
        "assert words.numbers.grouped(1234) == '1,234'\n"
        "assert 'babel' not in sys.modules\n"
    )
    subprocess.run([sys.executable, "-c", script], check=True)


@pytest.mark.parametrize("language", ("en", "de", "fr"))
def test_nothing_is_printed_as_less_than_nothing(language: str) -> None:
    """A hair below zero is 0.0, never -0.0."""
    numbers = IN_ENGLISH if language == "en" else cldr(language)
    assert numbers.fixed(-0.0001, 1).replace(",", ".") == "0.0"
