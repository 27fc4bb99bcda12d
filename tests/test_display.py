"""What a notebook shows, as well-formed pages see it; and the examples of the calls are run."""

from __future__ import annotations

import doctest
from pathlib import Path
from xml.etree import ElementTree

import pytest

import renderer
from renderer.display import Shown
from renderer.findings_text import FindingText
from tests.plans import ROOT

NASTY = FindingText("r", "warn", "<b>Bed & breakfast</b>", 'say "x"', "", None, "", None, "", {})


def test_the_examples_of_the_calls_run(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    found = doctest.testmod(renderer)
    assert found.failed == 0 and found.attempted > 10


def test_a_notebook_gets_the_drawing_and_the_findings() -> None:
    svg = '<?xml version="1.0"?>\n<svg xmlns="http://www.w3.org/2000/svg" width="1mm"/>\n'
    shown = Shown("T-1 · <Rear>", svg, (NASTY,), "de")
    assert shown._repr_svg_() == svg
    page = ElementTree.fromstring(shown._repr_html_())
    assert page.get("lang") == "de"
    assert "".join(page.find("p").itertext()) == "T-1 · <Rear>"  # type: ignore[union-attr]
    assert page.find("{http://www.w3.org/2000/svg}svg") is not None
    cells = ["".join(cell.itertext()) for cell in page.iter("td")]
    assert cells == ["Warnung", "<b>Bed & breakfast</b>", 'say "x"']
    assert str(shown) == "T-1 · <Rear>\nwarn <b>Bed & breakfast</b>"


def test_without_findings_there_is_no_table() -> None:
    assert "<table" not in Shown("T-1", "<svg/>", ())._repr_html_()


def test_every_call_for_scripts_is_told_in_the_readme_or_has_an_example() -> None:
    page = (Path(ROOT) / "README.md").read_text("utf-8")
    calls = [name for name in renderer.__all__ if name[0].islower()]
    untold = [name for name in calls if name not in page and not getattr(renderer, name).__doc__]
    assert untold == []
