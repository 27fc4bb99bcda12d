"""Pure geometry in metres: where the wire goes. No paper, and no text for people."""

from __future__ import annotations

from renderer.ground.engine import lay_plan
from renderer.ground.lay import Lay

__all__ = ["Lay", "lay_plan"]
