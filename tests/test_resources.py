"""The data folders are found in a checkout and in an installed package."""

from __future__ import annotations

from pathlib import Path

import pytest

from renderer import resources
from renderer.text import FACE_FILES


def test_folders_of_this_checkout() -> None:
    assert {path.name for path in resources.fonts().glob("*.ttf")} == set(FACE_FILES.values())
    assert (resources.fonts() / "OFL.txt").is_file()
    assert resources.layouts().is_dir()


def test_a_folder_inside_the_package_comes_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = tmp_path / "site-packages" / "renderer"
    (package / "fonts").mkdir(parents=True)
    (package.parent / "fonts").mkdir()
    monkeypatch.setattr(resources, "_PACKAGE", package)
    assert resources.fonts() == package / "fonts"


def test_a_missing_folder_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(resources, "_PACKAGE", tmp_path / "renderer")
    with pytest.raises(FileNotFoundError, match="'fonts'"):
        resources.fonts()
