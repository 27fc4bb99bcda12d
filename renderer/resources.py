"""Where the data folders are, in a checkout and in an installed wheel."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def fonts() -> Path:
    """The folder of the embedded faces. Raises FileNotFoundError when there is none."""
    return _folder("fonts")


def layouts() -> Path:
    """The folder of the page layouts. Raises FileNotFoundError when there is none."""
    return _folder("layouts")


def demo() -> Path:
    """The folder of the demo's plans. Raises FileNotFoundError when there is none."""
    return _folder("demo")


def _folder(name: str) -> Path:
    """Inside the package if it is installed, beside the package in a checkout."""
    for parent in (_PACKAGE, _PACKAGE.parent):
        folder = parent / name
        if folder.is_dir():
            return folder
    raise FileNotFoundError(
        f"the folder {name!r} is neither in {_PACKAGE} nor beside it: incomplete installation"
    )
