"""What a meter should read: resistance of wire at a temperature, and how far off is still good."""

from __future__ import annotations

from renderer.sheets.practice import OHM_LEAST, OHM_SHARE


def expected_range(ohms: float) -> tuple[float, float]:
    """Least and greatest reading that is still good, in ohms; common practice."""
    off = max(OHM_SHARE * ohms, OHM_LEAST)
    return max(0.0, ohms - off), ohms + off
