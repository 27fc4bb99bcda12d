"""``pegline survey``: its text, its JSON as the contract has it, its exit codes."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from renderer.cli import main

DEMO = Path(__file__).resolve().parents[1] / "demo"
GARDEN = DEMO / "mill-cottage.plan.yaml"

# Strang and Borre 1997, example 10.1, as tests/outside/test_survey_networks.py has it
L1 = """
plan: 1
survey:
  points:
    - {name: "1", at: [170.71, 270.71]}
    - {name: "2", at: [100, 100]}
    - {name: "3", at: [241.42, 100]}
  ties: {P: {"1": 100.01, "2": 100.02, "3": 100.03}}
  sigma: {tape: 0.010}
"""


def slipped(tmp_path: Path) -> Path:
    """The garden before anybody decided on the reading that slipped."""
    held = GARDEN.read_text("utf-8")
    start = held.index("{reads: 21.10")
    path = tmp_path / "slipped.plan.yaml"
    path.write_text(held[:start] + "21.10" + held[held.index("}", start) + 1 :], "utf-8")
    (tmp_path / "machine.yaml").write_text((DEMO / "machine.yaml").read_text("utf-8"), "utf-8")
    return path


def test_a_published_network_as_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "l1.plan.yaml"
    path.write_text(L1, "utf-8")
    main(["survey", str(path), "--json"])
    found = json.loads(capsys.readouterr().out)
    assert found["degrees_of_freedom"] == 1
    assert found["sigma0"] == pytest.approx(3.303, abs=5e-4)
    (point,) = found["points"]
    assert (point["x"], point["y"]) == pytest.approx((170.7029, 170.7234), abs=5e-5)
    assert set(point) == {"name", "x", "y", "sigma_x", "sigma_y", "ellipse", "state"}
    # the stated deviation, not scaled: 33.0 and 23.4 mm over 3.303
    assert (point["sigma_x"], point["sigma_y"]) == pytest.approx((0.0100, 0.00707), abs=5e-5)
    first = found["readings"][0]
    assert first["kind"] == "tape" and first["of"] == ["1", "P"] and first["reads"] == 100.01
    assert first["residual"] == pytest.approx(-0.02336, abs=5e-6)
    assert first["redundancy"] == pytest.approx(0.5, abs=5e-4)
    assert abs(first["w"]) == pytest.approx(3.303, abs=1e-3)
    # 4.132 deviations over the root of a half
    assert first["smallest_slip"] == pytest.approx(0.05843, abs=1e-5)


def test_a_sound_notebook_ends_with_0(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["survey", str(GARDEN)]) == 0
    told = capsys.readouterr().out
    assert "no reading is suspect" in told and "taken as 12.10 m" in told


def test_a_slip_is_named_with_what_to_measure_again(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = slipped(tmp_path)
    assert main(["survey", str(path)]) == 1
    told = capsys.readouterr().out
    assert "tape C-p5 reads 21.10 m; 12.10 m would fit within" in told
    assert "measure C-p5 again" in told
    assert main(["survey", str(path), "--json"]) == 1
    found = json.loads(capsys.readouterr().out)
    assert found["suspects"][0]["one_of"][0] == {
        "of": ["C", "p5"],
        "reads": 21.1,
        "likely": 12.1,
        "misreading": "digits exchanged",
    }
    states = {point["name"]: point["state"] for point in found["points"]}
    assert states["p5"] == "in question" and states["p1"] == "controlled"


@pytest.mark.parametrize("name", ["practice-lawn.plan.yaml", "nowhere.plan.yaml"])
def test_nothing_to_adjust_ends_with_2(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["survey", str(DEMO / name)]) == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_a_plan_without_readings_does_not_pay_for_surveys() -> None:
    """Not a module of the adjustment is loaded; a plan with readings loads it."""
    script = (
        "import sys\nfrom renderer.cli import main\n"
        "try:\n    main(['check', sys.argv[1]])\nexcept SystemExit:\n    pass\n"
        "print(*[name for name in sys.modules if name.startswith('renderer.survey')])"
    )

    def loaded(plan: Path) -> list[str]:
        command = [sys.executable, "-c", script, str(plan)]
        done = subprocess.run(command, capture_output=True, text=True, check=True, cwd=DEMO.parent)
        return done.stdout.splitlines()[-1].split()

    assert not loaded(DEMO / "practice-lawn.plan.yaml")
    assert "renderer.survey.adjust" in loaded(GARDEN)


def test_readings_are_adjusted_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """A check, however many rules look at it, and a lay take the points that the reader found."""
    import renderer
    from renderer.survey import solve

    taken = []
    adjusted = solve.solve
    monkeypatch.setattr(solve, "solve", lambda *a, **k: taken.append(1) or adjusted(*a, **k))
    job = renderer.prepare(renderer.load(GARDEN))
    assert job.findings and job.lay.loops
    assert len(taken) == 1
