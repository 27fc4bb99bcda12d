"""What SECURITY.md promises: the bounds are those of the code, and a print opens nothing else."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

from renderer import explain, formats
from renderer.archive import codes, extract, pdf_in, scan
from renderer.drawing import cells
from renderer.formats import found
from renderer.plan import PlanError, files, loads, model, rings, surveyed, texts, tree
from renderer.sheets import logo, logo_plain, logo_svg
from tests.plans import ROOT

BOUNDS = {
    "a plan, machine, layout or day file": (files.BYTES_MAX / 1e6,),
    "things in one list, keys in one mapping": (tree.LIST_MAX,),
    "lists and mappings in each other": (tree.DEPTH_MAX,),
    "obstacles of a plan; features of a plan": (model.THINGS_MAX,),
    "lawns of a plan; loops of a plan": (model.LAWNS_MAX,),
    "letters of a text; of a title, a person, a line of an address; of a name": (
        *(texts.TEXT_MAX, texts.LINE_MAX, texts.NAME_MAX),
    ),
    "lines of an address": (model.SITE_LINES_MAX,),
    "a garden across": (rings.EXTENT_MAX_M / 1000,),
    "sheets that one plan is divided into": (cells.MOST_TILES,),
    "a logo": (logo.BYTES_MOST / 1e6, logo.PIXELS_MOST / 1e6),
    "parts and curve points of a drawn logo": (logo_plain.PARTS_MOST, logo_svg.POINTS_MOST),
    "another program's file": (formats.BYTES_MOST / 1e6, found.POINTS_MOST, found.SHAPES_MOST),
    "readings of a survey": (surveyed.READINGS_MAX,),
    "a PDF that a plan is taken from": (extract.READ_MAX / 1e6, pdf_in.FILES_MOST),
    "what a part of such a PDF unfolds to; all its parts; all files in it": (
        *(pdf_in.STREAM_MAX / 1e6, pdf_in.UNFOLDED_MAX / 1e6, pdf_in.ALL_BYTES_MAX / 1e6),
    ),
    "a picture that a plan is read from; pages of a PDF of scans": (
        *(scan.PIXELS_MOST / 1e6, scan.PAGES_MOST),
    ),
    "square codes of a plan": (codes.CODES_MOST,),
    "mistakes listed of one file": (explain.MISTAKES_MOST,),
}
LAWN = (ROOT / "demo" / "practice-lawn.plan.yaml").read_text("utf-8")


def test_the_table_of_bounds_is_what_the_code_keeps() -> None:
    text = (ROOT / "SECURITY.md").read_text("utf-8")
    rows = dict(re.findall(r"^\| ([^|]+) \| ([^|]+) \|$", text, re.MULTILINE))
    del rows["what"], rows["---"]
    stated = {
        what: tuple(float(n.replace(",", "")) for n in re.findall(r"\d[\d,]*", most))
        for what, most in rows.items()
    }
    assert stated == BOUNDS


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (LAWN + "#" * files.BYTES_MAX, "the file is larger than 4 MB"),
        (LAWN.replace("notes: [", "notes: [" + "x, " * 20_001), "holds more than 20,000 things"),
        (
            re.sub(r"obstacles:\n", "obstacles:\n" + "  - {name: a}\n" * 2_001, LAWN),
            "a plan holds at most 2,000; split the garden into plans",
        ),
        (LAWN.replace("notes: [", "notes: [" + "[" * 41), "nested more than 40 deep"),
        (json.dumps({"plan": ["1"] * 20_001}), "holds more than 20,000 things"),
        (
            json.dumps({f"key{n}": 1 for n in range(20_001)}),
            "holds more than 20,000 things",
        ),
        (LAWN.replace("notes: [", "notes: [" + "x" * 2_001 + ", "), "keep it to 2000 or fewer"),
        (re.sub("title: .*", "title: " + "x" * 151, LAWN), "keep it to 150 or fewer"),
        (re.sub("site: .*", f"site: {list(range(7))}", LAWN), "keep it to 6 lines"),
    ],
)
def test_beyond_a_bound_a_file_is_refused(text: str, says: str, tmp_path: Path) -> None:
    path = tmp_path / "large.plan.yaml"
    path.write_text(text, "utf-8")
    (tmp_path / "machine.yaml").write_bytes((ROOT / "demo" / "machine.yaml").read_bytes())
    with pytest.raises(PlanError) as refused:
        loads(files.text_of(str(path)), str(path), tmp_path)
    assert any(says in str(each) for each in refused.value.all), str(refused.value)


WATCH = """
import sys
seen = []
def watch(event, arguments):
    if event == "open" and isinstance(arguments[0], str):
        seen.append((arguments[0], arguments[1] or ""))
    elif event.split(".")[0] in ("socket", "subprocess", "urllib", "ftplib", "http", "webbrowser"):
        seen.append((event, "outside"))
    elif event in ("os.system", "os.exec", "os.posix_spawn", "os.fork", "exec.code"):
        seen.append((event, "outside"))
from renderer.cli import main
sys.addaudithook(watch)
assert main(["print", "garden.plan.yaml", "-o", "out.pdf"]) == 0
assert main(["draw", "garden.plan.yaml", "-o", "out.svg"]) == 0
for path, mode in seen:
    print(mode, path, sep="\\t")
"""


def test_a_print_opens_its_files_and_writes_its_output_and_nothing_else(tmp_path: Path) -> None:
    """By the interpreter's own audit events (PEP 578): files opened, addresses, processes."""
    (tmp_path / "garden.plan.yaml").write_text(LAWN, "utf-8")
    (tmp_path / "machine.yaml").write_bytes((ROOT / "demo" / "machine.yaml").read_bytes())
    done = subprocess.run(
        [sys.executable, "-B", "-c", WATCH],
        cwd=tmp_path, capture_output=True, text=True, check=False, env={"PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    seen = [line.split("\t") for line in done.stdout.splitlines()]
    assert not [path for mode, path in seen if mode == "outside"]
    written = {Path(path).name for mode, path in seen if set(mode) & set("wxa+")}
    assert all(re.fullmatch(r"\.pegline-[0-9a-f]+\.part", name) for name in written), written
    assert len(written) == 2
    read = {path for mode, path in seen if not set(mode) & set("wxa+")}
    own = {"garden.plan.yaml", "machine.yaml"}
    homes = {
        ".reportlab_settings",
        ".reportlab_mods",
    }  # looked for by that library; see SECURITY.md
    places = (str(ROOT), sys.prefix, sys.base_prefix, str(tmp_path))
    strange = {
        path
        for path in read
        if Path(path).name not in own | homes
        and not path.startswith(places)
        and "/lib/" not in path
    }
    assert not strange
