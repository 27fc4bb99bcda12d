"""The catalogue of printed text: looked up by key, filled with facts, loud when one is missing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING

from renderer import resources
from renderer.frozen import dataclass
from renderer.language.errors import WordError
from renderer.language.kinds import PART as KINDS
from renderer.language.kinds import kind_words
from renderer.language.numbers import IN_ENGLISH, Numbers

if TYPE_CHECKING:
    from pathlib import Path

ENGLISH = "en"
STATE, DRAFT = "language.state", "draft"  # what a catalogue says of itself
# Loaded by themselves, with the words of kinds as in all others, which are one catalogue.
PARTS = frozenset({"drawing", "findings", "preview"})
PLURALS = ("zero", "one", "two", "few", "many", "other")


@dataclass(frozen=True, slots=True, eq=False)
class Words(Mapping[str, str]):
    """Printed text of one language, by dotted key such as ``job.where``.

    ``words("page.of", n=2, m=9)`` gives the text with its placeholders filled.
    Raises WordError for a key that is not there or a placeholder without a fact.
    """

    table: Mapping[str, str]
    language: str = ENGLISH
    numbers: Numbers = IN_ENGLISH
    is_draft: bool = False  # whether it still awaits a reader whose first language it is

    __hash__ = object.__hash__  # one catalogue is another only where it is the same
    __eq__ = object.__eq__

    def __call__(self, key: str, **facts: object) -> str:
        text = self.table.get(key)
        if text is None:
            raise WordError(
                f"word {key}", f"not in the catalogue {self.language!r}", "add it to the words file"
            )
        try:
            return text.format_map(facts) if facts or "{" in text else text
        except (KeyError, IndexError, ValueError) as error:
            raise WordError(f"word {key}", f"no fact for placeholder {error}") from error

    def __getitem__(self, key: str) -> str:
        return self.table[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self.table)

    def __len__(self) -> int:
        return len(self.table)

    def count(self, key: str, number: int, **facts: object) -> str:
        """The text for a number of things, with ``{n}``: ``key.one``, or the form it takes.

        ``key.other`` stands for a form that the catalogue lacks.
        """
        form = f"{key}.{self.numbers.form(number)}"
        return self(form if form in self.table else f"{key}.other", n=number, **facts)

    def listed(self, names: Sequence[str], most: int = 5) -> str:
        """Names in a sentence: ``A, B and C``; of many the first, and how many more there are."""
        join = self("list.join")
        if len(names) > most + 1:
            return self("list.more", names=join.join(names[:most]), n=len(names) - most)
        if len(names) < 2:
            return "".join(names)
        return self("list.last", names=join.join(names[:-1]), last=names[-1])

    def altered(self, texts: Mapping[str, str]) -> Words:
        """The same words with some texts replaced."""
        return replace(self, table=MappingProxyType({**self.table, **texts}))


@lru_cache(maxsize=32)
def load_words(language: str = ENGLISH, part: str = "") -> Words:
    """A catalogue of a language: ``layouts/words/LANGUAGE.yaml`` with its parts, or one of PARTS.

    Raises WordError where there is no such language.
    """
    require_language(language)
    files = [_file(language, part)] if part else [_file(language), *_parts(language)]
    table = kind_words(read_table(_file(language, KINDS)))
    for file in files:
        table.update(read_table(file))
    if language == ENGLISH:
        return Words(MappingProxyType(table))
    draft = load_words(language).is_draft if part else table[STATE] == DRAFT
    return Words(MappingProxyType(table), language, _numbers(language), draft)


def languages() -> tuple[str, ...]:
    """The languages that have a catalogue."""
    files = (resources.layouts() / "words").glob("*.yaml")
    return tuple(sorted(file.stem for file in files if "." not in file.stem))


def require_language(language: str) -> None:
    """Raises WordError, naming those there are, for a language without a catalogue."""
    if language not in (known := languages()):
        problem, cure = "no translation for it", f"known: {', '.join(known)}"
        raise WordError(f"language {language!r}", problem, cure)


def read_table(file: Path) -> dict[str, str]:
    """The texts of one file by dotted key. Raises FileNotFoundError, and WordError for a list.

    It takes the parser's events as they come: to make values of them first takes twice as long,
    and every print reads its words.
    """
    import yaml

    loader = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
    table: dict[str, str] = {}
    prefixes: list[str] = []
    key: str | None = None
    for event in yaml.parse(file.read_text(encoding="utf-8"), Loader=loader):
        if isinstance(event, yaml.ScalarEvent):
            if key is None:
                key = event.value
            else:
                table[f"{prefixes[-1]}{key}"] = event.value
                key = None
        elif isinstance(event, yaml.MappingStartEvent):
            prefixes.append("" if key is None else f"{prefixes[-1]}{key}.")
            key = None
        elif isinstance(event, yaml.MappingEndEvent):
            prefixes.pop()
        elif isinstance(event, yaml.SequenceStartEvent | yaml.AliasEvent):
            where = f"{file.name}: {''.join(prefixes[-1:])}{key or ''}"
            raise WordError(where, "it is a list", "write one text")
    return table


def _file(language: str, part: str = "") -> Path:
    return resources.layouts() / "words" / f"{language}{'.' if part else ''}{part}.yaml"


def _parts(language: str) -> Iterator[Path]:
    """The parts of the catalogue in files of their own, such as ``en.cautions.yaml``."""
    for file in sorted((resources.layouts() / "words").glob(f"{language}.*.yaml")):
        if file.stem.split(".", 1)[1] not in {*PARTS, KINDS}:
            yield file


def _numbers(language: str) -> Numbers:
    from renderer.language.cldr import cldr

    return cldr(language)
