"""The benchmarks run and print what they promise; no time is asserted."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

from benchmarks.measure import exponent, paired, ratio
from benchmarks.table import Table, figure
from tests.plans import ROOT

SECTIONS = ("Rendering", "Stages, CPU ms", "Cold start", "Growth", "Slips in the notebook")


@pytest.fixture(scope="module")
def printed() -> str:
    done = subprocess.run(
        [sys.executable, "-m", "benchmarks", "--quick", "--rounds", "1"],
        cwd=ROOT,
        env=os.environ,
        capture_output=True,
        text=True,
        check=True,
        timeout=300,
    )
    return done.stdout


def rows(printed: str, section: str) -> list[list[str]]:
    """The rows of a section below its head, parted where two blanks stand."""
    lines = printed.split(f"{section}\n{'=' * len(section)}\n")[1].split("\n\n")[0].splitlines()
    return [[cell for cell in line.split("  ") if cell] for line in lines[1:]]


def test_each_section_has_rows_as_wide_as_its_head(printed: str) -> None:
    for section in SECTIONS:
        table = rows(printed, section)
        assert table
        assert len({len(row) for row in table if row[0] != "all"}) == 1


def test_the_plain_canvas_is_what_ratios_go_by(printed: str) -> None:
    table = {row[0]: row for row in rows(printed, "Rendering")}
    assert float(table["plain canvas"][1]) == 1.0
    assert {"pegline, rendering stage", "pegline, plan file to PDF"} <= table.keys()
    assert all(float(row[1]) > 0 for row in table.values())


def test_what_each_file_holds_is_told(printed: str) -> None:
    table = {row[0]: row[-1].strip() for row in rows(printed, "Rendering")}
    assert table["plain canvas"] == "text, no tags, 0 bookmarks, 0 links"
    ours = table["pegline, plan file to PDF"]
    assert ours.startswith("text, no tags, ") and " 0 bookmarks" not in ours


def test_every_stage_is_told(printed: str) -> None:
    names = [row[0].strip() for row in rows(printed, "Stages, CPU ms")]
    assert names == ["read", "lay", "check", "draw", "place labels", "pages", "output", "all"]


def test_the_exponent_is_the_slope_between_logarithms() -> None:
    sizes = [10.0, 100.0, 1000.0]
    assert exponent(sizes, [3.0 * size**1.5 for size in sizes]) == pytest.approx(1.5)


def test_ratios_are_of_the_same_round() -> None:
    times = {"one": [2.0, 40.0, 6.0], "other": [1.0, 20.0, 2.0]}
    assert ratio(times, "one", "other") == 2.0


def test_every_job_runs_once_a_round_and_once_before() -> None:
    runs: list[str] = []
    times = paired({name: lambda name=name: runs.append(name) for name in "ab"}, 3)
    assert [len(each) for each in times.values()] == [3, 3]
    assert runs == ["a", "b", "a", "b", "b", "a", "a", "b"]


def test_a_table_lines_its_figures_up_and_goes_into_markdown() -> None:
    table = Table("Sizes", ("thing", "mm"), (("peg", "1"), ("a long one", "12")), ("Left out: x.",))
    assert table.text().splitlines()[2:5] == ["thing       mm", "peg          1", "a long one  12"]
    assert "| peg | 1 |" in table.markdown()
    assert table.markdown().rstrip().endswith("Left out: x.")


@pytest.mark.parametrize(("value", "text"), [(0.3456, "0.35"), (12.34, "12.3"), (1234.5, "1,234")])
def test_figures_have_the_places_that_their_size_deserves(value: float, text: str) -> None:
    assert figure(value) == text
