"""A kind more of side, obstacle and feature is one place in the code and one in each catalogue.

As DEVELOPERS.md says, in a copy of the package: every document is then printed in two languages.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pymupdf
import pytest

from renderer.language import languages
from tests.plans import ROOT
from tests.test_developers import shown

CODE = Path("renderer/plan/kinds.py")
ADDED = {
    '"drop", "road", "neighbour"\n': '"drop", "road", "neighbour", "gravel"\n',
    '"firm", "low", "soft", "tree"]': '"firm", "low", "soft", "tree", "statue"]',
    '    "metal",\n]': '    "metal",\n    "tap",\n]',
    '"neighbour": BorderUse(),': '"neighbour": BorderUse(),\n'
    + shown("python", '"gravel": BorderUse'),
    '"tree": BorderUse(stops_tape=True),': '"tree": BorderUse(stops_tape=True),\n'
    '        "statue": BorderUse(drawn_as="low"),',
    '"metal": FeatureUse(line="middle"),': '"metal": FeatureUse(line="middle"),\n'
    + shown("python", '"tap": FeatureUse'),
}
WORDS = """
gravel: {name: grit strip NN}
statue: {name: stone figure NN}
"""
PLAN = ROOT / "demo" / "practice-lawn.plan.yaml"
EXTRA = """
  - {name: Old Ada, kind: statue, circle: {at: [4, 2.5], radius: 0.2}}
features:
  - {name: South tap, kind: tap, at: [11.5, -0.4]}
  - {name: Tap pipe, kind: tap, line: [[11.5, -0.4], [13, -0.4]], depth: 0.4}
"""
SCRIPT = """
import sys
from renderer.cli import main
for each in sys.argv[1:]:
    assert main(each.split("|")) == 0, each
"""
PRINT = """
import sys
from pathlib import Path
from renderer import load, prepare, print_sheets
job = prepare(load(sys.argv[1]))
for each in sys.argv[2:]:
    layout, language = each.split("|")
    pdf = print_sheets([job], layout=layout, language=language, draft=True)
    Path(f"{layout}-{language}.pdf").write_bytes(pdf)
"""


@dataclass(frozen=True)
class Copy:
    """A copy of the package with the kinds added, and a plan that has each of them."""

    folder: Path
    plan: Path

    def run(self, *commands: str, script: str = SCRIPT) -> str:
        """What the copy's own command writes, command after command in one process."""
        done = subprocess.run(
            [sys.executable, "-c", script, *commands],
            cwd=self.folder, capture_output=True, text=True, check=False,
        )  # fmt: skip
        assert done.returncode == 0, done.stderr
        return done.stdout


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Copy:
    folder = tmp_path_factory.mktemp("kinds")
    for part in ("renderer", "layouts", "fonts"):
        shutil.copytree(ROOT / part, folder / part, ignore=shutil.ignore_patterns("__pycache__"))
    code = (folder / CODE).read_text("utf-8")
    for old, new in ADDED.items():
        assert code.count(old) == 1, old
        code = code.replace(old, new)
    (folder / CODE).write_text(code, "utf-8")
    _add_symbol(folder / "renderer" / "drawing" / "symbols.py")
    for language in languages():
        with (folder / "layouts" / "words" / f"{language}.kinds.yaml").open("a") as file:
            file.write(WORDS.replace("NN", language) + shown("yaml", "tap:"))
    return Copy(folder, _plan(folder))


def _add_symbol(file: Path) -> None:
    """The guide's symbol, in the module and in its table."""
    function, _, line = shown("python", "def tap").partition('\n"tap": ')
    code = file.read_text("utf-8")
    before, table, after = code.partition("SYMBOLS: dict[str, Symbol] = {\n")
    assert table
    file.write_text(f'{before}{function}\n\n{table}    "tap": {line}{after}', "utf-8")


def _plan(folder: Path) -> Path:
    """The practice lawn with a gravel side, a statue and two taps."""
    machine = (ROOT / "demo" / "machine.yaml").read_text("utf-8")
    more = "setback:\n  gravel: 0.2\n  statue: 0.3\n"
    machine, count = re.subn(r"setback:\n", more, machine)
    assert count == 1
    (folder / "machine.yaml").write_text(machine, "utf-8")
    plan = PLAN.read_text("utf-8")
    plan, count = re.subn(r"\[12, 0, fence\]", "[12, 0, gravel]", plan)
    assert count == 1
    plan, count = re.subn(r"\nfeatures:\n", EXTRA, plan)
    assert count == 1
    path = folder / "kinds.plan.yaml"
    path.write_text(plan, "utf-8")
    return path


def test_every_document_prints_with_a_kind_more(copy: Copy) -> None:
    layouts = sorted(path.stem for path in (copy.folder / "layouts").glob("*.yaml"))
    layouts.remove("survey-report")  # refused where a plan has no readings
    assert len(layouts) > 8
    assert '"tap": ' in (copy.folder / "renderer" / "drawing" / "symbols.py").read_text("utf-8")
    wanted = [f"{name}|{language}" for name in layouts for language in ("en", "de")]
    copy.run(copy.plan.name, *wanted, script=PRINT)
    for name, words in {
        "crew-work-order": ("grit strip NN", "stone figure NN", "South tap"),
        "wiring-map": ("grit strip NN",),
        "survey-form": ("grit strip NN", "stone figure NN", "outdoors, and its pipe"),
        "exercise": ("grit strip NN", "stone figure NN"),
    }.items():
        for language in ("en", "de"):
            with pymupdf.open(copy.folder / f"{name}-{language}.pdf") as pages:
                text = " ".join(" ".join(page.get_text() for page in pages).split())
            for each in words:
                said = each.replace("NN", language).lower()
                assert said in text.lower(), (name, said)


def test_the_schema_a_drawing_and_the_checks_know_it(copy: Copy) -> None:
    told = copy.run("schema", f"check|{copy.plan.name}", f"draw|{copy.plan.name}|-o|one.svg")
    assert all(f'"{kind}"' in told for kind in ("gravel", "statue", "tap"))
    assert "Old Ada" in (copy.folder / "one.svg").read_text("utf-8")
