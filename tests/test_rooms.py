"""The arrows between the rooms: who may import whom, and where each library may be used."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import networkx
import pytest

PACKAGE = Path(__file__).resolve().parent.parent / "renderer"

DRAWN = {"units", "primitives"}
FIGURES = {"units", "trade"}
MAY_IMPORT: dict[str, set[str]] = {
    "units": set(),
    "resources": set(),
    "trade": set(),
    "progress": set(),
    "early": set(),
    "options": set(),
    "inputs": set(),
    "packed": set(),
    "frozen": set(),
    "primitives": {"units", "geometry"},
    "geometry": set(),
    "survey": {"progress"} | FIGURES,
    "plan": {"survey", "inputs", "progress"} | FIGURES,
    "formats": {"plan", "geometry", "ground", "job"} | FIGURES,
    "language": {"resources"} | FIGURES,
    "ground": {"plan", "geometry"} | FIGURES,
    "records": {"plan", "ground", "geometry"} | FIGURES,
    "checks": {"plan", "ground", "geometry", "progress"} | FIGURES,
    "findings_text": {"plan", "checks", "language"},
    "text": {"units", "resources"},
    "job": {
        *("plan", "ground", "records", "checks", "findings_text", "language", "progress"),
    }
    | FIGURES,
    "teaching": {"plan", "ground", "checks", "job", "language", "geometry", "progress"} | FIGURES,
    "compare": {"plan", "ground", "records", "job", "findings_text", "language", "geometry"}
    | FIGURES,
    "fault": {"plan", "ground", "job"} | FIGURES,
    "drawing": {
        *("plan", "ground", "checks", "job", "text", "language", "geometry", "progress", "packed"),
    }
    | DRAWN
    | FIGURES,
    "sheets": {
        *("survey", "plan", "ground", "checks", "findings_text", "job", "drawing", "teaching"),
        *("text", "resources", "language", "geometry", "progress", "options", "inputs", "packed"),
        *("archive", "compare", "fault"),
    }
    | DRAWN
    | FIGURES,
    "batch": {
        *("plan", "ground", "checks", "job", "drawing", "sheets"),
        *("text", "language", "progress", "packed"),
    }
    | DRAWN
    | FIGURES,
    "archive": {"plan"} | DRAWN,
    "output": {"text", "progress"} | DRAWN,
    "inks": {"primitives", "options"},
    "preview": {
        *("plan", "ground", "checks", "job", "drawing", "sheets", "batch", "output"),
        *("text", "language", "geometry", "options", "inks", "inputs", "explain"),
        "primitives",
    },
    "check_report": {"plan", "job", "language"},
    "editors": {"plan", "output"},
    "display": {"findings_text", "language"},
    "completion": set(),
    "demo_day": {"output", "resources"},
    "kept_prints": {"output", "resources", "inputs"},
    "report": {"plan", "ground", "findings_text", "job", "language"},
    "fault_report": {"fault", "ground", "job", "language", "report"} | FIGURES,
    "compare_report": {"compare", "ground", "findings_text", "job", "report"} | FIGURES,
    "survey_report": {"survey", "units"},
}
EVERYWHERE = {"frozen"}
ANYTHING = {"", "__main__", "cli", "commands", "explain", "terminal", "alias"}

ONLY_IN: dict[str, tuple[str, ...]] = {
    "reportlab": ("output/pdf.py", "output/pdf_file.py", "output/pdf_parts.py"),
    "svgwrite": ("output/svg.py",),
    "svgelements": ("sheets/logo_svg.py",),
    "pypdfium2": ("output/png.py", "archive/pdf_in.py"),
    "PIL": ("output/png.py", "sheets/logo.py", "archive/scan.py"),
    "zxingcpp": ("archive/scan.py",),
    "segno": ("sheets/code.py",),
    "shapely": ("ground/", "records/", "drawing/", "checks/", "compare/"),
    "pydantic": ("plan/", "sheets/layout.py"),
    "yaml": ("plan/", "language/words.py"),
    "babel": ("language/cldr.py",),
    "ezdxf": ("formats/dxf.py",),
    "shtab": ("completion.py",),
}
HEAVY = {
    "numpy",
    "shapely",
    "pydantic",
    "reportlab",
    "svgwrite",
    "svgelements",
    "yaml",
    "segno",
    "pypdfium2",
    "babel",
    "ezdxf",
    "zxingcpp",
}


def sources() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


def room_of(path: Path) -> str:
    """The room's folder, a module's name at the top, or nothing for the package's own module."""
    first = path.relative_to(PACKAGE).parts[0]
    return "" if first == "__init__.py" else first.removesuffix(".py")


