"""The catalogues: each language has English's keys, its placeholders and the plurals it needs."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
import yaml

from renderer import resources
from renderer.language import ENGLISH, WordError, languages, load_words, require_language
from renderer.language.words import PARTS, PLURALS, read_table
from renderer.text import missing

FOLDER = resources.layouts() / "words"
FILES = sorted(file.name.removeprefix(ENGLISH) for file in FOLDER.glob(f"{ENGLISH}*.yaml"))
OTHERS = [each for each in languages() if each != ENGLISH]
COUNTED = 1000  # more of anything is not counted on a sheet
FACES = ("regular", "bold", "italic", "condensed", "condensed_bold")


@cache
def table(language: str, end: str) -> dict[str, str]:
    return read_table(FOLDER / f"{language}{end}")


def flat(nested: dict[str, Any], prefix: str = "") -> Iterator[tuple[str, str]]:
    for key, value in nested.items():
        if isinstance(value, dict):
            yield from flat(value, f"{prefix}{key}.")
        else:
            yield f"{prefix}{key}", value


def family(key: str) -> str:
    """A key without its plural form."""
    stem, _, form = key.rpartition(".")
    return stem if form in PLURALS else key


def plurals(texts: dict[str, str]) -> set[str]:
    return {family(key) for key in texts if key.endswith(".other")}


def fields(text: str) -> set[str]:
    return set(re.findall(r"{([^{}]*)}", text))


def test_there_are_languages_to_look_at() -> None:
    assert {"de", "es", "fr"} <= set(OTHERS)
    assert ".yaml" in FILES and len(FILES) > 5


def test_a_list_where_a_text_belongs_is_named(tmp_path: Path) -> None:
    file = tmp_path / "xx.yaml"
    file.write_text("job:\n  where: [north, south]\n", encoding="utf-8")
    with pytest.raises(WordError, match=r"xx\.yaml: job\.where: it is a list; write one text"):
        read_table(file)


def test_a_table_is_what_the_values_of_its_file_are() -> None:
    file = FOLDER / "en.yaml"
    nested = yaml.load(file.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
    assert read_table(file) == dict(flat(nested))


@pytest.mark.parametrize("end", FILES)
@pytest.mark.parametrize("language", OTHERS)
def test_each_language_has_the_keys_and_placeholders_of_english(language: str, end: str) -> None:
    english, other = table(ENGLISH, end), table(language, end)
    counted = plurals(english)
    assert {family(key) for key in other} == {family(key) for key in english}
    for key, text in other.items():
        told = english[f"{family(key)}.other"] if family(key) in counted else english[key]
        assert (
            fields(text) <= fields(told) | {"n"}
            if family(key) in counted
            else (fields(text) == fields(told))
        ), key


@pytest.mark.parametrize("end", FILES)
@pytest.mark.parametrize("language", [ENGLISH, *OTHERS])
def test_the_plural_forms_that_a_language_needs_are_there(language: str, end: str) -> None:
    numbers = load_words(language).numbers
    needed = {numbers.form(n) for n in range(COUNTED)}
    texts = table(language, end)
    for key in plurals(texts):
        assert {form for form in needed if f"{key}.{form}" not in texts} == set(), key


@pytest.mark.parametrize("language", [ENGLISH, *OTHERS])
def test_the_faces_have_every_character(language: str) -> None:
    for end in FILES:
        for key, text in table(language, end).items():
            for face in FACES:
                assert not missing(text.replace("\n", ""), face), (end, key, face)


@pytest.mark.parametrize("language", [ENGLISH, *OTHERS])
def test_no_key_stands_twice(language: str) -> None:
    """A second one would silently take the place of the first."""
    import yaml

    for end in FILES:
        node = yaml.compose((FOLDER / f"{language}{end}").read_text("utf-8"), yaml.SafeLoader)
        open_nodes = [node]
        while open_nodes:
            each = open_nodes.pop()
            if isinstance(each, yaml.MappingNode):
                keys = sorted(key.value for key, _ in each.value)
                assert all(a != b for a, b in pairwise(keys)), (end, keys)
                open_nodes += [value for _, value in each.value]


@pytest.mark.parametrize("language", [ENGLISH, *OTHERS])
def test_a_catalogue_says_whether_it_is_a_draft(language: str) -> None:
    words = load_words(language)
    assert words["language.state"] in ("complete", "draft")
    assert words.is_draft == (words["language.state"] == "draft")
    assert load_words(language, "drawing").is_draft == words.is_draft
    assert words["language.name"]


def test_english_is_complete() -> None:
    assert not load_words(ENGLISH).is_draft


@pytest.mark.parametrize("language", OTHERS)
def test_a_translation_is_one(language: str) -> None:
    """Most texts with several words are other ones than in English."""
    for end in FILES:
        english, other = table(ENGLISH, end), table(language, end)
        told = [key for key in english if len(re.findall(r"[a-z]{3,}", english[key])) > 3]
        same = [key for key in told if english[key] == other.get(key)]
        assert len(same) <= 0.02 * len(told), same


def test_parts_are_files() -> None:
    for part in PARTS:
        assert (FOLDER / f"{ENGLISH}.{part}.yaml").is_file()
        assert Path(FOLDER / f"{ENGLISH}.{part}.yaml").name[len(ENGLISH) :] in FILES


def test_an_unknown_language_is_told_with_those_there_are() -> None:
    with pytest.raises(WordError, match=r"language 'xx': no translation for it; known: .*en"):
        require_language("xx")
