"""The command as a user meets it: exit codes, one line for an error, files whole or not at all."""

from __future__ import annotations

import contextlib
import gc
import io
import itertools
import json
import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from concurrent.futures.process import BrokenProcessPool
from pathlib import Path
from xml.etree import ElementTree

import pdfplumber
import pypdf
import pytest

from renderer import __version__
from renderer.checks.finding import LEVELS
from renderer.checks.registry import RULES
from renderer.cli import main, scale
from renderer.commands import start
from renderer.language import load_words
from tests.plans import ROOT

DEMO = ROOT / "demo"
COMMANDS = [
    *("check", "lay", "draw", "print", "new", "survey", "compare", "fault", "layouts", "schema"),
    *("preview", "demo", "extract", "fmt"),
]


@pytest.fixture
def garden(tmp_path: Path) -> Path:
    """A small demo plan with its machine file, in a folder of its own."""
    shutil.copy(DEMO / "machine.yaml", tmp_path)
    return Path(shutil.copy(DEMO / "practice-lawn.plan.yaml", tmp_path / "garden.plan.yaml"))


def change(path: Path, old: str, new: str) -> Path:
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new), "utf-8")
    return path


@pytest.fixture
def stopped(garden: Path) -> Path:
    """A plan whose wire is longer than the signal source can feed."""
    change(garden.parent / "machine.yaml", "loop_max: 600", "loop_max: 20")
    return garden


def with_output(command: str, plan: Path, output: Path) -> list[str]:
    return [command, str(plan)] + ([] if command == "check" else ["-o", str(output)])


def one_line(capsys: pytest.CaptureFixture[str]) -> str:
    """Standard error, shown to be one line that no traceback is part of."""
    lines = capsys.readouterr().err.splitlines()
    assert len(lines) == 1, lines
    assert lines[0].startswith("pegline: ")
    assert "Traceback" not in lines[0]
    return lines[0]


