"""Prints kept in a folder, found again only where all that they were made from is the same."""

from __future__ import annotations

import argparse
import json
import os
import shutil
import stat
import subprocess
import sys
import threading
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import pytest

import renderer
from renderer import __version__, kept_prints, resources
from renderer.cli import _parser, main
from renderer.kept_prints import ENDING, Kept, request
from tests.plans import ROOT
from tests.test_rooms import HEAVY

DEMO = ROOT / "demo"
LAYOUT = """\
layout: 1
document: Short form
header: {firm: Fernhill Lawns, logo: logo.svg}
blocks: [job, take-off]
"""
LOGO = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M0 0H9V9Z"/></svg>'
DAY = """\
day: 1
date: 2026-06-09
jobs: [one.plan.yaml, two.plan.yaml]
"""
PACK = """\
layout: 1
document: Short day
front: [pack-jobs]
each: layout.yaml
"""


@pytest.fixture
def desk(tmp_path: Path) -> Path:
    """Two plans, their machine file, a day, a layout for a job and one for the day."""
    shutil.copy(DEMO / "machine.yaml", tmp_path)
    for name, number in (("one", "K-1"), ("two", "K-2")):
        text = (DEMO / "practice-lawn.plan.yaml").read_text("utf-8")
        was = next(line for line in text.splitlines() if line.strip().startswith("number:"))
        (tmp_path / f"{name}.plan.yaml").write_text(
            text.replace(was, f"  number: {number}"), "utf-8"
        )
    for name, text in (
        ("layout.yaml", LAYOUT),
        ("logo.svg", LOGO),
        ("day.day.yaml", DAY),
        ("pack.yaml", PACK),
    ):
        (tmp_path / name).write_text(text, "utf-8")
    return tmp_path


