"""Where the plans are that tests read: the demo's, and examples kept outside the repository."""

from __future__ import annotations

import os
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent


def demo_plans() -> list[Path]:
    """The plans of the demo, in the order of their names."""
    return sorted((ROOT / "demo").glob("*.plan.yaml"))


def example_plans() -> list[Path]:
    """Plans in the folder that PEGLINE_EXAMPLES names, else beside the checkout; maybe none."""
    folder = os.environ.get("PEGLINE_EXAMPLES")
    return sorted((Path(folder) if folder else ROOT.parent / "shared/examples").glob("*.plan.yaml"))
