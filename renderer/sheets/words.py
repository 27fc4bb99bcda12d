"""The catalogue of printed text: looked up by key, filled with facts, loud when one is missing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType

from renderer.sheets.errors import SheetError

OTHER_ROOMS = frozenset({"drawing"})  # parts of the folder that another room reads


@dataclass(frozen=True, slots=True)
class Words:
    """All printed text of one language, by dotted key such as ``job.where``.

    ``words("page.of", n=2, m=9)`` gives the text with its placeholders filled.
    Raises SheetError for a key that is not there or a placeholder without a fact.
    """

    table: Mapping[str, str]
    language: str = "en"

    def __call__(self, key: str, **facts: object) -> str:
        text = self.table.get(key)
        if text is None:
            raise SheetError(
                f"word {key}", f"not in the catalogue {self.language!r}", "add it to the words file"
            )
        try:
            return text.format_map(facts) if facts or "{" in text else text
        except (KeyError, IndexError, ValueError) as error:
            raise SheetError(f"word {key}", f"no fact for placeholder {error}") from error

    def __contains__(self, key: str) -> bool:
        return key in self.table

    def count(self, key: str, number: int, **facts: object) -> str:
        """The text for a number of things: ``key.one`` or ``key.other``, with ``{n}``."""
        return self(f"{key}.one" if number == 1 else f"{key}.other", n=number, **facts)


@lru_cache(maxsize=8)
def load_words(language: str = "en") -> Words:
    """The catalogue of a language, from ``layouts/words/LANGUAGE.yaml`` and its parts.

    Raises SheetError where there is no such language.
    """
    import yaml

    from renderer import resources

    file = resources.layouts() / "words" / f"{language}.yaml"
    if not file.is_file():
        known = sorted(path.stem for path in file.parent.glob("*.yaml") if "." not in path.stem)
        raise SheetError(f"language {language!r}", "there are no words for it", f"known: {known}")
    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    table: dict[str, str] = {}
    for each in (file, *_parts(file)):
        table.update(_flat(yaml.load(each.read_text(encoding="utf-8"), Loader=loader), ""))
    return Words(MappingProxyType(table), language)


def _parts(file: Path) -> Iterator[Path]:
    """The parts of a catalogue in files of their own, such as ``en.cautions.yaml``."""
    for part in sorted(file.parent.glob(f"{file.stem}.*.yaml")):
        if part.stem.split(".", 1)[1] not in OTHER_ROOMS:
            yield part


def _flat(nested: Mapping[str, object], prefix: str) -> Iterator[tuple[str, str]]:
    for key, value in nested.items():
        dotted = f"{prefix}{key}"
        if isinstance(value, Mapping):
            yield from _flat(value, f"{dotted}.")
        else:
            yield dotted, str(value)
