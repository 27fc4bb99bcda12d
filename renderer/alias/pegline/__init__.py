"""``import pegline``: the package ``renderer`` by the name that it is installed by.

There is one copy of the code: ``pegline`` is the module ``renderer`` and ``pegline.ground`` the
module ``renderer.ground``, so that values, classes and pickles of the one are those of the other.
"""

from __future__ import annotations

import sys
from importlib import import_module
from importlib.abc import Loader, MetaPathFinder
from importlib.machinery import ModuleSpec
from importlib.util import find_spec
from typing import TYPE_CHECKING

import renderer
from renderer import *  # noqa: F403 - what type checkers see

if TYPE_CHECKING:
    from collections.abc import Sequence
    from types import ModuleType

HERE = f"{__name__}."
MAIN = f"{HERE}__main__"  # is run, not imported: found in the folder of renderer as it is


class _SameModule(Loader):
    """Loads nothing: gives the module of the other name, and leaves it as it was."""

    def __init__(self, theirs: ModuleSpec) -> None:
        self._theirs = theirs

    def create_module(self, spec: ModuleSpec) -> ModuleType:
        return import_module(self._theirs.name)

    def exec_module(self, module: ModuleType) -> None:
        module.__spec__ = self._theirs


class _Finder(MetaPathFinder):
    """Finds the modules below this name where those of ``renderer`` lie."""

    def find_spec(
        self, name: str, path: Sequence[str] | None, target: ModuleType | None = None
    ) -> ModuleSpec | None:
        if not name.startswith(HERE) or name == MAIN:
            return None
        theirs = find_spec(f"{renderer.__name__}.{name.removeprefix(HERE)}")
        return theirs and ModuleSpec(name, _SameModule(theirs))


sys.meta_path.insert(0, _Finder())
sys.modules[__name__] = renderer