def imported(source: str, package: str = "renderer") -> set[str]:
    """Every module that the source imports at any depth, inside functions too, as dotted names."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = node.module or ""
            if node.level:
                parts = package.split(".")
                kept = parts[: len(parts) - node.level + 1]
                base = ".".join([*kept, *([base] if base else [])])
            found |= {f"{base}.{alias.name}" for alias in node.names}
    return found


def package_of(path: Path) -> str:
    return ".".join(["renderer", *path.relative_to(PACKAGE).parent.parts])


def wrong_arrows(room: str, modules: set[str]) -> set[str]:
    """The modules of ours that a room may not import."""
    allowed = MAY_IMPORT[room] | EVERYWHERE | {room}
    ours = {name for name in modules if name.split(".")[0] == "renderer"}
    return {name for name in ours if ([*name.split("."), ""])[1] not in allowed}


@pytest.mark.parametrize("path", sources(), ids=lambda p: str(p.relative_to(PACKAGE)))
def test_arrows_run_one_way(path: Path) -> None:
    room = room_of(path)
    if room in ANYTHING:
        return
    assert not wrong_arrows(room, imported(path.read_text("utf-8"), package_of(path)))


@pytest.mark.parametrize("path", sources(), ids=lambda p: str(p.relative_to(PACKAGE)))
def test_each_library_stays_in_its_place(path: Path) -> None:
    relative = path.relative_to(PACKAGE).as_posix()
    for name in imported(path.read_text("utf-8"), package_of(path)):
        places = ONLY_IN.get(name.split(".")[0])
        assert places is None or relative.startswith(places), f"{relative} imports {name}"


def module_of(path: Path) -> str:
    parts = ["renderer", *path.relative_to(PACKAGE).with_suffix("").parts]
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def at_run_time(source: str) -> str:
    """The source without what is imported for type checkers alone."""
    tree = ast.parse(source)
    for node in ast.walk(tree):
        if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING":
            node.body = [ast.Pass()]
    return ast.unparse(tree)


def test_no_module_imports_itself_by_way_of_others() -> None:
    """Inside functions neither: a circle that is broken late is a circle."""
    modules = {module_of(path): path for path in sources()}
    arrows = networkx.DiGraph()
    for module, path in modules.items():
        for name in imported(at_run_time(path.read_text("utf-8")), package_of(path)):
            home = name if name in modules else name.rpartition(".")[0]
            if home in modules and home != module:
                arrows.add_edge(module, home)
    assert arrows.number_of_edges() > 1000
    circles = [sorted(part) for part in networkx.strongly_connected_components(arrows)]
    assert [part for part in circles if len(part) > 1] == []


# What is worked out for a whole job; sheets take it from the job, where it is worked out once.
OF_THE_JOB = {
    "ground": {"lay_plan"},
    "ground.engine": {"lay_plan", "walk_plan", "lay_walked"},
    "ground.gauges": {"gauges", "gauge_of", "boards"},
    "ground.minutes": {"crew_minutes"},
    "ground.references": {"references"},
    "ground.supply": {"supply_run"},
    "ground.tapes": {"tapes_of"},
    "ground.bands": {"rate_of", "left_out"},
    "checks": {"check_plan", "cautions"},
}


def test_sheets_take_from_the_job_what_is_worked_out_for_it() -> None:
    whole = {f"renderer.{home}.{name}" for home, names in OF_THE_JOB.items() for name in names}
    for path in (PACKAGE / "sheets").rglob("*.py"):
        assert not whole & imported(path.read_text("utf-8")), path


def test_every_room_is_known() -> None:
    rooms = {room_of(path) for path in sources()}
    assert rooms <= set(MAY_IMPORT) | ANYTHING


@pytest.mark.parametrize(
    "source",
    [
        "from renderer.output import pdf",
        "import renderer.sheets.flow",
        "def late():\n    from renderer.drawing import tiled",
        "from renderer import cli",
        "from ..sheets import flow",
        "from .. import output",
    ],
)
def test_an_arrow_that_runs_back_is_seen(source: str) -> None:
    assert wrong_arrows("ground", imported(source, "renderer.ground"))


@pytest.mark.parametrize(
    "source", ["from renderer.plan import model", "from .lay import Lay", "import numpy"]
)
def test_an_arrow_that_runs_on_is_let_pass(source: str) -> None:
    assert not wrong_arrows("ground", imported(source, "renderer.ground"))


@pytest.mark.parametrize(
    "code",
    [
        "import renderer",
        "import renderer.cli",
        "import renderer.plan.errors",
        "from renderer.cli import main; main(['--version'])",
        "from renderer.cli import main; main(['--help'])",
    ],
)
def test_nothing_heavy_is_imported_before_there_is_work(code: str) -> None:
    script = (
        "import sys\n"
        f"try:\n    exec({code!r})\n"
        "except SystemExit:\n    pass\n"
        f"heavy = {sorted(HEAVY)!r}\n"
        "print('loaded:', *[name for name in heavy if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", script],
        capture_output=True,
        text=True,
        check=True,
        cwd=PACKAGE.parent,
    )
    assert done.stdout.splitlines()[-1].split() == ["loaded:"]
