"""Each text of the findings and of drawings can be reached from the code that prints it."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import renderer
from renderer import resources
from renderer.checks.registry import RULES
from renderer.language.words import PLURALS, read_table

SOURCES = {
    "findings": ("checks/*.py", "findings_text.py", "language/show.py", "commands/*.py"),
    "drawing": ("drawing/*.py",),
}
# Keys put together from parts that a reader of the source does not see side by side.
PUT_TOGETHER = {
    "findings": {
        "list.*",  # Words.listed
        "poorly-found.*-help",
        *(f"{rule}.{text}" for rule in RULES for text in ("cure", "cure-lying", "why")),
        *(
            f"wire-too-near-{what}.{end}"
            for what in ("hazard", "side")
            for end in ("obstacle", "side")
        ),
    },
    "drawing": set(),
}


def told(part: str) -> set[str]:
    """Texts of the source that prints a part and could be keys; ``*`` stands for what is put in."""
    found: set[str] = set()
    package = Path(renderer.__file__).parent
    for path in (path for source in SOURCES[part] for path in package.glob(source)):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                found.add(node.value)
            elif isinstance(node, ast.JoinedStr):
                parts = (
                    each.value if isinstance(each, ast.Constant) else "*" for each in node.values
                )
                found.add("".join(map(str, parts)))
    # a pattern without a first word of its own would match every key
    return {text for text in found if "*" not in text or re.match(r"[a-z-]{3,}\.", text)}


def stem(key: str) -> str:
    head, _, end = key.rpartition(".")
    return head if end in PLURALS else key


@pytest.mark.parametrize("part", SOURCES)
def test_no_text_is_left_that_nothing_prints(part: str) -> None:
    texts = told(part) | PUT_TOGETHER[part]
    patterns = [re.compile(re.escape(text).replace(r"\*", ".+")) for text in texts]
    file = resources.layouts() / "words" / f"en.{part}.yaml"
    keys = [key for key in read_table(file) if stem(key) not in texts and key not in texts]
    assert [key for key in keys if not any(each.fullmatch(key) for each in patterns)] == []


def test_a_text_that_nothing_prints_is_seen() -> None:
    assert "label.north" in told("drawing")
    assert not {"label.south", "legend.nothing"} & told("drawing")
