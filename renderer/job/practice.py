"""Figures that steps, test record and map carry: the machine's own, else those of common practice.

Common practice has no published source, so such a figure prints with an asterisk, and the maker's
manual comes before it. A machine's file replaces each under ``practice:``.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from renderer.ground.bands import Meter
from renderer.plan.manual import source
from renderer.units import M_PER_FOOT, MM_PER_INCH, MM_PER_M

if TYPE_CHECKING:
    from renderer.plan.machine import Machine
    from renderer.plan.values import Units

SIGN = "*"
_INCH = MM_PER_INCH / MM_PER_M

# Common practice, no published source: each figure for sheets in metres and in feet.
COMMON = MappingProxyType(
    {
        "grass": (0.05, 2 * _INCH),  # grass along the wire is mown to this before the wire is laid
        "strip_terminal": (0.006, _INCH / 4),  # stripped for a screw terminal
        "strip_splice": (0.015, _INCH / 2),  # stripped and twisted under a connector
        "tie_within": (0.05, 2 * _INCH),  # a peg set out by two tapes
        "lap_from": (2.0, 7 * M_PER_FOOT),  # from the dock to where the first lap starts
        "dockings": (3, 3),  # dockings in a row that count as good
        "reading_percent": (3.0, 3.0),  # meter and length of wire: a good reading is off by this
        "reading_ohm": (0.1, 0.1),  # and by this on top, of a meter that shows tenths of an ohm
        # What journals of the trade restate for circuits of extra-low voltage.
        "insulation_megohm": (0.5, 0.5),  # least between wire and earth
        "insulation_volt": (250.0, 250.0),  # direct voltage of that test
        "as_built_grid": (1.0, 5 * M_PER_FOOT),  # field of the as-built grid
        "keep_off": (0.5, 20 * _INCH),  # no digging nearer to the wire than this
        "cable_off": (1.0, 3.5 * M_PER_FOOT),  # other cables and mesh alongside the wire
        "day_hours": (9.0, 9.0),  # a crew's day with driving
        "repair_stock": (25.0, 80 * M_PER_FOOT),  # an offcut of this length is kept, tagged
    }
)


@dataclass(frozen=True, slots=True, eq=False)
class Figures:
    """The figures of a machine on sheets in ``units``, by the keys of ``practice:``.

    Lengths are in metres.
    """

    machine: Machine
    units: Units

    def __getitem__(self, key: str) -> float:
        own: float | None = getattr(self.machine.practice, key)
        return COMMON[key][self.units == "ft"] if own is None else own

    @property
    def meter(self) -> Meter:
        """How far a sound reading may be off."""
        return Meter(self["reading_percent"], self["reading_ohm"])

    def machine_sign(self, *keys: str) -> str:
        """The asterisk, where one of these figures of the machine is not stated in its file."""
        stated = all(source(self.machine, key) != "practice" for key in keys)
        return "" if stated else SIGN

    def sign(self, *keys: str) -> str:
        """The asterisk, where one of these figures is not the machine's own."""
        own = all(getattr(self.machine.practice, key) is not None for key in keys)
        return "" if own else SIGN
