"""The day file: read with its plans, and answered with one clear line where it is wrong."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from renderer.plan import PlanError, is_day_file, load_day

PLAN = """
plan: 1
job: {{number: {number}}}
machine: {{label: M, setback: {{wall: 0.3}}, passage_min: 1, loop_max: 400}}
lawns: [{{name: L, outline: [[0, 0, wall], [9, 0, wall], [9, 6, wall], [0, 6, wall]]}}]
loops: [{{dock: {{at: [4, 0]}}}}]
wire: {{{size}, spools: [100]}}
"""
DAY = """day: 1
crew: Van 1
date: 2026-06-09
start: 07:30
jobs:
  - one.plan.yaml
  - {plan: two.plan.yaml, drive: 25}
stock: {spools: [100, 60 ft], pegs: 300}
"""


def written(folder: Path, text: str, sizes: tuple[str, str] = ("conductor_mm2: 0.75",) * 2) -> Path:
    for name, size in zip(("one", "two"), sizes, strict=True):
        plan = PLAN.format(number=name, size=size)
        (folder / f"{name}.plan.yaml").write_text(plan, encoding="utf-8")
    path = folder / "today.day.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def error(folder: Path, text: str, **more: tuple[str, str]) -> str:
    with pytest.raises(PlanError) as caught:
        load_day(written(folder, text, **more))
    return str(caught.value).replace(f"{folder}/", "")


def test_a_day_is_read_with_its_plans(tmp_path: Path) -> None:
    day, plans = load_day(written(tmp_path, DAY))
    assert [plan.job.number for plan in plans] == ["one", "two"]
    assert (day.crew, day.date, day.start) == ("Van 1", date(2026, 6, 9), 7 * 60 + 30)
    assert [job.drive for job in day.jobs] == [0, 25]
    assert day.stock.spools == pytest.approx((100, 18.288))
    assert day.stock.pegs == 300 and day.stock.connectors is None


def test_the_name_tells_a_day_from_a_plan() -> None:
    assert is_day_file("x/today.day.yaml") and is_day_file("TODAY.DAY.JSON")
    assert not is_day_file("today.plan.yaml") and not is_day_file("day.yaml")


@pytest.mark.parametrize(
    ("was", "now", "told"),
    [
        ("crew:", "krew:", "today.day.yaml:2: krew: this key is not known; did you mean 'crew'?"),
        ("07:30", "25:10", "today.day.yaml:4: start: '25:10' is not a time of day; write hours"),
        ("two.plan", "six.plan", "today.day.yaml:7: jobs[1].plan: the plan 'six.plan.yaml' cannot"),
        ("two.plan", "one.plan", "today.day.yaml:7: jobs[1].plan: this plan is already in"),
        ("day: 1", "day: 2", "today.day.yaml:1: day: this program reads day files of version 1"),
        ("pegs: 300", "pegs: x", "today.day.yaml:8: stock.pegs: 'x' is not a number"),
        ("drive: 25", "drive: -5", "today.day.yaml:7: jobs[1].drive: "),
    ],
)
def test_what_is_wrong_is_told_with_its_place(
    tmp_path: Path, was: str, now: str, told: str
) -> None:
    assert error(tmp_path, DAY.replace(was, now)).startswith(told)


def test_a_mistake_in_a_plan_names_the_plan(tmp_path: Path) -> None:
    path = written(tmp_path, DAY)
    plan = tmp_path / "two.plan.yaml"
    plan.write_text(plan.read_text().replace("label: M", "lable: M"), encoding="utf-8")
    with pytest.raises(PlanError) as caught:
        load_day(path)
    assert str(caught.value).startswith(f"{plan}:4: machine.lable: this key is not known")


def test_spools_have_to_say_their_wire_where_jobs_use_two(tmp_path: Path) -> None:
    sizes = ("conductor_mm2: 0.75", "conductor_awg: 18")
    told = error(tmp_path, DAY, sizes=sizes)
    assert told.startswith("today.day.yaml:8: stock.spools: the jobs one and two do not use the")
    two = "wires: [{conductor_mm2: 0.75, spools: [100]}, {conductor_awg: 18, spools: [100]}]"
    day, _ = load_day(written(tmp_path, DAY.replace("spools: [100, 60 ft]", two), sizes=sizes))
    assert [wire.spools for wire in day.stock.wires] == [(100.0,), (100.0,)]


def test_one_wire_stands_in_the_stock_once(tmp_path: Path) -> None:
    twice = "wires: [{conductor_mm2: 1.0, spools: [9]}, {conductor_mm2: 1, spools: [8]}]"
    told = error(tmp_path, DAY.replace("spools: [100, 60 ft]", twice))
    assert told.startswith("today.day.yaml:8: stock.wires[1]: this wire is listed twice")


def test_two_jobs_of_a_day_have_numbers_of_their_own(tmp_path: Path) -> None:
    path = written(tmp_path, DAY)
    plan = tmp_path / "two.plan.yaml"
    plan.write_text(plan.read_text().replace("number: two", "number: one"), encoding="utf-8")
    with pytest.raises(PlanError) as caught:
        load_day(path)
    told = str(caught.value).replace(f"{tmp_path}/", "")
    assert told.startswith("today.day.yaml:7: jobs[1].plan: the plan 'one.plan.yaml' also has the")


def test_a_plan_under_another_name_is_in_the_day_already(tmp_path: Path) -> None:
    path = written(tmp_path, DAY.replace("two.plan", "also.plan"))
    (tmp_path / "also.plan.yaml").symlink_to(tmp_path / "one.plan.yaml")
    with pytest.raises(PlanError, match=r"jobs\[1\].plan: this plan is already in the pack, as"):
        load_day(path)
