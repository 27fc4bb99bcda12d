"""Where the plans are that tests read: the demo's, and examples kept outside the repository."""

from __future__ import annotations

import math
import os
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent


def demo_plans() -> list[Path]:
    """The plans of the demo, in the order of their names."""
    return sorted((ROOT / "demo").glob("*.plan.yaml"))


def example_plans() -> list[Path]:
    """Plans in the folder that PEGLINE_EXAMPLES names, else beside the checkout; maybe none."""
    folder = os.environ.get("PEGLINE_EXAMPLES")
    return sorted((Path(folder) if folder else ROOT.parent / "shared/examples").glob("*.plan.yaml"))


def moved(value: Any, turn: float, mirror: bool, shift: tuple[float, float]) -> Any:
    """A garden's points turned, mirrored and moved; two bare numbers in a list are a point."""
    if isinstance(value, dict):
        return {key: moved(each, turn, mirror, shift) for key, each in value.items()}
    if isinstance(value, list):
        if len(value) in (2, 3) and all(isinstance(each, (int, float)) for each in value[:2]):
            x, y = value[:2]
            x = -x if mirror else x
            c, s = math.cos(turn), math.sin(turn)
            return [x * c - y * s + shift[0], x * s + y * c + shift[1], *value[2:]]
        return [moved(each, turn, mirror, shift) for each in value]
    return value
