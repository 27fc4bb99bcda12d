"""Findings for editors and programs: places that are in the file, and SARIF as OASIS has it.

``pydantic_sarif`` is made from sarif-schema-2.1.0.json of OASIS and refuses keys not in it.
"""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path
from typing import Any

import pytest

from renderer.cli import main
from tests.plans import ROOT

LINE = re.compile(
    r"(?P<file>[^:]+):(?P<line>\d+):(?P<column>\d+): "
    r"(?P<level>\w+): (?P<text>.+) \[(?P<rule>[\w-]+)\]"
)
SMALL = (ROOT / "demo" / "practice-lawn.plan.yaml").read_text("utf-8")


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A plan with a finding on a thing, one on the machine, and one that stops the job."""
    shutil.copy(ROOT / "demo" / "machine.yaml", tmp_path)
    path = tmp_path / "my garden.plan.yaml"
    text = SMALL.replace("spools: [100]", "spools: [10]").replace("  services_asked", "  # not yet")
    path.write_text(text.replace("kind: firm", "kind: tree"), "utf-8")
    monkeypatch.chdir(tmp_path)
    return path


def told(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str]:
    code = main(["check", *arguments])
    return code, capsys.readouterr().out


def test_each_line_names_a_place_in_the_file(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out = told(capsys, file.name, "--format", "plain")
    assert code == 1
    text = file.read_text("utf-8").splitlines()
    found = {}
    for line in out.splitlines():
        parts = LINE.fullmatch(line)
        assert parts and parts["file"] == file.name, line
        found[parts["rule"]] = (
            parts["level"],
            text[int(parts["line"]) - 1][int(parts["column"]) - 1 :],
        )
    assert found["tree-might-stand-bare"] == (
        "note",
        "Post, kind: tree, circle: {at: [3, 5], radius: 0.15}}",
    )
    assert found["stock-short"][0] == "error" and found["stock-short"][1].startswith("wire:")
    assert found["services-not-asked"][1] == "job:"
    assert "machine-not-confirmed" not in found  # it is accepted in the plan


def test_a_mistake_has_its_line_and_column(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file.write_text(SMALL.replace("kind: bed", "kind: bde"), "utf-8")
    code, out = told(capsys, file.name, "nowhere.yaml", "--format", "plain")
    assert code == 2
    bad, missing = out.splitlines()
    parts = LINE.fullmatch(bad)
    assert parts and parts["level"] == "error"
    line = SMALL.splitlines()[int(parts["line"]) - 1]
    assert line[int(parts["column"]) - 1 :].startswith("kind: bed")
    assert "did you mean 'bed'" in parts["text"]
    assert missing == "nowhere.yaml: error: file not found; check the path [not-valid]"


def test_the_sarif_is_that_of_the_standard(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sarif = pytest.importorskip("pydantic_sarif.model")
    bad = file.with_name("bad.plan.yaml")
    bad.write_text("plan: 1\nlawn: []\n")
    code, out = told(capsys, file.name, bad.name, "--format", "sarif")
    assert code == 2
    log: dict[str, Any] = json.loads(out)
    known = {key: value for key, value in log.items() if key != "$schema"}
    sarif.StaticAnalysisResultsFormatSarifVersion210JsonSchema.model_validate(known)
    (run,) = log["runs"]
    rules = [rule["id"] for rule in run["tool"]["driver"]["rules"]]
    for result in run["results"]:
        assert rules[result["ruleIndex"]] == result["ruleId"]
        place = result["locations"][0]["physicalLocation"]
        assert place["artifactLocation"]["uri"] in ("my%20garden.plan.yaml", "bad.plan.yaml")
        assert place["region"]["startLine"] >= 1 and place["region"]["startColumn"] >= 1
    accepted = [each["ruleId"] for each in run["results"] if "suppressions" in each]
    assert accepted == ["machine-not-confirmed"]


def test_a_key_that_is_not_of_the_standard_is_seen() -> None:
    sarif = pytest.importorskip("pydantic_sarif.model")
    with pytest.raises(ValueError, match="Extra inputs"):
        sarif.Result.model_validate({"message": {"text": "x"}, "line": 4})


def test_json_has_two_names_and_rules_are_explained_as_text(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert told(capsys, file.name, "--json") == told(capsys, file.name, "--format", "json")
    assert main(["check", "--explain", "--format", "plain"]) == 2


def test_findings_are_told_in_other_languages_too(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    _, out = told(capsys, file.name, "--format", "plain", "--language", "de")
    assert "note: Post" in out and "Stamm" in out
