"""Keys put in one order, by a reader that is not ours: PyYAML's own loader, and line by line."""

from __future__ import annotations

import random
from collections import Counter
from pathlib import Path
from typing import Any

import pytest
import yaml

from renderer.cli import main
from renderer.plan import digest, is_day_file, load, loads
from renderer.plan.key_order import OrderError, in_order
from tests.plans import ROOT, example_plans

FILES = sorted([*ROOT.glob("demo/**/*.plan.yaml"), *ROOT.glob("demo/*.day.yaml"), *example_plans()])

MIXED = """\
# A garden of nobody
# at all
wire:
  spools: [30, 30]   # two of them
  # 0.75 is what the van has
  conductor_mm2: 0.75

# where the machine stands
loops:
  - dock: {at: [3, 0.3]}
    name: main   # the only one
# what is mown
lawns:
- outline: [[0, 0, hedge], [12, 0, hedge],
            [12, 8, hedge], [0, 8, hedge]]
  name: Rear
obstacles:
  - {kind: bed, circle: {radius: 0.50, at: [8, 4]}, name: Bed}
machine:
  setback: {hedge: 0.30, bed: 0.3}
  # from the label
  label: Any
  loop_max: 400
  passage_min: 1.0

  # seen from above
  lay_direction: anticlockwise
job: {number: "007"}
plan: 1
# the end
"""


def texts() -> list[Any]:
    return [pytest.param(path, id=path.name) for path in FILES]


def remarks(text: str) -> Counter[str]:
    return Counter(line[line.index("#") :].rstrip() for line in text.splitlines() if "#" in line)


@pytest.mark.parametrize("path", texts())
def test_each_file_says_the_same_with_all_its_remarks_and_a_second_time_nothing_changes(
    path: Path,
) -> None:
    text = path.read_text("utf-8")
    done = in_order(text)
    assert yaml.safe_load(done) == yaml.safe_load(text)
    assert remarks(done) == remarks(text)
    assert sorted(done) == sorted(text), "nothing is written anew"
    assert in_order(done) == done
    if not is_day_file(path):
        assert digest(loads(done, str(path), folder=path.parent)) == digest(load(path))


@pytest.mark.parametrize("path", texts())
def test_keys_shuffled_come_back_in_the_order_of_the_file(path: Path) -> None:
    """The entries at the left margin, with what stands above them, in any order."""
    done = in_order(path.read_text("utf-8"))
    lines = done.splitlines(keepends=True)
    tops = [n for n, line in enumerate(lines) if line[0].isalpha()]
    heads = []
    for top in tops:
        while top and lines[top - 1].startswith("#"):
            top -= 1
        heads.append(top)
    heads[0] = tops[0]
    entries = ["".join(lines[a:b]) for a, b in zip(heads, [*heads[1:], None], strict=True)]
    random.Random(7).shuffle(entries)
    shuffled = "".join(lines[: heads[0]]) + "".join(entries)
    if not lines[-1].startswith("#") and "\n\n" not in done:
        assert in_order(shuffled) == done
    else:
        assert yaml.safe_load(in_order(shuffled)) == yaml.safe_load(done)


def test_remarks_go_along_with_the_key_that_they_stand_above() -> None:
    done = in_order(MIXED)
    lines = done.splitlines()
    assert lines[:3] == ["# A garden of nobody", "# at all", "plan: 1"]
    assert lines[-1] == "# the end"
    for remark, key in (
        ("# where the machine stands", "loops:"),
        ("# what is mown", "lawns:"),
        ("  # 0.75 is what the van has", "  conductor_mm2: 0.75"),
        ("  # from the label", "  label: Any"),
        ("  # seen from above", "  lay_direction: anticlockwise"),
    ):
        assert lines[lines.index(remark) + 1] == key
    tops = [line.partition(":")[0] for line in lines if line[0:1].isalpha()]
    assert tops == ["plan", "job", "machine", "lawns", "obstacles", "loops", "wire"]
    assert "  - {name: Bed, kind: bed, circle: {at: [8, 4], radius: 0.50}}" in lines
    assert "  - name: main   # the only one" in lines and "    dock: {at: [3, 0.3]}" in lines
    assert "- name: Rear" in lines
    assert digest(loads(done)) == digest(loads(MIXED))
    assert in_order(done) == done


def test_lines_that_end_as_on_windows_stay_so() -> None:
    done = in_order(MIXED.replace("\n", "\r\n"))
    assert done.replace("\r\n", "\n") == in_order(MIXED) and done.count("\r\n") == done.count("\n")


def test_what_would_change_is_refused() -> None:
    with pytest.raises(OrderError):
        in_order(MIXED.replace("# the end", "..."))


def test_the_command_writes_in_place_checks_and_pipes(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "a.plan.yaml"
    path.write_text(MIXED)
    assert main(["fmt", "--check", str(path)]) == 1
    assert "in another order" in capsys.readouterr().err and path.read_text() == MIXED
    assert main(["fmt", str(path)]) == 0
    assert path.read_text() == in_order(MIXED)
    assert main(["fmt", "--check", str(path)]) == 0
    path.write_text(MIXED.replace("kind: bed", "kind: bde"))
    assert main(["fmt", str(path)]) == 2
    assert "obstacles[0].kind" in capsys.readouterr().err
    assert path.read_text() == MIXED.replace("kind: bed", "kind: bde")
    assert main(["fmt", str(tmp_path / "a.json")]) == 2
