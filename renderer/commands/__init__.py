"""What each command of ``pegline`` does, once its arguments are read; gives its exit code."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

from renderer.terminal import told_while

if TYPE_CHECKING:
    import argparse

# where a command is not in the module of its own name
ELSEWHERE = {
    "draw": "lay",
    "survey": "lay",
    "new": "start",
    "demo": "start",
    "completion": "start",
    "schema": "start",
    "layouts": "start",
}


def run(name: str, arguments: argparse.Namespace) -> int:
    """Does what the command of a name is for; only its own module is imported."""
    module = import_module(f"{__name__}.{ELSEWHERE.get(name, name)}")
    with told_while(name):
        code: int = getattr(module, f"run_{name}")(arguments)
    return code
