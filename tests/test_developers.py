"""What DEVELOPERS.md shows works as it stands there."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from renderer.checks import services
from renderer.checks.case import Case
from renderer.drawing import symbols
from renderer.findings_text import sentence
from renderer.ground.setting_out import SettingOut
from renderer.language import load_words
from renderer.language.show import Show
from renderer.output.recorder import record
from renderer.output.shapes import drawing_page
from renderer.plan import load_day
from renderer.primitives import Drawing, Text
from renderer.sheets import load_layout
from renderer.sheets.pages import frame_of, sheet_of
from renderer.sheets.piece import Piece
from renderer.sheets.use import BlockUse
from tests.checks.jobs import JOB, changed, plan_of
from tests.plans import ROOT
from tests.shared import lay_plan
from tests.sheets.sample import job

PAGE = (ROOT / "DEVELOPERS.md").read_text("utf-8")
SVG = 'xmlns="http://www.w3.org/2000/svg" width="9" height="9"'
LOGO = f'<svg {SVG}><circle cx="4" cy="4" r="4"/></svg>'


def shown(language: str, start: str) -> str:
    """The one piece of code of a language with this at the beginning of a line."""
    found = re.findall(rf"```{language}\n(.*?)```", PAGE, re.DOTALL)
    (code,) = [each for each in found if re.search(rf"^{re.escape(start)}", each, re.MULTILINE)]
    return code


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "logo.svg").write_text(LOGO)
    (tmp_path / "pegs-and-plan.yaml").write_text(shown("yaml", "document: Pegs and plan"))
    (tmp_path / "van.yaml").write_text(shown("yaml", "document: Van sheets"))
    return tmp_path


def test_the_layout_of_a_job_is_read(folder: Path) -> None:
    layout = load_layout(folder / "pegs-and-plan.yaml")
    assert [use.block for use in layout.blocks] == ["job", "plan", "peg-list"]
    assert layout.header.logo


def test_the_layout_of_a_pack_is_read(folder: Path) -> None:
    layout = load_layout(folder / "van.yaml")
    assert layout.each is not None
    assert layout.each.document == "Pegs and plan"
    assert layout.two_sided


def test_the_day_file_is_read(tmp_path: Path) -> None:
    for name in ("quarry-lane.plan.yaml", "machine.yaml"):
        shutil.copy(ROOT / "demo" / name, tmp_path)
    path = tmp_path / "today.day.yaml"
    path.write_text(shown("yaml", "day: 1"))
    day, plans = load_day(path)
    assert (day.crew, len(plans), day.stock.pegs) == ("Van 1", 1, 400)


def test_the_check_finds_its_mistake_and_no_other() -> None:
    code = shown("python", "def depth_not_stated").partition("\n\n\nRule(")[0]
    text = "{name}, {away} away: how deep?"
    names = dict(vars(services))
    exec(code, names)
    show = Show("m", load_words(part="findings").altered({"depth-not-stated.found": text}))
    found = {}
    for depth in (None, 0.6):
        plan = plan_of(changed(JOB, {"features.4.depth": depth} if depth else {}))
        lay = lay_plan(plan)
        hits = names["depth_not_stated"](Case(plan, lay, SettingOut(plan, lay)))
        found[depth] = [sentence(show, hit.key, hit.facts, hit.apart) for hit in hits]
    assert found == {None: ["Lamp cable, 0.00 m away: how deep?"], 0.6: []}


def test_the_symbol_draws_within_its_room() -> None:
    code, _, line = shown("python", "def tap").partition('\n"tap": ')
    names = dict(vars(symbols))
    exec(code, names)
    symbol = eval(line.strip().rstrip(","), names)
    drawn = record(drawing_page(Drawing(100, 100, symbol.at((50.0, 50.0)))))
    assert len(drawn) == 2
    for each in drawn:
        assert max(abs(side - 50.0) for side in each.box) <= symbol.radius_mm + 0.3


def test_the_block_makes_pieces() -> None:
    code = shown("python", "from renderer.sheets.kit").partition('\n"notes": Block')[0]
    names: dict[str, object] = {}
    exec(code, names)
    layout = load_layout("crew-work-order")
    sheet = sheet_of(job(), layout, *frame_of("A4", False), None, 1)
    pieces = names["build"](sheet, BlockUse(block="job", title="Notes"))  # type: ignore[operator]
    assert all(isinstance(piece, Piece) for piece in pieces)
    texts = [item.text for piece in pieces for item in piece.items if isinstance(item, Text)]
    assert texts == ["Notes", "Bring the long tapes"]
