"""Values that are frozen for the type checker only are values all the same."""

from __future__ import annotations

import pickle
import subprocess
import sys
from dataclasses import field
from pathlib import Path

import pytest

from renderer.frozen import dataclass


@dataclass(frozen=True, slots=True)
class Place:
    x: float
    name: str = field(default="", compare=False)


def test_two_of_the_same_are_equal_and_hashed_alike() -> None:
    assert Place(1.0, "a") == Place(1.0, "b") != Place(2.0, "a")
    assert hash(Place(1.0, "a")) == hash(Place(1.0, "b"))
    assert pickle.loads(pickle.dumps(Place(1.0, "a"))).name == "a"


def test_one_that_is_to_change_is_refused() -> None:
    with pytest.raises(AssertionError, match="plain dataclasses"):
        dataclass(frozen=False)


def test_the_type_checker_lets_nobody_change_one(tmp_path: Path) -> None:
    pytest.importorskip("mypy")
    source = tmp_path / "changes.py"
    source.write_text(
        "from renderer.primitives import Circle\nCircle((0.0, 0.0), 1.0, None).radius_mm = 2.0\n"
    )
    command = [sys.executable, "-m", "mypy", "--follow-imports=silent", str(source)]
    told = subprocess.run(command, capture_output=True, text=True, check=False).stdout
    assert 'Property "radius_mm" defined in "Circle" is read-only' in told
