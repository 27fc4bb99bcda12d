"""The wire: conductor, spools, spares."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal, Self

from pydantic import AfterValidator, BeforeValidator, WithJsonSchema, model_validator

from renderer.plan.base import Model
from renderer.plan.errors import refuse, shown
from renderer.plan.limits import Within
from renderer.plan.values import Length, Line, Number, Share, Whole, to_whole
from renderer.trade import AWG_SIZES, MM2_SIZES


def _known_size(value: float) -> float:
    if value not in MM2_SIZES:
        sizes = ", ".join(f"{size:g}" for size in MM2_SIZES)
        refuse(f"{value:g} is not a conductor size of IEC 60228", f"write one of {sizes}")
    return value


def _known_gauge(value: int) -> int:
    if value not in AWG_SIZES:
        least, most = AWG_SIZES[0], AWG_SIZES[-1]
        refuse(
            f"{value} is not an AWG size listed here",
            f"write a whole number from {least} to {most}",
        )
    return value


def _conductor_class(value: object) -> int:
    found = to_whole(value)
    if found not in {1, 2, 5}:
        refuse(f"{shown(value)} is not a conductor class of IEC 60228", "write 1, 2 or 5")
    return found


_Size = Annotated[Number, AfterValidator(_known_size), WithJsonSchema({"enum": list(MM2_SIZES)})]
Gauge = Annotated[Whole, AfterValidator(_known_gauge), WithJsonSchema({"enum": list(AWG_SIZES)})]
_Pack = Annotated[Whole, Within(1, 100_000)]
Spool = Annotated[Length, Within(1, 100_000, " m")]


class Packs(Model):
    """Pack sizes for rounding up; left out means single pieces."""

    pegs: _Pack | None = None
    connectors: _Pack | None = None
    terminals: _Pack | None = None


WireKind = tuple[str, float | None, int | None, float | None]


class OneSize(Model):
    """Exactly one of ``conductor_mm2``, ``conductor_awg``, ``ohm_per_100m``."""

    exactly_one: ClassVar = ("conductor_mm2", "conductor_awg", "ohm_per_100m")

    conductor_mm2: _Size | None = None
    conductor_awg: Gauge | None = None
    ohm_per_100m: Annotated[Number, Within(0, 10_000, " ohm", above=True)] | None = (
        None  # from the label, or measured on the full spool
    )
    conductor: Line = "copper"

    @property
    def kind(self) -> WireKind:
        """What wires must share to come off one spool."""
        return self.conductor, self.conductor_mm2, self.conductor_awg, self.ohm_per_100m


class Measured(Model):
    """A full spool as a meter read it, the meter's own leads subtracted."""

    length: Spool
    ohm: Annotated[Number, Within(0, 10_000, " ohm", above=True)]
    temperature: Annotated[Number, Within(-30, 60, " degC")]  # of the wire


ConductorClass = Annotated[Literal[1, 2, 5], BeforeValidator(_conductor_class)]  # IEC 60228


class Wire(OneSize):
    """The conductor, the spools there are, and what is ordered beyond the wire laid."""

    conductor_class: ConductorClass = 5
    spools: tuple[Spool, ...] = ()
    measured: tuple[Measured, ...] = ()
    slack_percent: Share = 5.0
    peg_spare_percent: Share = 10.0  # common practice, no published source
    packs: Packs = Packs()

    @model_validator(mode="after")
    def _resistance_is_known(self) -> Self:
        if self.conductor != "copper" and self.ohm_per_100m is None and not self.measured:
            refuse(
                f"the resistance of {shown(self.conductor)} cannot be worked out from its size",
                "give ohm_per_100m from the label or a measured spool instead of the size",
                ("conductor",),
            )
        return self
