"""What travels in the wheel and the source archive."""

from __future__ import annotations

import os
import subprocess
import sys
import tarfile
import tomllib
import zipfile
from typing import TYPE_CHECKING

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from renderer import __version__
from tests.plans import ROOT

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a freshly built source archive and wheel."""
    folder = tmp_path_factory.mktemp("dist")
    subprocess.run(
        [sys.executable, "-m", "build", "--no-isolation", "--outdir", str(folder), str(ROOT)],
        check=True,
        capture_output=True,
    )
    return folder


@pytest.fixture(scope="module")
def wheel(built: Path) -> zipfile.ZipFile:
    return zipfile.ZipFile(built / f"pegline-{__version__}-py3-none-any.whl")


def test_the_wheel_puts_the_package_and_its_name_in_site_packages(wheel: zipfile.ZipFile) -> None:
    tops = {name.split("/")[0] for name in wheel.namelist()}
    assert tops == {"renderer", "pegline", f"pegline-{__version__}.dist-info"}
    own = {name for name in wheel.namelist() if name.startswith("pegline/")}
    assert own == {"pegline/__init__.py", "pegline/py.typed"}


def test_the_wheel_holds_every_module_layout_face_and_demo_plan(wheel: zipfile.ZipFile) -> None:
    names = set(wheel.namelist())
    alias = ROOT / "renderer/alias"  # the name pegline, which stands beside the package
    modules = {
        str(p.relative_to(ROOT))
        for p in (ROOT / "renderer").rglob("*.py")
        if not p.is_relative_to(alias)
    }
    data = {
        f"renderer/{p.relative_to(ROOT)}"
        for folder in ("fonts", "layouts")
        for p in (ROOT / folder).rglob("*")
        if p.suffix in {".ttf", ".yaml", ".txt"}
    }
    data |= {f"renderer/demo/{p.name}" for p in (ROOT / "demo").glob("*.yaml")}
    data |= {str(p.relative_to(ROOT)) for p in (ROOT / "renderer/preview/page").iterdir()}
    assert {"renderer/layouts/crew-work-order.yaml", "renderer/fonts/OFL.txt"} <= data
    assert not (modules | data | {"renderer/py.typed"}) - names


@pytest.fixture(scope="module")
def site(wheel: zipfile.ZipFile, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder for packages in which the wheel is installed, and nothing else of ours."""
    folder = tmp_path_factory.mktemp("site")
    wheel.extractall(folder)
    return folder


def run_installed(site: Path, *arguments: str) -> str:
    """What an interpreter says that has the wheel installed, away from any checkout."""
    done = subprocess.run(
        [sys.executable, *arguments],
        cwd=site.parent,
        env=os.environ | {"PYTHONPATH": str(site)},
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout


SAME = """
import pickle, sys
import pegline, pegline.ground.lay, pegline.plan
from pegline.job import Job
import renderer, renderer.ground.lay
assert renderer.__file__.startswith(sys.argv[1]), renderer.__file__
assert pegline is renderer and pegline.ground.lay is renderer.ground.lay
assert sys.modules["pegline.plan"] is sys.modules["renderer.plan"]
assert renderer.plan.__spec__.name == renderer.plan.__name__ == "renderer.plan"
job = pegline.prepare(pegline.load(sys.argv[2]))
assert type(job) is Job is renderer.prepare(job.plan).__class__
assert pickle.loads(pickle.dumps(job)).digest == job.digest
try:
    import pegline.nothing_of_this_name
except ModuleNotFoundError:
    print("pegline", pegline.__version__)
"""


def test_an_installed_wheel_is_imported_by_either_name(site: Path) -> None:
    lawn = ROOT / "demo/practice-lawn.plan.yaml"
    told = run_installed(site, "-c", SAME, str(site), str(lawn))
    assert told == f"pegline {__version__}\n"


@pytest.mark.parametrize("name", ["pegline", "renderer"])
def test_either_name_is_the_command(site: Path, name: str) -> None:
    assert run_installed(site, "-m", name, "--version") == f"pegline {__version__}\n"


def test_the_command_and_the_licences_are_declared(wheel: zipfile.ZipFile) -> None:
    info = f"pegline-{__version__}.dist-info"
    assert "pegline = renderer.cli:command" in wheel.read(f"{info}/entry_points.txt").decode()
    assert {f"{info}/licenses/LICENSE", f"{info}/licenses/fonts/OFL.txt"} <= set(wheel.namelist())


def test_the_source_archive_holds_what_the_tests_need(built: Path) -> None:
    with tarfile.open(built / f"pegline-{__version__}.tar.gz") as archive:
        names = {name.split("/", 1)[1] for name in archive.getnames() if "/" in name}
    wanted = {"pyproject.toml", "README.md", "DEVELOPERS.md", "demo/machine.yaml"}
    wanted |= {"tests/test_packaging.py", "fonts/OFL.txt", "layouts/crew-work-order.yaml"}
    assert not wanted - names


def test_the_lowest_versions_are_tried_of_every_library() -> None:
    """By the reader of requirements that packaging has: every lower bound, and no other version."""
    command = ROOT / ".ci/versions"
    if not command.exists():
        pytest.skip("no .ci here, as in the source archive")
    path = os.pathsep.join((os.path.dirname(sys.executable), os.environ["PATH"]))
    told = subprocess.run(
        ["bash", str(command), "--pins"],
        env=os.environ | {"PATH": path},
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    tried = {each.name: each for each in map(Requirement, told.splitlines())}
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    extras = project["optional-dependencies"]
    for_users = [each for name in ("speed", "dxf", "completion", "scan") for each in extras[name]]
    stated = {each.name: each for each in map(Requirement, project["dependencies"] + for_users)}
    assert set(tried) == set(stated)
    for name, wanted in stated.items():
        (lowest,) = [each.version for each in wanted.specifier if each.operator == ">="]
        assert str(tried[name].specifier) == f"=={lowest}", name


def test_no_library_is_asked_for_twice_in_one_list() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    for texts in (project["dependencies"], *project["optional-dependencies"].values()):
        names = [canonicalize_name(Requirement(each).name) for each in texts]
        assert len(names) == len(set(names)), names