def test_help_names_every_command_and_fits_a_screen(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main(["--help"])
    text = capsys.readouterr().out
    assert left.value.code == 0
    assert all(f"\n    {command} " in text for command in COMMANDS)
    assert len(text.splitlines()) <= 24


def test_version(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main(["--version"])
    assert left.value.code == 0
    assert capsys.readouterr().out == f"pegline {__version__}\n"


@pytest.mark.parametrize(
    "arguments",
    [
        [],
        ["mow"],
        ["check"],
        ["draw", "garden.plan.yaml"],
        ["print", "garden.plan.yaml", "-o", "a.pdf", "--scale", "0"],
        ["draw", "garden.plan.yaml", "-o", "a.svg", "--scale", "big"],
    ],
)
def test_wrong_arguments_are_one_line_and_exit_2(
    arguments: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as left:
        main(arguments)
    assert left.value.code == 2
    assert "--help" in one_line(capsys)


@pytest.mark.parametrize(("text", "value"), [("100", 100), ("1:50", 50), (" 1:240 ", 240)])
def test_scale_is_read_with_or_without_the_one(text: str, value: float) -> None:
    assert scale(text) == value


MISTAKES = {
    "misspelt key": ("radius: 1.0", "raduis: 1.0", ["raduis", "radius"]),
    "bow-tie outline": (
        "[0, 0, flush], [12, 0, fence]",
        "[12, 0, fence], [0, 0, flush]",
        ["cross"],
    ),
    "negative radius": ("radius: 1.0", "radius: -1.0", ["radius"]),
    "unknown side kind": ("12, 8, hedge", "12, 8, hegde", ["hedge"]),
    "no plan at all": ("plan: 1", "plan: 9", ["plan"]),
}


@pytest.mark.parametrize("command", ["check", "lay", "draw", "print"])
@pytest.mark.parametrize("mistake", MISTAKES)
def test_a_wrong_plan_is_one_line_with_the_place(
    command: str, mistake: str, garden: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    old, new, words = MISTAKES[mistake]
    line_number = garden.read_text("utf-8").split(old)[0].count("\n") + 1
    change(garden, old, new)
    output = garden.with_name("out.json" if command == "lay" else "out.pdf")
    assert main(with_output(command, garden, output)) == 2
    message = one_line(capsys)
    assert f"{garden}:{line_number}:" in message
    assert all(word in message for word in words)
    assert not output.exists()
    assert sorted(p.name for p in garden.parent.iterdir()) == ["garden.plan.yaml", "machine.yaml"]


@pytest.mark.parametrize("command", ["check", "lay", "draw", "print"])
def test_a_missing_plan_is_one_line(
    command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(with_output(command, tmp_path / "none.plan.yaml", tmp_path / "out.pdf")) == 2
    assert "none.plan.yaml" in one_line(capsys)
    assert not list(tmp_path.iterdir())


def test_a_wrong_machine_file_is_named(garden: Path, capsys: pytest.CaptureFixture[str]) -> None:
    change(garden.parent / "machine.yaml", "passage_min: 1.2", "passage_min: wide")
    assert main(["check", str(garden)]) == 2
    assert "machine.yaml:" in one_line(capsys)


def test_check_of_a_sound_plan(garden: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(garden)]) == 0
    out = capsys.readouterr().out
    assert out.startswith(f"{garden}: FH-100, revision A\n")
    assert "nothing stops the job" in out


def test_check_that_stops(stopped: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(stopped)]) == 1
    first = capsys.readouterr().out.splitlines()[1]
    assert first.startswith("  stop ")


def test_check_as_json_puts_the_worst_first(
    stopped: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", "--json", str(stopped), str(DEMO / "quarry-lane.plan.yaml")]) == 1
    report = json.loads(capsys.readouterr().out)
    assert [job["plan"]["number"] for job in report["jobs"]] == ["FH-100", "FH-101"]
    levels = [finding["level"] for finding in report["findings"]]
    assert levels == sorted(levels, key=["stop", "warn", "note"].index)
    assert {"rule", "level", "message", "at", "file"} <= set(report["findings"][0])


def test_a_finding_in_json_has_its_figures_beside_the_message(
    stopped: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    main(["check", "--json", str(stopped)])
    (stop,) = [f for f in json.loads(capsys.readouterr().out)["findings"] if f["level"] == "stop"]
    assert stop["facts"] and all(
        f"{stop['facts'][name]:.2f} m" in stop["message"]
        for name in stop["facts"]
        if name.endswith("_m") and name != "cut_m"
    )


def test_check_gives_the_line_that_accepts_a_warning(
    garden: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text, _, _ = garden.read_text("utf-8").partition("acknowledged:")
    garden.write_text(text, "utf-8")
    line = '- {rule: machine-not-confirmed, by: "", reason: ""}'
    main(["check", str(garden)])
    assert f"  to accept it, add under acknowledged, with your name and reason: {line}\n" in (
        capsys.readouterr().out
    )
    main(["check", str(garden), "--json"])
    found = json.loads(capsys.readouterr().out)["findings"]
    offered = {each["rule"]: each["accept_with"] for each in found if each["level"] == "warn"}
    assert offered["machine-not-confirmed"] == line
    garden.write_text(f"{text}acknowledged:\n  {line}\n", "utf-8")
    assert main(["check", str(garden)]) == 2
    assert "acknowledged[0].by: it is empty; write a name" in capsys.readouterr().err


def test_check_speaks_other_languages(stopped: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(stopped), "--language", "de"]) == 1
    told = capsys.readouterr().out
    assert "1 Befund hält den Auftrag auf" in told and "tun: " in told
    assert main(["check", str(stopped), "--language", "xx"]) == 2
    assert "language 'xx'" in capsys.readouterr().err


def test_check_explains_a_rule(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "--explain", "peg-in-service-strip"]) == 0
    told = capsys.readouterr().out
    words = load_words("en", "findings")
    assert told.startswith("peg-in-service-strip (stop)\n")
    for key in ("why", "cure"):
        assert words[f"peg-in-service-strip.{key}"] in told
    assert "looks at: Pegs that would be driven into the strip of a service" in told
    assert main(["check", "--explain", "peg-in-service-strip", "--language", "fr"]) == 0
    assert "pourquoi :" in capsys.readouterr().out


def test_check_lists_all_rules_stops_first(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "--explain"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert {line.split()[1] for line in lines} == set(RULES)
    levels = [LEVELS.index(line.split()[0]) for line in lines]  # type: ignore[arg-type]
    assert levels == sorted(levels)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (
            ["--explain", "stock-shrt"],
            "no rule is called 'stock-shrt'; did you mean 'stock-short'?",
        ),
        (["--explain", "x", "garden.plan.yaml"], "leave out plan files"),
    ],
)
def test_an_explanation_that_is_not_there(
    words: list[str], says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", *words]) == 2
    assert says in capsys.readouterr().err


def test_check_goes_on_after_a_plan_that_cannot_be_read(
    garden: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", str(garden.with_name("none.yaml")), str(garden)]) == 2
    captured = capsys.readouterr()
    assert "FH-100" in captured.out
    assert "none.yaml" in captured.err


def test_lay_writes_what_scripts_rely_on(garden: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["lay", str(garden)]) == 0
    out = capsys.readouterr().out
    laid = json.loads(out)
    assert set(laid) >= {"plan", "loops", "takeoff", "findings"}
    assert laid["plan"]["digest"].startswith("sha256:")
    (loop,) = laid["loops"]
    edges = [(leg["from_m"], leg["to_m"]) for leg in loop["legs"]]
    assert edges[0][0] == 0
    assert edges[-1][1] == loop["length_m"]
    assert all(before[1] == after[0] for before, after in itertools.pairwise(edges))
    assert (loop["legs"][0]["kind"], loop["legs"][-1]["kind"]) == ("tail", "tail")
    assert all(round(value, 4) == value for point in loop["path"] for value in point)
    assert main(["lay", str(garden), "-o", str(garden.with_name("laid.json"))]) == 0
    assert garden.with_name("laid.json").read_text("utf-8") == out


def test_lay_writes_a_plan_that_is_stopped(
    stopped: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["lay", str(stopped)]) == 0
    findings = json.loads(capsys.readouterr().out)["findings"]
    assert findings[0]["level"] == "stop"


MAGIC = {"svg": b"<?xml", "pdf": b"%PDF-", "png": b"\x89PNG\r\n"}


@pytest.mark.parametrize("ending", MAGIC)
def test_draw_by_the_ending(ending: str, garden: Path) -> None:
    output = garden.with_name(f"plan.{ending}")
    assert main(["draw", str(garden), "-o", str(output), "--scale", "1:100"]) == 0
    first = output.read_bytes()
    assert first.startswith(MAGIC[ending])
    assert main(["draw", str(garden), "-o", str(output), "--scale", "100"]) == 0
    assert output.read_bytes() == first


@pytest.mark.parametrize(
    ("name", "size"), [("practice-lawn", {210.0, 297.0}), ("quarry-lane", {215.9, 279.4})]
)
def test_a_plan_in_feet_is_drawn_on_inch_paper(name: str, size: set[float], tmp_path: Path) -> None:
    output = tmp_path / "plan.svg"
    assert main(["draw", str(DEMO / f"{name}.plan.yaml"), "-o", str(output)]) == 0
    box = ElementTree.parse(output).getroot().attrib["viewBox"].split()
    assert {float(value) for value in box[2:]} == size


def test_a_scale_that_does_not_fit_is_refused(
    garden: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    output = garden.with_name("plan.svg")
    assert main(["draw", str(garden), "-o", str(output), "--scale", "5"]) == 2
    assert "1:5" in one_line(capsys)
    assert not output.exists()


@pytest.mark.parametrize(("command", "name"), [("draw", "plan.dxf"), ("print", "pack.txt")])
def test_an_ending_that_is_not_known_is_refused(
    command: str, name: str, garden: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([command, str(garden), "-o", str(garden.with_name(name))]) == 2
    assert ".pdf" in one_line(capsys)


def test_print_of_one_job_gives_the_same_bytes_twice(garden: Path) -> None:
    output = garden.with_name("order.pdf")
    assert main(["print", str(garden), "-o", str(output)]) == 0
    first = output.read_bytes()
    assert first.startswith(b"%PDF-")
    output.unlink()
    assert main(["print", str(garden), "-o", str(output)]) == 0
    assert output.read_bytes() == first


def test_print_is_refused_where_a_finding_stops_the_lay(
    stopped: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    output = stopped.with_name("order.pdf")
    output.write_bytes(b"an older print")
    assert main(["print", str(stopped), "-o", str(output)]) == 1
    lines = capsys.readouterr().err.splitlines()
    assert lines[0].startswith("pegline: FH-100: ")
    assert "--draft" in lines[-1]
    assert output.read_bytes() == b"an older print"
    assert main(["print", str(stopped), "-o", str(output), "--draft"]) == 0
    assert output.read_bytes().startswith(b"%PDF-")


def test_a_layout_that_does_not_exist(garden: Path, capsys: pytest.CaptureFixture[str]) -> None:
    arguments = ["print", str(garden), "-o", str(garden.with_name("a.pdf")), "--layout", "no-such"]
    assert main(arguments) == 2
    assert "no-such" in one_line(capsys)


def test_a_folder_that_does_not_exist(garden: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["lay", str(garden), "-o", str(garden.parent / "none" / "laid.json")]) == 2
    assert "none" in one_line(capsys)


@pytest.mark.parametrize("command", ["print", "draw"])
def test_another_language_is_asked_for(command: str, garden: Path) -> None:
    output = garden.parent / "out.pdf"
    assert main([*with_output(command, garden, output), "--language", "de"]) == 0
    with pdfplumber.open(output) as pdf:
        text = pdf.pages[0].extract_text()
        language = pdf.doc.catalog["Lang"]
    assert language in ("de", b"de")
    assert {"print": "Arbeitsauftrag", "draw": "Maßstab"}[command] in text
    assert "prevails" in text


@pytest.mark.parametrize("command", ["print", "draw"])
def test_an_unknown_language_is_one_line_with_those_there_are(
    command: str, garden: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    output = garden.parent / "out.pdf"
    assert main([*with_output(command, garden, output), "--language", "xx"]) == 2
    assert "known: de, en, es, fr" in one_line(capsys)
    assert not output.exists()


@pytest.mark.parametrize("command", ["draw", "print"])
def test_a_character_that_no_face_has_is_named_with_its_place(
    command: str, garden: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    output = garden.parent / "out.pdf"
    lines = change(garden, "Practice lawn", "Practice \u8349").read_text("utf-8").splitlines()
    at = next(number for number, line in enumerate(lines, 1) if "\u8349" in line)
    assert main(with_output(command, garden, output)) == 2
    said = one_line(capsys)
    assert said.startswith(f"pegline: {garden}:{at}: ")
    assert "U+8349" in said
    assert not output.exists()


def test_layouts_and_schema(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["layouts"]) == 0
    assert "crew-work-order" in capsys.readouterr().out
    assert main(["schema"]) == 0
    assert "properties" in json.loads(capsys.readouterr().out)


def test_interrupting_says_that_nothing_was_written(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def interrupted(_: object) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr(start, "run_schema", interrupted)
    assert main(["schema"]) == 130
    assert one_line(capsys) == "pegline: interrupted; no file is left half written"


def test_a_fault_of_ours_is_one_line_too(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(_: object) -> int:
        raise KeyError("leg\nof nothing")

    monkeypatch.setattr(start, "run_schema", broken)
    assert main(["schema"]) == 2
    assert "PEGLINE_TRACEBACK" in one_line(capsys)
    monkeypatch.setenv("PEGLINE_TRACEBACK", "1")
    with pytest.raises(KeyError):
        main(["schema"])


def test_a_reader_that_goes_away_is_no_error() -> None:
    read_end, write_end = os.pipe()
    os.close(read_end)
    done = subprocess.run(
        [sys.executable, "-m", "renderer", "schema"],
        stdout=write_end,
        stderr=subprocess.PIPE,
        cwd=ROOT,
        check=False,
    )
    os.close(write_end)
    assert done.returncode == 141
    assert done.stderr == b""


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="no device that is always full")
@pytest.mark.parametrize(
    "arguments", [["schema"], ["--version"], ["print", "--help"], ["check", "--explain"]]
)
def test_a_full_disk_behind_standard_output_is_one_line(arguments: list[str]) -> None:
    buffered = {name: told for name, told in os.environ.items() if name != "PYTHONUNBUFFERED"}
    with open("/dev/full", "wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "renderer", *arguments],
            stdout=full,
            stderr=subprocess.PIPE,
            cwd=ROOT,
            env=buffered,
            check=False,
        )
    assert done.returncode == 2
    assert done.stderr == b"pegline: standard output: No space left on device\n"


def test_the_process_ends_with_all_that_it_wrote() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "renderer", "schema"], capture_output=True, cwd=ROOT, check=True
    )
    assert json.loads(done.stdout)["title"]
    assert done.stderr == b""


def test_a_terminal_without_unicode_gets_the_message(garden: Path) -> None:
    change(garden, "kind: bed", "kind: bød")
    done = subprocess.run(
        [sys.executable, "-m", "renderer", "check", str(garden)],
        capture_output=True,
        cwd=ROOT,
        check=False,
        env={**os.environ, "PYTHONIOENCODING": "ascii"},
    )
    assert done.returncode == 2
    assert rb"b\xf8d" in done.stderr
    assert b"Traceback" not in done.stderr


def test_a_caller_keeps_its_own_garbage_collection(capsys: pytest.CaptureFixture[str]) -> None:
    before = gc.get_threshold()
    assert main(["layouts"]) == 0
    assert gc.get_threshold() == before


def test_a_count_of_processes_that_cannot_be_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["print", "a.yaml", "-o", "a.pdf", "--processes", "0"])
    assert ended.value.code == 2
    assert "invalid number of processes '0'; write 1 to 256" in capsys.readouterr().err


@pytest.mark.parametrize("command", ["check", "lay", "draw"])
def test_a_day_file_is_no_plan(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    day = ROOT / "demo/fernhill.day.yaml"
    assert main(with_output(command, day, Path("out.svg"))) == 2
    message = one_line(capsys)
    assert "fernhill.day.yaml:2: day: this is a day file, not a plan" in message
    assert "print" in message


def test_lay_does_not_write_over_the_plan(garden: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = garden.read_bytes()
    again = garden.parent / ".." / garden.parent.name / garden.name
    assert main(["lay", str(garden), "-o", str(again)]) == 2
    assert "this is the plan file itself; name another file" in one_line(capsys)
    assert garden.read_bytes() == before


def test_lay_to_a_dash_is_to_the_screen(
    garden: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(garden.parent)
    assert main(["lay", garden.name, "-o", "-"]) == 0
    assert json.loads(capsys.readouterr().out)["loops"]
    assert not Path("-").exists()


def test_a_finding_is_placed_in_the_unit_of_the_plan(capsys: pytest.CaptureFixture[str]) -> None:
    quarry = str(ROOT / "demo/quarry-lane.plan.yaml")
    main(["check", quarry])
    in_feet = capsys.readouterr().out
    main(["check", quarry, "--json"])
    in_metres = json.loads(capsys.readouterr().out)["findings"]
    placed = next(finding for finding in in_metres if finding["at"])
    x, y = (along / 0.3048 for along in placed["at"])
    assert f"[{placed['rule']} at ({x:.2f}, {y:.2f}) ft]" in in_feet


def test_neither_file_of_a_class_is_written_where_one_cannot_be(
    garden: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    output, key = garden.with_name("class.pdf"), garden.parent / "none/key.pdf"
    arguments = ["print", str(garden), "--class", "1", "-o", str(output), "--key", str(key)]
    assert main(arguments) == 2
    assert "create it first" in one_line(capsys)
    assert not output.exists()


@pytest.mark.parametrize("option", [["--draft"], ["--sides", "2"], ["--processes", "2"]])
def test_an_option_that_a_class_does_not_heed_is_refused(
    option: list[str], garden: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    output = garden.with_name("class.pdf")
    assert main(["print", str(garden), "--class", "1", "-o", str(output), *option]) == 2
    assert f"{option[0]} has no effect with --class" in one_line(capsys)
    assert not output.exists()


class Screen(io.StringIO):
    """A standard error that a person looks at."""

    def isatty(self) -> bool:
        return True


def test_a_written_file_is_named_on_a_terminal_only(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    job, output = str(DEMO / "practice-lawn.plan.yaml"), str(tmp_path / "map.pdf")
    arguments = ["print", job, "--layout", "wiring-map", "-o", output]
    assert main(arguments) == 0
    assert capsys.readouterr() == ("", "")
    screen = Screen()
    monkeypatch.setattr("sys.stderr", screen)
    assert main(arguments) == 0
    pages = len(pypdf.PdfReader(output).pages)
    assert f"pegline: wrote {output}, {pages} pages\n" in screen.getvalue()


def test_all_mistakes_of_a_file_are_listed_in_their_order_twenty_at_most(
    garden: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    change(garden, "kind: bed", "kind: bad")
    change(garden, "spools: [", "spools: [none, ")
    assert main(["check", str(garden)]) == 2
    first, second = capsys.readouterr().err.splitlines()
    assert "obstacles[0].kind" in first
    assert "wire.spools[0]" in second
    corners = ", ".join(f"[{number}, x]" for number in range(25))
    text, _, _ = garden.read_text("utf-8").partition("acknowledged:")
    garden.write_text(f"{text}acknowledged: [{corners}]\n", "utf-8")
    assert main(["check", str(garden)]) == 2
    lines = capsys.readouterr().err.splitlines()
    assert len(lines) == 21
    assert lines[-1] == f"pegline: {garden}: and 7 more"


def test_a_pack_names_the_mistakes_of_every_job(
    garden: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plans = [garden.with_name(f"{number}.plan.yaml") for number in range(10)]
    for plan in plans:
        shutil.copy(garden, plan)
    change(plans[2], "kind: bed", "kind: bad")
    change(plans[7], "spools: [", "spools: [none, ")
    output = garden.with_name("pack.pdf")
    assert main(["print", *map(str, plans), "-o", str(output)]) == 2
    first, second = capsys.readouterr().err.splitlines()
    assert first.startswith(f"pegline: {plans[2]}:")
    assert second.startswith(f"pegline: {plans[7]}:")
    assert not output.exists()


def test_a_plan_is_in_a_pack_once(garden: Path, capsys: pytest.CaptureFixture[str]) -> None:
    output = garden.with_name("pack.pdf")
    again = f"{garden.parent}/./{garden.name}"
    assert main(["print", str(garden), again, "-o", str(output)]) == 2
    told = capsys.readouterr().err
    assert told == (
        f"pegline: {again}: this plan is already in the pack, as '{garden}'; list it once\n"
    )
    assert not output.exists()


def test_two_plans_of_a_pack_have_job_numbers_of_their_own(
    garden: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    other = Path(shutil.copy(garden, garden.with_name("other.plan.yaml")))
    output = garden.with_name("pack.pdf")
    assert main(["print", str(garden), str(other), "-o", str(output)]) == 2
    told = capsys.readouterr().err
    assert told.startswith(
        f"pegline: {other}: job.number: the plan '{garden}' also has the job number "
    )
    assert "'FH-100'" in told and "leave one out" in told
    assert not output.exists()


def test_check_refuses_a_character_that_print_would_refuse(
    garden: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    change(garden, "Practice lawn", "Practice \u8349")
    assert main(["check", str(garden)]) == 2
    said = one_line(capsys)
    assert said.startswith(f"pegline: {garden}:")
    assert "U+8349" in said
    garden.write_text(garden.read_text("utf-8").replace("\u8349", "\\u8349"), "utf-8")
    title = garden.read_text("utf-8")
    garden.write_text(title.replace("Practice \\u8349", '"Practice \\u8349"'), "utf-8")
    assert main(["check", str(garden)]) == 2
    assert one_line(capsys).startswith(f"pegline: {garden}: ")


def test_a_character_in_a_job_of_a_day_is_named_with_its_file(
    garden: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    change(garden, "Practice lawn", "Practice \u8349")
    day = garden.with_name("tuesday.day.yaml")
    day.write_text(f"day: 1\ndate: 2026-06-09\njobs:\n  - {{plan: {garden.name}}}\n", "utf-8")
    assert main(["print", str(day), "-o", str(garden.with_name("out.pdf"))]) == 2
    assert one_line(capsys).startswith(f"pegline: {garden}:")


@pytest.mark.parametrize("name", ["machine.yaml", "other-name.json"])
def test_lay_writes_over_none_of_its_inputs(
    name: str, garden: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    os.link(garden, garden.with_name("other-name.json"))
    output = garden.with_name(name)
    before = output.read_bytes()
    assert main(["lay", str(garden), "-o", str(output)]) == 2
    assert "name another file" in one_line(capsys)
    assert output.read_bytes() == before


def test_what_is_no_file_is_not_waited_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    os.mkfifo(tmp_path / "pipe.plan.yaml")
    assert main(["check", str(tmp_path / "pipe.plan.yaml")]) == 2
    assert "this is not a regular file" in one_line(capsys)


@pytest.mark.parametrize("streams", [">&-", ">&- 2>&-"])
def test_closed_streams_are_an_error_without_a_traceback(streams: str, garden: Path) -> None:
    run = f"{sys.executable} -m renderer schema {streams}"
    done = subprocess.run(run, shell=True, capture_output=True, cwd=ROOT, check=False)
    assert done.returncode == 2
    assert done.stderr in (b"pegline: standard output: it is closed\n", b"")
    output = garden.with_name("out.pdf")
    run = f"{sys.executable} -m renderer print {garden} -o {output} {streams}"
    assert subprocess.run(run, shell=True, cwd=ROOT, check=False).returncode == 0
    assert output.read_bytes().startswith(b"%PDF")


def processes_of(group: int) -> list[int]:
    """The processes of a group, from the system's own table (proc(5))."""
    found = []
    for place in Path("/proc").iterdir():
        if place.name.isdigit():
            with contextlib.suppress(OSError):
                _, rest = (place / "stat").read_text().rsplit(")", 1)
                state, _, owner = rest.split()[:3]
                if int(owner) == group and state != "Z":
                    found.append(int(place.name))
    return found


@pytest.mark.skipif(not os.path.isdir("/proc/self"), reason="no table of processes to read")
@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP, signal.SIGINT, signal.SIGKILL])
def test_a_print_that_is_ended_leaves_no_process_and_no_draft(number: int, garden: Path) -> None:
    plans = [garden.with_name(f"{each}.plan.yaml") for each in range(12)]
    for plan in plans:
        shutil.copy(DEMO / "hollin-park.plan.yaml", plan)
        change(plan, "number: FH-103", f"number: {plan.name}")
    output = garden.with_name("pack.pdf")
    output.write_bytes(b"the print of yesterday")
    run = [sys.executable, "-m", "renderer", "print", *map(str, plans), "-o", str(output)]
    with subprocess.Popen(
        [*run, "--processes", "2"],
        cwd=ROOT,
        stderr=subprocess.PIPE,
        start_new_session=True,
        preexec_fn=heed_signals,
    ) as process:
        until(lambda: len(processes_of(process.pid)) >= 3)
        process.send_signal(number)
        process.send_signal(number)
        _, said = process.communicate(timeout=30)
        until(lambda: not processes_of(process.pid))
    if number == signal.SIGKILL:
        assert process.returncode == -number
    else:
        assert process.returncode == 128 + number
        assert said.decode() == f"pegline: stopped by {number.name}; no file is left half written\n"
    assert output.read_bytes() == b"the print of yesterday"
    assert not list(garden.parent.glob(".pegline-*"))


def heed_signals() -> None:
    """Signals as a terminal has them, also where the tests run in the background."""
    for number in (signal.SIGTERM, signal.SIGHUP, signal.SIGINT):
        signal.signal(number, signal.SIG_DFL)


def until(holds: Callable[[], bool]) -> None:
    """Waits for something that has to come about."""
    for _ in range(600):
        if holds():
            return
        time.sleep(0.05)
    raise AssertionError("it did not come about within 30 s")


def test_a_worker_that_is_killed_and_a_lack_of_memory_are_named(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for error, said in (
        (BrokenProcessPool("gone"), "ended from outside, perhaps for lack of memory"),
        (MemoryError(), "not enough memory"),
        (FileNotFoundError(2, "No usable temporary directory"), "No usable temporary directory"),
    ):

        def broken(_: object, error: Exception = error) -> int:
            raise error

        monkeypatch.setattr(start, "run_schema", broken)
        assert main(["schema"]) == 2
        line = one_line(capsys)
        assert said in line
        assert "None" not in line
