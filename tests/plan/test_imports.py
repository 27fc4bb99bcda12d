"""What the light parts of the plan room cost to import."""

from __future__ import annotations

import subprocess
import sys

import pytest


@pytest.mark.parametrize("name", ["renderer.plan", "renderer.plan.errors", "renderer.plan.lengths"])
def test_the_light_parts_load_nothing_heavy(name: str) -> None:
    heavy = "{'pydantic', 'yaml', 'numpy', 'shapely'}"
    code = f"import sys, {name}; print(sorted({heavy} & set(sys.modules)))"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"


def test_the_reader_loads_no_geometry() -> None:
    code = "import sys, renderer.plan.reader; print({'numpy', 'shapely'} & set(sys.modules))"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "set()"


def test_names_are_found_and_others_are_not() -> None:
    import renderer.plan as room

    assert all(getattr(room, name) for name in room.__all__)
    with pytest.raises(AttributeError):
        room.nothing  # noqa: B018