@pytest.fixture
def made(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """An entry for each print that was made, not found."""
    runs: list[int] = []
    compose = renderer.compose_sheets

    def counted(*arguments: object, **named: object) -> object:
        runs.append(1)
        return compose(*arguments, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(renderer, "compose_sheets", counted)
    return runs


@pytest.fixture
def own_data(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Copies of the folders of layouts and faces, which a test may change."""
    copy = tmp_path_factory.mktemp("data")
    shutil.copytree(resources.layouts(), copy / "layouts")
    shutil.copytree(resources.fonts(), copy / "fonts")
    monkeypatch.setattr(resources, "layouts", lambda: copy / "layouts")
    monkeypatch.setattr(resources, "fonts", lambda: copy / "fonts")
    return copy


def printed(desk: Path, *options: str, jobs: tuple[str, ...] = ("one.plan.yaml",)) -> bytes:
    output = desk / "out.pdf"
    output.unlink(missing_ok=True)
    named = [str(desk / job) for job in jobs]
    layout = [] if "--layout" in options else ["--layout", str(desk / "layout.yaml")]
    kept = ["--cache", str(desk / "kept")]
    assert main(["print", *named, "-o", str(output), *kept, *layout, *options]) == 0
    return output.read_bytes()


def of_day(desk: Path) -> bytes:
    return printed(desk, "--layout", str(desk / "pack.yaml"), jobs=("day.day.yaml",))


def entries(desk: Path) -> list[Path]:
    return sorted((desk / "kept").glob(f"*{ENDING}"))


def change(path: Path, old: str, new: str) -> None:
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")


@pytest.mark.parametrize("what", [printed, of_day])
def test_the_same_job_again_gives_the_same_bytes_without_being_made(
    desk: Path, made: list[int], what: Callable[[Path], bytes]
) -> None:
    first = what(desk)
    assert first.startswith(b"%PDF")
    assert what(desk) == first
    assert len(made) == 1
    assert len(entries(desk)) == 1


CHANGES = {
    "plan": lambda desk: change(desk / "one.plan.yaml", "K-1", "K-9"),
    "plan, by a blank": lambda desk: change(desk / "one.plan.yaml", "\n", " \n"),
    "machine": lambda desk: change(desk / "machine.yaml", "loop_max: 600", "loop_max: 601"),
    "layout": lambda desk: change(desk / "layout.yaml", "Short form", "Shorter form"),
    "logo": lambda desk: change(desk / "logo.svg", "V9", "V8"),
}


@pytest.mark.parametrize("name", CHANGES)
def test_a_changed_file_is_printed_anew(desk: Path, made: list[int], name: str) -> None:
    printed(desk)
    CHANGES[name](desk)
    printed(desk)
    assert len(made) == 2
    assert len(entries(desk)) == 1  # in the place of the one before


def test_the_print_after_a_change_is_that_of_the_changed_plan(desk: Path) -> None:
    before = printed(desk)
    CHANGES["plan"](desk)
    after = printed(desk)
    assert after != before
    assert printed(desk) == after
    change(desk / "one.plan.yaml", "K-9", "K-1")
    assert printed(desk) == before


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        ("day.day.yaml", "[one.plan.yaml, two.plan.yaml]", "[two.plan.yaml, one.plan.yaml]"),
        ("day.day.yaml", "2026-06-09", "2026-06-10"),
        ("two.plan.yaml", "K-2", "K-3"),
        ("machine.yaml", "loop_max: 600", "loop_max: 601"),
        ("pack.yaml", "[pack-jobs]", "[pack-jobs, pack-load-list]"),
        ("layout.yaml", "[job, take-off]", "[job]"),
    ],
)
def test_a_day_with_a_changed_file_is_printed_anew(
    desk: Path, made: list[int], file: str, old: str, new: str
) -> None:
    of_day(desk)
    change(desk / file, old, new)
    of_day(desk)
    assert len(made) == 2


def test_other_options_are_another_print(desk: Path, made: list[int]) -> None:
    given = ([], ["--paper", "Letter"], ["--language", "de"], ["--draft"], ["--fields"])
    given += (["--no-fields"], ["--sides", "2"], ["--scale", "200"], ["--layout", "wiring-map"])
    for count, options in enumerate(given, 1):
        printed(desk, *options)
        assert len(made) == count, options
    for options in given:
        printed(desk, *options)
    assert len(made) == len(given)


def test_every_option_of_print_counts_but_those_that_do_not_change_the_pages() -> None:
    """Also one that is added later: whoever adds it has to say so in ``APART``, or it counts."""
    plain = _parser().parse_args(["print", "a.plan.yaml", "-o", "x.pdf"])
    apart = {"run", "output", "processes", "cache"}
    for name in vars(plain):
        other = argparse.Namespace(**vars(plain))
        setattr(other, name, ["b.plan.yaml"] if name == "jobs" else "other")
        assert (request(other) == request(plain)) is (name in apart), name
    assert request(argparse.Namespace(**vars(plain), speed="low")) != request(plain)


def test_a_path_counts_from_where_it_is_given(
    desk: Path, made: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The same words in another folder name other files."""
    other = desk / "other"
    other.mkdir()
    for name in ("one.plan.yaml", "machine.yaml", "layout.yaml", "logo.svg"):
        shutil.copy(desk / name, other)
    change(other / "layout.yaml", "Short form", "Other form")
    found = []
    for folder in (desk, other, desk):
        monkeypatch.chdir(folder)
        words = ["print", str(desk / "one.plan.yaml"), "-o", "out.pdf", "--layout", "./layout.yaml"]
        assert main([*words, "--cache", str(desk / "kept")]) == 0
        found.append((folder / "out.pdf").read_bytes())
    assert found[0] == found[2] != found[1]
    assert len(made) == 2


def test_another_version_prints_anew(
    desk: Path, made: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    printed(desk)
    monkeypatch.setattr(renderer, "__version__", "0.1.1")
    printed(desk)
    assert len(made) == 2


def test_changed_code_prints_anew(
    desk: Path, made: list[int], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    printed(desk)
    (tmp_path / "package").mkdir()
    (tmp_path / "package/module.py").write_text("A = 1\n")
    monkeypatch.setattr(kept_prints, "__file__", str(tmp_path / "package/kept_prints.py"))
    printed(desk)
    printed(desk)
    assert len(made) == 2
    (tmp_path / "package/module.py").write_text("A = 2\n")
    printed(desk)
    assert len(made) == 3


def test_another_library_prints_anew(
    desk: Path, made: list[int], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    printed(desk)
    (tmp_path / "libraries/shapely-99.0.dist-info").mkdir(parents=True)
    monkeypatch.syspath_prepend(str(tmp_path / "libraries"))
    printed(desk)
    assert len(made) == 2


@pytest.mark.parametrize(
    "file", ["layouts/words/en.yaml", "layouts/words/it.yaml", "fonts/PeglineSans-Bold.ttf"]
)
def test_changed_words_and_faces_print_anew(desk: Path, own_data: Path, file: str) -> None:
    printed(desk)
    kept = str(desk / "kept")
    assert Kept(kept, __version__).find(only(desk)) is not None
    with (own_data / file).open("ab") as stream:
        stream.write(b"\n")
    assert Kept(kept, __version__).find(only(desk)) is None


def only(desk: Path) -> str:
    (entry,) = entries(desk)
    return entry.name.removesuffix(ENDING)


DAMAGES: dict[str, Callable[[bytes], bytes]] = {
    "empty": lambda data: b"",
    "cut short": lambda data: data[:-100],
    "head only": lambda data: data[: data.index(b"\n") + 1],
    "one byte other": lambda data: data[:-50] + bytes([data[-50] ^ 1]) + data[-49:],
    "no head": lambda data: data[data.index(b"\n") + 1 :],
    "another head": lambda data: b'["a"]\n' + data,
    "a head of less": lambda data: b"{}\n" + data[data.index(b"\n") + 1 :],
    "pages that are none": lambda data: data.replace(b'"pages": ', b'"pages": "1", "": ', 1),
    "nested too deep": lambda data: b"[" * 100_000 + b"\n" + data,
}


@pytest.mark.parametrize("name", DAMAGES)
def test_a_damaged_entry_is_printed_anew_and_replaced(
    desk: Path, made: list[int], name: str
) -> None:
    first = printed(desk)
    (entry,) = entries(desk)
    whole = entry.read_bytes()
    entry.write_bytes(DAMAGES[name](whole))
    assert printed(desk) == first
    assert len(made) == 2
    assert entry.read_bytes() == whole
    printed(desk)
    assert len(made) == 2


def test_an_entry_under_the_name_of_another_is_not_given_out(desk: Path, made: list[int]) -> None:
    printed(desk)
    (first,) = entries(desk)
    printed(desk, "--draft")
    (second,) = set(entries(desk)) - {first}
    shutil.copy(first, second)
    printed(desk, "--draft")
    assert len(made) == 3


@pytest.mark.skipif(os.name != "posix", reason="rights as POSIX has them")
def test_folder_and_entries_are_for_their_owner_alone(desk: Path) -> None:
    before = os.umask(0o002)
    try:
        printed(desk)
    finally:
        os.umask(before)
    assert stat.S_IMODE((desk / "kept").stat().st_mode) == 0o700
    assert [stat.S_IMODE(each.stat().st_mode) for each in entries(desk)] == [0o600]


@pytest.mark.skipif(os.name != "posix", reason="rights as POSIX has them")
@pytest.mark.parametrize("mode", [0o770, 0o777, 0o1777])
def test_a_folder_that_others_can_write_to_is_refused(
    desk: Path, mode: int, capsys: pytest.CaptureFixture[str]
) -> None:
    (desk / "kept").mkdir()
    (desk / "kept").chmod(mode)
    words = ["print", str(desk / "one.plan.yaml"), "-o", str(desk / "out.pdf")]
    assert main([*words, "--cache", str(desk / "kept")]) == 2
    told = capsys.readouterr().err
    assert "others can write to it" in told and "name a folder of your own" in told
    assert not (desk / "out.pdf").exists()


def test_a_file_in_the_place_of_the_folder_is_told(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["print", str(desk / "one.plan.yaml"), "-o", str(desk / "out.pdf")]
    assert main([*words, "--cache", str(desk / "logo.svg")]) == 2
    assert "it is a file; name a folder" in capsys.readouterr().err
    assert (desk / "logo.svg").read_text("utf-8") == LOGO


def test_a_print_that_cannot_be_kept_is_a_print_all_the_same(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    first = printed(desk)
    (entry,) = entries(desk)
    entry.unlink()
    entry.mkdir()
    assert printed(desk) == first
    assert "printed but not kept" in capsys.readouterr().err


def test_a_link_in_the_folder_is_not_followed(desk: Path, made: list[int]) -> None:
    first = printed(desk)
    (entry,) = entries(desk)
    entry.rename(desk / "elsewhere")
    entry.symlink_to(desk / "elsewhere")
    assert printed(desk) == first
    assert len(made) == 2


def test_what_findings_stop_is_not_kept(desk: Path, made: list[int]) -> None:
    change(desk / "machine.yaml", "loop_max: 600", "loop_max: 20")
    words = ["print", str(desk / "one.plan.yaml"), "-o", str(desk / "out.pdf")]
    for _ in range(2):
        assert main([*words, "--cache", str(desk / "kept")]) == 1
    assert not entries(desk)
    assert len(made) == 2


def test_a_pack_without_some_of_its_jobs_is_not_kept(desk: Path, made: list[int]) -> None:
    change(desk / "two.plan.yaml", "plan: 1", "plan: 7")
    jobs = [str(desk / f"{name}.plan.yaml") for name in ("one", "two")]
    words = ["print", *jobs, "--keep-going", "-o", str(desk / "out.pdf")]
    words += ["--layout", str(desk / "pack.yaml"), "--cache", str(desk / "kept")]
    for _ in range(2):
        assert main(words) == 1
    assert not entries(desk)
    assert len(made) == 2
    change(desk / "two.plan.yaml", "plan: 7", "plan: 1")
    for _ in range(2):
        assert main(words) == 0
    assert len(made) == 3


def test_a_class_is_made_anew_each_time(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ["print", str(desk / "one.plan.yaml"), "-o", str(desk / "out.pdf"), "--class", "2"]
    assert main([*words, "--cache", str(desk / "kept")]) == 2
    assert "--cache has no effect with --class" in capsys.readouterr().err


def test_a_form_without_a_plan_is_kept_too(desk: Path, made: list[int]) -> None:
    first = printed(desk, "--layout", "survey-form", jobs=())
    assert printed(desk, "--layout", "survey-form", jobs=()) == first
    assert len(made) == 1


def kept_of(folder: Path, asked: str, size: int = 10) -> None:
    pdf = BytesIO(os.urandom(size))
    Kept(str(folder), __version__).keep(asked, {}, pdf, 1)


def age(folder: Path, asked: str, seconds: int) -> None:
    os.utime(folder / f"{asked}{ENDING}", (seconds, seconds))


def test_the_one_asked_for_longest_ago_goes_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(kept_prints, "MOST", 3)
    folder = tmp_path / "kept"
    for number, asked in enumerate("abc"):
        kept_of(folder, asked)
        age(folder, asked, 1_700_000_000 + number)
    assert Kept(str(folder), __version__).find("a") is not None
    kept_of(folder, "d")
    assert sorted(each.stem for each in folder.iterdir()) == ["a", "c", "d"]


def test_the_folder_stays_within_its_bytes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(kept_prints, "BYTES_MOST", 4_000)
    folder = tmp_path / "kept"
    for number, asked in enumerate("abcdef"):
        kept_of(folder, asked, 1_000)
        age(folder, asked, 1_700_000_000 + number)
        assert sum(each.stat().st_size for each in folder.iterdir()) <= 4_000
    assert (folder / f"f{ENDING}").exists()
    kept_of(folder, "large", 4_001)
    assert not (folder / f"large{ENDING}").exists()


def test_other_files_in_the_folder_stay(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(kept_prints, "MOST", 1)
    folder = tmp_path / "kept"
    kept_of(folder, "a")
    (folder / "notes.txt").write_text("x")
    kept_of(folder, "b")
    assert {each.name for each in folder.iterdir()} == {f"b{ENDING}", "notes.txt"}


def test_processes_that_keep_the_same_print_at_once_leave_a_whole_one(tmp_path: Path) -> None:
    folder = tmp_path / "kept"
    threads = [threading.Thread(target=kept_of, args=(folder, "a", 50_000)) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert Kept(str(folder), __version__).find("a") is not None
    assert len(list(folder.iterdir())) == 1


COMMAND = """
import sys
from renderer.cli import main
opened = []
sys.addaudithook(lambda event, of: opened.append((of[0], of[2])) if event == "open" else None)
code = main({words!r})
import json
names = [name for name, flags in opened if isinstance(name, (str, bytes)) and not flags & 3]
names = [name.decode() if isinstance(name, bytes) else name for name in names]
print(json.dumps([code, names, sorted(sys.modules)]))
"""


def run(words: list[str]) -> tuple[list[str], list[str]]:
    """The files that a process of its own opened to read, and the modules that it imported."""
    done = subprocess.run(
        [sys.executable, "-c", COMMAND.format(words=words)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    code, names, modules = json.loads(done.stdout)
    assert code == 0, done.stderr
    return names, modules


@pytest.mark.parametrize("job", ["one.plan.yaml", "day.day.yaml"])
def test_every_file_of_the_user_that_is_opened_is_among_those_compared(
    desk: Path, job: str
) -> None:
    """By what the interpreter says of files that are opened, not by what readers note."""
    layout = desk / ("pack.yaml" if job.endswith("day.yaml") else "layout.yaml")
    words = ["print", str(desk / job), "-o", str(desk / "out.pdf"), "--layout", str(layout)]
    names, _ = run([*words, "--cache", str(desk / "kept")])
    (entry,) = entries(desk)
    head = json.loads(entry.read_bytes().split(b"\n", 1)[0])
    opened = {each for each in names if each.startswith(f"{desk}/") and "/kept" not in each}
    assert opened == set(head["read"])
    assert len(opened) >= 4


def test_a_print_that_is_found_imports_nothing_heavy(desk: Path) -> None:
    words = ["print", str(desk / "one.plan.yaml"), "-o", str(desk / "out.pdf")]
    words += ["--layout", str(desk / "layout.yaml"), "--cache", str(desk / "kept")]
    _, first = run(words)
    assert set(first) & HEAVY
    _, again = run(words)
    assert not set(again) & HEAVY
    assert not [name for name in again if name.startswith("renderer.plan")]
