"""What a meter should read: resistance of wire at a temperature, and how far off is still good."""

from __future__ import annotations

from renderer.sheets.practice import Figures

TEMPERATURES_C = (0, 10, 20, 30)  # of the wire, for which readings are printed


def expected_range(ohms: float, figures: Figures) -> tuple[float, float]:
    """Least and greatest reading that is still good, in ohms."""
    off = max(figures["reading_percent"] / 100 * ohms, figures["reading_ohm"])
    return max(0.0, ohms - off), ohms + off
