"""What travels in the wheel and the source archive."""

from __future__ import annotations

import subprocess
import sys
import tarfile
import zipfile
from typing import TYPE_CHECKING

import pytest

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


def test_the_wheel_puts_one_folder_in_site_packages(wheel: zipfile.ZipFile) -> None:
    tops = {name.split("/")[0] for name in wheel.namelist()}
    assert tops == {"renderer", f"pegline-{__version__}.dist-info"}


def test_the_wheel_holds_every_module_layout_and_face(wheel: zipfile.ZipFile) -> None:
    names = set(wheel.namelist())
    modules = {str(p.relative_to(ROOT)) for p in (ROOT / "renderer").rglob("*.py")}
    data = {
        f"renderer/{p.relative_to(ROOT)}"
        for folder in ("fonts", "layouts")
        for p in (ROOT / folder).rglob("*")
        if p.suffix in {".ttf", ".yaml", ".txt"}
    }
    assert {"renderer/layouts/crew-work-order.yaml", "renderer/fonts/OFL.txt"} <= data
    assert not (modules | data | {"renderer/py.typed"}) - names


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
