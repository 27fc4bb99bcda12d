"""A path without end in a file is told short: found by changed files, 21,000 letters of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from renderer.plan import PlanError, loads
from renderer.sheets import load_layout
from tests.plans import ROOT

LONG = ("x" * 20_000, "a/b" * 7_000)


def told(error: PlanError) -> list[str]:
    return [str(each) for each in error.all]


@pytest.mark.parametrize("path", LONG)
def test_a_path_of_a_file_is_told_short(path: str, tmp_path: Path) -> None:
    lawn = (ROOT / "demo" / "practice-lawn.plan.yaml").read_text("utf-8")
    with pytest.raises(PlanError) as plan:
        loads(lawn.replace("machine: machine.yaml", f"machine: {path}"), "a.plan.yaml", tmp_path)
    pack = (ROOT / "layouts" / "day-pack.yaml").read_text("utf-8")
    layout_file = tmp_path / "pack.yaml"
    layout_file.write_text(pack.replace("each: day-carry", f"each: {path}"), "utf-8")
    with pytest.raises(PlanError) as layout:
        load_layout(str(layout_file))
    for refused, what in ((plan, "machine file"), (layout, "the layout '")):
        lines = told(refused.value)
        assert any(what in line for line in lines)
        assert max(map(len, lines)) < 1_000
