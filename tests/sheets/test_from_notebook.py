"""A garden of 25 points that was only taped, from its notebook to the sheets of the crew.

The notebooks are those of ``python -m benchmarks --only survey``: three ties and the sides, noise
of 3 cm, read to the centimetre, two readings a metre out.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest
import shapely

import renderer
from benchmarks.slips import HOUSES, Garden, garden
from renderer.cli import main
from renderer.plan import load
from renderer.primitives import Line, Text
from tests.pdf_pages import read_pages

SHEETS = "carry"


def notebook(made: Garden) -> str:
    """The table as it was written down: a row a point, a column a tape, the tape to the next."""
    reads = {each.of: each.value for each in made.network.readings}
    points = list(made.true)
    rows = ["point,A,B,C,next,kind"]
    for index, name in enumerate(points):
        following = points[(index + 1) % len(points)]
        cells = [f"{reads[house, name]:.2f}" for house in "ABC"]
        rows.append(",".join([name, *cells, f"{reads[name, following]:.2f}", "hedge"]))
    return "\n".join(rows) + "\n"


def taken(folder: Path, made: Garden) -> Path:
    """The plan that the first command makes of the notebook."""
    (folder / "garden.csv").write_text(notebook(made), "utf-8")
    fixed = [
        part
        for name, (x, y) in zip("ABC", HOUSES[3], strict=True)
        for part in ("--fixed", f"{name}={x},{y}")
    ]
    plan = folder / "garden.plan.yaml"
    source = str(folder / "garden.csv")
    assert main(["new", "--from", source, *fixed, "--side", "left", "-o", str(plan)]) == 0
    return plan


@pytest.mark.parametrize("seed", [3, 8])
def test_two_commands_make_a_crew_sheet_of_a_notebook(tmp_path: Path, seed: int) -> None:
    made = garden(seed, 3, True, "a whole metre")
    plan = taken(tmp_path, made)
    pdf = tmp_path / "sheet.pdf"
    assert main(["print", str(plan), "--layout", SHEETS, "-o", str(pdf)]) == 0
    text = "\n".join(page.text for page in read_pages(pdf.read_bytes()))
    for _, point in made.slipped:
        assert f"The place of {point} is in question" in text
    surveyed = load(plan).survey.adjusted
    assert len(surveyed) == 25
    for each in surveyed:
        if each.state == "controlled":  # four deviations hold all but one point in 3,000
            assert math.dist(each.at, made.true[each.name]) < 4.0 * each.major


def test_names_of_a_crowded_network_keep_clear_of_each_other_and_of_tapes(tmp_path: Path) -> None:
    made = garden(3, 3, True, "a whole metre")
    document = renderer.compose_sheets([load(taken(tmp_path, made))], layout="survey-report")
    items = document.pages[0].items
    tapes = shapely.MultiLineString([i.points for i in items if _is_tape(i)])
    names = {"A", "B", "C", *made.true}
    boxes = [
        shapely.box(
            i.at[0] - 0.17 * i.size_pt * len(i.text) / 2, i.at[1] - 0.24 * i.size_pt,
            i.at[0] + 0.17 * i.size_pt * len(i.text) / 2, i.at[1],
        )
        for i in items
        if isinstance(i, Text) and i.text in names and i.anchor == "middle"
    ]  # fmt: skip
    assert len(boxes) == len(names)
    tree = shapely.STRtree(boxes)
    assert len(tree.query(boxes, "intersects")[0]) == len(boxes)  # each meets itself alone
    crossed = [box for box in boxes if tapes.crosses(box)]
    assert len(crossed) <= len(boxes) / 4


def _is_tape(item: object) -> bool:
    return isinstance(item, Line) and item.role in ("taped", "taped-suspect")
