"""What holds of every garden: written and read it is the same, drawn twice it is the same, and
check refuses what print refuses. ``PEGLINE_EXAMPLES_N=3000 pytest tests/fuzz/test_properties.py``
looks at more of them.
"""

from __future__ import annotations

import contextlib
import io
import json
from pathlib import Path
from random import Random
from typing import Any

import pytest

import renderer
from renderer.cli import main
from renderer.plan import dump, loads
from tests.ground.gardens import plan_of, some_gardens

pytestmark = pytest.mark.own_work

EVERY = 10  # of the gardens are drawn or printed, the simplest ones first; the rest only read
WORDS = (
    *(
        "Bed 7",
        "日本",
        "\U0001f600",
        "ä" * 60,
        "W" * 100,
        "x" * 1_999,
        "a b " * 499,
        "\u0301",
        "½ ²",
    ),
    *("<b>&amp;", "%d {name}", "'\"", "ﬁ", "Ω", "−", "\u00ad", "\u200b", "\u202f", "Ж", "ß", "—"),
)
PLACES: tuple[tuple[str | int, ...], ...] = (
    *(("job", key) for key in ("number", "title", "revision", "crew", "access")),
    *(("lawns", 0, "name"), ("loops", 0, "name"), ("machine", "label"), ("job", "site", 0)),
    *(("job", "notes", 0), ("features", 0, "name"), ("features", 0, "note")),
)


def test_what_is_written_is_read_again() -> None:
    for text in some_gardens():
        plan = plan_of(text)
        assert plan is not None
        assert loads(json.dumps(dump(plan)), "again.json") == plan, text


def test_drawn_twice_is_the_same() -> None:
    for text in simplest():
        one, other = (renderer.draw(loads(text, "garden.json")) for _ in range(2))
        assert one == other, text


def test_check_refuses_what_print_refuses(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    refused = 0
    for index, text in enumerate(simplest()):
        held = with_words(json.loads(text), Random(index))
        Path("g.json").write_text(json.dumps(held), "utf-8")
        checked, said = answer("check", "g.json")
        printed, told = answer("print", "g.json", "--draft", "-o", "g.pdf")
        assert (checked == 2) == (printed == 2), (held["job"], said, told)
        assert "bug in pegline" not in said + told
        refused += checked == 2
    assert refused


def simplest() -> list[str]:
    """A share of the gardens."""
    found = sorted(some_gardens(), key=len)
    return found[: len(found) // EVERY]


def with_words(held: dict[str, Any], chance: Random) -> dict[str, Any]:
    """The plan of a garden with odd texts in a few places."""
    held["job"] |= {"site": ["Mill Cottage"], "notes": ["Keep the gate shut."]}
    held["features"] = [{"name": "Tap", "kind": "socket", "at": [1, 1]}]
    for place in chance.sample(PLACES, chance.choice((1, 1, 3))):
        inside: Any = held
        for step in place[:-1]:
            inside = inside[step]
        inside[place[-1]] = chance.choice(WORDS)
    return held


def answer(*arguments: str) -> tuple[int, str]:
    """Exit code and what is said on standard error."""
    told = io.StringIO()
    out = io.TextIOWrapper(io.BytesIO(), "utf-8")
    with contextlib.redirect_stderr(told), contextlib.redirect_stdout(out):
        return main(list(arguments)), told.getvalue()
