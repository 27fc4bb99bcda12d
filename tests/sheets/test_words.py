"""The catalogue: every key that the code asks for is there, and every key there is asked for."""

from __future__ import annotations

import ast
import re
from functools import cache
from pathlib import Path
from typing import get_args

import pytest

import renderer
from renderer import resources
from renderer.language import WordError, Words, load_words
from renderer.language.kinds import KEYS, kind_words
from renderer.language.words import read_table
from renderer.plan.kinds import SETBACK_KINDS, FeatureKind
from renderer.plan.machine import Machine
from renderer.plan.manual import figure_groups
from renderer.sheets import load_layout
from renderer.sheets.blocks import BLOCKS
from renderer.trade import CROSSING_TOOLS, TOOLS

# The rooms that print words.
SOURCES = tuple(
    path
    for room in ("sheets", "batch", "teaching")
    for path in (Path(renderer.__file__).parent / room).rglob("*.py")
)
CALLS = {"words", "count"}


def asked() -> set[str]:
    """Patterns of the keys in calls of ``words(...)`` and ``words.count(...)``; ``*`` is a part."""
    found: set[str] = set()
    for path in SOURCES:
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call) and node.args and _is_lookup(node.func):
                found |= _patterns(node.args[0], node.func)
    return found


def _is_lookup(function: ast.expr) -> bool:
    name = function.attr if isinstance(function, ast.Attribute) else getattr(function, "id", "")
    return name in CALLS


def _patterns(key: ast.expr, function: ast.expr) -> set[str]:
    counted = isinstance(function, ast.Attribute) and function.attr == "count"
    texts = {_text(each) for each in _choices(key)} - {""}
    return {text + end for text in texts for end in ((".one", ".other") if counted else ("",))}


def _choices(key: ast.expr) -> list[ast.expr]:
    return [key.body, key.orelse] if isinstance(key, ast.IfExp) else [key]


def _text(key: ast.expr) -> str:
    if isinstance(key, ast.Constant):
        return str(key.value)
    if isinstance(key, ast.JoinedStr):
        return "".join(v.value if isinstance(v, ast.Constant) else "*" for v in key.values)
    return ""


@cache
def _compiled(pattern: str) -> re.Pattern[str]:
    return re.compile(re.escape(pattern).replace(r"\*", ".+"))


def matches(pattern: str, key: str) -> bool:
    return _compiled(pattern).fullmatch(key) is not None


NO_HEADING = ("job", "plan", "survey-table")  # each has a head of its own


# Keys that reach a lookup through a name, with where that name is set.
BY_NAME = {
    "language.*", "notice.draft", "list.*",  # what a catalogue says of itself
    "wire.peg-range", "wire.peg-round",  # wire_list: the key is chosen a line before
    "peg.tape", "peg.tape-peg", "peg.tape-place",  # setting_out: by where the tape is held
    "pack.length", "pack.length-rest", "pack.work", "pack.work-rest",  # pack_jobs: the day's hours
    "document.*", "state.*",  # layout, pages: a document of one's own need not be in the catalogue
}  # fmt: skip


def test_each_key_that_is_asked_for_is_there() -> None:
    words = load_words()
    for pattern in asked() | BY_NAME:
        assert any(matches(pattern, key) for key in words.table), pattern


def test_each_key_is_asked_for() -> None:
    patterns = asked() | BY_NAME
    kinds = kind_words(read_table(resources.layouts() / "words" / "en.kinds.yaml"))
    keys = [key for key in load_words().table if key not in kinds]
    assert [key for key in keys if not any(matches(p, key) for p in patterns)] == []
    # forms of a kind that only drawings use are in no call here
    forms = {each for keys in KEYS.values() for each in keys} - {"side", "obstacle", "feature"}
    assert {each for each in forms if not any(matches(p, f"{each}.bed") for p in patterns)} == {
        "short"
    }


def test_families_of_keys_are_complete() -> None:
    words = load_words()
    needed = [f"kind.{kind}" for kind in (*SETBACK_KINDS,)]
    needed += [f"heading.{name}" for name in BLOCKS if name not in NO_HEADING]
    needed += [f"item.{key}" for key in (*TOOLS, *CROSSING_TOOLS)]
    needed += [f"signal.{signal}" for signal in ("DANGER", "WARNING", "CAUTION", "NOTICE")]
    assert [key for key in needed if key not in words] == []


def test_a_missing_key_and_a_missing_fact_are_loud() -> None:
    words = Words({"greet": "Hello {name}"}, "en")
    assert words("greet", name="Ann") == "Hello Ann"
    with pytest.raises(WordError, match="word greet: no fact for placeholder 'name'"):
        words("greet")
    with pytest.raises(WordError, match="word part: not in the catalogue 'en'"):
        words("part")


def test_counts_have_a_form_for_one_and_one_for_others() -> None:
    words = Words({"peg.one": "{n} peg", "peg.other": "{n} pegs"}, "en")
    assert [words.count("peg", n) for n in (0, 1, 2)] == ["0 pegs", "1 peg", "2 pegs"]


def test_an_unknown_language_names_those_there_are() -> None:
    with pytest.raises(WordError, match=r"language 'xx': no translation for it; .*en"):
        load_words("xx")


def test_no_readable_sentence_stands_in_the_code() -> None:
    """Two words in a row are for readers; errors about the user's own files stand in the code."""
    allowed = {"errors.py", "class_layouts.py", "layout.py", "flow.py", "glyphs.py"}
    allowed |= {"logo.py", "logo_plain.py", "logo_svg.py"}
    for path in SOURCES:
        if path.name in allowed or "sheets" not in path.parts:
            continue
        tree = ast.parse(path.read_text("utf-8"))
        docs = {
            ast.get_docstring(node, clean=False)
            for node in ast.walk(tree)
            if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
        }
        for node in ast.walk(tree):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                text = node.value
                known = text in docs or text in get_args(FeatureKind)
                assert known or not re.search(r"[A-Za-z]{3,} [A-Za-z]{2,}", text), text


def test_the_layout_s_language_is_that_of_the_catalogue() -> None:
    assert load_words(load_layout("crew-work-order").language).language == "en"


@pytest.mark.parametrize("language", ["en", "de", "es", "fr"])
def test_the_figures_of_a_machine_have_words_that_are_not_their_keys(language: str) -> None:
    words = load_words(language, "findings")
    for key in figure_groups(Machine):
        word = words(f"figure.{key}")
        assert "_" not in word, word
    assert {key for key in words if key.startswith("figure.")} == {
        f"figure.{key}" for key in figure_groups(Machine)
    }
