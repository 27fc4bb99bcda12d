"""A short run of the fuzz command in the suite, and that it finds what is wrong."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest

from renderer.explain import explanations
from renderer.plan import PlanError
from renderer.sheets import SheetError
from tests.fuzz import readers
from tests.fuzz.readers import FOREIGN, HEAD, READERS, SURVEYS, Reader, fill
from tests.fuzz.run import changed_file, fuzz, unfit

COUNTS = dict.fromkeys(READERS, 60) | {"plan": 20, "survey": 30, "dxf": 20}
# its reader asks for two taped lengths between points that this drawing names otherwise
NOT_READ = {("dxf", 2)}


@pytest.mark.parametrize("name", READERS)
def test_changed_files_are_read_or_refused(name: str) -> None:
    pytest.importorskip("ezdxf") if name == "dxf" else None
    tally = fuzz(name, COUNTS[name], seed=7)
    told = [f"--reader {name} --seed 7 --show {each.index}: {each.said}" for each in tally.faults]
    assert not told
    assert tally.read + tally.refused == COUNTS[name]
    assert tally.read and tally.refused and len(tally.messages) > 3


@pytest.mark.parametrize("name", READERS)
def test_files_to_begin_from_are_sound(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    pytest.importorskip("ezdxf") if name == "dxf" else None
    fill(tmp_path)
    monkeypatch.chdir(tmp_path)
    for index, data in enumerate(READERS[name].seeds()):
        if (name, index) not in NOT_READ:
            Path(READERS[name].name).write_bytes(data)
            READERS[name].read(READERS[name].name)


def test_a_file_is_the_same_for_a_seed() -> None:
    seeds = READERS["layout"].seeds()
    assert changed_file(seeds, 1, 5) == changed_file(seeds, 1, 5) != changed_file(seeds, 2, 5)


def _late(_: str) -> None:
    end = time.monotonic() + 20.0  # so that a watchdog that fails is a failed test
    while time.monotonic() < end:
        os.getpid()


def _broken(_: str) -> None:
    raise KeyError("wire")


@pytest.mark.parametrize(
    ("read", "said"), [(_late, "took more than 0.05 s"), (_broken, "a bug in pegline")]
)
def test_a_fault_is_found(read, said: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(readers.READERS, "none", Reader("g.none", read, lambda: (b"plan: 1\n",)))
    monkeypatch.setattr("tests.fuzz.run.CPU_MOST_S", 0.05)
    (fault,) = fuzz("none", 1, seed=1).faults
    assert said in fault.said


@pytest.mark.parametrize("line", ["", "a\tb", "x" * 2_000, "g: <class 'int'>", "at 0x7f00aa11"])
def test_a_line_that_is_not_fit_to_be_read(line: str) -> None:
    assert unfit(line)


# what the command has found, each in the least form that shows it
PAIRS = "0\nSECTION\n2\nENTITIES\n0\n{}\n8\nLAWN\n10\n1\n20\n1\n40\n1\n0\nENDSEC\n0\nEOF\n"
LINE = "    - [p1, p2, 4.5]\n"
LONG_NAME = FOREIGN["csv"][2].replace("p1,3.00,9.49", "p" * 5_000 + ",x,9.49")
FOUND = {
    "dxf": (PAIRS.format("CIRCEL"), PAIRS.format("CIRCLE").replace("CIRCLE\n8\nLAWN", "POINT")),
    "geojson": ('{"type": ["FeatureCollection"]}', '{"type": "Feature", "geometry": {"type": []}}'),
    "csv": (LONG_NAME,),
    "kml": (FOREIGN["kml"][0].replace("<coordinates>", "<coordinates>" + "[" * 3_000),),
    "survey": (SURVEYS[0].replace(LINE, LINE * 1_001),),
    "logo": (HEAD + '\u00e4\u00e4="1" viewBox="0 0 9 9"><g/></svg>',),
}


@pytest.mark.parametrize(("name", "text"), [(n, each) for n, of in FOUND.items() for each in of])
def test_what_was_found_is_refused_in_a_line(
    name: str,
    text: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    pytest.importorskip("ezdxf") if name == "dxf" else None
    monkeypatch.chdir(tmp_path)
    Path(READERS[name].name).write_text(text, "utf-8")
    with pytest.raises((PlanError, SheetError)) as caught:
        READERS[name].read(READERS[name].name)
    assert not [why for line in explanations(caught.value) if (why := unfit(line))]
    assert capsys.readouterr().err == ""
